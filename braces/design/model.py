"""The fields of a design file, declared once: names, units, limits, defaults and help.

Validation, the JSON Schema, the reference page and the defaults all come from these classes. In the file a length
is a text with its unit; here it is mm and its name says so.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from braces.design.braces import BRACE_LAYS, BraceSpec
from braces.design.closing import (
    AirSpec,
    ClampsSpec,
    DeckSpec,
    EdgesSpec,
    GlueSpec,
    PropSpec,
    RimSpec,
    RosetteSpec,
)
from braces.design.part import Part
from braces.design.quantities import Bedding, Length, OutlineField, Percent, PlaceField, PlainText
from braces.design.shop import Printer3dSpec, ToolsSpec
from braces.design.stock import OwnWoodSpec, StockSpec
from braces.design.strings import OwnStringSpec, StringsSpec

__all__ = [
    "BRACE_LAYS",
    "BodySpec",
    "BoutSpec",
    "BraceSpec",
    "BridgePlateSpec",
    "BridgeSpec",
    "Design",
    "DomeSpec",
    "LiningSpec",
    "OwnStringSpec",
    "OwnWoodSpec",
    "PlateSpec",
    "PrinterSpec",
    "SoundholeSpec",
    "StockSpec",
    "StringsSpec",
    "StripSpec",
]


class BoutSpec(Part):
    """A widest or narrowest place of the body."""

    width_mm: Length = Field(alias="width", ge=40, le=900, description="full width of the body there")
    at_mm: Length = Field(alias="at", gt=0, le=1200, description="along the centre line from the tail")


class DepthSpec(Part):
    """Depth of the body at the rim, outside of the top to outside of the back."""

    tail_mm: Length = Field(alias="tail", ge=20, le=250, description="at the tail end")
    neck_mm: Length = Field(alias="neck", ge=20, le=250, description="at the neck end")


class BodySpec(Part):
    """The body's outline and depth: length and bouts, or an outline file that says them."""

    outline: OutlineField = Field(None, description="an outline file beside the design, from braces trace")
    length_mm: Length = Field(alias="length", ge=120, le=900, description="tail to neck end on the centre line")
    lower_bout: BoutSpec
    waist: BoutSpec
    upper_bout: BoutSpec
    depth: DepthSpec
    side_mm: Length = Field(2.0, alias="side", ge=0.8, le=6, description="thickness of the bent sides")
    side_wood: str | None = Field(None, description="a wood of the table; that of the back if not given")
    tail_block_mm: Length = Field(
        20.0, alias="tail_block", ge=0, le=80, description="tail block, along the centre line"
    )
    neck_block_mm: Length = Field(
        50.0, alias="neck_block", ge=0, le=150, description="neck block, along the centre line"
    )
    tail_block_width_mm: Length = Field(60.0, alias="tail_block_width", ge=0, le=200, description="tail block, across")
    neck_block_width_mm: Length = Field(70.0, alias="neck_block_width", ge=0, le=200, description="neck block, across")


class LiningSpec(Part):
    """The strips inside the rim that the plates are glued to."""

    thickness_mm: Length = Field(6.5, alias="thickness", ge=1, le=25, description="from the side inwards")
    height_mm: Length = Field(16.0, alias="height", ge=3, le=40, description="along the side")
    wood: str = Field("basswood", description="a wood of the table, for what clamps may push")
    rim: Literal["lining", "hinged", "clamped", "free"] = Field(
        "lining", description="how the plates' edge is held, for the mechanics: on the lining as on springs, or ideally"
    )
    outward_n_mm3: Bedding = Field(
        40.0, alias="outward", gt=0, le=5000, description="how hard the lining is to press in, for the mechanics"
    )
    in_plane_n_mm3: Bedding = Field(
        0.5, alias="in_plane", gt=0, le=5000, description="how hard the rim is to push outwards, for the mechanics"
    )


class DomeSpec(Part):
    """The arch of a plate."""

    shape: Literal["sphere", "cylinder", "flat"] = Field(
        "sphere", description="cylinder: arched across, straight along"
    )
    radius_mm: Length | None = Field(
        None, alias="radius", ge=300, le=100000, description="of the outer face, as the dish is named"
    )
    apex: PlaceField | None = Field(
        None, description="highest place on the centre line; the middle of the body if not given"
    )


class SoundholeSpec(Part):
    """The soundhole."""

    diameter_mm: Length = Field(alias="diameter", ge=10, le=200, description="of the cut hole")
    centre: PlaceField = Field(description='its centre, such as "150 mm from the neck"')
    rosette_mm: Length = Field(0.0, alias="rosette", ge=0, le=60, description="width of the rosette round the hole")


class BridgeSpec(Part):
    """The bridge's foot, centred on the saddle line."""

    length_mm: Length = Field(alias="length", ge=30, le=300, description="across the top")
    width_mm: Length = Field(alias="width", ge=8, le=80, description="along the strings")
    saddle_from_front_mm: Length = Field(
        10.0,
        alias="saddle_from_front",
        ge=0,
        le=60,
        description="front edge of the bridge to the saddle line",
    )
    wood: str = Field("Indian rosewood", description="a wood of the table, for the mechanics")
    height_mm: Length = Field(
        8.0, alias="height", ge=2, le=30, description="mean height over its foot, for the mechanics"
    )


