"""A progress bar for long work, silent where nobody watches."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def steps(total: int) -> Iterator[Callable[[str, float], None]]:
    """Give a function that says what is being made now, of ``total`` things, and which share of it is done.

    A share of 0 begins the next thing.
    """
    if not sys.stderr.isatty():
        yield lambda _title, _share: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    columns = (TextColumn("{task.description:28}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=total)
        begun = 0

        def step(title: str, share: float) -> None:
            nonlocal begun
            begun += share == 0.0
            bar.update(task, description=title[:28], completed=max(begun - 1, 0) + share)

        yield step
