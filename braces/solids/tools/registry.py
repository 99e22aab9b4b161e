"""The shop tools there are. A new tool is one file and one row of TOOLS."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from braces.carved.values import Carved
from braces.solids.step import ascii_name, step_bytes
from braces.solids.stl import stl_bytes
from braces.solids.threemf import Body, threemf_bytes
from braces.solids.tools.clamping import clamping_cauls
from braces.solids.tools.contours import contour_gauges
from braces.solids.tools.crossing import crossing_gauges
from braces.solids.tools.domes import dome_gauges
from braces.solids.tools.gobars import go_bars
from braces.solids.tools.heights import height_gauges
from braces.solids.tools.jigs import pocket_jigs
from braces.solids.tools.notches import notch_gauges
from braces.solids.tools.outer import outer_cauls
from braces.solids.tools.part import Part
from braces.solids.tools.pockets import pocket_gauges
from braces.solids.tools.sanding import sanding_cauls
from braces.solids.tools.sections import section_gauges
from braces.solids.tools.settings import ToolSettings
from braces.solids.tools.strips import strip_gauges
from braces.workshop.filaments import filament_kg_m3


@dataclass(frozen=True, slots=True)
class Tool:
    """One kind of tool."""

    key: str  #: for --only
    title: str  #: for the progress bar
    make: Callable[[Carved, ToolSettings], tuple[Part, ...]]


TOOLS: tuple[Tool, ...] = (
    Tool("sanding-caul", "sanding cauls", sanding_cauls),
    Tool("dome-gauge", "dome gauges", dome_gauges),
    Tool("crossing-gauge", "crossing gauges", crossing_gauges),
    Tool("notch-gauge", "notch gauges", notch_gauges),
    Tool("pocket-gauge", "pocket gauges", pocket_gauges),
    Tool("strip-gauge", "strip gauges", strip_gauges),
    Tool("carving-gauge", "carving gauges", contour_gauges),
    Tool("section-gauge", "section gauges", section_gauges),
    Tool("height-gauge", "height gauges", height_gauges),
    Tool("clamping-caul", "clamping cauls", clamping_cauls),
    Tool("outer-caul", "outer cauls", outer_cauls),
    Tool("go-bar", "go-bar parts", go_bars),
    Tool("pocket-jig", "pocket jigs", pocket_jigs),
)


def chosen(only: Sequence[str] = ()) -> tuple[Tool, ...]:
    """Return the tools named, in the order of the registry; all of them if none is named.

    Raises:
        KeyError: if there is no tool of that name.
    """
    known = {tool.key for tool in TOOLS}
    for key in only:
        if key not in known:
            raise KeyError(key)
    return tuple(tool for tool in TOOLS if not only or tool.key in only)


def tool_parts(
    carved: Carved,
    settings: ToolSettings,
    only: Sequence[str] = (),
    step: Callable[[str], None] = lambda _title: None,
) -> Iterator[Part]:
    """Yield the parts of the tools named, one after the other; ``step`` is told of each kind as it begins."""
    for tool in chosen(only):
        step(tool.title)
        yield from tool.make(carved, settings)


def part_files(part: Part) -> dict[str, bytes]:
    """Return the files of one part: its exact solid, its pieces each as STL, all of them as one 3MF.

    Names are relative to the folder of solids.
    """
    files = {f"tools/{part.name}.step": step_bytes(part.shape, part.title)}
    for piece in part.pieces:
        files[f"tools/{piece.name}.stl"] = stl_bytes(piece.vertices, piece.faces)
    bodies = [Body(ascii_name(p.name), p.vertices, p.faces) for p in part.pieces]
    files[f"tools/{part.name}.3mf"] = threemf_bytes(part.title, bodies)
    return files


def tool_files(
    carved: Carved,
    settings: ToolSettings,
    only: Sequence[str] = (),
    step: Callable[[str], None] = lambda _title: None,
) -> dict[str, bytes]:
    """Return every file of the tools named."""
    files: dict[str, bytes] = {}
    for part in tool_parts(carved, settings, only, step):
        files.update(part_files(part))
    return files


def tool_rows(parts: Sequence[Part], settings: ToolSettings) -> list[dict[str, Any]]:
    """Return one row for each part, for a table or for JSON: mm, mm3, g."""
    return [_row(part, settings) for part in parts]


def _row(part: Part, settings: ToolSettings) -> dict[str, Any]:
    pieces = part.pieces
    return {
        "name": part.name,
        "title": part.title,
        "count": part.count,
        "printed": part.printed,
        "serves": list(part.serves),
        "orientation": part.orientation,
        "bridges": part.bridges,
        "note": part.note,
        "dimensions": {name: round(value, 3) for name, value in part.dimensions},
        "pieces": [
            {"name": p.name, "size": [round(v, 2) for v in p.size_mm], "volume": round(p.volume_mm3, 1)} for p in pieces
        ],
        "volume": round(part.volume_mm3, 1),
        "filament": round(part.volume_mm3 * filament_kg_m3(settings.filament) * 1e-6, 1) if part.printed else 0.0,
        "files": [f"{part.name}.step", *(f"{p.name}.stl" for p in pieces), f"{part.name}.3mf"],
    }
