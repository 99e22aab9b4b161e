"""Pockets in the lining, and the pieces of the centre strip."""

from __future__ import annotations

from typing import Literal

import numpy as np

from braces.base.problems import Problem
from braces.carved.values import Pocket, StripPiece
from braces.curves.path import Path, line_hits
from braces.design.model import Design
from braces.placed.footprint import footprint
from braces.placed.rim import end_spec
from braces.placed.values import PlacedBrace, PlacedPlate


def pockets(plate: PlacedPlate, design: Design, problems: list[Problem]) -> tuple[Pocket, ...]:
    """Return every pocket of a plate, counted from the tail up the treble side and down the bass side."""
    hand = 1 if design.handed == "right" else -1
    found: list[tuple[float, Pocket]] = []
    for brace in plate.braces:
        for which in ("start", "end"):
            spec = end_spec(brace.spec, which, brace.start.meets == "brace" and which == "start")
            if spec.kind != "tucked":
                continue
            if spec.reach_mm > design.lining.thickness_mm or (spec.height_mm or 0.0) > design.lining.height_mm:
                problems.append(
                    Problem(
                        "J03",
                        (*brace.where, which if getattr(brace.spec, which) is not None else "ends"),
                        f'"{brace.name}" is tucked {spec.reach_mm:.1f} mm deep and {spec.height_mm or 0:.1f} mm high '
                        f"into a lining of {design.lining.thickness_mm:.1f} x {design.lining.height_mm:.1f} mm",
                        "make reach and height less than the lining's",
                    )
                )
            s, pocket = _pocket(plate, brace, which, spec.reach_mm, spec.height_mm or 0.0, hand)
            found.append((s, pocket))
    found.sort(key=lambda f: f[0] if hand == 1 else -f[0])
    return tuple(_numbered(p, i) for i, (_, p) in enumerate(found, 1))


def _numbered(p: Pocket, number: int) -> Pocket:
    return Pocket(
        number,
        p.plate,
        p.brace,
        p.end,
        p.side,
        p.along_rim_mm,
        p.along_outline_mm,
        p.width_mm,
        p.height_mm,
        p.reach_mm,
        p.corners,
    )


def _pocket(
    plate: PlacedPlate,
    brace: PlacedBrace,
    which: Literal["start", "end"] | str,
    reach: float,
    height: float,
    hand: int,
) -> tuple[float, Pocket]:
    """Return the pocket and its anticlockwise distance along the lining from the tail."""
    h = np.array(brace.heading) * (1 if which == "end" else -1)
    left = np.array([-h[1], h[0]])
    end = brace.end if which == "end" else brace.start
    quad = footprint(brace)
    back = (quad[1], quad[2]) if which == "end" else (quad[3], quad[0])  # right and left corners, looking outwards
    mouths = []
    inside = np.array(end.at) - h * (reach + 2 * brace.width_mm)
    for side in (-1, 1):
        origin = inside + side * left * brace.width_mm / 2
        hit = next(
            h_
            for h_ in line_hits(plate.lining, (float(origin[0]), float(origin[1])), (float(h[0]), float(h[1])))
            if h_.t_mm > 0
        )
        mouths.append(hit)
    u0, u1 = sorted((mouths[0].u_count, mouths[1].u_count))
    if u1 - u0 > plate.lining.count / 2:  # the pocket straddles the tail's centre line
        u0, u1 = u1 - plate.lining.count, u0
    width = plate.lining.length(u0, u1)
    middle = _middle(plate.lining, u0, u1, width)
    along, outside = _from_tail(plate.lining, middle), _from_tail(plate.outline, middle)
    treble_first = along <= plate.lining.perimeter_mm / 2
    side_name: Literal["bass", "treble"] = "treble" if treble_first == (hand == 1) else "bass"
    outer = [(float(x), float(y)) for x, y in back]
    corners = (mouths[0].at, *outer, mouths[1].at)
    pocket = Pocket(
        0,
        plate.name,
        brace.name,
        "end" if which == "end" else "start",
        side_name,
        min(along, plate.lining.perimeter_mm - along),
        min(outside, plate.outline.perimeter_mm - outside),
        width,
        height,
        reach,
        corners,
    )
    return along, pocket


def _from_tail(path: Path, u: float) -> float:
    return path.length(0.0, u) if u >= 0 else path.perimeter_mm - path.length(0.0, -u)


def _middle(path: Path, u0: float, u1: float, width: float) -> float:
    """The parameter half way along the arc from u0 to u1."""
    u = (u0 + u1) / 2
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
    slope = (y1 - y0) / (x1 - x0)
    y = y0 - slope * x0
    half = brace.width_mm / 2 * (1 + slope**2) ** 0.5 + abs(slope) * half_mm
    return y - half, y + half
