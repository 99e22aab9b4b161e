"""A progress bar for long work, silent where nobody watches."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def steps(total: int) -> Iterator[Callable[[str], None]]:
    """Give a function that says what is being made now; one call for each of ``total`` steps."""
    if not sys.stderr.isatty():
        yield lambda _title: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description:28}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=total)
        begun = False

        def step(title: str) -> None:
            nonlocal begun
            bar.update(task, description=title, advance=1 if begun else 0)
            begun = True

        yield step
