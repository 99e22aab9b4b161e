"""What braces may not run into: each other, the soundhole, the outside of the lining."""

from __future__ import annotations

import numpy as np

from braces.base.problems import Problem
from braces.curves.polygons import distance_mm, overlap_depth_mm
from braces.placed.footprint import footprint
from braces.placed.values import Placed, PlacedBrace, PlacedPlate

_TOUCH_MM = 0.02  #: two faces that meet may overlap by this much of rounding


def clearance_problems(plate: PlacedPlate, placed: Placed) -> list[Problem]:
    """Return every collision on one plate."""
    return _between_braces(plate) + (_soundhole(plate, placed) if plate.name == "top" else [])


def _between_braces(plate: PlacedPlate) -> list[Problem]:
    """Only pairs whose boxes touch are looked at closely; sorting by x keeps that near n log n."""
    quads = [footprint(b) for b in plate.braces]
    if len(quads) < 2:
        return []
    low, high = np.array([q.min(0) for q in quads]), np.array([q.max(0) for q in quads])
    meant = {frozenset((c.opens_to_plate, c.opens_to_room)) for c in plate.crossings}
    order = np.argsort(low[:, 0], kind="stable")
    problems = []
    for k, i in enumerate(order):
        later = order[k + 1 :]
        reach = int(np.searchsorted(low[later, 0], high[i, 0], side="right"))
        near = later[:reach]
        near = near[(low[near, 1] <= high[i, 1]) & (high[near, 1] >= low[i, 1])]
        for j in sorted(int(n) for n in near):
            a, b = plate.braces[min(i, j)], plate.braces[max(i, j)]
            allowed = _TOUCH_MM + _inlet(a, b)
            if frozenset((a.name, b.name)) in meant or overlap_depth_mm(quads[i], quads[j]) <= allowed:
                continue
            problems.append(_collision(a, b))
    return sorted(problems, key=lambda p: (p.where[2], p.found))


def _inlet(a: PlacedBrace, b: PlacedBrace) -> float:
    """How far one of two braces is let into the other."""
    ends = [(e, o.name) for p, o in ((a, b), (b, a)) for e in (p.start, p.end)]
    return max((e.inlet_mm for e, name in ends if e.brace == name), default=0.0)


def _collision(a: PlacedBrace, b: PlacedBrace) -> Problem:
    if _lines_cross(a, b):
        return Problem(
            "L03",
            b.where,
            f'"{b.name}" crosses "{a.name}" without a joint',
            "move or turn one of them, or make them a crossing pair",
        )
    return Problem(
        "L08",
        b.where,
        f'"{b.name}" runs into the side of "{a.name}"',
        "leave room between them, or let one begin at the other",
    )


def _lines_cross(a: PlacedBrace, b: PlacedBrace) -> bool:
    def side(brace: PlacedBrace, p: tuple[float, float]) -> float:
        hx, hy = brace.heading
        return hx * (p[1] - brace.start.at[1]) - hy * (p[0] - brace.start.at[0])

    return side(a, b.start.at) * side(a, b.end.at) < 0 and side(b, a.start.at) * side(b, a.end.at) < 0


def _soundhole(plate: PlacedPlate, placed: Placed) -> list[Problem]:
    if placed.soundhole_y_mm is None:
        return []
    problems = []
    for brace in plate.braces:
        gap = distance_mm((0.0, placed.soundhole_y_mm), footprint(brace)) - placed.soundhole_radius_mm
        if gap < 0:
            problems.append(
                Problem(
                    "L02",
                    brace.where,
                    f'"{brace.name}" reaches {-gap:.1f} mm over the soundhole',
                    f"move it at least {-gap:.1f} mm away from the hole",
                )
            )
    return problems
