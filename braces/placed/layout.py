"""What the rules know and add to while one plate is laid out, and how a line finds its ends."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np

from braces.base.problems import Problem, Where
from braces.curves.path import Path
from braces.design.braces import BraceSpec
from braces.design.model import JoinSpec
from braces.design.shapes import EndSpec
from braces.placed.anchors import Anchors
from braces.placed.rim import XY, end_spec, rim_end
from braces.placed.values import Crossing, PlacedBrace, PlacedEnd

_LEAST_SINE = 0.2  #: a brace that meets another at less than 12 degrees has no end to speak of


@dataclass(slots=True)
class Layout:
    """One plate being laid out."""

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

    def add(
        self, name: str, spec: BraceSpec, where: Where, start: PlacedEnd | None, end: PlacedEnd | None
    ) -> PlacedBrace | None:
        """Keep and return a stick, if both of its ends were found and it is long enough to be one."""
        if start is None or end is None:
            return None
        brace = PlacedBrace(name, self.plate, spec, where, start, end, spec.width_mm)
        along = np.dot(np.subtract(end.at, start.at), unit(np.subtract(end.at, start.at)))
        if along < 2 * spec.width_mm:
            self.problems.append(Problem("L06", where, f'"{name}" would be {along:.1f} mm long', "move its ends apart"))
            return None
        self.braces.append(brace)
        return brace

    def sticks(self, name: str) -> list[PlacedBrace]:
        """Every stick called ``name``, or by it and a side or number: x means x-bass and x-treble."""
        return [b for b in self.braces if b.name == name or b.name.startswith(f"{name}-")]

    def join(self, spec: JoinSpec, where: Where) -> None:
        """Note the half-lap of two sticks that cross; a problem that names both if they do not."""
        found = [self.find(name, (*where, "between")) for name in spec.between]
        if found[0] is None or found[1] is None:
            return
        if spec.opens_to_plate not in spec.between:
            self.problems.append(
                Problem(
                    "L04",
                    (*where, "opens_to_plate"),
                    f'"{spec.opens_to_plate}" is neither of the two',
                    f'write "{spec.between[0]}" or "{spec.between[1]}"',
                )
            )
            return
        below, above = found if spec.opens_to_plate == spec.between[0] else found[::-1]
        assert below is not None  # narrowed above
        assert above is not None
        t = _meeting(above, below.start.at, below.heading)
        if t is None or t > below.length_mm:
            self.problems.append(
                Problem(
                    "L12",
                    where,
                    f'"{below.name}" and "{above.name}" do not cross',
                    "remove the lap, or move them",
                )
            )
            return
        at = (below.start.at[0] + t * below.heading[0], below.start.at[1] + t * below.heading[1])
        self.crossings.append(crossing(below, above, at, spec.share, spec.clearance_mm, where))

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


def unit(v: Any) -> XY:
    """Return ``v`` at length 1 (up the centre line if it has none)."""
    n = float(np.hypot(*v))
    return (float(v[0]) / n, float(v[1]) / n) if n else (0.0, 1.0)


def stop(lay: Layout, origin: XY, direction: XY, spec: EndSpec, where: Where) -> PlacedEnd | None:
    """Follow a line from ``origin`` to the brace its end names, else to the rim; None with a problem if it misses."""
    if spec.on is None:
        return rim_end(lay.lining, origin, direction, spec, where, lay.problems)
    met = [(t, b) for b in lay.sticks(spec.on) if (t := _meeting(b, origin, direction)) is not None]
    if not met:
        lay.problems.append(
            Problem("L10", where, f'its line does not meet "{spec.on}"', "turn it, or let it end elsewhere")
        )
        return None
    t, other = min(met, key=lambda m: m[0])
    return against(lay, other, (origin[0] + t * direction[0], origin[1] + t * direction[1]), direction, spec, where)


def against(
    lay: Layout, other: PlacedBrace, point: XY, outward: XY, spec: EndSpec | None, where: Where
) -> PlacedEnd | None:
    """Return the end of a brace that reaches ``other`` at ``point`` of its centre line, travelling ``outward``.

    The end face is parallel to the other brace: at its near side, further in by an inlet, or at its far side if the
    two are lapped.
    """
    hx, hy = other.heading
    sine = abs(outward[0] * hy - outward[1] * hx)
    if sine < _LEAST_SINE:
        lay.problems.append(
            Problem(
                "L10",
                where,
                f'it runs almost along "{other.name}"',
                "turn it until it meets the brace at 12 degrees or more",
            )
        )
        return None
    inlet = spec.inlet_mm if spec is not None else 0.0
    lapped = spec is not None and spec.lapped
    back = -other.width_mm / 2 if lapped else other.width_mm / 2 - inlet
    t = back / sine
    at = (point[0] - t * outward[0], point[1] - t * outward[1])
    return PlacedEnd("brace", other.name, at, (hx, hy), None, 0.0 if lapped else inlet)


def _meeting(brace: PlacedBrace, origin: XY, direction: XY) -> float | None:
    """Distance along a line to the centre line of a brace, or None if it passes beside it or lies behind."""
    hx, hy = brace.heading
    ox, oy = brace.start.at[0] - origin[0], brace.start.at[1] - origin[1]
    cross = direction[0] * hy - direction[1] * hx
    if abs(cross) < 1e-9:
        return None
    t = (ox * hy - oy * hx) / cross
    s = (ox * direction[1] - oy * direction[0]) / cross
    return t if t > 1e-6 and -1e-9 <= s <= brace.length_mm + 1e-9 else None


def through(lay: Layout, name: str, spec: BraceSpec, where: Where, middle: XY, direction: XY) -> PlacedBrace | None:
    """Lay a stick through ``middle``, from whatever stops it behind to whatever stops it ahead."""
    back = (-direction[0], -direction[1])
    start = stop(lay, middle, back, end_spec(spec, "start"), where)
    end = stop(lay, middle, direction, end_spec(spec, "end"), where) if start else None
    return lay.add(name, spec, where, start, end)


def lapped_ends(lay: Layout, brace: PlacedBrace | None) -> None:
    """Note the crossing where an end runs on over the brace it meets."""
    if brace is None:
        return
    for which, end in (("start", brace.start), ("end", brace.end)):
        spec = end_spec(brace.spec, which, brace.start.meets == "brace" and which == "start")
        if not (end.brace and spec.lapped):
            continue
        other = next(b for b in lay.braces if b.name == end.brace)
        t = _meeting(other, end.at, tuple(v if which == "start" else -v for v in brace.heading))  # type: ignore[arg-type]
        if t is None:
            continue
        sign = 1 if which == "start" else -1
        at = (end.at[0] + sign * t * brace.heading[0], end.at[1] + sign * t * brace.heading[1])
        lay.crossings.append(crossing(brace, other, at, 0.5, 0.1, brace.where))


def crossing(
    below: PlacedBrace, above: PlacedBrace, at: XY, share: float, clearance_mm: float, where: Where
) -> Crossing:
    """Return the half-lap of two sticks; ``below`` is the one that opens to the plate."""
    (ax, ay), (bx, by) = below.heading, above.heading
    angle = float(np.degrees(np.arcsin(min(1.0, abs(ax * by - ay * bx)))))
    return Crossing(below.name, above.name, at, angle, share, clearance_mm, where)
