"""Curves parallel to a curve with true corners, against closed forms and shapely's buffer."""

from __future__ import annotations

from math import acos, asin, pi, sqrt

import numpy as np
import pytest
import shapely

from braces.curves.hits import line_hits
from braces.curves.path import Path
from braces.curves.polynomial import quintic_pieces

RADIUS, HALF = 260.0, 210.0  #: of a lens: two equal arcs, and half the distance between its corners


def arc(centre: tuple[float, float], radius: float, a0: float, a1: float, count: int) -> np.ndarray:
    """(count, 6, 2) quintic pieces of an arc: exact places, directions and curvatures at their ends."""
    a = np.linspace(a0, a1, count + 1)
    step = (a1 - a0) / count
    out = np.column_stack([np.cos(a), np.sin(a)])
    along = np.column_stack([-out[:, 1], out[:, 0]])
    return quintic_pieces(np.array(centre) + radius * out, radius * step * along, -radius * step**2 * out)


def straight(corners: list[tuple[float, float]]) -> Path:
    """A polygon, one piece a side."""
    p = np.array(corners, dtype=float)
    pieces = np.zeros((len(p), 6, 2))
    pieces[:, 0], pieces[:, 1] = p, np.roll(p, -1, axis=0) - p
    return Path(pieces)


def lens() -> Path:
    """Two arcs of RADIUS that meet in corners at (0, -HALF) and (0, HALF)."""
    half = np.arcsin(HALF / RADIUS)
    off = sqrt(RADIUS**2 - HALF**2)
    right = arc((-off, 0), RADIUS, -half, half, 6)
    left = arc((off, 0), RADIUS, pi - half, pi + half, 6)
    return Path(np.concatenate([right, left]))


def lens_measures(radius: float, half_gap: float) -> tuple[float, float]:
    """Perimeter and area of what two discs have in common, their middles 2 * half_gap apart (circle segments)."""
    angle = 2 * acos(half_gap / radius)
    return 2 * radius * angle, radius**2 * (angle - np.sin(angle))


@pytest.mark.parametrize("inset", [0.5, 8.6, 30.0])
def test_a_lens_has_a_smaller_lens_inside(inset: float) -> None:
    path, off = lens().inside(inset), sqrt(RADIUS**2 - HALF**2)
    perimeter, area = lens_measures(RADIUS - inset, off)
    assert lens().corners == (0, 6)
    assert path.perimeter_mm == pytest.approx(perimeter, rel=1e-7)
    assert path.area_mm2() == pytest.approx(area, rel=1e-7)
    tip = sqrt((RADIUS - inset) ** 2 - off**2)  # where the two inner arcs meet, on the axis
    assert path.point(np.array([0.0, 6.0, 5.999999])) == pytest.approx(
        np.array([[0, -tip], [0, tip], [0, tip]]), abs=1e-5
    )
    assert path.length(0.0, 6.0) == pytest.approx(perimeter / 2, rel=1e-7)
    dense = path.dense(200)
    assert np.min(np.linalg.norm(np.diff(np.vstack([dense, dense[:1]]), axis=0), axis=1)) > 1e-9
    polygon = shapely.Polygon(dense)
    assert polygon.is_valid
    assert polygon.area == pytest.approx(area, rel=1e-5)


@pytest.mark.parametrize("inset", [2.0, 9.0])
def test_a_square_has_a_smaller_square_inside_and_a_rounded_one_outside(inset: float) -> None:
    square = straight([(0, 0), (100, 0), (100, 100), (0, 100)])
    inner, outer = square.inside(inset), square.inside(-inset)
    assert inner.perimeter_mm == pytest.approx(4 * (100 - 2 * inset))
    assert inner.area_mm2() == pytest.approx((100 - 2 * inset) ** 2)
    assert outer.perimeter_mm == pytest.approx(400 + 2 * pi * inset)
    assert outer.area_mm2() == pytest.approx(100**2 + 400 * inset + pi * inset**2)
    assert shapely.Polygon(outer.dense(20)).area == pytest.approx(outer.area_mm2(), rel=1e-4)
    # A length from just before a corner to just behind it is the arc about it.
    assert outer.length(1 - 1e-9, 1.0) == pytest.approx(pi / 2 * inset, rel=1e-6)


