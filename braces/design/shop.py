"""The fields about the maker's own shop: a 3D printer and the tools to make with it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from braces.design.part import Part
from braces.design.quantities import Length, PlainText


class Printer3dSpec(Part):
    """What the 3D printer can do."""

    bed: tuple[Length, Length, Length] = Field(
        (220.0, 220.0, 250.0), description="room to print in: across, deep and high; longer tools are split"
    )
    clearance_mm: Length = Field(
        0.15, alias="clearance", ge=0, le=1, description="between a tool and the wood it fits, on each side"
    )
    wall_mm: Length = Field(2.4, alias="wall", ge=0.8, le=10, description="cheeks, fences and cups")
    filament: PlainText = Field("PLA", max_length=40, description="PLA, PETG, ABS, ASA or nylon: what the parts weigh")


class ToolsSpec(Part):
    """Which shop tools to make, and how."""

    make: tuple[str, ...] = Field((), max_length=40, description="names of tools, as braces reference tools lists them")
    abrasive_mm: Length = Field(
        0.3, alias="abrasive", ge=0, le=2, description="thickness of paper and glue on a sanding caul"
    )
    gauge_mm: Length = Field(
        0.1, alias="gauge", ge=0.02, le=0.5, description="a go gauge is this much under, a no-go gauge over"
    )
    pad_mm: Length = Field(1.0, alias="pad", ge=0, le=6, description="cork or leather on an outer caul")
    convex_twin: bool = Field(False, description="also the convex block that hollows a dish")
    dowel_mm: Length = Field(
        4.0, alias="dowel", ge=2, le=6, description="diameter of the dowels that join the pieces of a block"
    )
    pin_mm: Length = Field(
        1.75, alias="pin", ge=1, le=2.4, description="of the pins that join a thin gauge: a length of filament"
    )
    cauls_on: Literal["carved edge", "blank"] = Field(
        "carved edge", description="what clamping cauls sit on: braces glued when carved, or as blanks"
    )
    seat_every_mm: Length = Field(
        70.0, alias="seat_every", ge=20, le=300, description="between go-bar seats on a clamping caul"
    )
    deck_mm: Length = Field(600.0, alias="deck", ge=150, le=2000, description="lowest point of the dish to the ceiling")
    bar_shape: Literal["slat", "rod"] = Field("slat", description="of the go-bars")
    bar_material: PlainText = Field(
        "white ash", max_length=40, description='a wood of the table, or "glass fibre": how hard the bars push'
    )
    bar_width_mm: Length = Field(18.0, alias="bar_width", ge=3, le=80, description="of a slat")
    bar_thickness_mm: Length = Field(
        6.0, alias="bar_thickness", ge=2, le=25, description="of a slat, or a rod's diameter"
    )
    bar_over_mm: Length = Field(
        8.0, alias="bar_over", ge=1, le=100, description="cut longer than the room, so that it bows"
    )
