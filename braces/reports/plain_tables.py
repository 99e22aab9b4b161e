"""Tables and paragraphs for a terminal, 100 columns at most."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

WIDTH = 100
_NAME_COUNT = 22  #: letters of a name that stay on one line


class Page:
    """A terminal's page that is written from the top."""

    def __init__(self) -> None:
        from rich.console import Console

        self._out = Console(file=io.StringIO(), width=WIDTH, color_system=None, legacy_windows=False, markup=False)

    def say(self, text: str = "", indent: str = "") -> None:
        """Write a paragraph, broken at the width."""
        self._out.print(textwrap.fill(text, WIDTH, subsequent_indent=indent, break_on_hyphens=False), highlight=False)

    def table(self, title: str, header: Sequence[str], rows: Iterable[Sequence[str]], align: str) -> None:
        """Write a table under its title; ``align`` has an l or r for each column. Nothing if there are no rows."""
        from rich import box
        from rich.table import Table

        body = list(rows)
        if not body:
            return
        # A title of the table itself would be broken at the table's width.
        self.say(title)
        table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
        least = min(_NAME_COUNT, max(len(row[0]) for row in body))
        for k, (name, side) in enumerate(zip(header, align, strict=True)):
            table.add_column(name, justify="right" if side == "r" else "left", min_width=least if k == 0 else None)
        for row in body:
            table.add_row(*row)
        self._out.print(table)

    def text(self) -> str:
        """Return what was written, without blanks at the ends of lines."""
        written: Any = self._out.file
        return "\n".join(line.rstrip() for line in str(written.getvalue()).rstrip().splitlines())
