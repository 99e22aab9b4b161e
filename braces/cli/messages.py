"""How problems are told: code, place with line, what was read, what to write. No more than 100 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable

from braces.app.study import Study
from braces.base.problems import Problem, where_text

WIDTH = 100
MOST_SHOWN = 100  #: more than anybody mends in one go


def problem_text(study: Study) -> str:
    """Return every problem of a study, in the order of the file."""
    rows = sorted(study.problems, key=lambda p: (study.line(p) or 0, p.code, p.found))
    return listed(study.path, rows, study.line)


def listed(
    file: object, problems: Iterable[Problem], line_of: Callable[[Problem], int | None] = lambda _problem: None
) -> str:
    """Return problems of a file, one block each; the first hundred in full."""
    rows = list(problems)
    blocks = [_block(file, p, line_of(p)) for p in rows[:MOST_SHOWN]]
    if len(rows) > MOST_SHOWN:
        blocks.append(f"and {len(rows) - MOST_SHOWN} more; mend these first.")
    return "\n\n".join(blocks)


def _block(file: object, p: Problem, line: int | None) -> str:
    head = f"{p.code}  {file}" + (f", line {line}" if line else "") + (f"  {where_text(p.where)}" if p.where else "")
    rows = [head if p.fatal else f"{head}  (a warning)", f"    found  {_sentence(p.found)}"]
    rows.append(f"    write  {_sentence(p.advice)}")
    return "\n".join(line for row in rows for line in _wrapped(row.strip(), row[: len(row) - len(row.lstrip())]))


def tally(study: Study) -> str:
    """Return "2 problems, 1 warning"."""
    fatal = sum(p.fatal for p in study.problems)
    parts = [counted(fatal, "problem")] if fatal else []
    if len(study.problems) > fatal:
        parts.append(counted(len(study.problems) - fatal, "warning"))
    return ", ".join(parts) or "no problems"


def counted(n: int, noun: str) -> str:
    """Return "1 problem" or "2 problems"."""
    return f"{n} {noun}" if n == 1 else f"{n} {noun}s"


def plain(text: object) -> str:
    """Return printable characters only: a file or its name may hold anything, a terminal should not obey it."""
    return "".join(c if c.isprintable() else "?" for c in str(text))


def _sentence(text: str) -> str:
    return plain(text).rstrip(".")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        plain(text), WIDTH, initial_indent=indent, subsequent_indent=indent + "       ", break_on_hyphens=False
    )
