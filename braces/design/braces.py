"""The fields of one brace: how it lies and what it is; its shape is in ``shapes``."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from braces.design.part import Part
from braces.design.quantities import Angle, Length, Percent, PlaceField, ReachField
from braces.design.shapes import EndSpec, ProfileSpec, SectionSpec, SquareSection, TaperedProfile

Side = Literal["bass", "treble"]


class CapSpec(Part):
    """A patch over a lap, or a strip along the top of a brace."""

    wood: str = Field(description="a wood of the table")
    thickness_mm: Length = Field(alias="thickness", ge=0.2, le=6, description="of the patch or strip")
    length_mm: Length | None = Field(None, alias="length", ge=5, le=200, description="of a patch, along either brace")


class LapSpec(Part):
    """The half-lap at a crossing."""

    opens_to_plate: str = Field(description="the brace that is cut from its glue face; the other is cut from above")
    share: Percent = Field(0.5, ge=0.2, le=0.8, description="of the lower brace's height that the plate-side cut takes")
    clearance_mm: Length = Field(0.1, alias="clearance", ge=0, le=1, description="play across the notch, in all")
    cap: CapSpec | None = Field(None, description="a patch glued over the lap")


class CutOutSpec(Part):
    """A passage through a brace."""

    at: ReachField = Field(description="its middle, from the start")
    width_mm: Length = Field(alias="width", ge=1, le=60, description="along the brace")
    depth_mm: Length = Field(alias="depth", ge=0.5, le=40, description="from the face it opens to")
    opens_to: Literal["plate", "room"] = Field("plate", description="the face it is cut from")


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
    cap_strip: CapSpec | None = Field(None, description="a strip glued along its carved edge")
    cut_outs: tuple[CutOutSpec, ...] = Field((), max_length=8, description="passages through it, as for a truss rod")
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
    angle_deg: Angle = Field(alias="angle", ge=0, le=90, description="from the centre line; 90 runs straight across")
    side: Side = Field(description="the side it runs to")
    towards: Literal["tail", "neck"] = Field("tail", description="the end it leans to")
    mirrored: bool = Field(False, strict=True, description="make the mirror image too: NAME-bass and NAME-treble")


class RimPointSpec(Part):
    """A point on the rim."""

    side: Side = Field(description="which side of the body")
    at: PlaceField = Field(description="its height on the centre line")


class RimToRimBrace(BraceBase):
    """Between two points of the rim."""

    lay: Literal["rim to rim"]
    from_: RimPointSpec = Field(alias="from")
    to: RimPointSpec
    mirrored: bool = Field(False, strict=True, description="make the mirror image too: NAME-bass and NAME-treble")


class PointSpec(Part):
    """An end of a brace: on the rim, on another brace, or free in the plan."""

    rim: Side | None = Field(None, description="the side of the rim it ends at; needs at")
    at: PlaceField | None = Field(None, description="its height on the centre line")
    off_mm: Length | None = Field(None, alias="off", ge=-450, le=450, description="a free point, to the treble side")
    brace: str | None = Field(None, description="the brace it ends on; needs along")
    along: ReachField | None = Field(None, description="distance or share along that brace")
    past: Literal["start", "crossing"] = Field("start", description="where that is measured from")


class BetweenBrace(BraceBase):
    """Between two points, each on the rim, on a brace, or free."""

    lay: Literal["between"]
    from_: PointSpec = Field(alias="from")
    to: PointSpec
    mirrored: bool = Field(False, strict=True, description="make the mirror image too: NAME-bass and NAME-treble")


class CurvedBrace(BraceBase):
    """An arc between two points, glued up from thin strips bent on a form; its ends lie on the arc carried on."""

    lay: Literal["curved"]
    from_: PointSpec = Field(alias="from")
    to: PointSpec
    bow_mm: Length | None = Field(
        None, alias="bow", ge=1, le=200, description="how far the arc lies from the straight line between its points"
    )
    radius_mm: Length | None = Field(
        None, alias="radius", ge=40, le=20000, description="of the centre line, in place of the bow"
    )
    bow_to: Literal["tail", "neck", "bass", "treble"] = Field(description="the side to which it bows")
    laminations: int = Field(
        strict=True, ge=2, le=40, description="strips it is glued up from, side by side; all of one thickness"
    )
    mirrored: bool = Field(False, strict=True, description="make the mirror image too: NAME-bass and NAME-treble")


class FanBrace(BraceBase):
    """Sticks that spread from a focus: NAME-1, NAME-2 ... from the bass to the treble side."""

    lay: Literal["fan"]
    count: int = Field(strict=True, ge=1, le=25, description="how many")
    focus: PlaceField = Field(description="where their lines would meet, on the centre line; it may lie off the body")
    pitch_mm: Length = Field(alias="pitch", ge=3, le=150, description="between neighbours, measured on the pitch line")
    pitch_at: PlaceField = Field(description="the pitch line")
    offset_mm: Length = Field(0.0, alias="offset", ge=-60, le=60, description="shift along the pitch line, to treble")
    head: PlaceField | None = Field(None, description="where they begin; a start with on = ... begins them at a brace")
    foot: PlaceField | None = Field(None, description="where they end; the rim or end.on if not given")
    head_step_mm: Length = Field(0.0, alias="head_step", ge=-60, le=60, description="each begins lower, outwards")
    foot_step_mm: Length = Field(0.0, alias="foot_step", ge=-60, le=60, description="each ends higher, outwards")


class RegionSpec(Part):
    """A four-sided region about the centre line."""

    top: PlaceField = Field(description="its edge towards the neck")
    top_width_mm: Length = Field(alias="top_width", ge=5, le=900, description="its width there")
    bottom: PlaceField = Field(description="its edge towards the tail")
    bottom_width_mm: Length = Field(alias="bottom_width", ge=5, le=900, description="its width there")
    from_lining_mm: Length = Field(6.0, alias="from_lining", ge=0, le=120, description="least distance from the lining")


class FamilySpec(Part):
    """One family of parallel sticks of a lattice."""

    angle_deg: Angle = Field(alias="angle", ge=0, le=180, description="from the centre line, to the treble side")
    pitch_mm: Length = Field(alias="pitch", ge=8, le=200, description="between neighbours, square to them")


class LatticeBrace(BraceBase):
    """Two families of parallel sticks, half-lapped wherever they cross: NAME-a1 ... and NAME-b1 ..."""

    lay: Literal["lattice"]
    centre: PlaceField = Field(description="where the two middle sticks cross")
    a: FamilySpec = Field(description="the family that lies on the plate and is cut from above")
    b: FamilySpec = Field(description="the family that is cut from its glue face and goes on last")
    region: RegionSpec
    lap_share: Percent = Field(0.5, ge=0.2, le=0.8, description="of the height that the plate-side cuts take")
    clearance_mm: Length = Field(0.1, alias="clearance", ge=0, le=1, description="play across each notch, in all")
    overhang_mm: Length = Field(
        10.0, alias="overhang", ge=3, le=120, description="how far each stick runs on beyond its last crossing, at most"
    )


BraceSpec = (
    AcrossBrace
    | CrossingPairBrace
    | FromBraceBrace
    | RimToRimBrace
    | BetweenBrace
    | CurvedBrace
    | FanBrace
    | LatticeBrace
)
BRACE_LAYS = ("across", "crossing pair", "from brace to rim", "rim to rim", "between", "curved", "fan", "lattice")
