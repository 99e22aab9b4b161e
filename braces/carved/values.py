"""What carving gives: every brace as wood, in its own bench frame.

Bench frame of a brace: X along its centre line from its start, Z away from the glue face into the room, Y = Z x X,
so that Y is to the left when one looks along the brace from its start, standing inside the box. Z = 0 is the
lowest point of the glue line (the belly of the arch, where the brace touches a flat bench).

A curved brace is told by the same numbers over its stations: X is then the length along its arc and Y the distance to
its left. Where its bench frame is meant, with straight axes, that says so: X runs along the chord.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isinf, radians, sin, tan
from typing import Literal

from braces.base.arrays import Points
from braces.curves.course import Course, between, cut_station
from braces.curves.hermite import Hermite
from braces.curves.section import Shape
from braces.curves.surface import Along, Face, Surface
from braces.placed.values import Placed

Opens = Literal["plate", "room"]


@dataclass(frozen=True, slots=True)
class Notch:
    """A cut across a brace: everything between two upright parallel walls, down or up to a level floor.

    In the bench plan the walls run at ``angle_deg`` to X (anticlockwise, 0 < angle < 180) and lie
    ``across_mm`` apart, measured square to themselves, about the point (at_mm, 0).
    """

    with_: str  #: the other brace's name, or "centre strip"
    kind: Literal["half-lap", "strip", "inlet", "cut-out"]
    opens: Opens  #: "plate": cut from the glue face; "room": cut from the carved edge
    at_mm: float  #: X of the crossing on the centre line
    angle_deg: float
    across_mm: float  #: the other's width plus the fit clearance
    width_mm: float  #: across / sin(angle): what a rule along the brace measures
    depth_mm: float  #: from the glue face or from the carved edge, on the centre line
    floor_z_mm: float  #: level of the floor in the bench frame
    left_mm: float  #: what is left of the height in the notch
    y_from_mm: float = -inf  #: an inlet takes only a part of the width: between these two lines
    y_to_mm: float = inf
    radius_mm: float = inf  #: of the brace's centre line; the walls stay planes, its angle is that to the arc here

    def walls(self, y_mm: float) -> tuple[float, float]:
        """X of the two walls on the line Y = ``y_mm``."""
        if isinf(self.radius_mm):
            middle = self.at_mm + y_mm / tan(radians(self.angle_deg)) if self.angle_deg != 90 else self.at_mm
            return middle - self.width_mm / 2, middle + self.width_mm / 2
        lean, half = _lean(self.angle_deg), self.across_mm / 2
        low, high = (cut_station(lean, y_mm, self.radius_mm, off) for off in (-half, half))
        return self.at_mm + low, self.at_mm + high


@dataclass(frozen=True, slots=True)
class ReliefCut:
    """A saw kerf made before carving so that the chisel stops there."""

    at_mm: float
    depth_mm: float  #: from the blank's top edge
    left_mm: float  #: wood left under the kerf, above the glue face
    finished_mm: float  #: finished height there


@dataclass(frozen=True, slots=True)
class EndCut:
    """One end of a brace: an upright face that follows the rim or the brace it meets."""

    kind: Literal["tucked", "butted", "feathered", "free"]
    height_mm: float
    flat_mm: float  #: length of the level low end, 0 if none
    reach_mm: float  #: how far a tucked end goes into the lining, else 0
    face_angle_deg: float  #: of the end face to X in the bench plan, 0 < angle < 180; 90 = square
    meets: str  #: "lining", a brace's name, or ""
    radius_mm: float = inf  #: of the brace's centre line

    def shift_mm(self, y_mm: float) -> float:
        """How much further along X than on the centre line the end face stands on the line Y = ``y_mm``."""
        if isinf(self.radius_mm):
            return y_mm / tan(radians(self.face_angle_deg))
        return cut_station(_lean(self.face_angle_deg), y_mm, self.radius_mm)


def _lean(angle_deg: float) -> float:
    """Cotangent of an angle; exactly nothing for a right one."""
    return 0.0 if abs(angle_deg - 90) < 1e-10 else 1 / tan(radians(angle_deg))


@dataclass(frozen=True, slots=True)
class Blank:
    """The stick to start from."""

    length_mm: float
    width_mm: float
    height_mm: float
    laminations_count: int = 1  #: strips side by side across its width

    @property
    def strip_mm(self) -> float:
        """Thickness of each strip."""
        return self.width_mm / self.laminations_count


@dataclass(frozen=True, slots=True)
class Hollow:
    """The tightest concave place of a profile."""

    at_mm: float
    radius_mm: float


@dataclass(frozen=True, slots=True)
class Feature:
    """A named place on a profile that a maker marks: a peak, a valley, the edge of a land."""

    kind: Literal["top", "valley", "peak", "land", "flat", "station"]
    at_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class CarvedBrace:
    """One brace as it will be cut. All curves are over X in the bench frame.

    The top of the brace at (X, Y) is glue(X, 0) + height(X) - drop(X) * shape(Y); the underside is glue(X, Y).
    The end faces are upright planes through (0, 0) and (length, 0); seen in plan they make the angles of
    ``start`` and ``end`` with X. ``height`` and ``drop`` share their knots, which span the longest edge of the
    brace and are level wherever an oblique end face cuts.
    """

    name: str
    plate: Literal["top", "back"]
    wood: str
    width_mm: float
    length_mm: float  #: on the centre line, end face to end face
    glue: Face  #: underside
    height: Hermite
    drop: Hermite  #: how far the shoulders fall below the ridge
    shape: Shape  #: sigma(Y): 0 on the land, 1 at the sides
    start: EndCut
    end: EndCut
    notches: tuple[Notch, ...]
    features: tuple[Feature, ...]
    relief_cuts: tuple[ReliefCut, ...]
    hollows: tuple[Hollow, ...]
    blank: Blank
    glue_arc_radius_mm: float  #: inf on a flat plate
    bevel_deg: float  #: tilt of the glue face across the brace, + when the left side (Y > 0) is the taller one
    volume_mm3: float  #: finished, notches removed
    density_kg_m3: float
    origin_xy_mm: tuple[float, float]  #: plan place of X = 0 on the centre line, body axes
    heading_xy: tuple[float, float]  #: unit vector of X in plan, body axes
    glue_depth_mm: float  #: depth of Z = 0 below the plate's outer apex plane (plate frame w)
    radius_mm: float = inf  #: of the centre line: + if it turns to the left (+Y), - if to the right, inf if straight

    @property
    def is_curved(self) -> bool:
        """Whether its centre line is an arc."""
        return not isinf(self.radius_mm)

    @property
    def course(self) -> Course:
        """The centre line in the bench frame: from the origin, its end on the axis X."""
        chord = (
            self.length_mm if isinf(self.radius_mm) else 2 * self.radius_mm * sin(self.length_mm / 2 / self.radius_mm)
        )
        return between((0.0, 0.0), (chord, 0.0), self.radius_mm)

    @property
    def bed(self) -> Surface:
        """The plate's inner face in the bench frame."""
        return self.glue.surface if isinstance(self.glue, Along) else self.glue

    def plan_at(self, x_mm: float, y_mm: float = 0.0) -> tuple[float, float]:
        """Return the plan place, body axes, of a station and a distance to the left as seen inside the box."""
        (hx, hy), (x, y) = self.heading_xy, self.origin_xy_mm
        along, aside = self.course.at(x_mm, y_mm)
        left = -aside if self.plate == "top" else aside  # the top is seen from below
        return x + along * hx - left * hy, y + along * hy + left * hx

    def heading_at(self, x_mm: float) -> tuple[float, float]:
        """Return the unit vector along the centre line at a station, plan, body axes."""
        (hx, hy), (tx, ty) = self.heading_xy, self.course.heading_at(x_mm)
        turn = -ty if self.plate == "top" else ty
        return tx * hx - turn * hy, tx * hy + turn * hx

    def length_at(self, y_mm: float) -> float:
        """Length between the end faces along the line Y = ``y_mm``: an oblique or curved brace's two sides differ."""
        whole = self.length_mm + self.end.shift_mm(y_mm) - self.start.shift_mm(y_mm)
        return whole if isinf(self.radius_mm) else whole * (1 - y_mm / self.radius_mm)

    @property
    def mass_g(self) -> float:
        """Finished mass."""
        return self.volume_mm3 * self.density_kg_m3 * 1e-6


