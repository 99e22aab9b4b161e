"""The shop tools of a design: settings from its file, problems, files, pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from braces.app.study import Study, follow
from braces.base.problems import Problem
from braces.carved.values import Carved
from braces.design.model import Design
from braces.design.shop import ToolsSpec
from braces.solids.tools.names import TOOL_NAMES
from braces.solids.tools.settings import ToolSettings

if TYPE_CHECKING:
    from braces.sheets.tool_card import ToolCard


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


def tool_names() -> dict[str, str]:
    """Return every tool's name and what it is."""
    return TOOL_NAMES


def problems_of(carved: Carved) -> tuple[Problem, ...]:
    """Return what keeps the tools from being made, if the design asks for tools."""
    design = carved.placed.design
    if design.tools is None:
        return ()
    from braces.solids.tools.problems import tool_problems

    return (*_unknown(design.tools), *tool_problems(carved, settings_of(design)))


def _unknown(tools: ToolsSpec) -> list[Problem]:
    return [
        Problem("V04", ("tools", "make"), f'"{name[:40]}" is not a tool', f"use any of {', '.join(TOOL_NAMES)}")
        for name in tools.make
        if name not in TOOL_NAMES
    ]


@dataclass(frozen=True, slots=True, eq=False)
class ToolSet:
    """Some tools as they are written: files, rows for a table, cards for the picture pages."""

    files: dict[str, bytes]
    rows: list[dict[str, Any]]
    cards: list[ToolCard]


def tool_set(carved: Carved, mark: str, keys: Sequence[str]) -> ToolSet:
    """Make the tools of these kinds, in the order of the registry; ``mark`` is engraved beside their names."""
    from braces.app.tool_cards import card_of
    from braces.solids.tools.registry import chosen, part_files, tool_rows

    settings = settings_of(carved.placed.design, mark)
    made = ToolSet({}, [], [])
    for tool in chosen(keys):
        parts = tool.make(carved, settings)
        rows = tool_rows(parts, settings)
        made.rows.extend(rows)
        made.cards.extend(card_of(tool.title, p, row, settings) for p, row in zip(parts, rows, strict=True))
        for part in parts:
            made.files.update({f"solids/{path}": data for path, data in part_files(part).items()})
    return made


def tool_sets(study: Study, jobs: int) -> list[ToolSet]:
    """Return the tools a design asks for, all of them if it names none, made in ``jobs`` processes."""
    if study.carved is None or study.loaded is None:
        raise ValueError("only a sound design can be made")
    tools = study.loaded.design.tools
    keys = [k for k in TOOL_NAMES if tools is None or not tools.make or k in tools.make]
    if jobs < 2 or len(keys) < 2:
        return [tool_set(study.carved, study.revision_hash, [key]) for key in keys]
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    # A process of its own costs a start and the kernel's import; shared memory would cost a copy of every mesh.
    with ProcessPoolExecutor(
        min(jobs, len(keys)), get_context("spawn"), _begin, (str(study.path), study.loaded.text)
    ) as pool:
        return list(pool.map(_one, keys))


_STUDY: list[Study] = []  #: of a worker process, which follows the design once


def _begin(path: str, text: str) -> None:
    _STUDY[:] = [follow(path, text)]


def _one(key: str) -> ToolSet:
    study = _STUDY[0]
    assert study.carved is not None  # the design was sound where the work was given out
    return tool_set(study.carved, study.revision_hash, [key])
