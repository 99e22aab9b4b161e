"""What a validation error means to a maker."""

from __future__ import annotations

import difflib
from functools import cache
from typing import Any, get_origin

from pydantic import BaseModel, ValidationError

from braces.base.problems import Problem, Where, as_read
from braces.design.fields import (
    LIMITS,
    Models,
    first_line,
    limits_text,
    literals,
    name_and_field,
    part_by_name,
    part_models,
    tag_values,
    unit_of,
)
from braces.design.model import Design
from braces.design.quantities import Place, Reach

#: What to write where the kind of a value is wrong, by the validator's own name of what it expected.
_KINDS = {
    "string": 'write a text in double quotes, as in "..."',
    "int": "write a whole number, without quotes",
    "bool": "write true or false, without quotes",
    "model": "write a table, as in { key = ..., key = ... }, or a section of its own",
    "tuple": "write a list, as in [ ..., ... ]; a section that may come again has double brackets: [[...]]",
}


def explained(error: ValidationError, raw: dict[str, Any]) -> list[Problem]:
    """Return one problem for each error, in the order of the fields."""
    found = (_problem(e, raw) for e in error.errors(include_url=False))
    return [p for p in found if p is not None]


def _problem(e: Any, raw: dict[str, Any]) -> Problem | None:
    where, value, model, options = _place(e["loc"], raw)
    kind, ctx = e["type"], e.get("ctx", {})
    name = str(where[-1]) if where else ""
    if kind in ("V01", "V02"):
        return Problem(kind, where, ctx["found"], ctx["advice"])
    if kind == "extra_forbidden" or (kind == "model_type" and _field(name, model) is None and part_by_name(model)):
        return Problem("K01", where, f"{as_read(name, 40)} is not known here", _nearest(name, model))
    if kind == "missing":
        return Problem("K02", where, f'"{name}" is missing', f"add {_entry(name, model)}{_in_brackets(name, model)}")
    if kind == "union_tag_not_found":
        tag = str(ctx["discriminator"]).strip("'")
        return Problem("K02", (*where, tag), f'"{tag}" is missing', f"add {tag} = {_words(_tags(options))}")
    if kind == "union_tag_invalid":
        tag = str(ctx["discriminator"]).strip("'")
        return _not_a_word((*where, tag), _get(value, tag), _tags(options))
    if kind == "literal_error":
        return _not_a_word(where, value, _allowed(name, model))
    if any(k in ctx for k in LIMITS):
        return Problem("V03", where, f"{as_read(value)} is out of range", f"write {_range(name, model)}")
    if kind.startswith(("string_too", "too_")):
        return _wrong_count(where, value, ctx)
    if kind == "string_pattern_mismatch":
        return Problem("V02", where, f"{as_read(value)} cannot be used here", f"write {_help(name, model)}")
    advice = _KINDS.get(kind.split("_")[0], str(e["msg"]).lower())
    return Problem("K03", where, f"{as_read(value)} is of the wrong kind", f"{advice}{_in_brackets(name, model)}")


def _place(loc: tuple[str | int, ...], raw: Any) -> tuple[Where, Any, type[BaseModel] | None, Models]:
    """Follow an error's place through the file and the parts at once.

    Return the place without the validator's own words for the kind of a part, the value read there, the part that
    holds the key, and the parts that the value itself may be.
    """
    where: Where = ()
    value: Any = raw
    holder: type[BaseModel] | None = None
    options: Models = [Design]
    for step in loc:
        chosen = [m for m in options if step in tag_values(m)] if len(options) > 1 else []
        if chosen:
            options = chosen
            continue
        where, value = (*where, step), _get(value, step)
        if isinstance(step, str):
            holder = options[0] if options else None
            options = _parts_of(step, holder)
    return where, value, holder, options


@cache
def _parts_of(alias: str, model: type[BaseModel] | None) -> Models:
    """The parts that a key of a part may hold; remembered, since a broken file may hold it thousands of times."""
    field = _field(alias, model)
    if field is not None:
        return part_models(field.annotation)
    named = part_by_name(model)
    return [named] if named else []


