"""The small test instrument with a curved brace on its back, alone or lapped with another."""

from __future__ import annotations

from typing import Any

from support.designs import raw_of, toml_text

from braces.carved.carve import carve
from braces.carved.values import Carved
from braces.design.load import parse
from braces.placed.place import place, placed_with_problems

BOW: dict[str, Any] = {
    "name": "bow",
    "lay": "curved",
    "from": {"rim": "bass", "at": "220 mm from the tail"},
    "to": {"rim": "treble", "at": "220 mm from the tail"},
    "bow": "20 mm",
    "bow_to": "neck",
    "laminations": 4,
    "width": "8 mm",
    "height": "12 mm",
    "profile": {"law": "straight"},
    "ends": {"kind": "tucked", "height": "3 mm", "length": "12 mm", "reach": "4 mm"},
}
ROD: dict[str, Any] = {
    "name": "rod",
    "lay": "between",
    "from": {"off": "20 mm", "at": "300 mm from the tail"},
    "to": {"off": "40 mm", "at": "180 mm from the tail"},
    "width": "9 mm",
    "height": "10 mm",
    "profile": {"law": "straight"},
    "ends": {"kind": "free", "height": "3 mm"},
}
BENT_ROD = ROD | {"lay": "curved", "bow": "12 mm", "bow_to": "bass", "laminations": 6}


def text_with(*braces: dict[str, Any], laps: list[dict[str, Any]] | None = None, **changes: Any) -> str:
    raw = raw_of("siskin") | changes
    raw["back"] = raw["back"] | {"braces": [*raw["back"]["braces"], *braces]} | ({"laps": laps} if laps else {})
    return toml_text(raw)


def with_braces(*braces: dict[str, Any], laps: list[dict[str, Any]] | None = None, **changes: Any) -> Carved:
    return carve(place(parse(text_with(*braces, laps=laps, **changes)).design))


def lapped(other: dict[str, Any], opens: str) -> Carved:
    """The bow and another brace that crosses it, lapped."""
    return with_braces(BOW, other, laps=[{"between": ["bow", "rod"], "opens_to_plate": opens}])


def codes(*braces: dict[str, Any], laps: list[dict[str, Any]] | None = None) -> list[str]:
    """Codes of what is wrong with the layout."""
    return [p.code for p in placed_with_problems(parse(text_with(*braces, laps=laps)).design)[1]]
