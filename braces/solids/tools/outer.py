"""Outer cauls: between a clamp or the deck and the outer face of a plate, hollow to its dome."""

from __future__ import annotations

from braces.carved.values import Carved
from braces.curves.frames import Placement, stay
from braces.placed.dome import Dome
from braces.solids.chain import Chain
from braces.solids.tools.bar import Corner, bar_solid, both_sides, dome_patch
from braces.solids.tools.bodies import Mark
from braces.solids.tools.part import Draft, Measure, Part, bed_length_mm, finished, name_mark
from braces.solids.tools.sanding import bowl, sagitta_mm
from braces.solids.tools.settings import ToolSettings

LONG_MM = 180.0
HALF_MM = 25.0  #: half the width of the hollow face
FLAT_MM = 12.0
FLAT_HIGH_MM = 6.0
BASE_MM = 10.0
CHAMFER_MM = 0.6


def outer_cauls(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one outer caul for each domed plate."""
    return tuple(
        _caul(carved, plate.dome, plate.name, settings) for plate in carved.placed.plates if plate.dome.shape != "flat"
    )


def _caul(carved: Carved, dome: Dome, plate: str, settings: ToolSettings) -> Part:
    half = min(LONG_MM, bed_length_mm(settings)) / 2
    radius = dome.radius_mm + settings.pad_mm
    surface = bowl(dome, radius, BASE_MM)
    out, c = HALF_MM + FLAT_MM, CHAMFER_MM
    side = [(HALF_MM, FLAT_HIGH_MM), (out - c, FLAT_HIGH_MM), (out, FLAT_HIGH_MM - c), (out, c), (out - c, 0.0)]
    border: list[Chain | Corner] = [dome_patch(surface, HALF_MM, (-half, half)), *both_sides(side)]
    middle, room = HALF_MM + FLAT_MM / 2, (2 * half - 10, FLAT_MM - 2)
    return finished(
        Draft(
            f"outer-caul-{plate}",
            f"outer caul, {plate}",
            bar_solid(border, (-half, half)),
            "flat on its back, hollow up",
            f"Lies under the outer face of the {plate}, {dome.radius_mm:.1f} mm. Its padding lies on the block, so the "
            f"block's own radius is larger by its {settings.pad_mm:g} mm.",
            (
                ("radius mm", radius),
                ("length mm", 2 * half),
                ("width mm", 2 * out),
                ("sagitta mm", sagitta_mm(radius, half)),
            ),
            (),
            (
                name_mark(carved, settings, f"{plate} outer", (0.0, middle, FLAT_HIGH_MM), room),
                Mark(
                    f"R {radius:.1f} = {dome.radius_mm:.1f} + {settings.pad_mm:g}", (0.0, -middle, FLAT_HIGH_MM), room
                ),
            ),
            home=Placement(stay().rotation, (0.0, 0.0, -BASE_MM - settings.pad_mm)),
            has_end_view=True,
            measures=(
                Measure("left", (-half, HALF_MM, BASE_MM + 5), (-half, -HALF_MM, BASE_MM + 5), "face"),
                Measure("left", (-half, -out - 3, FLAT_HIGH_MM), (-half, -out - 3, 0.0)),
            ),
        ),
        settings,
    )
