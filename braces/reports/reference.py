"""The reference: fields of the design file, problems, keys of summary.json and bench.json, from where declared."""

from __future__ import annotations

import textwrap
import tomllib
from collections.abc import Iterator, Mapping
from importlib.resources import files
from typing import Any

from pydantic import BaseModel

from braces.base.problems import known_codes
from braces.design.fields import all_parts, key_of, limits_text, literals, part_models, value_text
from braces.design.model import Design
from braces.design.quantities import Place, Reach

WIDTH = 100


class UnknownTopic(Exception):  # noqa: N818 - reads as what it is
    """Neither a topic nor a code."""


def reference_text(topic: str) -> str:
    """Return a part of the reference as plain text. Raises UnknownTopic."""
    if topic == "fields":
        return fields_text()
    if topic == "problems":
        return "\n".join(problem_lines(code) for code in known_codes())
    if topic == "summary":
        return listed_text(summary_keys())
    if topic == "bench":
        return listed_text(bench_keys())
    if topic.upper() in known_codes():
        return problem_lines(topic.upper())
    raise UnknownTopic(
        f'There is nothing on "{topic[:40]}"; ask for fields, problems, summary, bench, tools, or a code such as C01.'
    )


def listed_text(entries: Mapping[str, str]) -> str:
    """Return names and what they mean, one to a row."""
    return "\n".join(_row(key, text) for key, text in entries.items())


def problem_lines(code: str) -> str:
    """Return a code with its sentence and remedy."""
    entry = known_codes()[code]
    return _row(code, f"{entry['sentence']} {entry['remedy']}", 6)


def summary_keys() -> dict[str, str]:
    """Return the documented keys of summary.json, in the order of their table."""
    return _keys("summary_keys.toml")


def bench_keys() -> dict[str, str]:
    """Return the documented keys of bench.json, in the order of their table."""
    return _keys("bench_keys.toml")


def _keys(file: str) -> dict[str, str]:
    text = files("braces.reports").joinpath("data", file).read_text(encoding="utf-8")
    return {str(k): str(v) for k, v in tomllib.loads(text).items()}


def fields_text() -> str:
    """Return every field of the design file, part by part."""
    blocks = []
    for model in all_parts(Design):
        doc = " ".join((model.__doc__ or "").split())
        rows = [_row(alias, text, 24) for alias, text in field_rows(model)]
        blocks.append("\n".join([*textwrap.wrap(f"{_title(model)}: {doc}", WIDTH), *rows]))
    return "\n\n".join(blocks)


def field_rows(model: type[BaseModel]) -> Iterator[tuple[str, str]]:
    """Yield (key, what it is) of each field of a part."""
    for name, field in model.model_fields.items():
        needed = "needed" if field.is_required() else _default(name, field.default)
        allowed = limits_text(name, field)
        parts = [field.description or _points_to(field.annotation), _kind(field.annotation), allowed, needed]
        yield key_of(name, field), "; ".join(p for p in parts if p)


def _points_to(annotation: Any) -> str:
    return " or ".join(dict.fromkeys(_title(m) for m in part_models(annotation)))


def _title(model: type[BaseModel]) -> str:
    words = "".join(f" {c}" if c.isupper() else c for c in model.__name__.removesuffix("Spec")).strip()
    return words.capitalize()


def _kind(annotation: Any) -> str:
    words = () if part_models(annotation) else literals(annotation)
    return "one of " + ", ".join(f'"{w}"' for w in words) if words else ""


def _default(name: str, value: Any) -> str:
    if value is None or isinstance(value, Reach | Place | BaseModel | tuple):
        return "optional"
    if isinstance(value, bool):
        return f"{str(value).lower()} if not given"
    if isinstance(value, int | float):
        return f"{value_text(name, value)} if not given"
    return f'"{value}" if not given'


def _row(key: str, text: str, indent: int = 28) -> str:
    head = f"  {key}".ljust(indent)
    lines = textwrap.wrap(text, WIDTH - indent) or [""]
    first = head + lines[0] if len(head) <= indent else f"{head}\n{' ' * indent}{lines[0]}"
    return "\n".join([first, *(" " * indent + line for line in lines[1:])])
