"""Field types of the design file: texts with units on the outside, plain numbers inside."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from braces.base.units import (
    ANGLE_PATTERN,
    LENGTH_PATTERN,
    SHARE_PATTERN,
    UnitError,
    angle_deg,
    length_mm,
    share,
)


def _refuse(error: UnitError) -> PydanticCustomError:
    return PydanticCustomError(
        "V01" if error.bare else "V02", "{found}|{advice}", {"found": error.found, "advice": error.advice}
    )


def _length(value: object) -> float:
    if isinstance(value, float) and getattr(value, "_mm", False):
        return value
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


def _schema(pattern: str, example: str) -> WithJsonSchema:
    return WithJsonSchema({"type": "string", "pattern": pattern, "examples": [example]})


Length = Annotated[float, BeforeValidator(_length), _schema(LENGTH_PATTERN, "6.5 mm")]
Angle = Annotated[float, BeforeValidator(_angle), _schema(ANGLE_PATTERN, "98 deg")]
Percent = Annotated[float, BeforeValidator(_share), _schema(SHARE_PATTERN, "50 %")]


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


ReachField = Annotated[Reach, BeforeValidator(_reach), _schema(f"({LENGTH_PATTERN})|({SHARE_PATTERN})", "38 %")]

PLACES = ("soundhole", "saddle", "neck", "tail", "lower bout", "waist", "upper bout")
_PLACE = re.compile(r"^\s*(?:(.+?)\s+)?(below|above|from|at)\s+(?:the\s+)?(" + "|".join(PLACES) + r")\s*$", re.I)
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
    match = _PLACE.match(value) if isinstance(value, str) and len(value) <= 80 else None
    if match is None:
        shown = str(value)[:60]
        raise PydanticCustomError("V02", "{found}|{advice}", {"found": f'"{shown}" is not a place', "advice": advice})
    sense, anchor = match[2].lower(), match[3].lower()
    if (sense == "at") != (match[1] is None):
        raise PydanticCustomError("V02", "{found}|{advice}", {"found": f'"{value}" is not a place', "advice": advice})
    if sense == "from" and anchor not in ("neck", "tail"):
        raise PydanticCustomError(
            "V02",
            "{found}|{advice}",
            {
                "found": f'"{value}" does not say to which side',
                "advice": f'write "... below the {anchor}" or "... above"',
            },
        )
    return Place(anchor, sense, _length(match[1]) if match[1] else 0.0)  # type: ignore[arg-type]


PlaceField = Annotated[Place, BeforeValidator(_place), _schema(PLACE_PATTERN, "38 mm below the soundhole")]


def limits(low: float | None = None, high: float | None = None) -> Any:
    """Return inclusive limits for a field, in mm, degrees or shares."""
    return Field(ge=low, le=high)
