"""The rule for lattices: two families of parallel sticks, half-lapped wherever they cross."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from braces.base.arrays import Points
from braces.base.problems import Problem, Where
from braces.curves.path import line_hits
from braces.curves.polygons import line_inside
from braces.design.braces import FamilySpec, LatticeBrace, RegionSpec
from braces.placed.layout import Layout, crossing
from braces.placed.rim import XY
from braces.placed.values import PlacedBrace, PlacedEnd


def lattice(lay: Layout, spec: LatticeBrace, where: Where) -> None:
    """Lay both families, clipped to the region and clear of the lining, then note every crossing."""
    centre = (0.0, lay.anchors.y(spec.centre, (*where, "centre"), lay.problems))
    region = _region(lay, spec.region, (*where, "region"))
    if region is None:
        return
    a = _family(lay, spec, "a", spec.a, centre, region, where)
    b = _family(lay, spec, "b", spec.b, centre, region, where)
    if not a or not b:
        lay.problems.append(
            Problem("L06", (*where, "region"), "no stick of one family fits the region", "make the region larger")
        )
    for below in b:
        for above in a:
            at = _crossing_point(above, below)
            if at is not None:
                lay.crossings.append(crossing(below, above, at, spec.lap_share, spec.clearance_mm, where))


def _region(lay: Layout, spec: RegionSpec, where: Where) -> Points | None:
    """The region as an anticlockwise polygon, or None with a problem."""
    y1, y0 = (lay.anchors.y(p, (*where, k), lay.problems) for p, k in ((spec.top, "top"), (spec.bottom, "bottom")))
    if y1 - y0 < 10:
        lay.problems.append(Problem("V03", where, "its top is not above its bottom", "swap the two edges"))
        return None
    w0, w1 = spec.bottom_width_mm / 2, spec.top_width_mm / 2
    return np.array([(-w0, y0), (w0, y0), (w1, y1), (-w1, y1)])


def _family(
    lay: Layout, spec: LatticeBrace, letter: str, family: FamilySpec, centre: XY, region: Points, where: Where
) -> list[PlacedBrace]:
    """Lay the sticks of one family, from the bass side (or the tail) on; too short ones are left out."""
    angle = radians(family.angle_deg)
    down = (-lay.hand * sin(angle), -cos(angle))
    across = (-down[1], down[0])
    reach = int(1200 / family.pitch_mm)
    laid: list[PlacedBrace] = []
    for k in range(-reach, reach + 1):
        point = (centre[0] + k * family.pitch_mm * across[0], centre[1] + k * family.pitch_mm * across[1])
        run = _run(lay, spec, point, down, region)
        if run is None or run[1] - run[0] < spec.least_length_mm:
            continue
        ends = [PlacedEnd("nothing", "", (point[0] + t * down[0], point[1] + t * down[1]), across, None) for t in run]
        stick = lay.add(f"{spec.name}-{letter}{len(laid) + 1}", spec, where, ends[0], ends[1])
        if stick is not None:
            laid.append(stick)
    return laid


def _run(lay: Layout, spec: LatticeBrace, point: XY, direction: XY, region: Points) -> tuple[float, float] | None:
    """From where to where a line runs inside both the region and the lining, mm along it from ``point``."""
    inside = line_inside(region, point, direction)
    if inside is None:
        return None
    hits = [h.t_mm for h in line_hits(lay.lining.inside(spec.region.from_lining_mm), point, direction)]
    stretches = [(max(t0, inside[0]), min(t1, inside[1])) for t0, t1 in zip(hits[::2], hits[1::2], strict=False)]
    best = max(stretches, key=lambda s: s[1] - s[0], default=None)
    return best if best is not None and best[1] > best[0] else None


def _crossing_point(a: PlacedBrace, b: PlacedBrace) -> XY | None:
    """Where two centre lines cross within both sticks, far enough from their ends for a lap."""
    (ax, ay), (bx, by) = a.heading, b.heading
    cross = ax * by - ay * bx
    if abs(cross) < 1e-9:
        return None
    ox, oy = b.start.at[0] - a.start.at[0], b.start.at[1] - a.start.at[1]
    s, t = (ox * by - oy * bx) / cross, (ox * ay - oy * ax) / cross
    if not (0 <= s <= a.length_mm and 0 <= t <= b.length_mm):
        return None
    return (a.start.at[0] + s * ax, a.start.at[1] + s * ay)
