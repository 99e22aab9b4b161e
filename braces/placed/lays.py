"""The rules by which a brace lies: each turns its entry in the design file into one or more sticks.

Rules speak of bass and treble; ``hand`` turns those into a sign of x (treble is +1 on a right-handed instrument),
so a left-handed one is laid out, not flipped afterwards.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import cos, radians, sin
from typing import Any, Literal

import numpy as np

from braces.base.problems import Problem, Where
from braces.curves.path import Path, line_hits
from braces.design.braces import (
    AcrossBrace,
    BraceSpec,
    CrossingPairBrace,
    FromBraceBrace,
    RimPointSpec,
    RimToRimBrace,
)
from braces.placed.anchors import Anchors
from braces.placed.rim import XY, end_spec, rim_end
from braces.placed.values import Crossing, PlacedBrace, PlacedEnd


@dataclass(slots=True)
class Layout:
    """What the rules know and add to while one plate is laid out."""

    plate: Literal["top", "back"]
    lining: Path
    anchors: Anchors
    hand: int
    braces: list[PlacedBrace] = field(default_factory=list)
    crossings: list[Crossing] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    def sign(self, side: str) -> int:
        """Sign of x on a side."""
        return self.hand if side == "treble" else -self.hand

    def add(self, name: str, spec: BraceSpec, where: Where, start: PlacedEnd | None, end: PlacedEnd | None) -> None:
        """Keep a stick, if both of its ends were found and it is long enough to be one."""
        if start is None or end is None:
            return
        brace = PlacedBrace(name, self.plate, spec, where, start, end, spec.width_mm)
        along = np.dot(np.subtract(end.at, start.at), _unit(np.subtract(end.at, start.at)))
        if along < 2 * spec.width_mm:
            self.problems.append(Problem("L06", where, f'"{name}" would be {along:.1f} mm long', "move its ends apart"))
            return
        self.braces.append(brace)

    def find(self, name: str, where: Where) -> PlacedBrace | None:
        """Return a stick already laid on this plate, or None with a problem."""
        found = next((b for b in self.braces if b.name == name), None)
        if found is None:
            known = ", ".join(b.name for b in self.braces) or "none yet"
            self.problems.append(
                Problem(
                    "L04",
                    where,
                    f'there is no brace "{name}" before this one on the {self.plate}',
                    f"name one of those before it: {known}",
                )
            )
        return found


def _unit(v: Any) -> XY:
    n = float(np.hypot(*v))
    return (float(v[0]) / n, float(v[1]) / n) if n else (0.0, 1.0)


def _rim_to_rim(lay: Layout, name: str, spec: BraceSpec, where: Where, middle: XY, direction: XY) -> None:
    """A stick through ``middle``, from the rim behind it to the rim ahead."""
    back = (-direction[0], -direction[1])
    start = rim_end(lay.lining, middle, back, end_spec(spec, "start"), where, lay.problems)
    end = rim_end(lay.lining, middle, direction, end_spec(spec, "end"), where, lay.problems) if start else None
    lay.add(name, spec, where, start, end)


def across(lay: Layout, spec: AcrossBrace, where: Where) -> None:
    """Lay one stick from the bass to the treble side through a place on the centre line."""
    y = lay.anchors.y(spec.at, (*where, "at"), lay.problems)
    a = radians(spec.angle_deg)
    _rim_to_rim(lay, spec.name, spec, where, (0.0, y), (lay.hand * sin(a), cos(a)))


def crossing_pair(lay: Layout, spec: CrossingPairBrace, where: Where) -> None:
    """Lay two sticks through one point, each from its neck end to its tail end."""
    y = lay.anchors.y(spec.crossing, (*where, "crossing"), lay.problems)
    point = (lay.hand * spec.offset_mm, y)
    half = radians(spec.angle_deg / 2)
    names = {side: f"{spec.name}-{side}" for side in ("bass", "treble")}
    for side, name in names.items():
        _rim_to_rim(lay, name, spec, where, point, (lay.sign(side) * sin(half), -cos(half)))
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
        return
    above = next(n for n in names.values() if n != below)
    angle = min(spec.angle_deg, 180 - spec.angle_deg)
    lay.crossings.append(Crossing(below, above, point, angle, spec.lap.share, spec.lap.clearance_mm, where))


def from_brace(lay: Layout, spec: FromBraceBrace, where: Where) -> None:
    """Lay a stick from the side of another brace to the rim, and its mirror image if asked."""
    for side in ("bass", "treble") if spec.mirrored else (spec.side,):
        name = f"{spec.name}-{side}" if spec.mirrored else spec.name
        other = lay.find(_mirror_name(spec.from_.brace, spec.side, side), (*where, "from", "brace"))
        if other is None:
            continue
        point = _point_on(lay, other, spec, where)
        if point is None:
            continue
        a = radians(spec.angle_deg)
        lean = -1 if spec.towards == "tail" else 1
        direction = (
            lay.sign(side) * sin(a),
            lean * abs(cos(a)) if spec.angle_deg <= 90 else -lean * abs(cos(a)),
        )
        start = _butt(lay, other, point, direction, where)
        end = rim_end(lay.lining, point, direction, end_spec(spec, "end"), where, lay.problems) if start else None
        lay.add(name, spec, where, start, end)


def _mirror_name(name: str, from_side: str, to_side: str) -> str:
    return name.replace(f"-{from_side}", f"-{to_side}") if from_side != to_side else name


def _point_on(lay: Layout, other: PlacedBrace, spec: FromBraceBrace, where: Where) -> XY | None:
    hx, hy = other.heading
    base, sx, sy = 0.0, *other.start.at
    if spec.from_.past == "crossing":
        crossing = next((c for c in lay.crossings if other.name in (c.opens_to_plate, c.opens_to_room)), None)
        if crossing is None:
            lay.problems.append(
                Problem("L04", (*where, "from", "past"), f'"{other.name}" has no crossing', 'write past = "start"')
            )
            return None
        base = (crossing.at[0] - sx) * hx + (crossing.at[1] - sy) * hy
    s = base + spec.from_.at.along(other.length_mm - base)
    if not spec.width_mm / 2 < s < other.length_mm - spec.width_mm / 2:
        lay.problems.append(
            Problem(
                "L10",
                (*where, "from", "at"),
                f'that is {s:.1f} mm along "{other.name}", which is {other.length_mm:.1f} mm long',
                "begin the brace further from its ends",
            )
        )
        return None
    return (sx + s * hx, sy + s * hy)


def _butt(lay: Layout, other: PlacedBrace, point: XY, direction: XY, where: Where) -> PlacedEnd | None:
    """The end face on the near side of ``other``: parallel to it, half its width from its centre line."""
    hx, hy = other.heading
    sine = abs(direction[0] * hy - direction[1] * hx)
    if sine < 0.2:
        lay.problems.append(
            Problem(
                "L10",
                (*where, "angle"),
                f'it runs almost along "{other.name}"',
                "turn it until it meets the brace at 12 degrees or more",
            )
        )
        return None
    t = other.width_mm / 2 / sine
    return PlacedEnd("brace", other.name, (point[0] + t * direction[0], point[1] + t * direction[1]), (hx, hy), None)


def rim_to_rim(lay: Layout, spec: RimToRimBrace, where: Where) -> None:
    """Lay a stick between two points of the rim, and its mirror image if asked."""
    for flip in (1, -1) if spec.mirrored else (1,):
        suffix = "" if not spec.mirrored else f"-{spec.to.side}" if flip == 1 else f"-{_other(spec.to.side)}"
        a = _rim_point(lay, spec.from_, flip, (*where, "from"))
        b = _rim_point(lay, spec.to, flip, (*where, "to"))
        if a is None or b is None:
            continue
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        _rim_to_rim(lay, spec.name + suffix, spec, where, middle, _unit(np.subtract(b, a)))


def _other(side: str) -> str:
    return "bass" if side == "treble" else "treble"


def _rim_point(lay: Layout, spec: RimPointSpec, flip: int, where: Where) -> XY | None:
    y = lay.anchors.y(spec.at, (*where, "at"), lay.problems)
    sign = lay.sign(spec.side) * flip
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


LAYS: dict[str, Callable[[Layout, Any, Where], None]] = {
    "across": across,
    "crossing pair": crossing_pair,
    "from brace to rim": from_brace,
    "rim to rim": rim_to_rim,
}
