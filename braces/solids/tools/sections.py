"""Section gauges: a plate with the negative of a brace's section at named stations, its legs down to the plate."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import frozen_floats
from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.solids.tools.bodies import Mark, slab
from braces.solids.tools.part import Draft, Measure, Part, finished, name_mark, stem, together
from braces.solids.tools.prism import Piece, cubic, polygon, prism
from braces.solids.tools.profiles import Alike, alike, levelled, section_at, stations_of
from braces.solids.tools.settings import ToolSettings

THICK_MM = 3.0
LEG_MM = 8.0  #: between two slots
SHORTEST_MM = 46.0  #: so that the name has room
ABOVE_MM = 21.0  #: of the plate above the highest slot: two rows of figures, two of names


def section_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one section gauge for each different brace that has a station clear of its cuts."""
    return tuple(
        _gauge(carved, plate, same, settings)
        for plate in carved.plates
        for same in alike(plate)
        if stations_of(same.brace)
    )


def slot(brace: CarvedBrace, x_mm: float, clearance_mm: float, middle_mm: float) -> list[Piece]:
    """Return a slot as part of a lower edge at level 0, from left to right, about ``middle_mm``.

    It stands off the sides by the clearance and off the top by the clearance along the sides.
    """
    slope = float(brace.glue.slope(x_mm, 0.0)[1])
    up = levelled(np.array([0.0, 1.0]), slope)
    aside = levelled(np.array([1.0, 0.0]), slope)
    strips = section_at(brace, x_mm) + clearance_mm * up
    left, right = strips[0, 0] - clearance_mm * aside, strips[-1, -1] + clearance_mm * aside
    feet = [corner - up * corner[1] / up[1] for corner in (left, right)]
    pieces: list[Piece] = [_place(feet[0], middle_mm), _place(left, middle_mm)]
    if strips.shape[1] == 2:
        pieces += [_place(p, middle_mm) for p in (*strips[:, 0], strips[-1, -1])]
    else:
        for strip in strips:
            moved = strip + np.array([middle_mm, 0.0])
            knots = frozen_floats([0.0, float(np.hypot(*(moved[-1] - moved[0])))])
            pieces.append(cubic(knots, moved[None]))
    return [*pieces, _place(right, middle_mm), _place(feet[1], middle_mm)]


def _place(p: np.ndarray, middle_mm: float) -> tuple[float, float]:
    return float(p[0]) + middle_mm, float(p[1])


def middles(brace: CarvedBrace, count: int, clearance_mm: float) -> list[float]:
    """Return the middles of the slots along the gauge."""
    pitch = brace.width_mm + 2 * clearance_mm + LEG_MM
    return [LEG_MM + (pitch - LEG_MM) / 2 + k * pitch for k in range(count)]


def _gauge(carved: Carved, plate: CarvedPlate, same: Alike, settings: ToolSettings) -> Part:
    brace, c = same.brace, settings.clearance_mm
    stations = stations_of(brace)
    at = middles(brace, len(stations), c)
    long = max(at[-1] + brace.width_mm / 2 + c + LEG_MM, SHORTEST_MM)
    heights = [brace.height.at(x) for x in stations]
    high = max(heights) + c + ABOVE_MM
    outline: list[Piece] = [(0.0, 0.0)]
    for x, middle in zip(stations, at, strict=True):
        outline += slot(brace, x, c, middle)
    outline += [(long, 0.0), (long, high), (0.0, high)]
    name = together(same.names)
    pitch = brace.width_mm + 2 * c + LEG_MM
    figures = max(heights) + c + 6.2
    marks = [name_mark(carved, settings, name, (long / 2, high - 5.2, THICK_MM), (long - 3, 8.8), 3.6)]
    marks += [
        Mark(f"{x:.0f}\n{h:.1f}", (m, figures, THICK_MM), (pitch - 1.0, 8.4), 3.0)
        for x, h, m in zip(stations, heights, at, strict=True)
    ]
    return finished(
        Draft(
            f"section-gauge-{plate.name}-{stem(name)}",
            f"section gauge, {name}",
            prism(outline, 0.0, THICK_MM),
            "flat, marks up",
            f"Slots of {name} at the stations marked, in mm from its start, with the height there below. Seen towards "
            f"its start, with the legs on the plate a slot stands off the wood by {c:g} mm at the sides and above. "
            "Turned over it fits the mirror image.",
            (
                *((f"at {x:.1f} mm, height mm", h) for x, h in zip(stations, heights, strict=True)),
                ("clearance mm", c),
                ("thickness mm", THICK_MM),
            ),
            same.names,
            tuple(marks),
            net=slab(polygon(outline), 0.0, THICK_MM),
            measures=(
                Measure(
                    "above", (at[0] - brace.width_mm / 2 - c, -2.5, 0.0), (at[0] + brace.width_mm / 2 + c, -2.5, 0.0)
                ),
            ),
        ),
        settings,
    )
