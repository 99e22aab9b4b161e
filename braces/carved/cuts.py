"""Every cut that a brace gets from what it meets: laps, inlets, the centre strip, passages of its own."""

from __future__ import annotations

from dataclasses import replace

from braces.carved.brace import lateral_of
from braces.carved.joints import Cut, cut
from braces.carved.sections import Zone
from braces.carved.values import Opens
from braces.placed.values import PlacedBrace, PlacedEnd, PlacedPlate

_INLET_PLAY_MM = 0.1  #: across an inlet, in all


def cuts_in(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    """Return all cuts in a brace; only strip notches and passages know their depth yet."""
    return [*_laps(brace, plate), *_inlets(brace, plate), *_strip(brace, plate), *_cut_outs(brace)]


def _laps(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    by_name = {b.name: b for b in plate.braces}
    lateral = lateral_of(brace)
    found = []
    for c in plate.crossings:
        if brace.name not in (c.opens_to_plate, c.opens_to_room):
            continue
        first = brace.name == c.opens_to_plate
        other = by_name[c.opens_to_room if first else c.opens_to_plate]
        across = other.width_mm + c.clearance_mm
        opens: Opens = "plate" if first else "room"
        found.append(cut(brace, lateral, other.name, "half-lap", opens, c.at, other.heading, across, c.where))
    return found


def _ends_on(brace: PlacedBrace, plate: PlacedPlate) -> list[tuple[PlacedBrace, PlacedEnd]]:
    """Every brace that ends on this one, with that end."""
    return [(o, e) for o in plate.braces for e in (o.start, o.end) if e.brace == brace.name]


def _inlets(brace: PlacedBrace, plate: PlacedPlate) -> list[Cut]:
    lateral, half = lateral_of(brace), brace.width_mm / 2
    found = []
    for other, end in _ends_on(brace, plate):
        if end.inlet_mm <= 0:
            continue
        sign = 1.0 if end is other.end else -1.0
        outward = (other.heading[0] * sign, other.heading[1] * sign)
        at = _on_centre_line(brace, end, outward)
        across = other.width_mm + _INLET_PLAY_MM
        made = cut(brace, lateral, other.name, "inlet", "plate", at, other.heading, across, other.where)
        from_right = outward[0] * lateral[0] + outward[1] * lateral[1] > 0  # it comes from Y < 0
        low, high = (-half, end.inlet_mm - half) if from_right else (half - end.inlet_mm, half)
        found.append(replace(made, y_from_mm=low, y_to_mm=high))
    return found


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
    at = (0.0, y0 - x0 * (y1 - y0) / (x1 - x0))
    across, lateral, deep = strip.width_mm + strip.clearance_mm, lateral_of(brace), strip.thickness_mm
    return [cut(brace, lateral, "centre strip", "strip", "plate", at, (0.0, 1.0), across, brace.where, deep)]


def _cut_outs(brace: PlacedBrace) -> list[Cut]:
    lateral = lateral_of(brace)
    hx, hy = brace.heading
    found = []
    for i, c in enumerate(brace.spec.cut_outs):
        s = c.at.along(brace.length_mm)
        at = (brace.start.at[0] + s * hx, brace.start.at[1] + s * hy)
        where = (*brace.where, "cut_outs", i)
        found.append(cut(brace, lateral, "cut-out", "cut-out", c.opens_to, at, lateral, c.width_mm, where, c.depth_mm))
    return found


def butted_by(brace: PlacedBrace, plate: PlacedPlate) -> tuple[Zone, ...]:
    """Return the stretches of a brace's sides that other braces stand against."""
    lateral = lateral_of(brace)
    zones = []
    for other, end in _ends_on(brace, plate):
        made = cut(brace, lateral, other.name, "butt", "room", end.at, other.heading, other.width_mm, other.where)
        half = made.width_mm / 2 + 1.0
        zones.append((made.at_mm - half, made.at_mm + half))
    return tuple(zones)
