"""Where everything runs: plan geometry in body axes, before any wood has a height.

Each plate is laid out in its own plan. The top's is the body's; the back's is tilted with the back, so that it is as
long as the plate itself (half a millimetre more than the body on a usual taper).

Plan axes: origin at the tail end on the centre line, y towards the neck, x towards the treble side of a
right-handed instrument seen from the front. A left-handed instrument is the mirror image of its layout.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal

from braces.base.arrays import Points
from braces.curves.course import Course, between
from braces.curves.frames import Placement
from braces.curves.path import Path
from braces.design.model import BraceSpec, Design, PatchSpec, PlateSpec
from braces.placed.dome import Dome

EndMeets = Literal["lining", "brace", "nothing"]


@dataclass(frozen=True, slots=True)
class PlacedEnd:
    """One end of a brace in plan."""

    meets: EndMeets
    brace: str  #: the brace it butts on, else ""
    at: tuple[float, float]  #: centre line meets the end face, body axes
    face: tuple[float, float]  #: unit vector along the end face in plan
    rim_at: tuple[float, float] | None  #: where the centre line crosses the lining's inner face
    inlet_mm: float = 0.0  #: how far it is let into the side of the brace it meets


@dataclass(frozen=True, slots=True)
class PlacedBrace:
    """One stick's run across a plate."""

    name: str
    plate: Literal["top", "back"]
    spec: BraceSpec
    where: tuple[str | int, ...]  #: its place in the design file
    start: PlacedEnd
    end: PlacedEnd
    width_mm: float
    radius_mm: float = inf  #: of its centre line in plan: + if it turns left on its way, - if right, inf if straight

    @property
    def is_straight(self) -> bool:
        """Whether it is a plain stick."""
        return self.radius_mm == inf

    @property
    def course(self) -> Course:
        """Its centre line, end face to end face."""
        return between(self.start.at, self.end.at, self.radius_mm)

    @property
    def length_mm(self) -> float:
        """Along the centre line, end face to end face."""
        if self.radius_mm == inf:
            dx, dy = self.end.at[0] - self.start.at[0], self.end.at[1] - self.start.at[1]
            return float((dx * dx + dy * dy) ** 0.5)
        return self.course.length_mm

    @property
    def heading(self) -> tuple[float, float]:
        """Unit vector from start to end; of a curved brace, along its chord."""
        dx, dy = self.end.at[0] - self.start.at[0], self.end.at[1] - self.start.at[1]
        n = float((dx * dx + dy * dy) ** 0.5)
        return dx / n, dy / n


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two braces that cross and are half-lapped there."""

    opens_to_plate: str
    opens_to_room: str
    at: tuple[float, float]
    angle_deg: float  #: between the centre lines, 0 < angle <= 90
    share_ratio: float  #: of the lower brace's height that the plate-side notch takes
    clearance_mm: float
    where: tuple[str | int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """A flat piece glued to the plate between the braces."""

    spec: PatchSpec
    outline: Points  #: (n, 2) closed, not repeating the first
    hole: Points | None  #: inner edge of a ring


@dataclass(frozen=True, slots=True, eq=False)
class PlacedPlate:
    """One plate: its dome, what is cut in it, what runs across it."""

    name: Literal["top", "back"]
    spec: PlateSpec
    dome: Dome
    outline: Path  #: the rim's outside as this plate sees it: closed, anticlockwise from the tail centre
    lining: Path  #: the lining's inner face
    braces: tuple[PlacedBrace, ...]
    crossings: tuple[Crossing, ...]
    bridge_plate: Points | None  #: (n, 2), trimmed to the braces beside it
    bridge: Points | None  #: (4, 2)
    patches: tuple[Patch, ...]
    strip: Points | None  #: (4, 2), end to end


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """The whole body in plan."""

    design: Design
    outline: Path  #: outside of the rim
    saddle_y_mm: float
    soundhole_y_mm: float | None
    soundhole_radius_mm: float
    top: PlacedPlate
    back: PlacedPlate
    top_pose: Placement  #: plate frame (inside view) to body frame
    back_pose: Placement
    back_tilt_deg: float  #: of the back towards the top, + when the neck end is the nearer

    @property
    def plates(self) -> tuple[PlacedPlate, PlacedPlate]:
        """Top and back."""
        return self.top, self.back
