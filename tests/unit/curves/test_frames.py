"""Rigid motions, against scipy's rotations."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from braces.curves.frames import Placement, stay

POINTS = np.array([[1.0, 2.0, 3.0], [-4.0, 5.0, 0.5]])


def turned(degrees, shift):
    rows = Rotation.from_euler("xyz", degrees, degrees=True).as_matrix().tolist()
    return Placement(tuple(tuple(r) for r in rows), shift)


def test_moving_points():
    motion = turned([10, 20, 30], (1.0, -2.0, 3.0))
    turn = Rotation.from_euler("xyz", [10, 20, 30], degrees=True)
    expected = turn.apply(POINTS) + np.array([1, -2, 3])
    assert motion(POINTS) == pytest.approx(expected)


def test_one_after_the_other_and_back():
    a, b = turned([10, 20, 30], (1.0, -2.0, 3.0)), turned([-50, 5, 170], (0.5, 0.0, -9.0))
    assert a.after(b)(POINTS) == pytest.approx(a(b(POINTS)))
    assert a.inverse()(a(POINTS)) == pytest.approx(POINTS)
    assert stay()(POINTS) == pytest.approx(POINTS)


@pytest.mark.parametrize("rows", [np.diag([1, 1, -1]), np.diag([1, 1, 1.001]), np.eye(2)])
def test_mirrors_and_stretches_are_refused(rows):
    with pytest.raises(ValueError, match="placement"):
        Placement(tuple(tuple(r) for r in rows.tolist()), (0.0, 0.0, 0.0))