def horn() -> Path:
    """A body-like loop with a sharp horn and a notch: straight sides, a concave arc, a corner each way."""
    p = [(0, 0), (180, 40), (150, 230), (175, 420), (95, 350), (40, 470)]
    p += [(-60, 470), (-60, 400), (-190, 400), (-180, 40)]
    return straight([(float(x), float(y)) for x, y in p])


@pytest.mark.parametrize("inset", [1.1, 8.6, 20.0, -6.0])
def test_insets_of_a_loop_with_corners_both_ways_are_shapelys_buffers(inset: float) -> None:
    path = horn().inside(inset)
    polygon = shapely.Polygon(horn().dense(1))
    # On the inner side of a corner a buffer is mitred whatever the style; on the outer one round: both are ours.
    asked = polygon.buffer(-inset, join_style="round", quad_segs=400)
    assert path.area_mm2() == pytest.approx(asked.area, rel=1e-5)
    assert path.perimeter_mm == pytest.approx(asked.length, rel=1e-5)
    made = shapely.Polygon(path.dense(40))
    assert made.is_valid
    assert made.symmetric_difference(asked).area < 0.05 * abs(inset)
    assert shapely.hausdorff_distance(made.exterior, asked.exterior) < 0.02 * abs(inset)


def test_lines_meet_a_trimmed_curve_where_shapely_says() -> None:
    path = horn().inside(8.6)
    ring = shapely.Polygon(horn().dense(1)).buffer(-8.6, join_style="round", quad_segs=2000).exterior
    rng = np.random.default_rng(7)
    seen = 0
    for _ in range(300):
        o, a = rng.uniform((-150, 30), (150, 440)), rng.uniform(0, 2 * pi)
        d = np.array([np.cos(a), np.sin(a)])
        asked = shapely.intersection(ring, shapely.LineString([o - 900 * d, o + 900 * d]))
        points = np.array([p.coords[0] for p in getattr(asked, "geoms", [asked])])
        hits = line_hits(path, (float(o[0]), float(o[1])), (float(d[0]), float(d[1])))
        order = np.argsort((points - o) @ d)
        assert np.array([h.at for h in hits]) == pytest.approx(points[order], abs=1e-3)
        for h in hits:
            seen += 1
            normal = np.array([-h.along[1], h.along[0]])
            p = np.array(h.at)
            # The vector along the curve points along it: a small step keeps its distance from the ring.
            near, far = (ring.distance(shapely.Point(p + 1e-2 * v)) for v in (np.array(h.along), normal))
            assert near < far or near < 2e-3
    assert seen > 600


def test_too_tight_a_turn_is_trimmed_like_a_corner() -> None:
    # A drop: a nose of radius 4 between two straight sides that meet a large arc, inset by more than the nose.
    nose, large, apart = 4.0, 120.0, 260.0  # radii, and how far the nose's middle lies from the arc's
    lean = asin((large - nose) / apart)  # direction of the tangent points from both middles
    top = arc((0, apart), nose, lean, pi - lean, 4)
    bottom = arc((0, 0), large, pi - lean, 2 * pi + lean, 8)
    a, b = (large * np.array([np.cos(t), np.sin(t)]) for t in (lean, pi - lean))
    c, d = (np.array([0, apart]) + nose * np.array([np.cos(t), np.sin(t)]) for t in (lean, pi - lean))
    sides = np.zeros((2, 6, 2))
    sides[0, 0], sides[0, 1], sides[1, 0], sides[1, 1] = a, c - a, d, b - d
    path = Path(np.concatenate([sides[:1], top, sides[1:], bottom]))
    assert path.corners == ()
    inner = path.inside(9.0)
    asked = shapely.Polygon(path.dense(400)).buffer(-9.0, join_style="round", quad_segs=400)
    assert inner.perimeter_mm == pytest.approx(asked.length, rel=2e-5)
    assert inner.area_mm2() == pytest.approx(asked.area, rel=2e-5)
    assert shapely.Polygon(inner.dense(40)).is_valid
