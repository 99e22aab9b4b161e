"""How problems are told: code, place with line, what was read, what to write. No more than 100 columns."""

from __future__ import annotations

import textwrap

from braces.app.study import Study
from braces.base.problems import where_text

WIDTH = 100
MOST_SHOWN = 100  #: more than anybody mends in one go


def problem_text(study: Study) -> str:
    """Return every problem of a study, in the order of the file."""
    rows = sorted(study.problems, key=lambda p: (study.line(p) or 0, p.code, p.found))
    blocks = []
    for p in rows[:MOST_SHOWN]:
        line = study.line(p)
        place = f"{study.path}, line {line}" if line else f"{study.path}"
        head = f"{p.code}  {place}" + (f"  {where_text(p.where)}" if p.where else "")
        if not p.fatal:
            head += "  (a warning)"
        blocks.append(
            "\n".join(
                [
                    *_wrapped(head, ""),
                    *_wrapped(f"found  {_sentence(p.found)}", "    "),
                    *_wrapped(f"write  {_sentence(p.advice)}", "    "),
                ]
            )
        )
    if len(rows) > MOST_SHOWN:
        blocks.append(f"and {len(rows) - MOST_SHOWN} more; mend these first.")
    return "\n\n".join(blocks)


def tally(study: Study) -> str:
    """Return "2 problems, 1 warning"."""
    fatal = sum(p.fatal for p in study.problems)
    parts = [_count(fatal, "problem")] if fatal else []
    if len(study.problems) > fatal:
        parts.append(_count(len(study.problems) - fatal, "warning"))
    return ", ".join(parts) or "no problems"


def _count(n: int, noun: str) -> str:
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
