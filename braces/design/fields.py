"""What the fields of a design say of themselves: keys, units, limits, words, the parts they hold."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel

from braces.base.units import mm_text

Models = list[type[BaseModel]]
_UNITS = {
    "_celsius": "C",
    "_mm": "mm",
    "_deg": "deg",
    "_ratio": "%",
    "_fraction": "%",
    "share": "%",
    "_mpa": "MPa",
    "_kg_m3": "kg/m3",
    "_n": "N",
    "metre_mass_g": "g/m",
    "_n_mm3": "N/mm3",
}
LIMITS = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}


def key_of(name: str, field: Any) -> str:
    """Return the key that a file uses for a field."""
    return str(field.alias or name)


def part_by_name(model: type[BaseModel] | None) -> type[BaseModel] | None:
    """Return the part that stands under names of the maker's own choice, as [stock.NAME] does, or None."""
    if model is None or model.model_config.get("extra") != "allow":
        return None
    found = part_models(get_args(get_type_hints(model)["__pydantic_extra__"])[1])
    return found[0] if found else None


def name_and_field(alias: str, model: type[BaseModel] | None) -> tuple[str, Any]:
    """Return a field's own name and the field, by the key that a file uses; (key, None) if there is none."""
    for name, field in (model.model_fields if model else {}).items():
        if key_of(name, field) == alias:
            return name, field
    return alias, None


def part_models(annotation: Any) -> Models:
    """Return every part named in a type, through Annotated, tuples, unions and None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if get_origin(annotation) in (Annotated, tuple, list, Union, UnionType):
        return [m for a in get_args(annotation) for m in part_models(a)]
    return []


def all_parts(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """Yield a part and every part below it, each once, in the order of their fields."""
    seen: set[type[BaseModel]] = set()
    waiting = [model]
    while waiting:
        part = waiting.pop(0)
        if part in seen:
            continue
        seen.add(part)
        yield part
        named = part_by_name(part)
        below = [m for f in part.model_fields.values() for m in part_models(f.annotation)]
        waiting = below + ([named] if named else []) + waiting


@cache
def tag_values(model: type[BaseModel]) -> tuple[str, ...]:
    """The words by which a file says that it means this part: of its needed field that allows but one word."""
    for field in model.model_fields.values():
        words = literals(field.annotation)
        if field.is_required() and words:
            return words if len(words) == 1 else ()
    return ()


def literals(annotation: Any) -> tuple[str, ...]:
    """Return the words that a type allows, also through unions; nothing if it is no choice of words."""
    if get_origin(annotation) is Literal:
        return tuple(str(v) for v in get_args(annotation))
    return tuple(v for a in get_args(annotation) for v in literals(a)) if get_origin(annotation) else ()


def unit_of(inner: str) -> str:
    """Return the unit that a field's own name says its values are written in; nothing if it has none."""
    return next((unit for end, unit in _UNITS.items() if inner.endswith(end)), "")


def value_text(inner: str, value: float) -> str:
    """Write a plain number of a field as a file would, such as "6.5 mm", "50 %" or "14"."""
    unit = unit_of(inner)
    return f"{mm_text(value * 100 if unit == '%' else value, 3)} {unit}".strip()


def limits_text(inner: str, field: Any) -> str:
    """Return the limits of a field as a maker would say them, such as "40 mm to 900 mm"; nothing if it has none."""
    found = {k: getattr(m, k) for m in field.metadata for k in LIMITS if getattr(m, k, None) is not None}
    shown = {k: value_text(inner, v) for k, v in found.items()}
    if "ge" in shown and "le" in shown:
        return f"{shown['ge']} to {shown['le']}"
    return " and ".join(f"{LIMITS[k]} {shown[k]}" for k in LIMITS if k in shown)


def first_line(model: type[BaseModel]) -> str:
    """Return what a part is, as the middle of a sentence."""
    line = (model.__doc__ or "").split("\n")[0].rstrip(".")
    return line[:1].lower() + line[1:]
