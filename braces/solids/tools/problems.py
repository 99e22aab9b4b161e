"""What is wrong with the shop's settings for an instrument's tools. Loads neither the CAD kernel nor a mesh library."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from braces.base.problems import Problem
from braces.carved.values import Carved, CarvedPlate
from braces.design.woods import woods
from braces.placed.dome import Dome
from braces.solids.tools.settings import BED_MARGIN_MM, LEAST_WALL_MM, ToolSettings
from braces.workshop.filaments import filament_names
from braces.workshop.habits import table

NEEDS_MM = (120.0, 120.0, 60.0)  #: the smallest bed on which the widest and highest tools fit
LARGEST_MM = 2000.0  #: a larger bed is a slip of the pen
SHORTEST_BAR_MM = 150.0
OVER_MM = 10.0


def tool_problems(carved: Carved, settings: ToolSettings) -> tuple[Problem, ...]:
    """Return everything that keeps the tools of an instrument from being made, all at once."""
    plates = list(zip(carved.plates, carved.placed.plates, strict=True))
    return (
        *_bed(settings),
        *_materials(settings),
        *(p for plate, placed in plates for p in _dome(plate, placed.dome, settings)),
        *_walls(carved, settings),
        *_deck(carved, settings),
        *_curved(carved),
    )


def _bed(settings: ToolSettings) -> Iterator[Problem]:
    x, y, z = settings.bed_mm
    if max(x, y, z) > LARGEST_MM:
        found = f"a bed of {x:g} x {y:g} x {z:g} mm"
        yield Problem(
            "S01", ("printer3d", "bed"), found, f"write what your printer fills, no more than {LARGEST_MM:g} mm"
        )
    if max(x, y) < NEEDS_MM[0] or min(x, y) < NEEDS_MM[1] or z < NEEDS_MM[2]:
        needs = " x ".join(f"{v:g}" for v in NEEDS_MM)
        advice = f"use a printer that fills {needs} mm, or have the tools cut from their STEP files"
        yield Problem("S01", ("printer3d", "bed"), f"a bed of {x:g} x {y:g} x {z:g} mm", advice)


def bar_materials() -> tuple[str, ...]:
    """Return what go-bars can be made of besides the woods of the table."""
    return tuple(table("glue_up")["bars"])


def _materials(settings: ToolSettings) -> Iterator[Problem]:
    if " ".join(settings.filament.lower().split()) not in filament_names():
        names = ", ".join(filament_names())
        yield Problem("V04", ("printer3d", "filament"), f'"{settings.filament}" is not known', f"use any of {names}")
    bar = " ".join(settings.bar_material.lower().split())
    if bar not in woods() and bar not in bar_materials():
        yield Problem(
            "V05",
            ("tools", "bar_material"),
            f'"{settings.bar_material}" is not in the table',
            f"use {' or '.join(bar_materials())}, or one of {', '.join(sorted(woods()))}",
        )


def _dome(plate: CarvedPlate, dome: Dome, settings: ToolSettings) -> Iterator[Problem]:
    straight = [b.length_mm for b in plate.braces if not b.is_curved]
    if dome.shape == "flat" or not straight:
        return
    longest = max(straight)
    radius, half = dome.inner_radius_mm, longest / 2 + OVER_MM
    high = settings.bed_mm[2] - 2 * BED_MARGIN_MM
    if radius <= half or radius - sqrt(radius**2 - half**2) + 30.0 > high:
        found = f"a caul {2 * half:.0f} mm long on a radius of {radius:.0f} mm"
        yield Problem("S02", (plate.name, "dome", "radius"), found, "give a larger radius, or use a flat plate")
        return
    arch = radius - sqrt(radius**2 - (longest / 2) ** 2)
    if settings.abrasive_mm >= arch:
        found = f"an abrasive of {settings.abrasive_mm:g} mm on an arch that rises {arch:.2f} mm"
        yield Problem("S03", ("tools", "abrasive"), found, f"use one thinner than {arch:.2f} mm")


def _walls(carved: Carved, settings: ToolSettings) -> Iterator[Problem]:
    g = settings.gauge_mm
    least = LEAST_WALL_MM + g
    for plate in carved.plates:
        for brace in plate.braces:
            for notch in brace.notches:
                thin = min(notch.across_mm, notch.depth_mm)
                if notch.kind in ("half-lap", "strip") and thin < least:
                    found = f'the notch of "{brace.name}" for {notch.with_} is {thin:.2f} mm wide or deep'
                    yield Problem("S04", ("tools", "gauge"), found, _GAUGE.format(least=least))
        for pocket in plate.pockets:
            thin = min(pocket.height_mm, pocket.reach_mm)
            if thin < least:
                found = f"pocket {pocket.number} of the {plate.name} is {thin:.2f} mm high or deep"
                yield Problem("S04", ("tools", "gauge"), found, _GAUGE.format(least=least))


_GAUGE = "a tongue that can be printed needs {least:.2f} mm: leave notch and pocket gauges out, or take less play"


def _deck(carved: Carved, settings: ToolSettings) -> Iterator[Problem]:
    stacks = [b.glue_depth_mm + max(b.height.y_mm.max(), 0.0) + 20.0 for b in carved.braces]
    if stacks and settings.deck_mm - max(stacks) < SHORTEST_BAR_MM:
        found = f"a deck {settings.deck_mm:g} mm over the dish leaves {settings.deck_mm - max(stacks):.0f} mm to a bar"
        advice = f"raise it to {max(stacks) + SHORTEST_BAR_MM:.0f} mm or more"
        yield Problem("S05", ("tools", "deck"), found, advice)


def _curved(carved: Carved) -> Iterator[Problem]:
    """What is flat or straight cannot follow a brace round its bend; section and height gauges can."""
    for brace in carved.braces:
        if brace.is_curved:
            found = f'"{brace.name}" is curved: no sanding caul, carving gauge or clamping caul is made for it'
            advice = "fit it in the dish, carve it by its stations, and saw cauls from what the bending form leaves"
            yield Problem("S06", ("tools",), found, advice, fatal=False)
