"""The rules by which a brace lies: each turns its entry in the design file into one or more sticks.

Rules speak of bass and treble; ``hand`` turns those into a sign of x (treble is +1 on a right-handed instrument),
so a left-handed one is laid out, not flipped afterwards.
"""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from braces.base.problems import Problem, Where
from braces.curves.path import line_hits
from braces.design.braces import AcrossBrace, CrossingPairBrace, FromBraceBrace, RimToRimBrace
from braces.design.quantities import Place, Reach
from braces.placed.layout import Layout, against, crossing, lapped_ends, stop, through, unit
from braces.placed.rim import XY, end_spec
from braces.placed.values import PlacedBrace


def across(lay: Layout, spec: AcrossBrace, where: Where) -> None:
    """Lay one stick from the bass to the treble side through a place on the centre line."""
    y = lay.anchors.y(spec.at, (*where, "at"), lay.problems)
    a = radians(spec.angle_deg)
    lapped_ends(lay, through(lay, spec.name, spec, where, (0.0, y), (lay.hand * sin(a), cos(a))))


def crossing_pair(lay: Layout, spec: CrossingPairBrace, where: Where) -> None:
    """Lay two sticks through one point, each from its neck end to its tail end."""
    y = lay.anchors.y(spec.crossing, (*where, "crossing"), lay.problems)
    point = (lay.hand * spec.offset_mm, y)
    half = radians(spec.angle_deg / 2)
    names = {side: f"{spec.name}-{side}" for side in ("bass", "treble")}
    sticks = [
        through(lay, name, spec, where, point, (lay.sign(side) * sin(half), -cos(half))) for side, name in names.items()
    ]
    below = spec.lap.opens_to_plate
    if below not in names.values():
        lay.problems.append(
            Problem(
                "L04",
                (*where, "lap", "opens_to_plate"),
                f'"{below}" is neither stick of this pair',
                f'write "{names["bass"]}" or "{names["treble"]}"',
            )
        )
    elif sticks[0] is not None and sticks[1] is not None:
        first, second = sticks if below == names["bass"] else sticks[::-1]
        assert first is not None  # narrowed above
        assert second is not None
        lay.crossings.append(crossing(first, second, point, spec.lap.share, spec.lap.clearance_mm, where))


def from_brace(lay: Layout, spec: FromBraceBrace, where: Where) -> None:
    """Lay a stick from the side of another brace to the rim, and its mirror image if asked."""
    for side in ("bass", "treble") if spec.mirrored else (spec.side,):
        name = f"{spec.name}-{side}" if spec.mirrored else spec.name
        other = lay.find(_mirror_name(spec.from_.brace, spec.side, side), (*where, "from", "brace"))
        if other is None:
            continue
        point = point_on(lay, other, spec.from_.at, spec.from_.past, spec.width_mm, (*where, "from"))
        if point is None:
            continue
        a = radians(spec.angle_deg)
        lean = -cos(a) if spec.towards == "tail" else cos(a)
        direction = (lay.sign(side) * sin(a), lean)
        outward = (-direction[0], -direction[1])
        start = against(lay, other, point, outward, end_spec(spec, "start", True), where)
        end = stop(lay, point, direction, end_spec(spec, "end"), where) if start else None
        lapped_ends(lay, lay.add(name, spec, where, start, end))


def _mirror_name(name: str, from_side: str, to_side: str) -> str:
    return name.replace(f"-{from_side}", f"-{to_side}") if from_side != to_side else name


def point_on(lay: Layout, other: PlacedBrace, along: Reach, past: str, width_mm: float, where: Where) -> XY | None:
    """Return a point of a brace's centre line where another ``width_mm`` wide has room, or None."""
    hx, hy = other.heading
    base, sx, sy = 0.0, *other.start.at
    if past == "crossing":
        lap = next((c for c in lay.crossings if other.name in (c.opens_to_plate, c.opens_to_room)), None)
        if lap is None:
            lay.problems.append(
                Problem("L04", (*where, "past"), f'"{other.name}" has no crossing', 'write past = "start"')
            )
            return None
        base = (lap.at[0] - sx) * hx + (lap.at[1] - sy) * hy
    s = base + along.along(other.length_mm - base)
    if not width_mm / 2 < s < other.length_mm - width_mm / 2:
        lay.problems.append(
            Problem(
                "L10",
                where,
                f'that is {s:.1f} mm along "{other.name}", which is {other.length_mm:.1f} mm long',
                "let the brace meet it further from its ends",
            )
        )
        return None
    return (sx + s * hx, sy + s * hy)


def rim_to_rim(lay: Layout, spec: RimToRimBrace, where: Where) -> None:
    """Lay a stick between two points of the rim, and its mirror image if asked."""
    for flip in (1, -1) if spec.mirrored else (1,):
        suffix = "" if not spec.mirrored else f"-{spec.to.side}" if flip == 1 else f"-{_other(spec.to.side)}"
        a = rim_point(lay, spec.from_.side, spec.from_.at, flip, (*where, "from"))
        b = rim_point(lay, spec.to.side, spec.to.at, flip, (*where, "to"))
        if a is None or b is None:
            continue
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        lapped_ends(lay, through(lay, spec.name + suffix, spec, where, middle, unit(np.subtract(b, a))))


def _other(side: str) -> str:
    return "bass" if side == "treble" else "treble"


def rim_point(lay: Layout, side: str, at: Place, flip: int, where: Where) -> XY | None:
    """Return where the lining is met straight across from a height on the centre line; ``flip`` -1 mirrors the side."""
    y = lay.anchors.y(at, (*where, "at"), lay.problems)
    sign = lay.sign(side) * flip
    ahead = [h for h in line_hits(lay.lining, (0.0, y), (float(sign), 0.0)) if h.t_mm > 0]
    if not ahead:
        lay.problems.append(
            Problem(
                "L01",
                where,
                f"the rim is not met at {y:.1f} mm from the tail",
                "choose a place inside the body",
            )
        )
        return None
    return ahead[0].at
