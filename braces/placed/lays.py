"""The rules by which a brace lies: each turns its entry in the design file into one or more sticks.

Rules speak of bass and treble; ``hand`` turns those into a sign of x (treble is +1 on a right-handed instrument),
so a left-handed one is laid out, not flipped afterwards.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from braces.base.problems import Problem, Where
from braces.curves.course import meetings
from braces.curves.hits import line_hits
from braces.design.braces import AcrossBrace, CrossingPairBrace, FromBraceBrace, RimToRimBrace
from braces.design.model import JoinSpec
from braces.design.quantities import Place, Reach
from braces.placed.layout import Layout, against, crossing, lap_ends, stop, through, unit
from braces.placed.refused import refuse
from braces.placed.rim import XY, end_spec
from braces.placed.values import PlacedBrace


def across(lay: Layout, spec: AcrossBrace, where: Where) -> None:
    """Lay one stick from the bass to the treble side through a place on the centre line."""
    middle = (0.0, lay.y(spec.at, (*where, "at")))
    a = radians(spec.angle_deg)
    lap_ends(lay, through(lay, spec.name, spec, where, middle, (lay.hand * sin(a), cos(a))))


def crossing_pair(lay: Layout, spec: CrossingPairBrace, where: Where) -> None:
    """Lay two sticks through one point, each from its neck end to its tail end."""
    point = (lay.hand * spec.offset_mm, lay.y(spec.crossing, (*where, "crossing")))
    half = radians(spec.angle_deg / 2)
    bass, treble = (
        through(lay, f"{spec.name}-{side}", spec, where, point, (lay.sign(side) * sin(half), -cos(half)))
        for side in ("bass", "treble")
    )
    below, above = (treble, bass) if spec.lap.opens_to_plate == treble.name else (bass, treble)
    if below.name != spec.lap.opens_to_plate:
        found = f'"{spec.lap.opens_to_plate}" is neither stick of this pair'
        advice = f'write "{bass.name}" or "{treble.name}"'
        lay.problems.append(Problem("L04", (*where, "lap", "opens_to_plate"), found, advice))
    lay.crossings.append(crossing(below, above, point, spec.lap.share, spec.lap.clearance_mm, where))


def from_brace(lay: Layout, spec: FromBraceBrace, where: Where) -> None:
    """Lay a stick from the side of another brace to the rim, and its mirror image if asked."""
    a = radians(spec.angle_deg)
    lean = -cos(a) if spec.towards == "tail" else cos(a)
    for side in ("bass", "treble") if spec.mirrored else (spec.side,):
        name = f"{spec.name}-{side}" if spec.mirrored else spec.name
        other = lay.find(_mirror_name(spec.from_.brace, spec.side, side), (*where, "from", "brace"))
        point = point_on(lay, other, spec.from_.at, spec.from_.past, spec.width_mm, (*where, "from"))
        direction = (lay.sign(side) * sin(a), lean)
        start = against(other, point, (-direction[0], -direction[1]), end_spec(spec, "start", True), where)
        lap_ends(lay, lay.add(name, spec, where, start, stop(lay, point, direction, end_spec(spec, "end"), where)))


def _mirror_name(name: str, from_side: str, to_side: str) -> str:
    return name.replace(f"-{from_side}", f"-{to_side}") if from_side != to_side else name


def point_on(lay: Layout, other: PlacedBrace, along: Reach, past: str, width_mm: float, where: Where) -> XY:
    """Return a point of a brace's centre line where another ``width_mm`` wide has room. Raises Refused."""
    base = 0.0
    if past == "crossing":
        lap = next((c for c in lay.crossings if other.name in (c.opens_to_plate, c.opens_to_room)), None)
        if lap is None:
            raise refuse("L04", (*where, "past"), f'"{other.name}" has no crossing', 'write past = "start"')
        base = other.course.where(lap.at)[0]
    s = base + along.along(other.length_mm - base)
    if not width_mm / 2 < s < other.length_mm - width_mm / 2:
        found = f'that is {s:.1f} mm along "{other.name}", which is {other.length_mm:.1f} mm long'
        raise refuse("L10", where, found, "let the brace meet it further from its ends")
    return other.course.at(s)


def rim_to_rim(lay: Layout, spec: RimToRimBrace, where: Where) -> None:
    """Lay a stick between two points of the rim, and its mirror image if asked."""
    for flip in (1, -1) if spec.mirrored else (1,):
        side = spec.to.side if flip == 1 else _other(spec.to.side)
        a = rim_point(lay, spec.from_.side, spec.from_.at, flip, (*where, "from"))
        b = rim_point(lay, spec.to.side, spec.to.at, flip, (*where, "to"))
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        name = f"{spec.name}-{side}" if spec.mirrored else spec.name
        lap_ends(lay, through(lay, name, spec, where, middle, unit(np.subtract(b, a))))


def _other(side: str) -> str:
    return "bass" if side == "treble" else "treble"


def rim_point(lay: Layout, side: str, at: Place, flip: int, where: Where) -> XY:
    """Return where the lining is met straight across from a height on the centre line; ``flip`` -1 mirrors the side."""
    y = lay.y(at, (*where, "at"))
    sign = float(lay.sign(side) * flip)
    ahead = [h for h in line_hits(lay.lining, (0.0, y), (sign, 0.0)) if h.t_mm > 0]
    if not ahead:
        raise refuse("L01", where, f"the rim is not met at {y:.1f} mm from the tail", "choose a place inside the body")
    return ahead[0].at


def lap_between(lay: Layout, spec: JoinSpec, where: Where) -> None:
    """Note the half-lap of two sticks that cross. Raises Refused, naming both, if they do not."""
    a, b = (lay.find(name, (*where, "between")) for name in spec.between)
    if spec.opens_to_plate not in spec.between:
        found, advice = f'"{spec.opens_to_plate}" is neither of the two', f'write "{a.name}" or "{b.name}"'
        raise refuse("L04", (*where, "opens_to_plate"), found, advice)
    below, above = (a, b) if spec.opens_to_plate == a.name else (b, a)
    met = tuple(meetings(below.course, above.course))
    if not met:
        found = f'"{below.name}" and "{above.name}" do not cross'
        raise refuse("L12", where, found, "remove the lap, or move them")
    if len(met) > 1:
        found = f'"{below.name}" and "{above.name}" cross twice'
        raise refuse("L12", where, found, "bow the curved one less, or move them until they cross once")
    at = below.course.at(met[0][0])
    lay.crossings.append(crossing(below, above, at, spec.share, spec.clearance_mm, where))
