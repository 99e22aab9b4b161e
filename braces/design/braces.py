"""The fields of one brace: how it lies, how it is shaped, how it ends."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from braces.design.part import Part
from braces.design.quantities import Angle, Length, Percent, PlaceField, ReachField

Side = Literal["bass", "treble"]


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
    short_mm: Length = Field(0.0, alias="short", ge=0, le=200, description="how far it stops short of the lining")


class LapSpec(Part):
    """The half-lap at a crossing."""

    opens_to_plate: str = Field(description="the brace that is cut from its glue face; the other is cut from above")
    share: Percent = Field(0.5, ge=0.2, le=0.8, description="of the lower brace's height that the plate-side cut takes")
    clearance_mm: Length = Field(0.1, alias="clearance", ge=0, le=1, description="play across the notch, in all")


class BraceBase(Part):
    """What every brace has."""

    name: str = Field(
        min_length=1,
        max_length=40,
        pattern=r"^[A-Za-z0-9][A-Za-z0-9 _-]*$",
        description="letters, digits, spaces and dashes",
    )
    wood: str | None = Field(None, description="a wood of the table, else the plate's brace_wood")
    width_mm: Length = Field(alias="width", ge=1, le=60, description="along the glue face, side to side")
    height_mm: Length = Field(alias="height", ge=1, le=60, description="greatest height above the glue face")
    section: SectionSpec = SquareSection(law="square")
    profile: ProfileSpec = TaperedProfile(law="tapered")
    ends: EndSpec | None = Field(None, description="both ends alike")
    start: EndSpec | None = Field(None, description="the first end, if unlike the other")
    end: EndSpec | None = Field(None, description="the last end, if unlike the other")


class AcrossBrace(BraceBase):
    """Rim to rim, square to the centre line or slanted; starts on the bass side."""

    lay: Literal["across"]
    at: PlaceField = Field(description="where it crosses the centre line")
    angle_deg: Angle = Field(
        90.0,
        alias="angle",
        ge=20,
        le=160,
        description="to the centre line; under 90 the treble end leans to the neck",
    )


class CrossingPairBrace(BraceBase):
    """Two sticks that cross: NAME-bass and NAME-treble, named by the side of the lower bout they run to."""

    lay: Literal["crossing pair"]
    crossing: PlaceField = Field(description="the crossing point on the centre line")
    offset_mm: Length = Field(0.0, alias="offset", ge=-80, le=80, description="of the crossing towards the treble side")
    angle_deg: Angle = Field(alias="angle", ge=30, le=150, description="included angle, open towards the tail")
    lap: LapSpec


class FromPointSpec(Part):
    """A point on another brace."""

    brace: str = Field(description="a brace named earlier in the same plate")
    at: ReachField = Field(description="distance, or share of what is left of the brace, from the place named by past")
    past: Literal["start", "crossing"] = Field(
        "crossing", description="where the distance is measured from, towards the brace's end"
    )
    joint: Literal["butt"] = Field("butt", description="how it meets the brace")


class FromBraceBrace(BraceBase):
    """Starts at another brace, runs to the rim."""

    lay: Literal["from brace to rim"]
    from_: FromPointSpec = Field(alias="from")
    angle_deg: Angle = Field(alias="angle", ge=0, le=180, description="from the centre line; 90 runs straight across")
    side: Side = Field(description="the side it runs to")
    towards: Literal["tail", "neck"] = Field("tail", description="the end it leans to")
    mirrored: bool = Field(False, description="make the mirror image too: NAME-bass and NAME-treble")


class RimPointSpec(Part):
    """A point on the rim."""

    side: Side = Field(description="which side of the body")
    at: PlaceField = Field(description="its height on the centre line")


class RimToRimBrace(BraceBase):
    """Between two points of the rim."""

    lay: Literal["rim to rim"]
    from_: RimPointSpec = Field(alias="from")
    to: RimPointSpec
    mirrored: bool = Field(False, description="make the mirror image too: NAME-bass and NAME-treble")


BraceSpec = AcrossBrace | CrossingPairBrace | FromBraceBrace | RimToRimBrace
BRACE_LAYS = ("across", "crossing pair", "from brace to rim", "rim to rim")
