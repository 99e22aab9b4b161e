"""Designs for the tests: the presets and the small test instrument, read, changed, placed and carved."""

from __future__ import annotations

import json
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

from braces.carved.carve import carve
from braces.carved.values import Carved
from braces.design.load import parse, preset_folder
from braces.design.model import Design
from braces.placed.place import place
from braces.placed.values import Placed

ROOT = Path(__file__).resolve().parents[2]
DATA = ROOT / "tests" / "data"
BAD = DATA / "bad"
TWO = ("fieldfare", "dunnock")  #: the two instruments that most tests look at


@cache
def text_of(name: str) -> str:
    """Text of a preset, or of the test instrument "siskin"."""
    folder = DATA if name == "siskin" else preset_folder()
    return (folder / f"{name}.toml").read_text(encoding="utf-8")


def edited(text: str, *changes: tuple[str, str]) -> str:
    """``text`` with the first occurrence of each left side replaced; each must occur."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def design_of(name: str, *changes: tuple[str, str]) -> Design:
    return parse(edited(text_of(name), *changes)).design


@cache
def placed_of(name: str, *changes: tuple[str, str]) -> Placed:
    return place(design_of(name, *changes))


@cache
def carved_of(name: str, *changes: tuple[str, str]) -> Carved:
    return carve(placed_of(name, *changes))


def raw_of(name: str) -> dict[str, Any]:
    """The tables of a design file, free to change."""
    return tomllib.loads(text_of(name))


def toml_text(raw: dict[str, Any]) -> str:
    """Write tables as TOML, each value on one line."""
    return "".join(f"{json.dumps(key)} = {_value(value)}\n" for key, value in raw.items())


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    # A TOML text in double quotes escapes as JSON does, apart from the one control character JSON leaves bare.
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
