"""The fields of a design as a form: one row for each, with its words, limits and what the file says.

Everything comes from the declaration of the fields; nothing about a field is written here again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, get_origin

from pydantic import BaseModel

from braces.base.problems import Where, where_text
from braces.design.fields import (
    LIMITS,
    Models,
    first_line,
    key_of,
    limits_text,
    literals,
    part_by_name,
    part_models,
    tag_values,
    value_text,
)
from braces.design.model import Design
from braces.design.rewrite import read_at

_UNIT = re.compile(r"^[\d ./+-]+\s*(mm|cm|m|in|ft|deg|%|\"|″|'|′)$|\s(mm|deg|%)$")

_MORE = 0.1  #: what "more than" means to a hand
#: What the page opens besides the braces, in the order of a design file.
SECTIONS: tuple[Where, ...] = (
    (),
    *((key_of(name, field),) for name, field in Design.model_fields.items() if part_models(field.annotation)),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One field of a form."""

    where: Where
    key: str
    help: str
    limits: str
    written: str | None  #: as in the file; None if it is not there
    default: str
    choices: tuple[str, ...]  #: the words it may be, if it is a choice
    kind: str  #: "text", "choice", "number", "yes or no", "fixed"
    group: str  #: the part it stands in, such as "profile, valley"

    def table(self) -> dict[str, Any]:
        """Return it for the page."""
        return {
            "where": list(self.where),
            "name": where_text(self.where),
            "key": self.key,
            "help": self.help,
            "limits": self.limits,
            "written": self.written,
            "default": self.default,
            "choices": list(self.choices),
            "kind": self.kind,
            "group": self.group,
        }


def form(raw: dict[str, Any], where: Where) -> list[Row]:
    """Return the rows of a part of the design: its own fields and those of the parts in it, braces left out."""
    model = model_at(raw, where)
    if any(isinstance(step, int) for step in where) and read_at(raw, where) is None:
        return []
    return list(_rows(raw, where, model, "")) if model is not None else []


def model_at(raw: Any, where: Where) -> type[BaseModel] | None:
    """Return the part that a path of the file leads to, or None."""
    options: Models = [Design]
    value = raw
    for step in where:
        value = read_at(value, (step,))
        if isinstance(step, str):
            field = field_of(options[0], step) if options else None
            named = part_by_name(options[0]) if options and not field else None
            options = part_models(field[1].annotation) if field else [named] if named else []
        if len(options) > 1 and isinstance(value, dict):
            options = [m for m in options if _says(m, value)]
    return options[0] if options else None


def field_of(model: type[BaseModel], key: str) -> tuple[str, Any] | None:
    """Return a field's own name and the field, by its key in the file."""
    return next(((n, f) for n, f in model.model_fields.items() if key_of(n, f) == key), None)


def limits_at(raw: Any, where: Where) -> tuple[float | None, float | None]:
    """Return the least and greatest value a plain number of the file may have, in mm, degrees or shares of one."""
    model = model_at(raw, where[:-1])
    field = field_of(model, str(where[-1])) if model is not None else None
    low: float | None = None
    high: float | None = None
    for mark in field[1].metadata if field else ():
        for name in LIMITS:
            if (value := getattr(mark, name, None)) is not None:
                least = float(value) + (_MORE if name == "gt" else 0.0)
                low, high = (least, high) if name in ("ge", "gt") else (low, float(value))
    return low, high


def _says(model: type[BaseModel], value: Any) -> bool:
    tags = tag_values(model)
    return isinstance(value, dict) and bool(tags) and any(v in tags for v in value.values() if isinstance(v, str))


def _rows(raw: Any, where: Where, model: type[BaseModel], group: str) -> Iterator[Row]:
    for name, field in model.model_fields.items():
        key = key_of(name, field)
        here = (*where, key)
        models = part_models(field.annotation)
        if models and (get_origin(field.annotation) is tuple or key == "braces"):
            yield from _list_rows(raw, here, models, key, group)
        elif models:
            value = read_at(raw, here)
            inner = models if len(models) == 1 else [m for m in models if _says(m, value)]
            if value is not None and inner and where != ():
                yield from _rows(raw, here, inner[0], f"{group}, {key}" if group else key)
        else:
            yield _row(raw, here, name, key, field, model, group)
    yield from _named_rows(raw, where, model)


def _named_rows(raw: Any, where: Where, model: type[BaseModel]) -> Iterator[Row]:
    """The parts that stand under names of the maker's own choice, such as measured pieces of wood."""
    named, found = part_by_name(model), read_at(raw, where)
    if named is None or not isinstance(found, dict):
        return
    keys = {key_of(n, f) for n, f in model.model_fields.items()}
    for name, inner in found.items():
        if name not in keys and isinstance(inner, dict):
            yield from _rows(raw, (*where, name), named, name)


def _list_rows(raw: Any, where: Where, models: Models, key: str, group: str) -> Iterator[Row]:
    entries = read_at(raw, where)
    if key == "braces" or not isinstance(entries, list):
        return
    for i, entry in enumerate(entries):
        fitting = models if len(models) == 1 else [m for m in models if _says(m, entry)]
        if fitting:
            title = f"{key} {i + 1}"
            yield from _rows(raw, (*where, i), fitting[0], f"{group}, {title}" if group else title)


def _row(raw: Any, here: Where, name: str, key: str, field: Any, model: type[BaseModel], group: str) -> Row:
    value = read_at(raw, here)
    choices = literals(field.annotation)
    tag = bool(choices) and tag_values(model) == choices
    kind = "text"
    if tag or isinstance(value, dict | list):
        kind = "fixed"
    elif choices:
        kind = "choice"
    elif field.annotation is bool:
        kind = "yes or no"
    elif field.annotation is int:
        kind = "number"
    default = field.default
    shown = ""
    if isinstance(default, bool):
        shown = "yes" if default else "no"
    elif isinstance(default, int | float):
        shown = value_text(name, default)
    elif isinstance(default, str):
        shown = default
    text = str(field.description or "") or (first_line(model) if tag else "")
    return Row(here, key, text, limits_text(name, field), _written(value), shown, choices, kind, group)


def _written(value: Any) -> str | None:
    if value is None:
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict | list):
        return ", ".join(map(str, value)) if isinstance(value, list) else "a table"
    return str(value)


def as_value(row: Row, text: str) -> str | int | bool:
    """Return what is written into the file for a row. Raises ValueError with a sentence."""
    if row.kind == "fixed":
        raise ValueError("this is changed in the file itself")
    if row.kind == "yes or no":
        return text == "yes"
    if row.kind == "number":
        try:
            return int(text)
        except ValueError:
            raise ValueError("write a whole number") from None
    plain = text.strip()
    bare = plain.replace(".", "", 1).lstrip("+-")
    # Someone who types 8.5 over "8.5 mm" means mm; the unit is written all the same.
    unit = _UNIT.search(row.written or row.default or row.limits) if bare.isdigit() and bare.isascii() else None
    return f"{plain} {unit[1] or unit[2]}" if unit else plain
