"""The shape of a brace: its section, its profile, its ends."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from braces.design.part import Part
from braces.design.quantities import Length, ReachField


class SquareSection(Part):
    """A plain rectangle."""

    law: Literal["square"]
    blend_mm: Length = Field(20.0, alias="blend", ge=1, le=200, description="not used by a square section")


class TaperedSection(Part):
    """Sides that lean in to a narrower top."""

    law: Literal["tapered"]
    top_width_mm: Length = Field(alias="top_width", ge=0, le=60, description="width of the carved edge")
    upright_mm: Length = Field(
        1.0, alias="upright", ge=0.3, le=30, description="height of the upright part at the glue face"
    )
    blend_mm: Length = Field(
        20.0, alias="blend", ge=1, le=200, description="length over which it turns square at a joint"
    )


class GabledSection(Part):
    """A level land with straight shoulders."""

    law: Literal["gabled"]
    land_mm: Length = Field(alias="land", ge=0, le=60, description="width of the level top")
    shoulder_mm: Length = Field(
        alias="shoulder", gt=0, le=40, description="fall of the shoulder where the brace is full height"
    )
    blend_mm: Length = Field(
        20.0, alias="blend", ge=1, le=200, description="length over which it turns square at a joint"
    )


class RoundedSection(Part):
    """A parabolic cap."""

    law: Literal["rounded"]
    shoulder_mm: Length | None = Field(
        None,
        alias="shoulder",
        gt=0,
        le=40,
        description="height of the cap at full height; half the width if not given",
    )
    blend_mm: Length = Field(
        20.0, alias="blend", ge=1, le=200, description="length over which it turns square at a joint"
    )


SectionSpec = Annotated[SquareSection | TaperedSection | GabledSection | RoundedSection, Field(discriminator="law")]


class StationSpec(Part):
    """A place on a profile and the height there."""

    at: ReachField = Field(description="a distance, or a share of the leg it lies on")
    height_mm: Length = Field(alias="height", gt=0, le=80, description="above the glue face")


class ProfileBase(Part):
    """What every profile can say."""

    high_at: ReachField | None = Field(
        None,
        description="place of full height from the start; the crossing, the butted end or the middle if not given",
    )
    land_mm: Length = Field(0.0, alias="land", ge=0, le=400, description="length at full height about the high place")


class StraightProfile(ProfileBase):
    """Full height all along, falling to its ends."""

    law: Literal["straight"]
    run_mm: Length | None = Field(
        None,
        alias="run",
        gt=0,
        le=300,
        description="length over which it falls to a low end; three times the fall if not given",
    )


class TaperedProfile(ProfileBase):
    """Highest at one place, falling to its ends."""

    law: Literal["tapered"]
    curve: Literal["line", "arc", "parabola"] = Field("parabola", description="how it falls")


class ScallopedProfile(ProfileBase):
    """Full height, hollowed to a valley, risen to a peak, falling to the end."""

    law: Literal["scalloped"]
    valley: StationSpec = Field(description="share or distance along the leg, from the high place to the end")
    peak: StationSpec = Field(description="the same for the peak")
    legs: Literal["end", "both"] = Field("end", description="which legs are scalloped; the other falls in a parabola")


class StationsProfile(Part):
    """Your own heights."""

    law: Literal["stations"]
    stations: tuple[StationSpec, ...] = Field(
        min_length=2, max_length=100, description="from the start; the curve never overshoots them"
    )


ProfileSpec = Annotated[
    StraightProfile | TaperedProfile | ScallopedProfile | StationsProfile, Field(discriminator="law")
]


class EndSpec(Part):
    """How a brace ends."""

    kind: Literal["tucked", "butted", "feathered", "free"] = Field(
        description="let into the lining; against the lining or a brace; run out thin; short of everything"
    )
    height_mm: Length | None = Field(
        None, alias="height", ge=0.3, le=60, description="at the end; full height if butted and not given"
    )
    length_mm: Length = Field(0.0, alias="length", ge=0, le=120, description="of the level low end")
    reach_mm: Length = Field(0.0, alias="reach", ge=0, le=25, description="how far a tucked end goes into the lining")
    on: str | None = Field(None, description="the brace it ends on, not the rim; x is either x- stick")
    inlet_mm: Length = Field(0.0, alias="inlet", ge=0, le=20, description="how far it is let into that brace")
    lapped: bool = Field(False, description="run on to the far side of that brace, half-lapped with it")
    short_mm: Length = Field(0.0, alias="short", ge=0, le=200, description="how far it stops short of the lining")
