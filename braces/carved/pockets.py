"""Pockets in the lining, and the pieces of the centre strip."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np

from braces.base.problems import Problem, Where
from braces.carved.values import CarvedBrace, EndCut, Pocket, StripPiece
from braces.curves.course import Course
from braces.curves.hits import Hit, course_hits, line_hits
from braces.curves.path import Path
from braces.design.model import Design
from braces.placed.footprint import corners
from braces.placed.values import PlacedBrace, PlacedPlate

_NEAR_WIDTHS = 6.0  #: a curved brace's side passes through the lining no further than this from its end
LEAST_BEARING_MM = 2.0  #: common practice: less lets go


def pockets(
    plate: PlacedPlate, carved: tuple[CarvedBrace, ...], design: Design, problems: list[Problem]
) -> tuple[Pocket, ...]:
    """Return every pocket of a plate, counted from the tail up the treble side and down the bass side."""
    hand = 1 if design.handed == "right" else -1
    found: list[tuple[float, Pocket]] = []
    for brace, wood in zip(plate.braces, carved, strict=True):
        for which, end in _ENDS:
            cut = wood.start if end == "start" else wood.end
            if cut.kind != "tucked":
                continue
            where = (*brace.where, end if getattr(brace.spec, end) is not None else "ends")
            problems += _does_not_fit(brace.name, cut, design, where)
            mouth = _mouth(plate.lining, brace, which)
            if mouth is None:
                advice = "make it narrower, or turn it until it meets the rim more squarely"
                problems.append(Problem("J03", where, f'one side of "{brace.name}" misses the lining', advice))
                continue
            found.append(_pocket(plate, brace, which, mouth, cut, hand))
    found.sort(key=lambda f: hand * f[0])
    return tuple(replace(p, number=i) for i, (_, p) in enumerate(found, 1))


_ENDS: tuple[tuple[Literal[-1, 1], Literal["start", "end"]], ...] = ((-1, "start"), (1, "end"))


def _does_not_fit(name: str, cut: EndCut, design: Design, where: Where) -> list[Problem]:
    lining = design.lining
    if cut.reach_mm < LEAST_BEARING_MM:
        found = f'"{name}" bears on only {cut.reach_mm:.1f} mm of the lining'
        return [Problem("J06", where, found, f"tuck it {LEAST_BEARING_MM:.0f} mm deep or more", fatal=False)]
    if cut.reach_mm <= lining.thickness_mm and cut.height_mm <= lining.height_mm:
        return []
    found = (
        f'"{name}" is tucked {cut.reach_mm:.1f} mm deep and {cut.height_mm:.1f} mm high '
        f"into a lining of {lining.thickness_mm:.1f} x {lining.height_mm:.1f} mm"
    )
    return [Problem("J03", where, found, "make reach and height less than the lining's")]


def _mouth(lining: Path, brace: PlacedBrace, which: int) -> tuple[Hit, Hit] | None:
    """Where the right and the left side of an end (looking outwards) pass through the lining's inner face."""
    if not brace.is_straight:
        return _curved_mouth(lining, brace, which)
    h = np.array(brace.heading) * which
    left = np.array([-h[1], h[0]])
    end = brace.end if which > 0 else brace.start
    inside = np.array(end.rim_at if end.rim_at is not None else end.at) - h * 2 * brace.width_mm
    hits = []
    for side in (-1, 1):
        x, y = inside + side * left * brace.width_mm / 2
        ahead = (m for m in line_hits(lining, (float(x), float(y)), (float(h[0]), float(h[1]))) if m.t_mm > 0)
        hits.append(next(ahead, None))
    return (hits[0], hits[1]) if hits[0] is not None and hits[1] is not None else None


def _curved_mouth(lining: Path, brace: PlacedBrace, which: int) -> tuple[Hit, Hit] | None:
    """The same for a curved brace, whose sides are arcs."""
    course, half = brace.course, brace.width_mm / 2
    at = brace.length_mm if which > 0 else 0.0
    hits = []
    for side in (-half, half) if which > 0 else (half, -half):
        first, heading = course.at(0.0, side), course.heading
        beside = Course(first, heading, brace.length_mm * float(course.stretch(side)), course.radius_mm - side)
        ratio = beside.radius_mm / course.radius_mm
        nearest = min(course_hits(lining, beside), key=lambda h: abs(h.t_mm / ratio - at), default=None)
        if nearest is None or abs(nearest.t_mm / ratio - at) > _NEAR_WIDTHS * brace.width_mm:
            return None
        hits.append(nearest)
    return hits[0], hits[1]


