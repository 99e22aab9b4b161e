"""What the shop's printer and bench ask of the tools."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Bed = tuple[float, float, float]
BarShape = Literal["slat", "rod"]
CaulsOn = Literal["carved edge", "blank"]


@dataclass(frozen=True, slots=True)
class ToolSettings:
    """Everything about a tool that does not come from the instrument."""

    bed_mm: Bed = (220.0, 220.0, 250.0)  #: across, back, up: what the printer can fill
    clearance_mm: float = 0.15  #: between a tool and the wood it fits, on each side
    gauge_mm: float = 0.1  #: a go gauge is this much under, a no-go gauge this much over
    wall_mm: float = 2.4  #: of cheeks, fences and cups
    filament: str = "PLA"
    dowel_mm: float = 4.0  #: dowels that join the pieces of a block
    pin_mm: float = 1.75  #: pins that join the pieces of a thin gauge: a length of filament
    abrasive_mm: float = 0.3  #: thickness of paper and glue on a sanding face
    pad_mm: float = 1.0  #: cork or leather on an outer caul
    convex_twin: bool = False  #: also the convex sanding block that hollows a dish
    seat_every_mm: float = 70.0  #: between go-bar seats on a clamping caul, about
    deck_mm: float = 600.0  #: lowest point of the dish to the deck's ceiling
    cauls_on: CaulsOn = "carved edge"  #: what clamping cauls sit on
    bar_shape: BarShape = "slat"
    bar_material: str = "white ash"  #: a wood of the table, or "glass fibre"
    bar_width_mm: float = 18.0  #: of a slat
    bar_thickness_mm: float = 6.0  #: of a slat, or a rod's diameter
    bar_over_mm: float = 8.0  #: cut longer than the room, so that it bows
    mark: str = ""  #: added to the name that is engraved, such as the design's hash


LEAST_WALL_MM = 0.8  #: two passes of a 0.4 mm nozzle, common practice
LEAST_TEXT_MM = 2.6  #: lower letters do not print legibly
BED_MARGIN_MM = 3.0  #: kept free at every edge of the bed
