"""Two designs side by side: analysed alike, and what their files say differently."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from braces.app.strength import strength_of
from braces.app.study import Study
from braces.base.units import UnitError, length_mm
from braces.mechanics.pairing import Pair, paired_modes
from braces.mechanics.values import Strength
from braces.reports.compare_tables import Difference


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """The analyses of two designs, their modes paired, and the fields that differ."""

    names: tuple[str, str]
    first: Strength
    second: Strength
    top: tuple[Pair, ...]
    back: tuple[Pair, ...]
    differences: tuple[Difference, ...]


def compare(first: Study, second: Study) -> Comparison:
    """Return two sound designs side by side. Raises DesignError if one does not say which strings it carries."""
    if first.carved is None or second.carved is None or first.loaded is None or second.loaded is None:
        raise ValueError("only sound designs can be compared")
    a, b = strength_of(first.carved, spread=False).strength, strength_of(second.carved, spread=False).strength
    names = (first.carved.placed.design.name, second.carved.placed.design.name)
    if names[0] == names[1]:
        names = (str(first.path), str(second.path))
    differences = tuple(_differences(tomllib.loads(first.loaded.text), tomllib.loads(second.loaded.text)))
    return Comparison(names, a, b, paired_modes(a.top, b.top), paired_modes(a.back, b.back), differences)


def _differences(a: Any, b: Any, where: str = "") -> Iterator[Difference]:
    """Yield every field that two files say differently, in the order of the first; braces go by their names."""
    if isinstance(a, dict) and isinstance(b, dict):
        for key in [*a, *(k for k in b if k not in a)]:
            yield from _differences(a.get(key), b.get(key), f"{where}.{key}" if where else key)
    elif _named(a) and _named(b):
        ours, theirs = ({item["name"]: item for item in rows} for rows in (a, b))
        for name in [*ours, *(n for n in theirs if n not in ours)]:
            yield from _differences(ours.get(name), theirs.get(name), f"{where}[{name}]")
    elif not _same(a, b):
        yield Difference(where, _text(a), _text(b))


def _named(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(v, dict) and "name" in v for v in value)


def _same(a: Any, b: Any) -> bool:
    if a == b:
        return True
    try:
        return abs(length_mm(a) - length_mm(b)) < 1e-9
    except UnitError:
        return False


def _text(value: Any) -> str:
    if value is None:
        return "-"
    if isinstance(value, dict):
        return "there"
    if isinstance(value, list):
        return f"{len(value)} entries"
    return str(value).lower() if isinstance(value, bool) else str(value)
