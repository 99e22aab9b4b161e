"""Changing single values in a design's text: the maker's comments, order, blank lines and units stay as they are.

A TOML library that keeps the text's own form does the editing; what comes out is read back with the standard parser and
must differ from what went in by the changes asked for and nothing else.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Mapping
from typing import Any

from braces.base.problems import Where, where_text
from braces.base.units import MM_PER_UNIT, UnitError, length_mm, mm_text

Value = str | int | float | bool

_UNIT = re.compile(r"[a-z\"″'′]+\s*$", re.I)
_INCH = ("in", "inch", "inches", '"', "″")
_FOOT = ("ft", "foot", "feet", "'", "′")
#: Steps that a written size is rounded to: what a rule or a caliper at the bench can follow.
_STEP_MM = 0.1
_STEP_IN = 0.005


class CannotRewrite(Exception):  # noqa: N818 - reads as what it is
    """Why a value cannot be set, in a sentence for the maker."""


def rewrite(text: str, changes: Mapping[Where, Value]) -> str:
    """Return a design's text with values set at paths such as ("top", "braces", 0, "height"), all else as written.

    A key that is not there yet is added at the end of its table, a table that is missing is begun: a section of its own
    at the top level, in braces further down. List entries are counted from 0 and must be there. Raises CannotRewrite if
    a path leads nowhere or the text has a form that cannot be edited in place; ``text`` must be TOML.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        document = tomlkit.parse(text)
        if tomlkit.dumps(document) != text:
            raise CannotRewrite("the text has a form that cannot be edited in place")
        for where, value in changes.items():
            _set(document, where, value)
        made = tomlkit.dumps(document)
    except TOMLKitError as error:
        raise CannotRewrite(f"the text cannot be edited in place: {error}") from None
    wanted = tomllib.loads(text)
    for where, value in changes.items():
        _set_plain(wanted, where, value)
    if tomllib.loads(made) != wanted:
        raise CannotRewrite("the text has a form that cannot be edited in place")
    return made


def _set(document: Any, where: Where, value: Value) -> None:
    holder = document
    for depth, part in enumerate(where[:-1]):
        inside = _child(holder, part)
        if inside is None:
            if not isinstance(part, str) or isinstance(where[depth + 1], int) or not hasattr(holder, "keys"):
                raise CannotRewrite(f"there is no {where_text(where[: depth + 1])}")
            inside = _begin(holder, part, top=depth == 0)
        holder = inside
    last = where[-1]
    there = _child(holder, last)
    if there is None and not (isinstance(last, str) and hasattr(holder, "keys")):
        raise CannotRewrite(f"there is no {where_text(where)}")
    if isinstance(there, dict | list):
        raise CannotRewrite(f"{where_text(where)} is a table or a list, not a single value")
    _put(holder, last, value)


def _child(holder: Any, part: str | int) -> Any:
    """What stands under a key or a number; None if there is nothing."""
    if isinstance(part, int):
        return holder[part] if isinstance(holder, list) and 0 <= part < len(holder) else None
    return holder[part] if hasattr(holder, "keys") and part in holder else None


def _begin(holder: Any, part: str, top: bool) -> Any:
    import tomlkit

    _put(holder, part, tomlkit.table() if top else tomlkit.inline_table())
    made = holder[part]
    if not top:
        made.add(tomlkit.ws(" "))
    return made


def _put(holder: Any, part: str | int, value: Any) -> None:
    """Set a value; a table in braces that had a blank before its closing brace, or is new, keeps one."""
    import tomlkit
    from tomlkit.items import InlineTable

    spaced = isinstance(holder, InlineTable) and part not in holder and not holder.as_string().rstrip("}")[-1:].strip()
    holder[part] = value
    if spaced:
        holder.add(tomlkit.ws(" "))


def _set_plain(raw: Any, where: Where, value: Value) -> None:
    for part in where[:-1]:
        raw = raw.setdefault(part, {}) if isinstance(raw, dict) else raw[part]
    raw[where[-1]] = copy.copy(value)


def read_at(raw: Any, where: Where) -> Any:
    """Return the value at a path of parsed TOML, or None if it is not there."""
    for part in where:
        try:
            raw = raw[part]
        except (KeyError, IndexError, TypeError):
            return None
    return raw


def length_text(value_mm: float, like: object = None) -> str:
    """Write a length in the unit that ``like`` is written in; in mm if that is no length with a unit.

    Sizes are rounded to what can be read at the bench: 0.1 mm, or 0.005 in. An inch fraction comes back as a decimal.

    >>> length_text(8.26, "8.5 mm"), length_text(8.26, "5/16 in"), length_text(8.26)
    ('8.3 mm', '0.325 in', '8.3 mm')
    """
    unit = _unit(like)
    name = unit.lower()
    if name in _INCH:
        return f"{mm_text(round(value_mm / 25.4 / _STEP_IN) * _STEP_IN, 3)} {unit}"
    if name in _FOOT:
        return f"{mm_text(value_mm / 304.8, 4)} {unit}"
    size = MM_PER_UNIT[name]
    return f"{mm_text(round(value_mm / _STEP_MM) * _STEP_MM / size, {'mm': 1, 'cm': 2, 'm': 4}[name])} {unit}"


def _unit(like: object) -> str:
    """The unit of a written length as its maker writes it."""
    try:
        length_mm(like)
    except UnitError:
        return "mm"
    found = _UNIT.search(str(like))
    return found[0].strip() if found else "mm"
