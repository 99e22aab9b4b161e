"""The fields about closing the box: rim, edges, rosette, go-bar deck, clamps, air, glue, props. All may be left out."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from braces.design.part import Part
from braces.design.quantities import Angle, Celsius, Length, Percent, PlaceField, PlainText


class FlatBoutSpec(Part):
    """An upper bout sanded to a plane, for a neck extension that lies flat."""

    start: PlaceField = Field(alias="from", description='where the plane begins, such as "70 mm above the soundhole"')
    lowered_mm: Length = Field(
        0.0, alias="lowered", ge=0, le=10, description="how much lower than the dome's edge it lies at the neck end"
    )


class RimSpec(Part):
    """The rim before the plates go on."""

    sanding_mm: Length = Field(
        1.0, alias="sanding", ge=0, le=5, description="left on each edge of a side for sanding in the dish"
    )
    flat_bout: FlatBoutSpec | None = None


class EdgesSpec(Part):
    """The strips let into the plates' edges; 0 for none."""

    binding_mm: Length = Field(2.0, alias="binding", ge=0, le=8, description="width of the bindings")
    purfling_mm: Length = Field(1.5, alias="purfling", ge=0, le=6, description="width of the purflings inside them")


class RosetteSpec(Part):
    """How the rosette's channel is routed; its width stands with the soundhole."""

    land_mm: Length = Field(
        4.0, alias="land", ge=0, le=30, description="top left between the hole's edge and the channel"
    )
    depth_mm: Length = Field(1.5, alias="depth", ge=0.2, le=6, description="of the channel")
    cutter_mm: Length = Field(3.0, alias="cutter", ge=0.5, le=20, description="diameter of the bit")
    pass_mm: Length = Field(0.8, alias="pass", ge=0.1, le=5, description="deepest cut in one pass")
    step_ratio: Percent = Field(
        0.9, alias="step", ge=0.1, le=1, description="from one circle to the next, of the bit's diameter"
    )


class DeckSpec(Part):
    """The go-bar deck, also for the printed tools. Without this section the figures of [tools] hold."""

    height_mm: Length = Field(
        600.0, alias="height", ge=150, le=2000, description="lowest point of the dish to the ceiling"
    )
    caul_mm: Length = Field(6.0, alias="caul", ge=0, le=40, description="strip between brace and bars")
    bar_material: str = Field("white ash", max_length=40, description='a wood of the table, or "glass fibre"')
    bar_shape: Literal["slat", "rod"] = Field("slat", description="of the bars")
    bar_thickness_mm: Length = Field(
        5.0, alias="bar_thickness", ge=2, le=25, description="of a slat, the way it bends, or a rod's diameter"
    )
    bar_width_mm: Length = Field(18.0, alias="bar_width", ge=3, le=80, description="of a slat")
    bar_length_mm: Length | None = Field(
        None, alias="bar_length", ge=100, le=2500, description="as cut; worked out from bar_over if not given"
    )
    bar_over_mm: Length = Field(
        6.0, alias="bar_over", ge=1, le=100, description="cut longer than the room where that is greatest"
    )
    spacing_mm: Length | None = Field(
        None,
        alias="spacing",
        ge=15,
        le=200,
        description="between bars; twice the height of brace and caul, but 25 to 80 mm, if not given",
    )
    glued: Literal["as blanks", "carved"] = Field("as blanks", description="state of the braces when they go on")


class ClampsSpec(Part):
    """The clamps that close the box."""

    spacing_mm: Length = Field(
        45.0, alias="spacing", ge=10, le=200, description="middle to middle along the outline, at most"
    )
    pad_mm: Length = Field(20.0, alias="pad", ge=5, le=100, description="length of a pad or caul along the rim")
    held: Literal["in a mould", "free"] = Field("in a mould", description="how the rim stands while it is clamped")
    safe_fraction: Percent = Field(
        0.5, alias="safe", ge=0.05, le=1, description="of what the weakest part stands that a clamp may push"
    )


class AirSpec(Part):
    """The air while gluing, and the air the instrument will live in."""

    glued_fraction: Percent = Field(
        0.45, alias="glued", ge=0.2, le=0.8, description="relative humidity of the workshop while gluing"
    )
    least_fraction: Percent = Field(0.3, alias="least", ge=0.1, le=0.9, description="driest air of the table")
    most_fraction: Percent = Field(0.65, alias="most", ge=0.1, le=0.9, description="dampest air of the table")
    step_fraction: Percent = Field(0.05, alias="step", ge=0.01, le=0.2, description="from row to row of the table")
    temperature_celsius: Celsius = Field(20.0, alias="temperature", ge=5, le=40, description="of the air")
    ring_angle_deg: Angle = Field(
        90.0, alias="ring_angle", ge=0, le=90, description="growth rings to the plate's face: 90 deg is quartersawn"
    )
    allowed_fraction: Percent = Field(
        0.25, alias="allowed", ge=0.02, le=0.9, description="change of a dome's radius that is put up with"
    )


class GlueSpec(Part):
    """The glue. Its times are entered from its maker's sheet; the program knows none."""

    name: PlainText = Field("your glue", min_length=1, max_length=60, description="what it is called")
    hot: bool = Field(False, description="hide glue from the pot")
    open_minutes_count: int | None = Field(
        None, alias="open_minutes", strict=True, ge=1, le=600, description="to be together within"
    )
    clamp_minutes_count: int | None = Field(
        None, alias="clamp_minutes", strict=True, ge=1, le=4320, description="to be left pressed for"
    )
    pressed_by: Literal["dish and go-bars", "clamps"] = Field(
        "dish and go-bars", description="what presses the braces to their plate"
    )


class PropSpec(Part):
    """A temporary support between back and top while something is glued."""

    at: PlaceField = Field(description='its height on the plan, such as "30 mm below the soundhole"')
    off_centre_mm: Length = Field(0.0, alias="off_centre", ge=0, le=450, description="from the centre line")
    side: Literal["bass", "treble"] = Field("treble", description="to which side of the centre line")
    width_mm: Length = Field(12.0, alias="width", ge=3, le=60, description="of its section")
    thickness_mm: Length = Field(12.0, alias="thickness", ge=3, le=60, description="of its section")
    freed_by_mm: Length = Field(
        3.0, alias="freed_by", ge=0, le=40, description="how much shorter its wedge or screw makes it"
    )
