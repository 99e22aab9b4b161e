"""Strip gauges: a go and a no-go tongue for the gap that the centre strip leaves to each brace."""

from __future__ import annotations

from itertools import pairwise

from braces.carved.values import Carved, CarvedPlate
from braces.solids.tools.bodies import Mark, slab
from braces.solids.tools.part import Draft, Measure, Part, finished, name_mark
from braces.solids.tools.prism import prism
from braces.solids.tools.settings import ToolSettings

HANDLE_MM = 56.0
THICK_MM = 4.0
TONGUE_MM = 20.0  #: longer than any strip is wide to either side of a hand


def strip_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one gauge for each different gap between the pieces of a centre strip."""
    return tuple(
        _gauge(carved, plate, gap, numbers, settings)
        for plate in carved.plates
        for gap, numbers in gaps_of(plate).items()
    )


def gaps_of(plate: CarvedPlate) -> dict[float, list[int]]:
    """Return the gaps between neighbouring strip pieces by size, with the number of the piece before each."""
    gaps: dict[float, list[int]] = {}
    for a, b in pairwise(plate.strip_pieces):
        gaps.setdefault(round(b.from_mm - a.from_mm - a.length_mm, 3), []).append(a.number)
    return gaps


def _gauge(carved: Carved, plate: CarvedPlate, gap_mm: float, numbers: list[int], settings: ToolSettings) -> Part:
    g, half, end = settings.gauge_mm, max(12.0, gap_mm / 2 + 3), HANDLE_MM / 2
    go, no_go = (gap_mm - g) / 2, (gap_mm + g) / 2
    outline = [(-end, -half), (end, -half), (end, -no_go), (end + TONGUE_MM, -no_go), (end + TONGUE_MM, no_go)]
    outline += [(end, no_go), (end, half), (-end, half), (-end, go), (-end - TONGUE_MM, go)]
    outline += [(-end - TONGUE_MM, -go), (-end, -go)]
    after = " ".join(map(str, numbers))
    z = THICK_MM
    marks = (
        name_mark(carved, settings, "", (0.0, half - 4, z), (HANDLE_MM - 4, 6.0), 4.0),
        Mark(f"{plate.name} strip", (0.0, 0.0, z), (HANDLE_MM - 4, 6.0), 4.0),
        Mark(f"go {gap_mm:g} no", (0.0, -half + 4, z), (HANDLE_MM - 4, 6.0), 4.0),
    )
    return finished(
        Draft(
            f"strip-gauge-{plate.name}-{gap_mm:g}".replace(".", "_"),
            f"strip gauge, {plate.name}, gap {gap_mm:g} mm",
            prism(outline, 0.0, THICK_MM),
            "flat, marks up",
            f"For the gap after strip piece {after}, counted from the tail: the go tongue is {g:g} mm under, the "
            f"no-go tongue {g:g} mm over.",
            (("gap mm", gap_mm), ("go mm", 2 * go), ("no-go mm", 2 * no_go)),
            (),
            marks,
            net=slab(outline, 0.0, THICK_MM),
            measures=(
                Measure("above", (-end - TONGUE_MM - 3, go, 0.0), (-end - TONGUE_MM - 3, -go, 0.0), "go"),
                Measure("above", (end + TONGUE_MM + 3, -no_go, 0.0), (end + TONGUE_MM + 3, no_go, 0.0), "no go"),
            ),
        ),
        settings,
    )
