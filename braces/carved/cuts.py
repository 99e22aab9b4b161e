"""Every cut that a brace gets from what it meets: laps, inlets, the centre strip, passages of its own."""

from __future__ import annotations

from dataclasses import replace

from braces.carved.joints import Cut, cut, lateral_of, station
from braces.carved.sections import Zone
from braces.carved.values import Opens
from braces.placed.values import PlacedBrace, PlacedEnd, PlacedPlate

XY = tuple[float, float]
_INLET_PLAY_MM = 0.1  #: across an inlet, in all


def cuts_in(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    """Return all cuts in a brace; only strip notches and passages know their depth yet."""
    return [*_laps(brace, plate), *_inlets(brace, plate), *_strip(brace, plate), *_cut_outs(brace)]


def _laps(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    by_name = {b.name: b for b in plate.braces}
    found = []
    for c in plate.crossings:
        if brace.name not in (c.opens_to_plate, c.opens_to_room):
            continue
        first = brace.name == c.opens_to_plate
        other = by_name[c.opens_to_room if first else c.opens_to_plate]
        opens: Opens = "plate" if first else "room"
        at, direction, across = _room_for(other, brace, c.at)
        made = cut(brace, other.name, "half-lap", opens, at, direction, across + c.clearance_mm, c.where)
        found.append(made if at == c.at else replace(made, crossing_mm=station(brace, c.at)))
    return found


def _room_for(other: PlacedBrace, brace: PlacedBrace, at: XY) -> tuple[XY, XY, float]:
    """Return (middle, direction, width) of the narrowest straight slot in ``brace`` that takes ``other`` at a crossing.

    The sides of a curved brace bulge a little out of a slot of its own width: the slot is wider by that, no more.
    """
    if other.is_straight:
        return at, other.heading, other.width_mm
    here = other.course.where(at)[0]
    hx, hy = other.course.heading_at(here)
    half = other.width_mm / 2
    edges = [(-half, half)]
    for mine in (-brace.width_mm / 2, brace.width_mm / 2):
        edges.append(tuple(_aside(other, side, brace, mine, at, (-hy, hx)) for side in (-half, half)))  # type: ignore[arg-type]
    low, high = min(e[0] for e in edges), max(e[1] for e in edges)
    middle = (low + high) / 2
    return (at[0] - middle * hy, at[1] + middle * hx), (hx, hy), high - low


def _aside(other: PlacedBrace, side: float, brace: PlacedBrace, mine: float, at: XY, across: XY) -> float:
    """How far aside of a slot through ``at`` one side of a curved brace meets one side of the brace that is slotted."""
    s = other.course.where(at)[0]
    for _ in range(12):  # Newton's method by secants: both are all but straight over a brace's width
        off, ahead = (brace.course.where(other.course.at(s + d, side))[1] - mine for d in (0.0, 0.01))
        step = off * 0.01 / (ahead - off)
        s -= step
        if abs(step) < 1e-10:
            break
    x, y = other.course.at(s, side)
    return (x - at[0]) * across[0] + (y - at[1]) * across[1]


def _ends_on(brace: PlacedBrace, plate: PlacedPlate) -> list[tuple[PlacedBrace, PlacedEnd]]:
    """Every brace that ends on this one, with that end."""
    return [(o, e) for o in plate.braces for e in (o.start, o.end) if e.brace == brace.name]


def _inlets(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    half = brace.width_mm / 2
    found = []
    for other, end in _ends_on(brace, plate):
        if end.inlet_mm <= 0:
            continue
        sign = 1.0 if end is other.end else -1.0
        heading = _heading_at(other, end)
        outward = (heading[0] * sign, heading[1] * sign)
        at = _on_centre_line(brace, end, outward)
        across, lateral = other.width_mm + _INLET_PLAY_MM, lateral_of(brace)
        made = cut(brace, other.name, "inlet", "plate", at, heading, across, other.where)
        from_right = outward[0] * lateral[0] + outward[1] * lateral[1] > 0  # it comes from Y < 0
        low, high = (-half, end.inlet_mm - half) if from_right else (half - end.inlet_mm, half)
        found.append(replace(made, y_from_mm=low, y_to_mm=high))
    return found


def _heading_at(brace: PlacedBrace, end: PlacedEnd) -> XY:
    """The direction in which a brace runs where it ends, from its start towards its end."""
    if brace.is_straight:
        return brace.heading
    return brace.course.heading_at(0.0 if end is brace.start else brace.length_mm)


def _on_centre_line(brace: PlacedBrace, end: PlacedEnd, outward: tuple[float, float]) -> tuple[float, float]:
    """Follow an end that stops short of this brace's centre line on to it."""
    hx, hy = brace.heading
    ox, oy = brace.start.at[0] - end.at[0], brace.start.at[1] - end.at[1]
    t = (ox * hy - oy * hx) / (outward[0] * hy - outward[1] * hx)
    return (end.at[0] + t * outward[0], end.at[1] + t * outward[1])


def _strip(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    strip = plate.spec.centre_strip
    (x0, y0), (x1, y1) = brace.start.at, brace.end.at
    if strip is None or strip.at_braces != "brace relieved" or x0 * x1 >= 0:
        return []
    if brace.is_straight:
        at = (0.0, y0 - x0 * (y1 - y0) / (x1 - x0))
    else:
        at = brace.course.at(brace.course.slice_at((0.0, (y0 + y1) / 2), (0.0, 1.0), 0.0))
    across, deep = strip.width_mm + strip.clearance_mm, strip.thickness_mm
    return [cut(brace, "centre strip", "strip", "plate", at, (0.0, 1.0), across, brace.where, deep)]


def _cut_outs(brace: PlacedBrace) -> list[Cut]:
    found = []
    for i, c in enumerate(brace.spec.cut_outs):
        s = c.at.along(brace.length_mm)
        at, across = brace.course.at(s), lateral_of(brace, s)
        where = (*brace.where, "cut_outs", i)
        found.append(cut(brace, "cut-out", "cut-out", c.opens_to, at, across, c.width_mm, where, c.depth_mm))
    return found


def butted_by(brace: PlacedBrace, plate: PlacedPlate) -> tuple[Zone, ...]:
    """Return the stretches of a brace's sides that other braces stand against."""
    zones = []
    for other, end in _ends_on(brace, plate):
        heading = _heading_at(other, end)
        made = cut(brace, other.name, "butt", "room", end.at, heading, other.width_mm, other.where)
        half = made.width_mm / 2 + 1.0
        zones.append((made.at_mm - half, made.at_mm + half))
    return tuple(zones)
