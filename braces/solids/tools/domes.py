"""Dome gauges: flat plates with the arc of a plate's outer or inner face, hollow on one edge, full on the other."""

from __future__ import annotations

from math import asin, pi

from braces.carved.values import Carved
from braces.placed.dome import Dome
from braces.solids.tools.bodies import Mark, slab
from braces.solids.tools.part import Draft, Measure, Part, bed_length_mm, finished, name_mark
from braces.solids.tools.prism import Arc, Piece, polygon, prism
from braces.solids.tools.sanding import sagitta_mm
from braces.solids.tools.settings import ToolSettings

WAIST_MM = 26.0  #: height at the ends, between the two edges
THICK_MM = 5.0
LONGEST_MM = 300.0


def dome_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return two gauges for each domed plate: one for its outer face, one for its inner."""
    return tuple(
        _gauge(carved, plate.dome, plate.name, face, radius, settings)
        for plate in carved.placed.plates
        if plate.dome.shape != "flat"
        for face, radius in (("outer", plate.dome.radius_mm), ("inner", plate.dome.inner_radius_mm))
    )


def gauge_length_mm(settings: ToolSettings) -> float:
    """Return how long a dome gauge is: the longer, the finer it tells."""
    return min(bed_length_mm(settings), LONGEST_MM)


def gauge_outline(radius_mm: float, length_mm: float) -> list[Piece]:
    """Return the outline, anticlockwise: a hollow edge that rises in the middle, a full edge above it."""
    half = length_mm / 2
    angle = asin(half / radius_mm)
    rise = sagitta_mm(radius_mm, half)
    hollow = Arc((0.0, rise - radius_mm), radius_mm, pi / 2 + angle, pi / 2 - angle)
    full = Arc((0.0, WAIST_MM + rise - radius_mm), radius_mm, pi / 2 - angle, pi / 2 + angle)
    return [hollow, full]


def _gauge(carved: Carved, dome: Dome, plate: str, face: str, radius_mm: float, settings: ToolSettings) -> Part:
    length = gauge_length_mm(settings)
    rise = sagitta_mm(radius_mm, length / 2)
    uses = {
        "outer": "The hollow edge fits the outside of the plate, the full edge the dish.",
        "inner": "The hollow edge fits the glue face of a brace, the full edge the inside of the plate.",
    }
    outline = gauge_outline(radius_mm, length)
    aside = length / 2 + 4
    middle, room = WAIST_MM / 2 + rise, (length - 12, 8.0)
    return finished(
        Draft(
            f"dome-gauge-{plate}-{face}",
            f"dome gauge, {plate}, {face} face",
            prism(outline, 0.0, THICK_MM),
            "flat, marks up",
            f"Both edges have the radius of the {face} face: the outer face is {dome.radius_mm:.1f} mm, the inner face "
            f"is nearer to the centre by the plate's {dome.thickness_mm:.3g} mm. {uses[face]}",
            (("radius mm", radius_mm), ("length mm", length), ("rise mm", rise)),
            (),
            (
                name_mark(carved, settings, f"{plate} {face}", (0.0, middle + 5, THICK_MM), room),
                Mark(f"R {radius_mm:.1f} = {radius_mm / 304.8:.2f} ft", (0.0, middle - 5, THICK_MM), room),
            ),
            net=slab(polygon(outline), 0.0, THICK_MM),
            measures=(Measure("above", (aside, rise, 0.0), (aside, 0.0, 0.0), "rise"),),
        ),
        settings,
    )
