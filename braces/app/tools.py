"""The shop tools of a design: settings from its file, problems, files, pictures."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from braces.base.problems import Problem
from braces.base.units import mm_text
from braces.carved.values import Carved
from braces.design.model import Design
from braces.design.shop import ToolsSpec
from braces.solids.tools.settings import ToolSettings

if TYPE_CHECKING:
    from braces.sheets.tool_pages import ToolCard
    from braces.solids.tools.part import Part


def settings_of(design: Design, mark: str = "") -> ToolSettings:
    """Return what a design says of the printer, the deck and the tools."""
    printer, tools = design.printer3d, design.tools or ToolsSpec()
    return ToolSettings(
        bed_mm=printer.bed,
        clearance_mm=printer.clearance_mm,
        wall_mm=printer.wall_mm,
        gauge_mm=tools.gauge_mm,
        abrasive_mm=tools.abrasive_mm,
        pad_mm=tools.pad_mm,
        convex_twin=tools.convex_twin,
        seat_every_mm=tools.seat_every_mm,
        deck_mm=tools.deck_mm,
        bar_shape=tools.bar_shape,
        bar_width_mm=tools.bar_width_mm,
        bar_thickness_mm=tools.bar_thickness_mm,
        bar_over_mm=tools.bar_over_mm,
        mark=mark,
    )


def problems_of(carved: Carved) -> tuple[Problem, ...]:
    """Return what keeps the tools from being made, if the design asks for tools."""
    design = carved.placed.design
    if design.tools is None:
        return ()
    from braces.solids.tools.problems import tool_problems

    return (*_unknown(design.tools), *tool_problems(carved, settings_of(design)))


def _unknown(tools: ToolsSpec) -> list[Problem]:
    from braces.solids.tools.names import TOOL_NAMES

    return [
        Problem("V04", ("tools", "make"), f'"{name[:40]}" is not a tool', f"use any of {', '.join(TOOL_NAMES)}")
        for name in tools.make
        if name not in TOOL_NAMES
    ]


def tools_made(carved: Carved, mark: str) -> tuple[list[Part], ToolSettings]:
    """Return the parts a design asks for, all of them if it names none."""
    from braces.solids.tools.registry import tool_parts

    design = carved.placed.design
    settings = settings_of(design, mark)
    only = design.tools.make if design.tools is not None else ()
    return list(tool_parts(carved, settings, only)), settings


def card_of(part: Part, row: dict[str, Any]) -> ToolCard:
    """Return the page of one part."""
    from braces.sheets.tool_pages import ToolCard
    from braces.solids.tools.view import outline_view

    facts = [_fact(name, value) for name, value in row["dimensions"].items()]
    facts.append(("how many", str(row["count"])))
    if part.printed:
        facts += [("on the bed", row["orientation"]), ("filament", f"{row['filament']:.0f} g for one")]
        sizes = [f"{' x '.join(f'{v:.1f}' for v in p['size'])} mm" for p in row["pieces"]]
        facts.append(("pieces" if len(sizes) > 1 else "size", ", ".join(sizes)))
    return ToolCard(row["title"], outline_view(part), tuple(facts), (row["note"],))


def _fact(name: str, value: float) -> tuple[str, str]:
    """Turn "length mm", 427.892 into "length", "427.89 mm"."""
    label, _, unit = name.rpartition(" ")
    return (label, f"{mm_text(value, 2)} {unit}") if label else (name, mm_text(value, 2))