@dataclass(frozen=True, slots=True)
class Pocket:
    """A cut in the lining that takes one tucked end."""

    number: int  #: counted from the tail up the treble side and down the bass side
    plate: Literal["top", "back"]
    brace: str
    end: Literal["start", "end"]
    side: Literal["bass", "treble"]
    along_rim_mm: float  #: on the lining's inner face from the tail centre line to the pocket's middle
    along_outline_mm: float  #: the same on the outside of the rim
    width_mm: float  #: along the rim
    height_mm: float
    reach_mm: float
    corners: tuple[tuple[float, float], ...]  #: plan outline, body axes


@dataclass(frozen=True, slots=True)
class Joint:
    """Two braces that meet."""

    kind: Literal["half-lap", "butt", "inlet"]
    plate: Literal["top", "back"]
    between: tuple[str, str]
    at: tuple[float, float]  #: plan, body axes
    angle_deg: float


@dataclass(frozen=True, slots=True)
class StripPiece:
    """One piece of the centre strip."""

    number: int  #: from the tail
    from_mm: float  #: y of its lower end on the centre line
    length_mm: float
    width_mm: float
    thickness_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Cap:
    """A patch glued on the carved edges over a lap."""

    name: str
    plate: Literal["top", "back"]
    wood: str
    along: str  #: the brace it lies along, whose edge the lap cuts; the grain runs with it
    across: str  #: the other brace of the lap
    at_mm: float  #: its middle, bench X of ``along``
    length_mm: float
    width_mm: float
    thickness_mm: float
    corners: Points  #: (4, 2) in plan, body axes


@dataclass(frozen=True, slots=True, eq=False)
class CarvedPlate:
    """One plate and everything glued to it."""

    name: Literal["top", "back"]
    braces: tuple[CarvedBrace, ...]
    joints: tuple[Joint, ...]
    pockets: tuple[Pocket, ...]
    strip_pieces: tuple[StripPiece, ...]
    bridge_plate: Points | None  #: corners in plan, body axes
    order: tuple[str, ...]  #: in which the braces go onto the plate, so that every lap closes
    caps: tuple[Cap, ...] = ()  #: patches over laps


@dataclass(frozen=True, slots=True, eq=False)
class Carved:
    """Everything there is to cut, with where it runs."""

    placed: Placed
    top: CarvedPlate
    back: CarvedPlate

    @property
    def plates(self) -> tuple[CarvedPlate, CarvedPlate]:
        """Top and back."""
        return self.top, self.back

    @property
    def braces(self) -> tuple[CarvedBrace, ...]:
        """All braces, the top's first."""
        return self.top.braces + self.back.braces