def _get(value: Any, part: str | int) -> Any:
    try:
        return value[part]
    except (KeyError, IndexError, TypeError):
        return None


def _field(alias: str, model: type[BaseModel] | None) -> Any:
    return name_and_field(alias, model)[1]


def _tags(options: Models) -> tuple[str, ...]:
    return tuple(v for m in options for v in tag_values(m))


def _allowed(name: str, model: type[BaseModel] | None) -> tuple[str, ...]:
    field = _field(name, model)
    return literals(field.annotation) if field is not None else ()


def _words(words: tuple[str, ...]) -> str:
    shown = [f'"{w}"' for w in words]
    return " or ".join([", ".join(shown[:-1]), shown[-1]]) if len(shown) > 1 else "".join(shown)


def _not_a_word(where: Where, value: Any, words: tuple[str, ...]) -> Problem:
    close = difflib.get_close_matches(str(value).lower(), words, n=1) if isinstance(value, str) else []
    hint = f'did you mean "{close[0]}"? ' if close else ""
    return Problem(
        "V04",
        where,
        f"{as_read(value)} is not known",
        f"{hint}Write {_words(words)}" if hint else f"write {_words(words)}",
    )


def _nearest(name: str, model: type[BaseModel] | None) -> str:
    keys = [f.alias or n for n, f in (model.model_fields if model else {}).items()]
    close = difflib.get_close_matches(name[:60].lower(), keys, n=1, cutoff=0.5)
    return f'did you mean "{close[0]}"?' if close else f"known here: {', '.join(keys)}"


def _help(name: str, model: type[BaseModel] | None) -> str:
    """What a key means; of a part, what it is."""
    field = _field(name, model)
    if field is None:
        return ""
    parts = part_models(field.annotation) if get_origin(field.annotation) is not tuple else []
    return str(field.description or " or ".join(first_line(m) for m in parts[:1]))


def _in_brackets(name: str, model: type[BaseModel] | None) -> str:
    text = _help(name, model)
    return f" ({text})" if text else ""


def _entry(name: str, model: type[BaseModel] | None) -> str:
    """How a missing key would be written."""
    inner, field = name_and_field(name, model)
    words = _allowed(name, model)
    parts = part_models(field.annotation) if field is not None else []
    if parts and model is Design:
        return f"a section [{name}]"
    if parts:
        keys = [f.alias or n for n, f in parts[0].model_fields.items() if f.is_required()]
        return f"{name} = {{ {', '.join(f'{k} = ...' for k in keys)} }}"
    if words:
        return f"{name} = {_words(words)}"
    if field is not None and field.annotation is Place:
        return f'{name} = "... mm below the soundhole", or from another place,'
    return f"{name} = {_blank(inner, field)}"


def _blank(inner: str, field: Any) -> str:
    """A text to fill in, with the unit it needs."""
    if field is None or field.annotation in (int, bool):
        return "..."
    if field.annotation is Reach:
        return '"... mm" or "... %"'
    unit = unit_of(inner)
    return f'"... {unit}"' if unit else '"..."'


def _range(name: str, model: type[BaseModel] | None) -> str:
    inner, field = name_and_field(name, model)
    return f"{limits_text(inner, field)}{_in_brackets(name, model)}" if field is not None else "a smaller number"


def _wrong_count(where: Where, value: Any, ctx: dict[str, Any]) -> Problem | None:
    """A text or a list that is too short or too long; none if it is only short of its faulty entries."""
    low, high, count = ctx.get("min_length"), ctx.get("max_length"), len(value)
    if low is not None and count >= low:
        return None
    what = ("character" if isinstance(value, str) else "entry"), ("characters" if isinstance(value, str) else "entries")
    advice = f"write at least {low} {what[low != 1]}" if low is not None else f"write at most {high} {what[1]}"
    return Problem("V03", where, f"{as_read(value)} has {count} {what[count != 1]}", advice)
