"""What a validation error means to a maker."""

from __future__ import annotations

import difflib
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError

from braces.base.problems import Problem, Where
from braces.base.units import mm_text
from braces.design.model import Design

_UNITS = {"_mm": "mm", "_deg": "deg"}


def explained(error: ValidationError, raw: dict[str, Any]) -> list[Problem]:
    """Return one problem for each error, in the order of the fields."""
    return [_problem(e, raw) for e in error.errors(include_url=False)]


def _problem(e: Any, raw: dict[str, Any]) -> Problem:
    where, value, model = _place(e["loc"], raw)
    kind, ctx = e["type"], e.get("ctx", {})
    name = str(where[-1]) if where else ""
    if kind in ("V01", "V02"):
        return Problem(kind, where, ctx["found"], ctx["advice"])
    if kind == "extra_forbidden":
        return Problem("K01", where, f'"{_short(name)}" is not known here', _nearest(name, model))
    if kind == "missing":
        return Problem("K02", where, f'"{name}" is missing', f"add {name} = ... ({_help(name, model)})")
    if kind == "union_tag_not_found":
        tag = str(ctx["discriminator"]).strip("'")
        return Problem("K02", (*where, tag), f'"{tag}" is missing', f"add {tag} = one of {_tags(e)}")
    if kind == "union_tag_invalid":
        tag = str(ctx["discriminator"]).strip("'")
        return Problem(
            "V04", (*where, tag), f'"{_short(ctx["tag"])}" is not known', f"use one of {ctx['expected_tags']}"
        )
    if kind == "literal_error":
        return Problem("V04", where, f'"{_short(value)}" is not known', f"use one of {ctx['expected']}")
    if kind in ("greater_than", "greater_than_equal", "less_than", "less_than_equal"):
        return Problem("V03", where, f'"{_short(value)}" is out of range', _range(kind, ctx, where, model))
    if kind.startswith(("string_too", "too_")):
        return Problem("V03", where, f"{_short(value)} is out of range", e["msg"].lower())
    if kind == "string_pattern_mismatch":
        return Problem("V02", where, f'"{_short(value)}" cannot be used here', f"write {_help(name, model)}")
    return Problem("K03", where, f"{_short(value)} is of the wrong kind", f"{e['msg'].lower()} ({_help(name, model)})")


def _short(value: Any) -> str:
    text = str(value).replace("\n", " ")
    return text if len(text) <= 50 else text[:47] + "..."


def _tags(e: Any) -> str:
    return str(e["ctx"].get("expected_tags") or "the words the reference lists")


def _place(loc: tuple[str | int, ...], raw: Any) -> tuple[Where, Any, type[BaseModel] | None]:
    """Drop the union tags from an error's place; find the value read and the model that holds the key."""
    where: Where = ()
    value: Any = raw
    model: type[BaseModel] | None = Design
    holder = model
    for part in loc:
        options = _models_of(holder, str(where[-1]) if where and isinstance(where[-1], str) else None, where)
        tagged = {t: m for m in options for t in _tag_values(m)}
        present = isinstance(value, dict) and part in value
        if isinstance(part, str) and part in tagged and not present:
            holder = tagged[part]
            continue
        where += (part,)
        if isinstance(part, str):
            model = holder
            holder = _child(holder, part)
        value = _get(value, part)
    return where, value, model


def _get(value: Any, part: str | int) -> Any:
    try:
        return value[part]
    except (KeyError, IndexError, TypeError):
        return None


def _field(model: type[BaseModel] | None, alias: str) -> Any:
    for name, field in (model.model_fields if model else {}).items():
        if (field.alias or name) == alias:
            return name, field
    return None, None


_Models = list[type[BaseModel]]


def part_models(annotation: Any) -> _Models:
    """Return every part named in a type, through Annotated, tuples, unions and None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    if get_origin(annotation) in (Annotated, tuple, list, Union, UnionType):
        return [m for a in get_args(annotation) for m in part_models(a)]
    return []


def _child(model: type[BaseModel] | None, alias: str) -> type[BaseModel] | None:
    _, field = _field(model, alias)
    options = part_models(field.annotation) if field is not None else []
    return options[0] if options else None


def _models_of(model: type[BaseModel] | None, _alias: str | None, where: Where) -> _Models:
    """Models among which a tag may choose at this point: all that share the holder's base."""
    if model is None or not where:
        return []
    parent: type[BaseModel] | None = Design
    options: _Models = []
    for part in where:
        if isinstance(part, int):
            continue
        _, field = _field(parent, part)
        options = part_models(field.annotation) if field is not None else []
        parent = options[0] if options else None
    return options


def _tag_values(model: type[BaseModel]) -> tuple[str, ...]:
    for tag in ("lay", "law"):
        if tag in model.model_fields:
            return tuple(str(v) for v in get_args(model.model_fields[tag].annotation))
    return ()


def _keys(model: type[BaseModel] | None) -> list[str]:
    return [f.alias or n for n, f in (model.model_fields if model else {}).items()]


def _nearest(name: str, model: type[BaseModel] | None) -> str:
    keys = _keys(model)
    close = difflib.get_close_matches(name, keys, n=1, cutoff=0.5)
    return f'did you mean "{close[0]}"?' if close else f"known here: {', '.join(keys)}"


def _help(name: str, model: type[BaseModel] | None) -> str:
    _, field = _field(model, name)
    return field.description if field is not None and field.description else "see the reference"


def _range(kind: str, ctx: dict[str, Any], where: Where, model: type[BaseModel] | None) -> str:
    alias = next((str(p) for p in reversed(where) if isinstance(p, str)), "")
    name, _ = _field(model, alias)
    unit = next((u for s, u in _UNITS.items() if (name or "").endswith(s)), "")
    key, value = next((k, ctx[k]) for k in ("ge", "gt", "le", "lt") if k in ctx)
    shown = f"{value * 100:g} %" if name == "share" else f"{mm_text(value)} {unit}".strip()
    words = {"ge": "at least", "gt": "more than", "le": "at most", "lt": "less than"}[key]
    return f"write {words} {shown} ({_help(alias, model)})"
