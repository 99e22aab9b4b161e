"""Convex polygons, against shapely."""

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely.geometry import Point, Polygon

from braces.curves.polygons import area_mm2, clipped, common, distance_mm, overlap_depth_mm
from braces.curves.polynomial import QUINTIC, quintic_pieces

SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])


def hexagon(x: float, y: float, radius: float, turn: float) -> NDArray[np.float64]:
    a = turn + np.arange(6) * np.pi / 3
    return np.column_stack([x + radius * np.cos(a), y + radius * np.sin(a)])


@pytest.mark.parametrize("turn", [0.0, 0.2, 0.5])
@pytest.mark.parametrize("x", [-3.0, 2.0, 5.0, 9.0, 30.0])
def test_common_part_and_distance(x: float, turn: float) -> None:
    other = hexagon(x, 6.0, 4.0, turn)
    shared = common(SQUARE, other)
    expected = Polygon(SQUARE).intersection(Polygon(other))
    assert (area_mm2(shared) if len(shared) else 0.0) == pytest.approx(expected.area, abs=1e-9)
    point = (x, -2.0)
    assert distance_mm(point, SQUARE) == pytest.approx(Polygon(SQUARE).distance(Point(point)), abs=1e-12)
    touching = Polygon(SQUARE).intersects(Polygon(other))
    assert (overlap_depth_mm(SQUARE, other) > 0) == touching


def test_depth_of_two_squares() -> None:
    """Pushed apart by the shorter way out."""
    assert overlap_depth_mm(SQUARE, SQUARE + np.array([9.0, 2.0])) == pytest.approx(1.0)
    assert overlap_depth_mm(SQUARE, SQUARE + np.array([10.0, 0.0])) == pytest.approx(0.0)
    assert overlap_depth_mm(SQUARE, SQUARE + np.array([13.0, 0.0])) == pytest.approx(-3.0)


def test_clipping() -> None:
    half = clipped(SQUARE, np.array([5.0, 0.0]), np.array([1.0, 0.0]))
    assert area_mm2(half) == pytest.approx(50.0)
    assert len(clipped(SQUARE, np.array([50.0, 0.0]), np.array([1.0, 0.0]))) == 0


def test_quintic_matches_what_it_is_given() -> None:
    """Its six rows are the solution of the six conditions at both ends, found here by a linear solve."""
    power = np.arange(6)
    at0 = np.diag([1.0, 1.0, 2.0, 0, 0, 0])[:3]
    at1 = np.array([np.ones(6), power, power * (power - 1)], dtype=float)
    assert pytest.approx(np.linalg.inv(np.vstack([at0, at1])), abs=1e-9) == QUINTIC
    rng = np.random.default_rng(5)
    points, first, second = (rng.normal(size=(4, 2)) for _ in range(3))
    pieces = quintic_pieces(points, first, second)
    for i, piece in enumerate(pieces):
        assert piece.sum(axis=0) == pytest.approx(points[i + 1])
        assert piece[0] == pytest.approx(points[i])
        assert (piece * power[:, None]).sum(axis=0) == pytest.approx(first[i + 1])
