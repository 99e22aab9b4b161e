import pytest

from braces.carved.carve import carve
from braces.design.load import load
from braces.placed.place import place


@pytest.fixture(scope="session")
def fieldfare():
    return carve(place(load("fieldfare").design))


@pytest.fixture(scope="session")
def dunnock():
    return carve(place(load("dunnock").design))
