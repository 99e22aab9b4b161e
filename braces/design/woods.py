"""Woods by name: what the table says of them, with its source."""

from __future__ import annotations

import difflib
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from braces.base.problems import Problem, Where
from braces.design.model import Design


@dataclass(frozen=True, slots=True)
class Wood:
    """One row of the table."""

    name: str
    density_kg_m3: float  #: at 12 % moisture content
    provenance: str  #: "text", "memory" or "computed"
    source: str


@cache
def woods() -> dict[str, Wood]:
    """The whole table, by lower-case name."""
    text = files("braces.design").joinpath("data", "woods.toml").read_text(encoding="utf-8")
    table = tomllib.loads(text)
    return {name: Wood(name, row["density"], row["provenance"], row["source"]) for name, row in table.items()}


def wood(name: str) -> Wood:
    """Return a wood by its name, whatever its capitals. Raises KeyError."""
    return woods()[" ".join(name.lower().split())]


def wood_problems(design: Design) -> list[Problem]:
    """Return a problem for every wood that is not in the table."""
    named: list[tuple[Where, str]] = []
    for plate_name in ("top", "back"):
        plate = getattr(design, plate_name)
        named += [((plate_name, "wood"), plate.wood), ((plate_name, "brace_wood"), plate.brace_wood)]
        for part in ("bridge_plate", "centre_strip"):
            if (spec := getattr(plate, part)) is not None:
                named.append(((plate_name, part, "wood"), spec.wood))
        named += [((plate_name, "braces", i, "wood"), b.wood) for i, b in enumerate(plate.braces) if b.wood]
    return [Problem("V05", where, f'"{name[:40]}" is not in the table of woods', _advice(name))
            for where, name in named if " ".join(name.lower().split()) not in woods()]


def _advice(name: str) -> str:
    close = difflib.get_close_matches(name.lower(), woods(), n=3, cutoff=0.4)
    return f"use {' or '.join(close)}" if close else f"use one of {', '.join(sorted(woods()))}"
