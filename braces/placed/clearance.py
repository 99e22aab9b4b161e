"""What braces may not run into or should keep away from: each other, the soundhole, the blocks, the joint."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Points
from braces.base.problems import Problem
from braces.curves.course import meetings
from braces.curves.polygons import distance_mm, gap_mm, overlap_depth_mm, rectangle
from braces.placed.footprint import convex_parts
from braces.placed.values import Placed, PlacedBrace, PlacedPlate

_ROOM_MM = 2.0  #: between two braces
_HOLE_ROOM_MM = 3.0
_ALONG_COSINE = 0.999  #: within 2.5 degrees of the centre line
_TOUCH_MM = 0.02  #: two faces that meet may overlap by this much of rounding

Parts = tuple[Points, ...]  #: the plan of a brace in convex pieces


def clearance_problems(plate: PlacedPlate, placed: Placed) -> list[Problem]:
    """Return every collision on one plate, and what is closer than comfortable."""
    found = _between_braces(plate) + _at_the_blocks(plate, placed) + _along_the_joint(plate)
    return found + (_soundhole(plate, placed) if plate.name == "top" else [])


def _between_braces(plate: PlacedPlate) -> list[Problem]:
    """Only pairs whose boxes touch are looked at closely; sorting by x keeps that near n log n."""
    plans = [convex_parts(b) for b in plate.braces]
    if len(plans) < 2:
        return []
    boxes = [np.concatenate(p) for p in plans]
    low, high = np.array([q.min(0) for q in boxes]) - _ROOM_MM, np.array([q.max(0) for q in boxes])
    meant = {frozenset((c.opens_to_plate, c.opens_to_room)) for c in plate.crossings}
    order = np.argsort(low[:, 0], kind="stable")
    problems = []
    for k, i in enumerate(order):
        later = order[k + 1 :]
        near = later[: int(np.searchsorted(low[later, 0], high[i, 0], side="right"))]
        near = near[(low[near, 1] <= high[i, 1]) & (high[near, 1] >= low[i, 1])]
        for j in sorted(int(n) for n in near):
            a, b = plate.braces[min(i, j)], plate.braces[max(i, j)]
            if frozenset((a.name, b.name)) not in meant:
                problems += _pair(a, b, plans[i], plans[j])
    return sorted(problems, key=lambda p: (p.where[2], p.found))


def _pair(a: PlacedBrace, b: PlacedBrace, plan: Parts, other: Parts) -> list[Problem]:
    plan, other = _near(plan, other), _near(other, plan)
    if not plan or not other:
        return []
    depth = max(overlap_depth_mm(p, q) for p in plan for q in other)
    joined = b.name in (a.start.brace, a.end.brace) or a.name in (b.start.brace, b.end.brace)
    if depth > _TOUCH_MM + _inlet(a, b):
        return [_collision(a, b)]
    if joined or (gap := min(gap_mm(p, q) for p in plan for q in other)) >= _ROOM_MM:
        return []
    found = f'"{b.name}" and "{a.name}" are only {gap:.1f} mm apart'
    advice = f"leave {_ROOM_MM:.0f} mm for glue and a chisel, or let them meet"
    return [Problem("L13", b.where, found, advice, fatal=False)]


def _near(parts: Parts, others: Parts) -> Parts:
    """Return those of many parts whose boxes come near the box round the others; a single part stays."""
    if len(parts) == 1:
        return parts
    every = np.concatenate(others)
    low, high = every.min(0) - 2 * _ROOM_MM, every.max(0) + 2 * _ROOM_MM
    return tuple(p for p in parts if np.all(p.max(0) >= low) and np.all(p.min(0) <= high))


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
    return any(0 < s < a.length_mm and 0 < t < b.length_mm for s, t in meetings(a.course, b.course))


def _soundhole(plate: PlacedPlate, placed: Placed) -> list[Problem]:
    if placed.soundhole_y_mm is None:
        return []
    problems = []
    for brace in plate.braces:
        middle = (0.0, placed.soundhole_y_mm)
        gap = min(distance_mm(middle, part) for part in convex_parts(brace)) - placed.soundhole_radius_mm
        if gap < 0:
            found = f'"{brace.name}" reaches {-gap:.1f} mm over the soundhole'
            problems.append(Problem("L02", brace.where, found, f"move it at least {-gap:.1f} mm away from the hole"))
        elif gap < _HOLE_ROOM_MM:
            found = f'"{brace.name}" is only {gap:.1f} mm from the edge of the soundhole'
            advice = f"leave {_HOLE_ROOM_MM:.0f} mm, so that the edge can be rounded"
            problems.append(Problem("L14", brace.where, found, advice, fatal=False))
    return problems


def _at_the_blocks(plate: PlacedPlate, placed: Placed) -> list[Problem]:
    """A brace under a block has to be cut round it; one that ends on it may be meant."""
    body = placed.design.body
    low, high = (float(v) for v in plate.outline.point(np.array([0.0, plate.outline.count / 2]))[:, 1])
    blocks = (
        ("tail block", rectangle(body.tail_block_width_mm / 2, low, low + body.side_mm + body.tail_block_mm)),
        ("neck block", rectangle(body.neck_block_width_mm / 2, high - body.side_mm - body.neck_block_mm, high)),
    )
    return [
        Problem(
            "L15",
            b.where,
            f'"{b.name}" reaches {depth:.1f} mm over the {name}',
            "move it clear of the block, or cut the block to suit",
            fatal=False,
        )
        for b in plate.braces
        for name, block in blocks
        if (depth := max(overlap_depth_mm(part, block) for part in convex_parts(b))) > _TOUCH_MM
    ]


def _along_the_joint(plate: PlacedPlate) -> list[Problem]:
    """A brace along the centre joint should carry it in its middle: an edge on the joint starts a crack."""
    problems = []
    for brace in plate.braces:
        aside = max(abs(brace.start.at[0]), abs(brace.end.at[0]))
        if (
            brace.is_straight
            and abs(brace.heading[1]) > _ALONG_COSINE
            and brace.width_mm / 6 < aside < brace.width_mm / 2 + 1.0
        ):
            found = f'"{brace.name}" runs along the centre joint {aside:.1f} mm beside it'
            problems.append(Problem("L16", brace.where, found, "centre it on the joint, or move it clear", fatal=False))
    return problems
