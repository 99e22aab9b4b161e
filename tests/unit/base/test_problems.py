"""Problems, places and frozen arrays."""

import numpy as np
import pytest

from braces.base.arrays import frozen_floats, frozen_points
from braces.base.problems import DesignError, Problem, as_read, where_text


@pytest.mark.parametrize(
    ("where", "text"),
    [
        ((), "the file"),
        (("body",), "body"),
        (("top", "braces", 0, "ends", "height"), "top.braces[1].ends.height"),
        (("a", 0, 1), "a[1][2]"),
    ],
)
def test_places_are_counted_from_one(where: tuple[str | int, ...], text: str) -> None:
    assert where_text(where) == text


def test_error_holds_every_problem() -> None:
    problems = [Problem("K01", ("x",), '"x" is not known here', "remove it"), Problem("L02", (), "a", "b")]
    error = DesignError(iter(problems))
    assert error.problems == tuple(problems)
    assert str(error) == 'K01 x: "x" is not known here. remove it\nL02 the file: a. b'


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("5 parsecs", '"5 parsecs"'), (12, "12"), (1.5, "1.5"), (True, "true"), ([1], "a list"), ({}, "a table"),
        (None, "None"), ("x" * 100, f'"{"x" * 57}..."'),
    ],
)  # fmt: skip
def test_what_was_read(value: object, text: str) -> None:
    assert as_read(value) == text


def test_numbers_that_python_refuses_to_write_out() -> None:
    assert as_read(10**5000) == as_read(-(10**5000)) == "a number of absurd length"


def test_arrays_cannot_be_changed() -> None:
    source = np.arange(4.0)
    for frozen in (frozen_floats(source), frozen_points(source.reshape(2, 2))):
        source[0] = 9.0
        assert frozen.flat[0] == 0.0  # a copy
        with pytest.raises(ValueError, match="read-only"):
            frozen[0] = 1.0
        source[0] = 0.0


def test_arrays_have_the_shape_they_say() -> None:
    with pytest.raises(ValueError, match="shape"):
        frozen_floats(np.zeros((2, 2)))
    with pytest.raises(ValueError, match="shape"):
        frozen_points(np.zeros((2, 3)))
    with pytest.raises(ValueError, match="shape"):
        frozen_points([])
