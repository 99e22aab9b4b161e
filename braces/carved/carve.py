"""From where braces run to the wood they are cut to."""

from __future__ import annotations

from math import asin, degrees

from braces.base.problems import DesignError, Problem
from braces.carved.brace import Blocked, block, carve_brace, lateral_of
from braces.carved.joints import Cut, cut, lap_depths, running_together
from braces.carved.pockets import pockets, strip_pieces
from braces.carved.sections import Zone
from braces.carved.values import Carved, CarvedPlate, Joint
from braces.placed.values import Placed, PlacedBrace, PlacedPlate


def carve(placed: Placed) -> Carved:
    """Return every brace as wood. Raises DesignError with every problem found."""
    carved, problems = carved_with_problems(placed)
    if problems:
        raise DesignError(problems)
    return carved


def carved_with_problems(placed: Placed) -> tuple[Carved, list[Problem]]:
    """Return the carved plates as far as they can be made, and everything wrong with them."""
    problems: list[Problem] = []
    top, back = (_plate(plate, placed, problems) for plate in placed.plates)
    return Carved(placed, top, back), problems


def _plate(plate: PlacedPlate, placed: Placed, problems: list[Problem]) -> CarvedPlate:
    cuts = {b.name: _cuts(b, plate) for b in plate.braces}
    for name, row in cuts.items():
        problems += running_together(name, row)
    blocked = {b.name: block(b, plate, tuple(cuts[b.name]), _butted_by(b, plate), problems) for b in plate.braces}
    depths = {name: [0.0] * len(row) for name, row in cuts.items()}
    for crossing in plate.crossings:
        below, above = blocked[crossing.opens_to_plate], blocked[crossing.opens_to_room]
        i = _index(below.cuts, crossing.opens_to_room)
        j = _index(above.cuts, crossing.opens_to_plate)
        level, room = lap_depths(
            crossing, below.height_at(below.cuts[i].at_mm), above.height_at(above.cuts[j].at_mm), problems
        )
        depths[below.placed.name][i], depths[above.placed.name][j] = level, room
    strip = plate.spec.centre_strip
    for name, row in cuts.items():
        for i, c in enumerate(row):
            if c.kind == "strip" and strip is not None:
                depths[name][i] = strip.thickness_mm
    problems += _butts_too_high(blocked)
    return CarvedPlate(
        name=plate.name,
        braces=tuple(carve_brace(b, tuple(depths[n]), placed.design, plate, problems) for n, b in blocked.items()),
        joints=_joints(plate),
        pockets=pockets(plate, placed.design, problems),
        strip_pieces=strip_pieces(plate),
        bridge_plate=plate.bridge_plate,
    )


def _index(cuts: tuple[Cut, ...], other: str) -> int:
    return next(i for i, c in enumerate(cuts) if c.with_ == other)


def _cuts(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    """Every notch in a brace: its laps, and the strip it is relieved over."""
    by_name = {b.name: b for b in plate.braces}
    lateral = lateral_of(brace)
    found = []
    for c in plate.crossings:
        if brace.name not in (c.opens_to_plate, c.opens_to_room):
            continue
        opens_to_plate = brace.name == c.opens_to_plate
        other = by_name.get(c.opens_to_room if opens_to_plate else c.opens_to_plate)
        if other is not None:
            found.append(
                cut(
                    brace,
                    lateral,
                    other.name,
                    "half-lap",
                    "plate" if opens_to_plate else "room",
                    c.at,
                    other.heading,
                    other.width_mm + c.clearance_mm,
                    c.where,
                )
            )
    strip = plate.spec.centre_strip
    if strip is not None and strip.at_braces == "brace relieved":
        (x0, y0), (x1, y1) = brace.start.at, brace.end.at
        if x0 * x1 < 0:
            at = (0.0, y0 - x0 * (y1 - y0) / (x1 - x0))
            found.append(
                cut(
                    brace,
                    lateral,
                    "centre strip",
                    "strip",
                    "plate",
                    at,
                    (0.0, 1.0),
                    strip.width_mm + strip.clearance_mm,
                    brace.where,
                )
            )
    return found


def _butted_by(brace: PlacedBrace, plate: PlacedPlate) -> tuple[Zone, ...]:
    """Stretches of a brace's sides that other braces stand against."""
    zones = []
    for other in plate.braces:
        for end in (other.start, other.end):
            if end.brace == brace.name:
                touching = cut(
                    brace,
                    lateral_of(brace),
                    other.name,
                    "butt",
                    "room",
                    end.at,
                    other.heading,
                    other.width_mm,
                    other.where,
                )
                zones.append(
                    (
                        touching.at_mm - touching.width_mm / 2 - 1.0,
                        touching.at_mm + touching.width_mm / 2 + 1.0,
                    )
                )
    return tuple(zones)


def _butts_too_high(blocked: dict[str, Blocked]) -> list[Problem]:
    problems = []
    for b in blocked.values():
        for end, x in ((b.placed.start, 0.0), (b.placed.end, b.placed.length_mm)):
            if end.brace not in blocked:
                continue
            other = blocked[end.brace]
            hx, hy = other.placed.heading
            s = (end.at[0] - other.placed.start.at[0]) * hx + (end.at[1] - other.placed.start.at[1]) * hy
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
                gx, gy = b.heading
                sine = min(1.0, abs(hx * gy - hy * gx))
                butts.append(Joint("butt", plate.name, (b.name, end.brace), end.at, degrees(asin(sine))))
    return (*laps, *butts)
