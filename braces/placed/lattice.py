"""The rule for lattices: two families of parallel sticks, half-lapped wherever they cross."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, radians, sin, tan

import numpy as np

from braces.base.arrays import Points
from braces.base.problems import Where
from braces.curves.hits import line_hits
from braces.curves.polygons import line_inside
from braces.design.braces import FamilySpec, LatticeBrace, RegionSpec
from braces.placed.layout import Layout, crossing
from braces.placed.refused import refuse
from braces.placed.rim import XY, end_spec
from braces.placed.values import PlacedBrace, PlacedEnd

_LEAST_SINE = 0.4
_LEAST_REGION_MM = 10.0
_LEAST_FALL_MM = 4.0  #: room beyond a lap for a stick to fall to its low end


@dataclass(frozen=True, slots=True)
class _Line:
    """A straight run, in mm along ``heading`` from ``point``."""

    point: XY
    heading: XY
    low_mm: float
    high_mm: float

    def at(self, t: float) -> XY:
        return (self.point[0] + t * self.heading[0], self.point[1] + t * self.heading[1])


def lattice(lay: Layout, spec: LatticeBrace, where: Where) -> None:
    """Lay both families, clipped to the region and clear of the lining, with a half-lap at every crossing.

    A stick ends where it has run on past its last crossing by the overhang; a crossing that would leave either stick
    less wood than a lap needs is not made, and the sticks are cut back to the crossing before.
    """
    centre = (0.0, lay.y(spec.centre, (*where, "centre")))
    region = _region(lay, spec.region, (*where, "region"))
    families = [_lines(lay, spec, f, centre, region) for f in (spec.a, spec.b)]
    turn = radians(spec.b.angle_deg - spec.a.angle_deg)
    if abs(sin(turn)) < _LEAST_SINE:
        found, advice = "the two families run almost the same way", "give them angles at least 24 degrees apart"
        raise refuse("V03", (*where, "b", "angle"), found, advice)
    need = spec.width_mm / 2 / abs(sin(turn)) + spec.width_mm / 2 / abs(tan(turn)) + _beyond_lap_mm(spec)
    a, b = _cut_back(families[0], families[1], max(need, spec.overhang_mm), need)
    if not a or not b:
        found, advice = "no stick of one family fits the region", "make the region larger or the pitch smaller"
        raise refuse("L06", (*where, "region"), found, advice)
    sticks = [_sticks(lay, spec, letter, lines, where) for letter, lines in (("a", a), ("b", b))]
    for below in sticks[1]:
        for above in sticks[0]:
            at = _meeting_point(_line_of(above), _line_of(below))
            if at is not None:
                lay.crossings.append(crossing(below, above, at, spec.lap_share, spec.clearance_mm, where))


def _beyond_lap_mm(spec: LatticeBrace) -> float:
    """Wood that a stick needs beyond the wall of its last lap: to fall, and for its level end."""
    return _LEAST_FALL_MM + max(end_spec(spec, which).length_mm for which in ("start", "end"))


def _region(lay: Layout, spec: RegionSpec, where: Where) -> Points:
    """The region as an anticlockwise polygon. Raises Refused."""
    y1, y0 = lay.y(spec.top, (*where, "top")), lay.y(spec.bottom, (*where, "bottom"))
    if y1 - y0 < _LEAST_REGION_MM:
        raise refuse("V03", where, "its top is not above its bottom", "swap the two edges")
    w0, w1 = spec.bottom_width_mm / 2, spec.top_width_mm / 2
    return np.array([(-w0, y0), (w0, y0), (w1, y1), (-w1, y1)])


def _lines(lay: Layout, spec: LatticeBrace, family: FamilySpec, centre: XY, region: Points) -> list[_Line]:
    """Every line of one family as far as the region and the lining let it run, from one side to the other."""
    angle = radians(family.angle_deg)
    down = (-lay.hand * sin(angle), -cos(angle))
    across = (-lay.hand * down[1], lay.hand * down[0])  # from the same side on either hand, so numbers mirror too
    reach = int(float(np.ptp(region, axis=0).sum()) / family.pitch_mm) + 1
    lines = []
    for k in range(-reach, reach + 1):
        step = k * family.pitch_mm
        point = (centre[0] + step * across[0], centre[1] + step * across[1])
        run = _run(lay, spec, point, down, region)
        if run is not None:
            lines.append(_Line(point, down, *run))
    return lines


def _run(lay: Layout, spec: LatticeBrace, point: XY, direction: XY, region: Points) -> tuple[float, float] | None:
    """From where to where a line runs inside both the region and the lining, mm along it from ``point``."""
    inside = line_inside(region, point, direction)
    if inside is None:
        return None
    hits = [h.t_mm for h in line_hits(lay.lining.inside(spec.region.from_lining_mm), point, direction)]
    stretches = [(max(t0, inside[0]), min(t1, inside[1])) for t0, t1 in zip(hits[::2], hits[1::2], strict=False)]
    best = max(stretches, key=lambda s: s[1] - s[0], default=None)
    return best if best is not None and best[1] > best[0] else None


def _cut_back(a: list[_Line], b: list[_Line], overhang: float, need: float) -> tuple[list[_Line], list[_Line]]:
    """Shorten sticks to their outermost sound crossings until nothing changes; drop those with fewer than two."""
    while True:
        shorter_a = _shortened(a, b, overhang, need)
        shorter_b = _shortened(b, shorter_a, overhang, need)
        if shorter_a == a and shorter_b == b:
            return a, b
        a, b = shorter_a, shorter_b


def _shortened(lines: list[_Line], others: list[_Line], overhang: float, need: float) -> list[_Line]:
    kept = []
    for line in lines:
        sound = []
        for other in others:
            s, t = _parameters(line, other)
            if line.low_mm + need <= s <= line.high_mm - need and other.low_mm + need <= t <= other.high_mm - need:
                sound.append(s)
        if len(sound) >= 2:
            low, high = max(line.low_mm, min(sound) - overhang), min(line.high_mm, max(sound) + overhang)
            kept.append(replace(line, low_mm=low, high_mm=high))
    return kept


def _sticks(lay: Layout, spec: LatticeBrace, letter: str, lines: list[_Line], where: Where) -> list[PlacedBrace]:
    sticks = []
    for i, line in enumerate(lines, 1):
        across = (-line.heading[1], line.heading[0])
        start, end = (PlacedEnd("nothing", "", line.at(t), across, None) for t in (line.low_mm, line.high_mm))
        sticks.append(lay.add(f"{spec.name}-{letter}{i}", spec, where, start, end))
    return sticks


def _line_of(brace: PlacedBrace) -> _Line:
    return _Line(brace.start.at, brace.heading, 0.0, brace.length_mm)


def _parameters(a: _Line, b: _Line) -> tuple[float, float]:
    """Where two lines (not parallel) cross, in mm along each."""
    (ax, ay), (bx, by) = a.heading, b.heading
    cross = ax * by - ay * bx
    ox, oy = b.point[0] - a.point[0], b.point[1] - a.point[1]
    return (ox * by - oy * bx) / cross, (ox * ay - oy * ax) / cross


def _meeting_point(a: _Line, b: _Line) -> XY | None:
    s, t = _parameters(a, b)
    return a.at(s) if a.low_mm <= s <= a.high_mm and b.low_mm <= t <= b.high_mm else None
