"""Contours and hatching against curves that are known."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from braces.base.arrays import frozen_floats
from braces.mechanics.values import Shape
from braces.sheets.strength_field import (
    carried_on,
    clear_cut,
    contours,
    cut_out,
    ends,
    field,
    hatch,
    hatched,
    levels,
    nice_step,
)

X = np.arange(-97.0, 98.0, 6.0)
GX, GY = np.meshgrid(X, X, indexing="ij")
BOX = shapely.box(-90, -90, 90, 90)


def shape(value: np.ndarray) -> Shape:
    return Shape(frozen_floats(X), frozen_floats(X), value)


def test_contours_of_a_paraboloid_are_circles() -> None:
    moves = field(shape(GX**2 + GY**2))
    for radius in (20.0, 50.0, 80.0):
        (line,) = contours(moves, radius**2, BOX)
        assert np.hypot(*line.T) == pytest.approx(radius, abs=0.03)
        # The circle closes: its length is 2 pi r (chords of 2 mm are that much short).
        assert np.hypot(*np.diff(line, axis=0).T).sum() == pytest.approx(2 * np.pi * radius, rel=2e-3)


def test_still_lines_of_a_rectangle_mode_are_its_middle_lines() -> None:
    """The mode sin(2 pi x / a) sin(pi y / b) of a supported rectangle stands still on x = a / 2 (textbook)."""
    moves = field(shape(np.sin(np.pi * GX / 100) * np.cos(np.pi * GY / 200)))
    (line,) = contours(moves, 0.0, BOX)
    assert np.abs(line[:, 0]).max() < 0.01
    assert np.ptp(line[:, 1]) == pytest.approx(180, abs=0.1)


def test_lines_reach_the_edge_although_the_field_ends_before_it() -> None:
    inside = np.hypot(GX, GY) < 80
    moves = field(shape(np.where(inside, GX + 0.5 * GY, np.nan)))
    disc = shapely.Point(0, 0).buffer(82, quad_segs=64)
    (line,) = contours(moves, 10.0, disc)
    assert line[:, 0] + 0.5 * line[:, 1] == pytest.approx(10.0, abs=1e-6)
    for end in (line[0], line[-1]):
        assert np.hypot(*end) == pytest.approx(82, abs=0.1)


def test_a_plane_is_carried_on_as_a_plane() -> None:
    plane = 3.0 + 2 * GX - GY
    hidden = np.where(np.hypot(GX, GY) < 60, plane, np.nan)
    near = np.hypot(GX, GY) < 80
    assert carried_on(hidden)[near] == pytest.approx(plane[near])


def test_hatching_fills_half_of_a_tilted_plate() -> None:
    """Length times pitch is the area hatched: a half disc, pi r2 / 2 (geometry)."""
    disc = shapely.Point(0, 0).buffer(80, quad_segs=64)
    moves = field(shape(GX))
    places = hatch(disc, 2.0, 45.0, 0.5)
    for sign in (1, -1):
        pairs = hatched(moves, places, 0.0, sign)
        length = sum(float(np.hypot(*(b - a))) for a, b in pairs)
        assert length * 2.0 == pytest.approx(np.pi * 80**2 / 2, rel=0.02)
        assert all(sign * p[:, 0].min() > -0.5 or sign > 0 for p in pairs)
        assert all((sign * p[:, 0] >= -1e-9).all() for p in pairs)
    less = sum(float(np.hypot(*(b - a))) for a, b in hatched(moves, places, 40.0, 1))
    # The part of a disc beyond half its radius is (pi / 3 - sqrt(3) / 4) r2.
    assert less * 2.0 == pytest.approx((np.pi / 3 - np.sqrt(3) / 4) * 80**2, rel=0.04)


def test_a_still_line_in_a_still_part_is_told_apart() -> None:
    moves = field(shape(np.where(GX > 0, GX / 100, GX * 1e-4)))
    (line,) = contours(moves, 0.0, BOX)
    assert clear_cut(moves, line, 12.0, 0.03)
    quiet = field(shape(GX * 1e-4))
    assert not clear_cut(quiet, contours(quiet, 0.0, BOX)[0], 12.0, 0.03)


@given(st.floats(-50, 50), st.floats(1e-6, 1e3))
def test_steps_are_round_and_few(low: float, wide: float) -> None:
    step = nice_step(low, low + wide)
    assert f"{step:.0e}"[0] in "125"
    found = levels(low, low + wide, step)
    assert len(found) <= 16
    # The next finer step would be too fine.
    assert wide / (step / 2.5) > 15 * (1 - 1e-9)
    assert all(low < v < low + wide for v in found)
    assert all(abs(v / step - round(v / step)) < 1e-6 for v in found)


def test_ends_are_the_extremes_and_their_places() -> None:
    value = np.where(np.hypot(GX, GY) < 80, GX, np.nan)
    (low, a), (high, b) = ends(shape(value))
    inside = X[np.abs(X) < 80]
    assert (low, high) == (inside.min(), inside.max())
    assert (a[0], b[0]) == (low, high)


def test_lines_make_room_for_words() -> None:
    ring = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    parts = cut_out([ring], True, [shapely.box(-1, 4, 1, 6)])
    assert len(parts) == 1
    assert np.hypot(*np.diff(parts[0], axis=0).T).sum() == pytest.approx(38)
    assert len(cut_out([ring], False, [shapely.box(4, -1, 6, 1)])) == 2
