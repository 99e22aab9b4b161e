"""The fields about the strings: where they end, and how hard they pull."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from braces.design.part import Part
from braces.design.quantities import Force, Length, UnitWeight

NOTE_PATTERN = r"^[A-G][#b]?[0-8]$"


class OwnStringSpec(Part):
    """One string of your own: its pull, or what a length of it weighs."""

    note: str = Field(pattern=NOTE_PATTERN, description='the note it is tuned to, such as "E4" or "F#3"; A4 is 440 Hz')
    tension_n: Force | None = Field(
        None, alias="tension", gt=0, le=500, description="its pull at this scale, as its maker's chart says"
    )
    metre_mass_g: UnitWeight | None = Field(
        None, alias="unit_weight", gt=0, le=60, description="what a length of it weighs; the pull is worked out"
    )


class StringsSpec(Part):
    """What fixes the saddle line, and what pulls on the bridge."""

    scale_mm: Length = Field(alias="scale", ge=200, le=1000, description="scale length, nut to theoretical saddle")
    frets_clear_count: int = Field(alias="frets_clear", strict=True, ge=5, le=24, description="frets clear of the body")
    compensation_mm: Length = Field(
        0.0, alias="compensation", ge=-5, le=15, description="saddle set back beyond the scale"
    )
    set: Literal["extra light", "light", "medium", "nylon", "ukulele", "ukulele low G"] | None = Field(
        None, description="the strings it carries, for the mechanics"
    )
    each: tuple[OwnStringSpec, ...] = Field(
        (), max_length=18, description="your own strings in place of a set, for the mechanics"
    )
    height_mm: Length = Field(
        12.0, alias="height", ge=3, le=40, description="strings above the top at the saddle, for the mechanics"
    )