def _pocket(
    plate: PlacedPlate, brace: PlacedBrace, which: int, mouth: tuple[Hit, Hit], cut: EndCut, hand: int
) -> tuple[float, Pocket]:
    """Return a pocket, not yet numbered, with its anticlockwise distance along the lining from the tail."""
    quad = corners(brace)
    back = (quad[1], quad[2]) if which > 0 else (quad[3], quad[0])  # right and left corners, looking outwards
    u0, u1 = sorted((mouth[0].u_count, mouth[1].u_count))
    if u1 - u0 > plate.lining.count / 2:  # the pocket straddles the tail's centre line
        u0, u1 = u1 - plate.lining.count, u0
    width = plate.lining.length(u0, u1)
    middle = _middle(plate.lining, u0, u1, width)
    along, outside = _from_tail(plate.lining, middle), _from_tail(plate.outline, middle)
    on_the_right = (middle % plate.lining.count) < plate.lining.count / 2  # the middle joint is the neck end
    pocket = Pocket(
        number=0,
        plate=plate.name,
        brace=brace.name,
        end="end" if which > 0 else "start",
        side="treble" if on_the_right == (hand == 1) else "bass",
        along_rim_mm=along if on_the_right else plate.lining.perimeter_mm - along,
        along_outline_mm=outside if on_the_right else plate.outline.perimeter_mm - outside,
        width_mm=width,
        height_mm=cut.height_mm,
        reach_mm=cut.reach_mm,
        corners=(mouth[0].at, *((float(x), float(y)) for x, y in back), mouth[1].at),
    )
    return along, pocket


def _from_tail(path: Path, u: float) -> float:
    return path.length(0.0, u % path.count)


def _middle(path: Path, u0: float, u1: float, width: float) -> float:
    """The parameter half way along the arc from u0 to u1."""
    u = (u0 + u1) / 2
    if path.is_joined:  # a mitre may lie in between, where the path stands still: halve
        low, high = u0, u1
        for _ in range(50):
            u = (low + high) / 2
            low, high = (u, high) if path.length(u0, u) < width / 2 else (low, u)
        return u
    for _ in range(3):
        u += (width / 2 - path.length(u0, u)) / float(path.speed(u))
    return u


def strip_pieces(plate: PlacedPlate) -> tuple[StripPiece, ...]:
    """Return the pieces of the centre strip, from the tail; one whole piece if the braces are relieved over it.

    Each piece stops half the clearance short of a brace's near side, measured on the strip's own edges, so that an
    oblique brace shortens it by its lean as well.
    """
    spec = plate.spec.centre_strip
    if spec is None or plate.strip is None:
        return ()
    low, high = float(plate.strip[0, 1]), float(plate.strip[2, 1])
    gaps: list[tuple[float, float]] = []
    if spec.at_braces == "strip cut":
        for brace in plate.braces:
            span = _across_strip(brace, spec.width_mm / 2)
            if span is not None:
                gaps.append((span[0] - spec.clearance_mm / 2, span[1] + spec.clearance_mm / 2))
    pieces, at = [], low
    for a, b in [*sorted(gaps), (high, high)]:
        if a - at > 1.0:
            pieces.append((at, a))
        at = max(at, b)
    return tuple(StripPiece(i, a, b - a, spec.width_mm, spec.thickness_mm) for i, (a, b) in enumerate(pieces, 1))


def _across_strip(brace: PlacedBrace, half_mm: float) -> tuple[float, float] | None:
    """Lowest and highest y of a brace over the strip, or None if it does not cross it."""
    (x0, y0), (x1, y1) = brace.start.at, brace.end.at
    if x0 * x1 > 0 or x0 == x1:
        return None
    if not brace.is_straight:
        middle = (0.0, (y0 + y1) / 2)
        sides = [(x, side) for x in np.linspace(-half_mm, half_mm, 17) for side in (-0.5, 0.5)]
        met = [
            brace.course.at(brace.course.slice_at((float(x), middle[1]), (0.0, 1.0), w), w)[1]
            for x, side in sides
            if (w := side * brace.width_mm)
        ]
        return min(met), max(met)
    slope = (y1 - y0) / (x1 - x0)
    y = y0 - slope * x0
    half = brace.width_mm / 2 * (1 + slope**2) ** 0.5 + abs(slope) * half_mm
    return y - half, y + half
