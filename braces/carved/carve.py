"""From where braces run to the wood they are cut to."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import asin, degrees

import numpy as np

from braces.base.problems import DesignError, Problem
from braces.carved.assembly import assembly_order
from braces.carved.brace import Blocked, block, carve_brace
from braces.carved.caps import caps
from braces.carved.cuts import butted_by, cuts_in
from braces.carved.joints import LEAST_LEFT_MM, Cut, lap_depths, running_together
from braces.carved.pockets import pockets, strip_pieces
from braces.carved.values import Carved, CarvedPlate, Joint
from braces.design.model import Design
from braces.placed.values import Placed, PlacedPlate


def carve(placed: Placed) -> Carved:
    """Return every brace as wood. Raises DesignError with every problem found."""
    carved, problems = carved_with_problems(placed)
    if any(p.fatal for p in problems):
        raise DesignError(problems)
    return carved


def carved_with_problems(placed: Placed) -> tuple[Carved, list[Problem]]:
    """Return the carved plates as far as they can be made, and everything wrong with them."""
    problems: list[Problem] = []
    top, back = (_made(plate, placed.design.with_only(plate.name), problems) for plate in placed.plates)
    return Carved(placed, top, back), problems


def _made(plate: PlacedPlate, design: Design, problems: list[Problem]) -> CarvedPlate:
    made, wrong = _plate(plate, design)
    problems += wrong
    return made


@lru_cache(maxsize=4)
def _plate(plate: PlacedPlate, design: Design) -> tuple[CarvedPlate, tuple[Problem, ...]]:
    """Return a plate as wood and what is wrong with it, from a design ``with_only`` that plate.

    Remembered, as the layout is: a change on the other plate does not carve this one again.
    """
    problems: list[Problem] = []
    cuts = {b.name: cuts_in(b, plate) for b in plate.braces}
    for name, row in cuts.items():
        problems += running_together(name, row)
    blocked = {b.name: block(b, plate, tuple(cuts[b.name]), butted_by(b, plate), problems) for b in plate.braces}
    deep = _with_depths(plate, blocked, problems)
    problems += _butts_too_high(blocked)
    order, stuck = assembly_order(plate)
    problems += stuck
    braces = tuple(carve_brace(b, deep[n], design, plate, problems) for n, b in blocked.items())
    made = CarvedPlate(
        name=plate.name,
        braces=braces,
        joints=_joints(plate),
        pockets=pockets(plate, braces, design, problems),
        strip_pieces=strip_pieces(plate),
        bridge_plate=plate.bridge_plate,
        order=order,
        caps=caps(plate, braces, problems),
    )
    return made, tuple(problems)


def _with_depths(
    plate: PlacedPlate, blocked: dict[str, Blocked], problems: list[Problem]
) -> dict[str, tuple[Cut, ...]]:
    """Return every brace's cuts with their depths: laps share a height, an inlet is as high as what it takes."""
    laps: dict[tuple[str, str], float] = {}
    for c in plate.crossings:
        below, above = blocked[c.opens_to_plate], blocked[c.opens_to_room]
        low = below.height_at(_lap_with(below, c.opens_to_room).at_mm)
        high = above.height_at(_lap_with(above, c.opens_to_plate).at_mm)
        level, room = lap_depths(c, low, high, problems)
        laps[c.opens_to_plate, c.opens_to_room], laps[c.opens_to_room, c.opens_to_plate] = level, room

    def depth(brace: str, made: Cut) -> float:
        if made.kind == "half-lap":
            return laps[brace, made.with_]
        if made.kind == "inlet":
            guest = blocked[made.with_]
            return guest.height_at(0.0 if guest.placed.start.brace == brace else guest.placed.length_mm)
        return made.depth_mm

    deep = {n: tuple(replace(c, depth_mm=depth(n, c)) for c in b.cuts) for n, b in blocked.items()}
    problems += [p for n, row in deep.items() for c in row for p in _too_deep(blocked[n], c)]
    return deep


def _too_deep(b: Blocked, c: Cut) -> list[Problem]:
    over = np.linspace(c.at_mm - c.half_mm, c.at_mm + c.half_mm, 9)
    lowest = float(np.min(b.height(over))) if c.opens == "plate" else b.height_at(c.at_mm)
    left = lowest - c.depth_mm
    if c.kind == "half-lap" or left >= LEAST_LEFT_MM:
        return []
    return [
        Problem(
            "J01",
            c.where,
            f'the cut for {c.with_} would leave {max(left, 0.0):.1f} mm of "{b.placed.name}"',
            "make the cut shallower, or the brace higher there",
        )
    ]


def _lap_with(b: Blocked, other: str) -> Cut:
    return next(c for c in b.cuts if c.with_ == other and c.kind == "half-lap")


def _butts_too_high(blocked: dict[str, Blocked]) -> list[Problem]:
    problems = []
    for b in blocked.values():
        for end, x in ((b.placed.start, 0.0), (b.placed.end, b.placed.length_mm)):
            if end.brace not in blocked:
                continue
            other = blocked[end.brace]
            s = other.placed.course.where(end.at)[0]
            mine, theirs = b.height_at(x), other.height_at(s)
            if mine > theirs + 0.01:
                problems.append(
                    Problem(
                        "J04",
                        b.placed.where,
                        f'"{b.placed.name}" is {mine:.1f} mm high where "{end.brace}" is {theirs:.1f} mm',
                        f"lower it there to {theirs:.1f} mm, or begin it where the other is higher",
                        fatal=True,
                    )
                )
    return problems


def _joints(plate: PlacedPlate) -> tuple[Joint, ...]:
    by_name = {b.name: b for b in plate.braces}
    laps = [
        Joint("half-lap", plate.name, (c.opens_to_plate, c.opens_to_room), c.at, c.angle_deg) for c in plate.crossings
    ]
    butts = []
    for b in plate.braces:
        for end in (b.start, b.end):
            if end.brace:
                hx, hy = by_name[end.brace].heading
                gx, gy = b.course.heading_at(0.0 if end is b.start else b.length_mm)
                sine = min(1.0, abs(hx * gy - hy * gx))
                butts.append(Joint("butt", plate.name, (b.name, end.brace), end.at, degrees(asin(sine))))
    return (*laps, *butts)
