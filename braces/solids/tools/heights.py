"""Stepped height gauges: a stair with every height of a plate's braces, on a foot with the arch of the plate."""

from __future__ import annotations

from math import asin, pi

from braces.carved.values import Carved, CarvedPlate
from braces.placed.dome import Dome
from braces.solids.tools.bodies import Mark, slab
from braces.solids.tools.part import Draft, Part, bed_length_mm, finished, name_mark
from braces.solids.tools.prism import Arc, Piece, polygon, prism
from braces.solids.tools.settings import ToolSettings

STEP_MM = 12.0  #: length of a step
THICK_MM = 10.0
SAME_MM = 0.1  #: heights nearer to each other than this are one step
TAIL_MM = 40.0  #: of the last step, which carries the name


def height_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return the gauges of each plate, as many as the bed asks."""
    found: list[Part] = []
    for plate, placed in zip(carved.plates, carved.placed.plates, strict=True):
        heights = heights_of(plate)
        most = max(1, int((bed_length_mm(settings) - TAIL_MM) / STEP_MM) + 1)
        for k in range(0, len(heights), most):
            found.append(_gauge(carved, plate, placed.dome, heights[k : k + most], k // most + 1, settings))
    return tuple(found)


def heights_of(plate: CarvedPlate) -> list[float]:
    """Return the heights of a plate's braces at their ends, valleys, peaks and tops, ascending."""
    kinds = ("top", "valley", "peak", "flat")
    found: list[float] = []
    for height in sorted(f.height_mm for b in plate.braces for f in b.features if f.kind in kinds):
        if height >= 1.0 and (not found or height - found[-1] > SAME_MM):
            found.append(height)
    return found


def stair(heights: list[float], radius_mm: float) -> list[Piece]:
    """Return the outline, anticlockwise, about the middle of the foot; each step is right at its own middle."""
    widths = [STEP_MM] * (len(heights) - 1) + [TAIL_MM]
    half = sum(widths) / 2
    flat = radius_mm > 1e8
    foot: list[Piece]
    if flat:
        foot = [(-half, 0.0), (half, 0.0)]
    else:
        angle = asin(half / radius_mm)
        foot = [Arc((0.0, radius_mm), radius_mm, -pi / 2 - angle, -pi / 2 + angle)]
    x = half
    steps: list[Piece] = []
    for height, width in zip(reversed(heights), reversed(widths), strict=True):
        middle = x - width / 2
        level = height if flat else height + radius_mm - (radius_mm**2 - middle**2) ** 0.5
        steps += [(x, level), (x - width, level)]
        x -= width
    return [*foot, *steps]


def _gauge(
    carved: Carved, plate: CarvedPlate, dome: Dome, heights: list[float], number: int, settings: ToolSettings
) -> Part:
    flat = dome.shape == "flat"
    radius = 1e9 if flat else dome.inner_radius_mm
    half = (STEP_MM * (len(heights) - 1) + TAIL_MM) / 2
    at = [-half + STEP_MM * (k + 0.5) for k in range(len(heights) - 1)] + [half - TAIL_MM / 2]
    widths = [STEP_MM] * (len(heights) - 1) + [TAIL_MM]
    tail = at[-1]
    marks = [
        Mark(f"{h:.3g}", (x, h / 2 + 0.4, THICK_MM), (w - 1, h - 0.8), 4.0)
        for x, h, w in list(zip(at, heights, widths, strict=True))[:-1]
    ]
    last, size = heights[-1], f"{heights[-1]:.3g}"
    marks.append(Mark(size, (tail - TAIL_MM / 2 + 5.5, last / 2 + 0.4, THICK_MM), (10, last - 0.8), 4.0))
    room = (TAIL_MM - 13, last - 1)
    marks.append(name_mark(carved, settings, plate.name, (tail + 5.0, last / 2 + 0.4, THICK_MM), room, 4.0))
    outline = stair(heights, radius)
    listed = ", ".join(f"{h:.3g}" for h in heights)
    return finished(
        Draft(
            f"height-gauge-{plate.name}" + (f"-{number}" if number > 1 else ""),
            f"height gauge, {plate.name}",
            prism(outline, 0.0, THICK_MM),
            "on its side, marks up",
            f"Steps of {listed} mm from the plate. Its foot has the arch of the inside of the plate, so each step is "
            "right at its middle; stand it beside the brace and feel along the step.",
            tuple((f"step {k} mm", h) for k, h in enumerate(heights, 1)),
            tuple(b.name for b in plate.braces),
            tuple(marks),
            net=slab(polygon(outline), 0.0, THICK_MM),
        ),
        settings,
    )
