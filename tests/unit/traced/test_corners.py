"""Corners found where there are any, and not where a line only bends tightly, is coarse, or scatters."""

from __future__ import annotations

import numpy as np
import pytest
from traced_samples import body, cutaway

from braces.traced.corners import corners
from braces.traced.polylines import coarse_lengths


def found(p: np.ndarray, angle_deg: float = 35.0) -> tuple[float, ...]:
    s = coarse_lengths(np.concatenate([p, p[:1]]), 4.0)
    return corners(p, s[:-1], float(s[-1]), angle_deg)


def rounded_square(radius_mm: float, step_mm: float) -> np.ndarray:
    side, quarter = 300 - 2 * radius_mm, np.linspace(0, np.pi / 2, max(int(np.pi / 2 * radius_mm / step_mm), 1) + 1)
    count = int(side / step_mm)
    run = np.column_stack([np.full(count, 150.0), np.linspace(-side / 2, side / 2, count, endpoint=False)])
    arc = np.column_stack([150 - radius_mm + radius_mm * np.cos(quarter), side / 2 + radius_mm * np.sin(quarter)])
    one = np.concatenate([run, arc[:-1]])
    return np.concatenate([one @ np.linalg.matrix_power(np.array([[0, 1], [-1, 0]]), k) for k in range(4)])


@pytest.mark.parametrize("step_mm", [0.1, 1.0, 2.5, 10.0, 40.0])
def test_square_has_four(step_mm: float) -> None:
    t = np.arange(0, 300, step_mm)
    side = np.column_stack([np.full_like(t, 150.0), t - 150])
    p = np.concatenate([side @ np.linalg.matrix_power(np.array([[0, 1], [-1, 0]]), k) for k in range(4)])
    assert found(p) == pytest.approx([0, 300, 600, 900], abs=1e-4)


def test_square_of_four_points_has_four() -> None:
    p = np.array([(0, 0), (300, 0), (300, 300), (0, 300), (0, 150)], dtype=float)
    assert found(p) == pytest.approx([0, 300, 600, 900], abs=1e-6)


@pytest.mark.parametrize("radius_mm", [10.0, 15.0, 40.0])
@pytest.mark.parametrize("step_mm", [0.2, 1.0])
def test_round_bends_are_none(radius_mm: float, step_mm: float) -> None:
    assert found(rounded_square(radius_mm, step_mm)) == ()


@pytest.mark.parametrize("count", [12, 24, 48, 720, 5000])
def test_circle_and_body_have_none(count: int) -> None:
    a = 2 * np.pi * np.arange(count) / count
    assert found(150 * np.column_stack([np.cos(a), np.sin(a)])) == ()
    if count >= 48:
        assert found(body(count)) == ()


@pytest.mark.parametrize("scatter_mm", [0.1, 0.3])
@pytest.mark.parametrize("count", [360, 720, 5000])
def test_scatter_is_none(scatter_mm: float, count: int) -> None:
    p = body(count) + np.random.default_rng(count).normal(0, scatter_mm, (count, 2))
    assert found(p) == ()


def test_steps_of_a_scan_are_none() -> None:
    """Every coordinate rounded to a tenth of a millimetre, as a raster image traced pixel by pixel gives it."""
    p = np.round(body(20000), 1)
    p = p[np.append(True, np.any(np.diff(p, axis=0) != 0, axis=1))]
    assert found(p) == ()


@pytest.mark.parametrize("count", [200, 720, 3000])
def test_cutaway_has_two_where_scoop_and_body_meet(count: int) -> None:
    """The corners are where the body's curve is 105 mm from (165, 470), found here on a very dense curve."""
    dense = body(200_000)
    near = np.hypot(*(dense - [165, 470]).T) - 105
    exact = dense[np.flatnonzero((near[:-1] > 0) != (near[1:] > 0))]
    p = cutaway(count)
    s = coarse_lengths(np.concatenate([p, p[:1]]), 4.0)
    at = [np.interp(c, s, np.append(p[:, k], p[0, k])) for c in found(p) for k in (0, 1)]
    assert len(at) == 4
    step = 1500 / count
    for corner in np.reshape(at, (2, 2)):
        assert np.hypot(*(exact - corner).T).min() < max(0.6 * step, 0.5)
