"""What the rules know and add to while one plate is laid out, and how a line finds its ends."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import inf
from typing import Any, Literal

import numpy as np

from braces.base.problems import Problem, Where
from braces.curves.path import Path
from braces.design.braces import BraceBase, BraceSpec
from braces.design.quantities import Place
from braces.design.shapes import EndSpec
from braces.placed.anchors import Anchors
from braces.placed.refused import Refused, refuse
from braces.placed.rim import XY, end_spec, rim_end
from braces.placed.values import Crossing, PlacedBrace, PlacedEnd

_LAP_SHARE_RATIO, _LAP_PLAY_MM = 0.5, 0.1  #: of a lap at the end of a brace
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
    refused: list[str] = field(default_factory=list)  #: names of braces that could not be laid

    def sign(self, side: str) -> int:
        """Sign of x on a side."""
        return self.hand if side == "treble" else -self.hand

    def lay(self, rule: Callable[[Layout, Any, Where], None], spec: Any, where: Where) -> None:
        """Apply a rule to one entry of the design file; if it gives up, note why and what now cannot be found."""
        try:
            rule(self, spec, where)
        except Refused as refused:
            self.problems += [refused.problem] if refused.problem else []
            if isinstance(spec, BraceBase):
                self.refused.append(spec.name)

    def y(self, place: Place, where: Where, off_body: bool = False) -> float:
        """Height of a place, mm from the tail. Raises Refused."""
        return self.anchors.y(place, where, off_body)

    def add(
        self, name: str, spec: BraceSpec, where: Where, start: PlacedEnd, end: PlacedEnd, radius_mm: float = inf
    ) -> PlacedBrace:
        """Keep and return a stick. Raises Refused if it is too short to be one, or its name is taken."""
        run = np.subtract(end.at, start.at)
        ahead = float(np.dot(run, outward_of(start, end)))
        if ahead < 2 * spec.width_mm:
            raise refuse("L06", where, f'"{name}" would be {max(ahead, 0.0):.1f} mm long', "move its ends apart")
        if any(b.name == name for b in self.braces):
            raise refuse("K04", (*where, "name"), f'there is a brace "{name}" already', "give one of them another name")
        brace = PlacedBrace(name, self.plate, spec, where, start, end, spec.width_mm, radius_mm)
        self.braces.append(brace)
        return brace

    def sticks(self, name: str) -> list[PlacedBrace]:
        """Every stick called ``name``, or by it and a side or number: x means x-bass and x-treble."""
        return [b for b in self.braces if b.name == name or b.name.startswith(f"{name}-")]

    def find(self, name: str, where: Where) -> PlacedBrace:
        """Return a stick already laid on this plate. Raises Refused."""
        found = next((b for b in self.braces if b.name == name), None)
        if found is not None:
            return found
        if self.was_refused(name):
            raise Refused(None)
        known = ", ".join(b.name for b in self.braces) or "none yet"
        raise refuse(
            "L04",
            where,
            f'there is no brace "{name}" before this one on the {self.plate}',
            f"name one of those before it: {known}",
        )

    def was_refused(self, name: str) -> bool:
        """Whether a brace of that name could not be laid, so that what hangs on it need not be told again."""
        return any(name == r or name.startswith(f"{r}-") for r in self.refused)


def unit(v: Any) -> XY:
    """Return ``v`` at length 1 (up the centre line if it has none)."""
    n = float(np.hypot(*v))
    return (float(v[0]) / n, float(v[1]) / n) if n else (0.0, 1.0)


def outward_of(start: PlacedEnd, end: PlacedEnd) -> XY:
    """The direction from one end to the other."""
    return unit(np.subtract(end.at, start.at))


def stop(lay: Layout, origin: XY, direction: XY, spec: EndSpec, where: Where) -> PlacedEnd:
    """Follow a line from ``origin`` to the brace its end names, else to the rim. Raises Refused if it misses."""
    if spec.on is None:
        return rim_end(lay.lining, origin, direction, spec, where)
    met = [(t, b) for b in lay.sticks(spec.on) if (t := meeting(b, origin, direction)) is not None]
    if not met:
        if lay.was_refused(spec.on):
            raise Refused(None)
        raise refuse("L10", where, f'its line does not meet "{spec.on}"', "turn it, or let it end elsewhere")
    t, other = min(met, key=lambda m: m[0])
    return against(other, (origin[0] + t * direction[0], origin[1] + t * direction[1]), direction, spec, where)


def against(other: PlacedBrace, point: XY, outward: XY, spec: EndSpec, where: Where) -> PlacedEnd:
    """Return the end of a brace that reaches ``other`` at ``point`` of its centre line, travelling ``outward``.

    The end face is parallel to the other brace: at its near side, further in by an inlet, or at its far side if the
    two are lapped. Raises Refused if they run almost the same way, or the other is curved: its side is no plane.
    """
    if not other.is_straight:
        advice = "let it cross the curved brace with a lap, or stop short of it"
        raise refuse("L17", where, f'it ends on "{other.name}", which is curved', advice)
    hx, hy = other.heading
    sine = abs(outward[0] * hy - outward[1] * hx)
    if sine < _LEAST_SINE:
        advice = "turn it until it meets the brace at 12 degrees or more"
        raise refuse("L10", where, f'it runs almost along "{other.name}"', advice)
    back = -other.width_mm / 2 if spec.lapped else other.width_mm / 2 - spec.inlet_mm
    at = (point[0] - back / sine * outward[0], point[1] - back / sine * outward[1])
    return PlacedEnd("brace", other.name, at, (hx, hy), None, 0.0 if spec.lapped else spec.inlet_mm)


def meeting(brace: PlacedBrace, origin: XY, direction: XY) -> float | None:
    """Return the distance along a line to the centre line of a brace, or None if it passes beside it or lies behind."""
    course = brace.course
    met = (t for t in course.line_meets(origin, direction) if t > 1e-6)
    stations = ((t, course.where((origin[0] + t * direction[0], origin[1] + t * direction[1]))[0]) for t in met)
    return min((t for t, s in stations if -1e-9 <= s <= brace.length_mm + 1e-9), default=None)


def through(lay: Layout, name: str, spec: BraceSpec, where: Where, middle: XY, direction: XY) -> PlacedBrace:
    """Lay a stick through ``middle``, from whatever stops it behind to whatever stops it ahead. Raises Refused."""
    back = (-direction[0], -direction[1])
    start = stop(lay, middle, back, end_spec(spec, "start"), where)
    return lay.add(name, spec, where, start, stop(lay, middle, direction, end_spec(spec, "end"), where))


def lap_ends(lay: Layout, brace: PlacedBrace) -> None:
    """Note a crossing wherever an end runs on over the brace it meets."""
    hx, hy = brace.heading
    for which, end, back in (("start", brace.start, (hx, hy)), ("end", brace.end, (-hx, -hy))):
        if not (end.brace and end_spec(brace.spec, which, which == "start").lapped):
            continue
        other = next(b for b in lay.braces if b.name == end.brace)
        t = meeting(other, end.at, back)
        if t is not None:
            at = (end.at[0] + t * back[0], end.at[1] + t * back[1])
            lay.crossings.append(crossing(brace, other, at, _LAP_SHARE_RATIO, _LAP_PLAY_MM, brace.where))


def crossing(
    below: PlacedBrace, above: PlacedBrace, at: XY, share: float, clearance_mm: float, where: Where
) -> Crossing:
    """Return the half-lap of two sticks; ``below`` is the one that opens to the plate."""
    (ax, ay), (bx, by) = (b.course.heading_at(b.course.where(at)[0]) for b in (below, above))
    angle = float(np.degrees(np.arcsin(min(1.0, abs(ax * by - ay * bx)))))
    return Crossing(below.name, above.name, at, angle, share, clearance_mm, where)
