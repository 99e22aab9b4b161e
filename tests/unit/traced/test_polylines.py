"""Lines through points: spacing, distances, zigzag and crossings."""

from __future__ import annotations

import numpy as np
import pytest
from traced_samples import body, off_curve

from braces.traced.polylines import (
    Nearest,
    calmed,
    coarse_lengths,
    crosses_itself,
    length_mm,
    points_at,
    resampled,
    with_straights_filled,
)

SQUARE = np.array([(0, 0), (100, 0), (100, 100), (0, 100)], dtype=float)


def test_lengths_and_places_along_a_line() -> None:
    assert length_mm(SQUARE) == 300
    assert length_mm(SQUARE, closed=True) == 400
    assert points_at(SQUARE, np.array([50.0, 350.0, 450.0]), closed=True) == pytest.approx(
        np.array([(50, 0), (0, 50), (50, 0)])
    )


@pytest.mark.parametrize("closed", [False, True])
def test_even_spacing(closed: bool) -> None:
    p = resampled(SQUARE, 7.0, closed)
    assert np.ptp(np.abs(np.diff(p, axis=0)).sum(axis=1)) < 1e-9
    assert len(p) == (58 if closed else 44)  # ceil(400 / 7) points, ceil(300 / 7) + 1


@pytest.mark.parametrize("shape", [SQUARE, body(40), np.roll(body(40), 7, axis=0), body(40)[::-1]])
def test_distances_agree_with_looking_at_every_side(shape: np.ndarray) -> None:
    points = np.random.default_rng(2).uniform(-300, 500, (400, 2))
    points = np.concatenate([points, shape + np.array([0.4, -0.3]), shape])
    off, foot, along = Nearest(shape, closed=True)(points)
    assert off == pytest.approx(off_curve(points, shape), abs=1e-9)
    assert np.hypot(*(points - foot).T) == pytest.approx(off, abs=1e-9)
    assert np.hypot(*along.T) == pytest.approx(1)


def test_strides_step_over_zigzag_but_not_over_what_is_kept() -> None:
    x = np.linspace(0, 300, 3001)
    zigzag = np.column_stack([x, 0.2 * (-1.0) ** np.arange(3001)])
    assert length_mm(zigzag) > 1000
    assert coarse_lengths(zigzag, 4.0)[-1] == pytest.approx(300, rel=0.005)
    assert length_mm(calmed(zigzag, closed=False)) == pytest.approx(300, rel=0.02)
    corner = np.concatenate([np.column_stack([x, 0 * x]), np.column_stack([0 * x + 300, x])[1:]])
    assert coarse_lengths(corner, 7.0, frozenset({3000}))[-1] == pytest.approx(600)
    assert coarse_lengths(corner, 7.0)[-1] < 600


def test_a_line_without_zigzag_is_left_alone() -> None:
    assert calmed(body(), closed=True) is not None
    assert np.array_equal(calmed(body(), closed=True), body())


def test_long_straight_sides_get_points_but_steps_of_a_coarse_curve_do_not() -> None:
    arc = np.column_stack([100 * np.cos(np.linspace(0, np.pi, 100)), 100 * np.sin(np.linspace(0, np.pi, 100))])
    filled, longest = with_straights_filled(arc, closed=True)
    assert longest == pytest.approx(200)
    assert len(filled) > 150
    assert off_curve(filled, arc).max() < 1e-9
    same, none = with_straights_filled(body(24), closed=True)
    assert none == 0
    assert len(same) == 24


def test_crossings() -> None:
    assert crosses_itself(body(200)) is None
    assert crosses_itself(SQUARE) is None
    assert crosses_itself(SQUARE[[0, 2, 1, 3]]) == pytest.approx((50, 50))