class BridgePlateSpec(Part):
    """The hardwood patch under the bridge."""

    wood: str = Field(description="a wood of the table")
    length_mm: Length = Field(
        alias="length", ge=20, le=350, description="across the top, before it is trimmed to the braces"
    )
    width_mm: Length = Field(alias="width", ge=8, le=120, description="along the strings")
    thickness_mm: Length = Field(alias="thickness", ge=0.5, le=8, description="of the patch")
    front_mm: Length = Field(12.0, alias="front", ge=-60, le=80, description="its front edge ahead of the saddle line")
    gap_mm: Length = Field(0.5, alias="gap", ge=0, le=10, description="left free beside the braces")


class StripSpec(Part):
    """The cross-grain strip over the centre joint."""

    wood: str = Field(description="a wood of the table")
    width_mm: Length = Field(alias="width", ge=4, le=60, description="across the joint")
    thickness_mm: Length = Field(alias="thickness", ge=0.5, le=8, description="of the strip")
    at_braces: Literal["strip cut", "brace relieved"] = Field(
        "strip cut", description="the strip stops at each brace, or each brace is notched over it"
    )
    clearance_mm: Length = Field(0.2, alias="clearance", ge=0, le=2, description="left free in all at each brace")


class PatchSpec(Part):
    """A flat piece glued inside a plate: a soundhole ring, or a graft across the centre."""

    name: str = Field(
        min_length=1, max_length=40, pattern=r"^[A-Za-z0-9][A-Za-z0-9 _-]*$", description="what it is called"
    )
    wood: str = Field(description="a wood of the table")
    thickness_mm: Length = Field(alias="thickness", ge=0.3, le=8, description="of the piece")
    shape: Literal["ring", "graft"] = Field(description="round the soundhole, or on the centre line")
    width_mm: Length = Field(alias="width", ge=3, le=120, description="of the ring; of the graft along the centre line")
    length_mm: Length | None = Field(None, alias="length", ge=5, le=400, description="of a graft, across the plate")
    at: PlaceField | None = Field(None, description="middle of a graft")
    gap_mm: Length = Field(0.5, alias="gap", ge=0, le=20, description="left free beside the braces, or round the hole")


class JoinSpec(Part):
    """A half-lap of two braces that cross."""

    between: tuple[str, str] = Field(description="the two braces")
    opens_to_plate: str = Field(description="the one that is cut from its glue face and goes on last")
    share: Percent = Field(0.5, ge=0.2, le=0.8, description="of the lower brace's height that the plate-side cut takes")
    clearance_mm: Length = Field(0.1, alias="clearance", ge=0, le=1, description="play across the notch, in all")


class PlateSpec(Part):
    """The top or the back."""

    wood: str = Field(description="a wood of the table")
    thickness_mm: Length = Field(alias="thickness", ge=0.8, le=12, description="finished thickness")
    dome: DomeSpec = DomeSpec()
    soundhole: SoundholeSpec | None = None
    bridge: BridgeSpec | None = None
    bridge_plate: BridgePlateSpec | None = None
    centre_strip: StripSpec | None = None
    brace_wood: str = Field(description="wood of the braces that name none of their own")
    patches: tuple[PatchSpec, ...] = Field((), max_length=20)
    laps: tuple[JoinSpec, ...] = Field((), max_length=200, description="half-laps not made by a rule")
    braces: tuple[Annotated[BraceSpec, Field(discriminator="lay")], ...] = Field((), max_length=200)


class PrinterSpec(Part):
    """What the 100 mm check bars measured on paper, to correct a printer that scales."""

    across_mm: Length = Field(100.0, alias="across", ge=91, le=110, description="the bar along the sheet's bottom edge")
    up_mm: Length = Field(100.0, alias="up", ge=91, le=110, description="the bar along the sheet's side")


class Design(Part):
    """One instrument."""

    name: PlainText = Field(min_length=1, max_length=60, description="what the instrument is called")
    revision: PlainText = Field("A", max_length=20, description="your own mark for this state of the design")
    handed: Literal["right", "left"] = Field("right", description="left mirrors the layout")
    body: BodySpec
    strings: StringsSpec
    lining: LiningSpec = LiningSpec()
    stock: StockSpec = StockSpec()
    printer: PrinterSpec = PrinterSpec()
    printer3d: Printer3dSpec = Printer3dSpec()
    tools: ToolsSpec | None = None
    rim: RimSpec = RimSpec()
    edges: EdgesSpec = EdgesSpec()
    rosette: RosetteSpec = RosetteSpec()
    deck: DeckSpec | None = None
    clamps: ClampsSpec = ClampsSpec()
    air: AirSpec = AirSpec()
    glue: GlueSpec = GlueSpec()
    props: tuple[PropSpec, ...] = Field((), max_length=20, description="temporary supports, one [[props]] each")
    top: PlateSpec
    back: PlateSpec

    def with_only(self, name: Literal["top", "back"]) -> Design:
        """Return the design without what stands on the other plate: all that the named one depends on.

        Two states of a design that differ on one plate only are equal in this of the other, which is then not worked
        out again.
        """
        other = "back" if name == "top" else "top"
        bare = getattr(self, other).model_copy(update={"braces": (), "laps": (), "patches": ()})
        return self.model_copy(update={other: bare, "name": "", "revision": "", "tools": None})
