"""The patch glued over the lap of a crossing pair: where it lies, and its wood.

The lap cuts the fibres in the carved edge of one of the two braces, the one whose notch opens to the room. The patch
lies along that brace, as wide as it, its grain with the brace's, and bridges the cut (common practice). It needs a
level, square bed: the profile must be level under it, and both braces equally high at the crossing.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf, isinf

import numpy as np

from braces.base.arrays import frozen_points
from braces.base.problems import Problem
from braces.carved.sections import Zone
from braces.carved.values import Blank, Cap, CarvedBrace, EndCut
from braces.curves.hermite import from_knots
from braces.curves.section import gabled
from braces.curves.surface import Surface
from braces.design.braces import CapSpec, CrossingPairBrace
from braces.design.woods import wood
from braces.placed.values import Crossing, PlacedBrace, PlacedPlate

LEVEL_MM = 0.1  #: what glue fills under a patch: common practice


def cap_zones(brace: PlacedBrace, plate: PlacedPlate) -> tuple[Zone, ...]:
    """Return the stretches of a brace that stay square because a patch lies on them."""
    zones = []
    for crossing, spec in _capped(plate):
        if crossing.opens_to_room == brace.name:
            at, half = _along(brace, crossing), _length_mm(spec, brace) / 2
            zones.append((at - half - 0.5, at + half + 0.5))
    return tuple(zones)


def caps(plate: PlacedPlate, carved: tuple[CarvedBrace, ...], problems: list[Problem]) -> tuple[Cap, ...]:
    """Return every patch over a lap of a plate; a problem for each that would not lie."""
    placed, wooden = {b.name: b for b in plate.braces}, {b.name: b for b in carved}
    made = []
    for crossing, spec in _capped(plate):
        below = placed[crossing.opens_to_room]
        at, long = _along(below, crossing), _length_mm(spec, below)
        hx, hy = below.heading
        u, v = np.array([hx, hy]) * long / 2, np.array([-hy, hx]) * below.width_mm / 2
        middle = np.array(crossing.at)
        cap = Cap(
            name=f"cap over {below.spec.name}",
            plate=plate.name,
            wood=spec.wood,
            along=crossing.opens_to_room,
            across=crossing.opens_to_plate,
            at_mm=at,
            length_mm=long,
            width_mm=below.width_mm,
            thickness_mm=spec.thickness_mm,
            corners=frozen_points([middle - u - v, middle + u - v, middle + u + v, middle - u + v]),
        )
        other = wooden[crossing.opens_to_plate]
        over = other.height.at(_along(placed[other.name], crossing))
        problems += _uneven(cap, wooden[cap.along], over, below)
        made.append(cap)
    return tuple(made)


def cap_wood(cap: Cap, brace: CarvedBrace) -> CarvedBrace:
    """Return a patch as wood in a bench frame of its own; ``brace`` is the one it lies along.

    Its underside is the carved edge it is glued to, which is level across and arched along.
    """
    start, height = cap.at_mm - cap.length_mm / 2, brace.height.at(cap.at_mm)
    (x, y), (hx, hy) = brace.origin_xy_mm, brace.heading_xy
    ends = (0.0, cap.length_mm)
    end = EndCut("free", cap.thickness_mm, 0.0, 0.0, 90.0, "")
    return replace(
        brace,
        name=cap.name,
        wood=cap.wood,
        width_mm=cap.width_mm,
        length_mm=cap.length_mm,
        glue=_edge(brace, start, height),
        height=from_knots(ends, (cap.thickness_mm, cap.thickness_mm)),
        drop=from_knots(ends, (0.0, 0.0)),
        shape=gabled(cap.width_mm, cap.width_mm),
        start=end,
        end=end,
        notches=(),
        features=(),
        relief_cuts=(),
        hollows=(),
        blank=Blank(cap.length_mm, cap.width_mm, cap.thickness_mm),
        bevel_deg=0.0,
        volume_mm3=cap.length_mm * cap.width_mm * cap.thickness_mm,
        density_kg_m3=wood(cap.wood).density_kg_m3,
        origin_xy_mm=(x + start * hx, y + start * hy),
    )


def _edge(brace: CarvedBrace, start_mm: float, height_mm: float) -> Surface:
    """The carved edge under a patch: the glue line lifted, level across, so a cylinder lying across the brace.

    On a plate bent one way only the glue line of an oblique brace is an ellipse; its circle of curvature is taken.
    """
    glue, radius = brace.bed, brace.glue_arc_radius_mm
    if isinf(radius):
        return Surface("plane", inf, 0.0, 0.0, glue.at(start_mm, 0.0) + height_mm)
    lowest = glue.x_mm
    if glue.kind == "cylinder":
        lowest -= glue.y_mm * glue.axis[0] / glue.axis[1]
    return Surface("cylinder", radius, lowest - start_mm, 0.0, glue.at(lowest, 0.0) + radius + height_mm)


def _capped(plate: PlacedPlate) -> list[tuple[Crossing, CapSpec]]:
    by_name = {b.name: b for b in plate.braces}
    found = []
    for c in plate.crossings:
        pair = by_name[c.opens_to_room].spec
        both = pair is by_name[c.opens_to_plate].spec
        if both and isinstance(pair, CrossingPairBrace) and pair.lap.cap is not None:
            found.append((c, pair.lap.cap))
    return found


def _along(brace: PlacedBrace, crossing: Crossing) -> float:
    (x, y), (hx, hy) = brace.start.at, brace.heading
    return (crossing.at[0] - x) * hx + (crossing.at[1] - y) * hy


def _length_mm(spec: CapSpec, brace: PlacedBrace) -> float:
    return spec.length_mm if spec.length_mm is not None else 2 * brace.width_mm


def _uneven(cap: Cap, brace: CarvedBrace, over_mm: float, placed: PlacedBrace) -> list[Problem]:
    """A patch bridges level wood: the brace's edge under it, and that of the other brace in the middle."""
    x = np.linspace(cap.at_mm - cap.length_mm / 2, cap.at_mm + cap.length_mm / 2, 81)
    tall = np.append(brace.height(x), over_mm)
    inside = x[0] >= brace.height.lo_mm and x[-1] <= brace.height.hi_mm
    if inside and float(np.ptp(tall)) <= LEVEL_MM:
        return []
    found = f'the cap over "{placed.spec.name}", {cap.length_mm:.0f} mm long, would lie hollow by {np.ptp(tall):.1f} mm'
    advice = "make it shorter, or give the profile a longer land at the crossing"
    return [Problem("J08", (*placed.where, "lap", "cap"), found, advice, fatal=False)]
