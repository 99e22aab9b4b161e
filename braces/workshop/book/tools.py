"""The chapter of the tools to print."""

from __future__ import annotations

from dataclasses import dataclass

from braces.workshop.book.blocks import Chapter, Table, Words


@dataclass(frozen=True, slots=True)
class Tools:
    """What can be printed: each tool's name, how many, and what for."""

    rows: tuple[tuple[str, str, str], ...]
    made: bool  #: whether their files were made in the same run


def tool_chapter(tools: Tools) -> Chapter:
    """Return the list of the tools."""
    text = (
        "Made in the same run: STEP, STL and 3MF files in solids/tools, a card for each in tools.pdf. "
        if tools.made
        else "What can be printed for this design, true to its domes, profiles and laps; ask for it with --only tools. "
    )
    text += (
        "Printers and plastics shrink and warp: measure a printed tool, and try it on scrap, before you trust it. "
        "Mind hot nozzles and fumes; follow the instructions of the printer's and the plastic's makers."
    )
    head, rows = ("tool", "how many", "what for"), tools.rows
    if not tools.made:
        table = Table("", (head[0], head[2]), tuple((name, what) for name, _, what in rows))
    else:
        table = Table("", head, rows)
    return Chapter("tools", "Tools to print", (Words(text), table))
