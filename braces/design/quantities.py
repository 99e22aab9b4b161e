"""Field types of the design file: texts with units on the outside, plain numbers inside."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import BeforeValidator, SkipValidation, WithJsonSchema
from pydantic_core import PydanticCustomError

from braces.base.problems import as_read
from braces.base.units import (
    ANGLE_PATTERN,
    BEDDING,
    DENSITY,
    FORCE,
    LENGTH_PATTERN,
    MODULUS,
    SHARE_PATTERN,
    TEMPERATURE_PATTERN,
    UNIT_WEIGHT,
    Scale,
    UnitError,
    angle_deg,
    celsius,
    length_mm,
    share,
)
from braces.curves.path import Path


def _refuse(error: UnitError) -> PydanticCustomError:
    return PydanticCustomError(
        "V01" if error.bare else "V02", "{found}|{advice}", {"found": error.found, "advice": error.advice}
    )


def _length(value: object) -> float:
    try:
        return length_mm(value)
    except UnitError as error:
        raise _refuse(error) from None


def _angle(value: object) -> float:
    try:
        return angle_deg(value)
    except UnitError as error:
        raise _refuse(error) from None


def _share(value: object) -> float:
    try:
        return share(value)
    except UnitError as error:
        raise _refuse(error) from None


def _celsius(value: object) -> float:
    try:
        return celsius(value)
    except UnitError as error:
        raise _refuse(error) from None


def _schema(pattern: str, example: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern, "examples": [example]})


Length = Annotated[float, BeforeValidator(_length), _schema(LENGTH_PATTERN, "6.5 mm")]
Angle = Annotated[float, BeforeValidator(_angle), _schema(ANGLE_PATTERN, "98 deg")]
Celsius = Annotated[float, BeforeValidator(_celsius), _schema(TEMPERATURE_PATTERN, "20 C")]
Percent = Annotated[float, BeforeValidator(_share), _schema(SHARE_PATTERN, "50 %")]


def _on(scale: Scale) -> BeforeValidator:
    def read(value: object) -> float:
        try:
            return scale.read(value)
        except UnitError as error:
            raise _refuse(error) from None

    return BeforeValidator(read)


Modulus = Annotated[float, _on(MODULUS), _schema(MODULUS.pattern, MODULUS.example)]  #: MPa
Density = Annotated[float, _on(DENSITY), _schema(DENSITY.pattern, DENSITY.example)]  #: kg/m3
Force = Annotated[float, _on(FORCE), _schema(FORCE.pattern, FORCE.example)]  #: N
UnitWeight = Annotated[float, _on(UNIT_WEIGHT), _schema(UNIT_WEIGHT.pattern, UNIT_WEIGHT.example)]  #: g/m
Bedding = Annotated[float, _on(BEDDING), _schema(BEDDING.pattern, BEDDING.example)]  #: N/mm3


def _plain(value: object) -> object:
    """Names go on every sheet and on the terminal: nothing in them may act on either."""
    if isinstance(value, str) and not value.isprintable():
        raise PydanticCustomError(
            "V02",
            "{found}|{advice}",
            {"found": f"{as_read(value)} holds a character that cannot be printed", "advice": "write plain letters"},
        )
    return value


PlainText = Annotated[str, BeforeValidator(_plain)]


@dataclass(frozen=True, slots=True)
class Reach:
    """A place along something: a distance or a share of its length."""

    mm: float | None
    ratio: float | None

    def along(self, length_mm: float) -> float:
        """Return the distance, mm, on something ``length_mm`` long."""
        return self.mm if self.mm is not None else (self.ratio or 0.0) * length_mm


def _reach(value: object) -> Reach:
    if isinstance(value, Reach):
        return value
    try:
        if isinstance(value, str) and value.strip().endswith("%"):
            return Reach(None, share(value))
        return Reach(length_mm(value), None)
    except UnitError as error:
        raise PydanticCustomError(
            "V01" if error.bare else "V02",
            "{found}|{advice}",
            {"found": error.found, "advice": 'write a distance or a share, such as "60 mm" or "38 %"'},
        ) from None


REACH_PATTERN = f"({LENGTH_PATTERN})|({SHARE_PATTERN})"
ReachField = Annotated[Reach, BeforeValidator(_reach), _schema(REACH_PATTERN, "38 %")]

#: A file's name outside, the curve in it inside (``own_outline`` reads it before the fields are checked).
OutlineField = Annotated[
    Annotated[Path, SkipValidation] | None,
    WithJsonSchema({"type": "string", "examples": ["siskin.outline.toml"]}),
]

PLACES = ("soundhole", "saddle", "neck", "tail", "lower bout", "waist", "upper bout")
_PLACE = re.compile(r"^\s*(?:(.+?)\s+)?(below|above|from|at)\s+(?:the\s+)?(" + "|".join(PLACES) + r")\s*$", re.I | re.A)
PLACE_PATTERN = r"^\s*(.+\s+)?(below|above|from|at)\s+(the\s+)?(" + "|".join(PLACES) + r")\s*$"


@dataclass(frozen=True, slots=True)
class Place:
    """A height on the centre line named from something: "38 mm below the soundhole"."""

    anchor: str  #: one of PLACES
    sense: Literal["below", "above", "from", "at"]  #: below is towards the tail; "from" only for neck and tail
    by_mm: float


def _place(value: object) -> Place:
    if isinstance(value, Place):
        return value
    advice = 'write a place such as "38 mm below the soundhole", "205 mm from the neck" or "at the saddle"'
    match = _PLACE.match(" ".join(value.split())) if isinstance(value, str) and len(value) <= 80 else None
    if match is None or (match[2].lower() == "at") != (match[1] is None):
        raise _no_place(f"{as_read(value)} is not a place", advice)
    sense, anchor = match[2].lower(), match[3].lower()
    if sense == "from" and anchor not in ("neck", "tail"):
        found = f"{as_read(value)} does not say to which side"
        raise _no_place(found, f'write "... below the {anchor}" or "... above the {anchor}"')
    return Place(anchor, sense, _length(match[1]) if match[1] else 0.0)  # type: ignore[arg-type]


def _no_place(found: str, advice: str) -> PydanticCustomError:
    return PydanticCustomError("V02", "{found}|{advice}", {"found": found, "advice": advice})


PlaceField = Annotated[Place, BeforeValidator(_place), _schema(PLACE_PATTERN, "38 mm below the soundhole")]
