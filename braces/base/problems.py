"""What is wrong with a design, where, and what to do about it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

Where = tuple[str | int, ...]  #: path in the design file, e.g. ("top", "braces", 2, "height")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing a maker has to change, or (not fatal) should know."""

    code: str  #: stable, listed in data/problems.toml
    where: Where
    found: str  #: what was read
    advice: str  #: what to write instead
    fatal: bool = True

    def __str__(self) -> str:
        return f"{self.code} {where_text(self.where)}: {self.found}. {self.advice}"


class DesignError(Exception):
    """The design cannot be built. ``problems`` holds every reason at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


def where_text(where: Where) -> str:
    """Write a path as a maker finds it in the file; lists are counted from 1.

    >>> where_text(("top", "braces", 2, "height"))
    'top.braces[3].height'
    """
    text = ""
    for part in where:
        text += f"[{part + 1}]" if isinstance(part, int) else (f".{part}" if text else part)
    return text or "the file"


def as_read(value: object, longest: int = 60) -> str:
    """Return what was read from a file as a message shows it: texts in quotes, nothing long, lists by their kind.

    >>> as_read("5 parsecs"), as_read(12), as_read([1, 2]), as_read(True)
    ('"5 parsecs"', '12', 'a list', 'true')
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict | list | tuple):
        return "a table" if isinstance(value, dict) else "a list"
    if isinstance(value, int) and value.bit_length() > 100:
        return "a number of absurd length"  # Python refuses to write out the longest ones
    text = str(value)
    text = text if len(text) <= longest else f"{text[: longest - 3]}..."
    return f'"{text}"' if isinstance(value, str) else text


@cache
def known_codes() -> dict[str, dict[str, str]]:
    """Every code with its ``sentence`` and ``remedy``."""
    data = files("braces.base").joinpath("data", "problems.toml").read_text(encoding="utf-8")
    return tomllib.loads(data)
