"""The curve fitted: true to its points, smooth but for its corners, and sparing with knots."""

from __future__ import annotations

import numpy as np
import pytest
from traced_samples import body, csv, cutaway, moved, off_curve

from braces.traced.trace import Traced, TraceOptions, trace

EXACT = body(4000)  #: its chords of 0.4 mm stand less than 0.001 mm off the body


def traced(p: np.ndarray, **options: object) -> Traced:
    return trace(csv(p), "body.csv", TraceOptions(**options))  # type: ignore[arg-type]


def off_body(curve: np.ndarray) -> float:
    """How far a curve in body axes stands off the exact body, at most."""
    return float(off_curve(curve, EXACT).max())


@pytest.mark.parametrize("within_mm", [1.0, 0.2, 0.05, 0.01])
@pytest.mark.parametrize("symmetry", ["keep", "symmetrise"])
def test_deviation_asked_for_is_kept_and_stated(within_mm: float, symmetry: str) -> None:
    got = traced(moved(body(), 70), within_mm=within_mm, symmetry=symmetry)
    assert got.greatest_deviation_mm <= within_mm
    # Chords of 0.45 mm stand up to 0.45^2 / (8 * 27) = 0.0009 mm off a bend of 27 mm radius, the body's tightest.
    independent = off_curve(got.points, got.path.dense(300))
    assert independent.max() == pytest.approx(got.greatest_deviation_mm, abs=0.0009)
    assert np.sqrt(np.mean(independent**2)) == pytest.approx(got.rms_deviation_mm, abs=0.0009)
    assert off_body(got.curve) < within_mm + 0.002


def test_knots_are_few() -> None:
    counts = [len(traced(body(), within_mm=w).outline.points) for w in (1.0, 0.1, 0.01)]
    assert counts == sorted(counts)
    assert counts[0] <= 14
    assert counts[2] <= 60


@pytest.mark.parametrize(("count", "scatter_mm"), [(360, 0.1), (720, 0.3), (5000, 0.3)])
@pytest.mark.parametrize("symmetry", ["keep", "symmetrise"])
def test_scattered_points_give_the_curve_behind_them(count: int, scatter_mm: float, symmetry: str) -> None:
    """The curve recovered lies within the deviation stated, and nearer to the truth than the points usually are."""
    p = body(count) + np.random.default_rng(count).normal(0, scatter_mm, (count, 2))
    got = traced(moved(p, 40, (9, 9)), symmetry=symmetry)
    shift = got.curve - [0, 0]
    off = off_curve(shift, EXACT)
    assert off.max() < got.greatest_deviation_mm
    assert np.sqrt(np.mean(off**2)) < scatter_mm
    assert got.greatest_deviation_mm < 5 * scatter_mm
    assert got.path.curvature(got.path.grid(40)).max() < 1 / 18  # the body's own tightest is 1 / 27


@pytest.mark.parametrize("shape", [body, cutaway])
def test_curvature_is_continuous_except_at_corners(shape: object) -> None:
    got = traced(shape())  # type: ignore[operator]
    path, n = got.path, got.path.count
    for i in range(n):
        before, after = (i - 1e-9) % n, float(i)
        assert path.point(before) == pytest.approx(path.point(after), abs=1e-5)
        if i in got.outline.corners:
            continue
        assert path.tangent(before) == pytest.approx(path.tangent(after), abs=1e-8)
        assert path.curvature(before) == pytest.approx(path.curvature(after), abs=1e-7)


def test_cutaway_keeps_its_corners() -> None:
    got = traced(moved(cutaway(), -55, (100, 20)))
    assert len(got.corner_points) == 2
    dense = body(200_000)
    near = np.hypot(*(dense - [165, 470]).T) - 105
    exact = dense[np.flatnonzero((near[:-1] > 0) != (near[1:] > 0))]
    for corner in got.corner_points:
        assert np.hypot(*(exact - corner).T).min() < 0.6
    # The scoop is an arc of 105 mm radius round (165, 470).
    x, y = got.curve.T
    scoop = got.curve[(y > 385) & (y < 465) & (x > 30) & (x < 120)]
    assert len(scoop) > 20
    assert np.hypot(*(scoop - [165, 470]).T) == pytest.approx(105, abs=0.12)


def test_symmetrised_is_symmetric_to_the_last_digit() -> None:
    got = traced(moved(body(lopsided_mm=0.8), 12), symmetry="symmetrise")
    n = len(got.outline.points)
    mirror = (-np.arange(n)) % n
    assert got.outline.points[mirror] == pytest.approx(got.outline.points * [-1, 1], abs=0)
    assert got.outline.headings_deg[0].tolist() == [0.0, 0.0]
    assert got.outline.headings_deg[n // 2].tolist() == [180.0, 180.0]
    kept = traced(moved(body(lopsided_mm=0.8), 12))
    # The mean of the sides keeps the full width, but for the deviation of either curve on either side.
    slack = 2 * (0.1 + kept.greatest_deviation_mm)
    assert np.ptp(got.curve[:, 0]) == pytest.approx(np.ptp(kept.curve[:, 0]), abs=slack)


def test_neck_knot_is_in_the_middle_and_on_the_axis() -> None:
    for shape in (body(), cutaway()):
        got = traced(shape)
        n = got.path.count
        assert n % 2 == 0
        assert got.path.point(np.array([0.0, n / 2]))[:, 0] == pytest.approx([0, 0], abs=1e-9)
        assert got.path.point(0.0) == pytest.approx([0, 0], abs=1e-9)
        assert got.path.area_mm2() > 0
        assert got.places.length_mm == pytest.approx(480, abs=0.1)
