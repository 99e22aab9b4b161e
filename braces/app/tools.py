"""The shop tools of a design: settings from its file, problems, files, pictures."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from braces.app.study import Study, follow
from braces.base.problems import DesignError, Problem
from braces.carved.values import Carved
from braces.design.closing import DeckSpec
from braces.design.model import Design
from braces.design.shop import ToolsSpec
from braces.solids.tools.names import TOOL_NAMES
from braces.solids.tools.settings import ToolSettings

if TYPE_CHECKING:
    from multiprocessing.context import BaseContext

    from braces.sheets.tool_card import ToolCard


WORTH_IT = 3  #: fewer processes gain less than their start and the kernel's import cost


def settings_of(design: Design, mark: str = "") -> ToolSettings:
    """Return what a design says of the printer, the deck and the tools; the deck's own section goes first."""
    printer, tools = design.printer3d, design.tools or ToolsSpec()
    made = ToolSettings(
        bed_mm=printer.bed,
        clearance_mm=printer.clearance_mm,
        wall_mm=printer.wall_mm,
        filament=printer.filament,
        dowel_mm=tools.dowel_mm,
        pin_mm=tools.pin_mm,
        cauls_on=tools.cauls_on,
        gauge_mm=tools.gauge_mm,
        abrasive_mm=tools.abrasive_mm,
        pad_mm=tools.pad_mm,
        convex_twin=tools.convex_twin,
        seat_every_mm=tools.seat_every_mm,
        deck_mm=tools.deck_mm,
        bar_shape=tools.bar_shape,
        bar_material=tools.bar_material,
        bar_width_mm=tools.bar_width_mm,
        bar_thickness_mm=tools.bar_thickness_mm,
        bar_over_mm=tools.bar_over_mm,
        mark=mark,
    )
    return made if design.deck is None else _on_deck(made, design.deck)


def _on_deck(settings: ToolSettings, deck: DeckSpec) -> ToolSettings:
    return replace(
        settings,
        deck_mm=deck.height_mm,
        bar_shape=deck.bar_shape,
        bar_material=deck.bar_material,
        bar_width_mm=deck.bar_width_mm,
        bar_thickness_mm=deck.bar_thickness_mm,
        bar_over_mm=deck.bar_over_mm,
    )


def tool_names() -> dict[str, str]:
    """Return every tool's name and what it is."""
    return TOOL_NAMES


def problems_of(carved: Carved) -> tuple[Problem, ...]:
    """Return what keeps the tools from being made, if the design asks for tools."""
    return _problems(carved) if carved.placed.design.tools is not None else ()


def _problems(carved: Carved) -> tuple[Problem, ...]:
    design = carved.placed.design
    from braces.solids.tools.problems import tool_problems

    return (*_unknown(design.tools or ToolsSpec()), *tool_problems(carved, settings_of(design)))


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
    from braces.app.tool_cards import cards_of
    from braces.solids.tools.registry import chosen, part_files, tool_rows

    settings = settings_of(carved.placed.design, mark)
    made = ToolSet({}, [], [])
    for tool in chosen(keys):
        parts = tool.make(carved, settings)
        rows = tool_rows(parts, settings)
        made.rows.extend(rows)
        made.cards.extend(cards_of(tool.title, parts, rows, settings))
        for part in parts:
            made.files.update({f"solids/{path}": data for path, data in part_files(part).items()})
    return made


def tool_sets(study: Study, jobs: int, step: Callable[[str, float], None]) -> list[ToolSet]:
    """Return the tools a design asks for, all of them if it names none, made in up to ``jobs`` processes.

    ``step`` is told what is being made and which share of all is done. Raises DesignError where the printer or the
    bench cannot do it.
    """
    if study.carved is None or study.loaded is None:
        raise ValueError("only a sound design can be made")
    if problems := _problems(study.carved):
        raise DesignError(problems)
    made: list[ToolSet] = []
    tools = study.loaded.design.tools
    keys = [k for k in TOOL_NAMES if tools is None or not tools.make or k in tools.make]
    if jobs < WORTH_IT or len(keys) < 2:
        for k, key in enumerate(keys):
            step(_words(key), (k + 0.5) / len(keys))
            made.append(tool_set(study.carved, study.revision_hash, [key]))
        return made
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(min(jobs, len(keys)), _context(), _begin, (str(study.path), study.loaded.text)) as pool:
        for k, done in enumerate(pool.map(_one, keys), 1):
            made.append(done)
            step(_words(keys[k - 1]), k / len(keys))
    return made


def _words(key: str) -> str:
    return f"{key.replace('-', ' ')}s"


def _context() -> BaseContext:
    """Return how processes are begun: from one that has loaded what they need, where the system can do that."""
    from multiprocessing import get_all_start_methods, get_context

    if "forkserver" not in get_all_start_methods():
        return get_context("spawn")
    context = get_context("forkserver")
    context.set_forkserver_preload(
        ["__main__", "braces.app.study", "braces.app.tool_cards", "braces.solids.tools.registry"]
    )
    return context


_STUDY: list[Study] = []  #: of a worker process, which follows the design once


def _begin(path: str, text: str) -> None:
    _STUDY[:] = [follow(path, text)]


def _one(key: str) -> ToolSet:
    study = _STUDY[0]
    assert study.carved is not None  # the design was sound where the work was given out
    return tool_set(study.carved, study.revision_hash, [key])
