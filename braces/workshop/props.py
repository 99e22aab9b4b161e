"""Props: temporary supports between back and top while something is glued, and how they come out again.

What is measured: a prop stands upright in the body; its length is the distance between the two inner faces on its
axis, less the flat pieces (strip, bridge plate, graft) that it stands on; its ends follow both faces' slopes. It is
freed by so much as its wedge or screw gives, then has to come out through the soundhole past everything in the box.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import hypot
from typing import Literal

import numpy as np

from braces.carved.values import Carved
from braces.workshop.faces import back_glue_z_mm, gap_mm, slopes_deg, top_glue_z_mm
from braces.workshop.inside import Raised, space_of, stood_on
from braces.workshop.space import Rod, Space, clearances, rod_round
from braces.workshop.way_out import WayOut, way_out

_SLACKS_MM = (1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 18.0, 25.0, 35.0, 50.0)
_AROUND_MM = (15.0, 30.0, 45.0, 60.0)
_AROUND_TURNS = 8
_MOVES_TRIED = 4
_STEP_TRIED = 2500
_LEAN_RATIO = 0.342  #: a direction that leans less towards a side is not said to run to it (sine of 20 degrees)


@dataclass(frozen=True, slots=True)
class PropSpec:
    """A prop at a place of the plan."""

    x_mm: float  #: body axes: + to the treble side of a right-handed body
    y_mm: float  #: from the tail
    width_mm: float = 12.0
    thickness_mm: float = 12.0
    freed_by_mm: float = 3.0  #: how much shorter its wedge or screw makes it


@dataclass(frozen=True, slots=True)
class PropFit:
    """How a prop is cut, and whether it comes out."""

    spec: PropSpec
    length_mm: float  #: on its axis, between the two faces that it stands on
    on_top: str  #: the flat piece that its upper end presses, "" for the bare plate
    on_back: str  #: and the one that it stands on
    top_bevel_deg: tuple[float, float]  #: rise of its upper end towards +x and +y
    back_bevel_deg: tuple[float, float]  #: rise of its lower end towards +x and +y
    blocked_by: str  #: what stands at its place, "" if nothing
    way: WayOut | None  #: None if it cannot stand there
    least_freed_mm: float | None  #: the least of a row of slacks with which a way was found
    better_place: tuple[float, float] | None  #: a place nearby from which it comes out, if it does not from here
    advice: str


def fit_prop(carved: Carved, spec: PropSpec, advise: bool = True) -> PropFit:
    """Return how a prop is cut and how it comes out.

    With ``advise`` a prop that does not come out is tried shorter and at places nearby, which takes some seconds.
    Raises ValueError for a place outside the body or a box without a soundhole.
    """
    room = _Room(carved)
    if not room.inside(spec):
        raise ValueError(
            f"a prop {abs(spec.x_mm):.0f} mm off the centre line and {spec.y_mm:.0f} mm from the tail "
            "stands outside the linings"
        )
    stand = room.stand(spec)
    top, back = slopes_deg(carved.placed, spec.x_mm, spec.y_mm)
    blocked = room.blocked_by(spec)
    way = None if blocked else room.way(spec, spec.freed_by_mm)
    least = better = None
    if way is not None and way.found:
        least = spec.freed_by_mm
    elif advise:
        least = None if blocked else room.least_slack(spec)
        better = room.better_place(spec)
    moved = "" if better is None else f" {place_words(*better, carved.placed.design.handed)} it comes out."
    advice = _advice(spec, blocked, way, least, moved)
    names = stand.on_top, stand.on_back
    return PropFit(spec, stand.length_mm, *names, top, back, blocked, way, least, better, advice)


@dataclass(frozen=True, slots=True)
class _Stand:
    """What a prop stands between, and the heights of both."""

    on_top: str
    on_back: str
    raised: Raised
    high_z_mm: float
    low_z_mm: float

    @property
    def length_mm(self) -> float:
        return self.high_z_mm - self.low_z_mm


class _Room:
    """The space of one body, worked out once for each height of what props stand on."""

    def __init__(self, carved: Carved) -> None:
        self._carved = carved
        self._spaces: dict[Raised, Space] = {}

    def space(self, raised: Raised) -> Space:
        if raised not in self._spaces:
            self._spaces[raised] = space_of(self._carved, raised)
        return self._spaces[raised]

    def stand(self, spec: PropSpec) -> _Stand:
        at = np.array([[spec.x_mm, spec.y_mm]])
        placed, radius = self._carved.placed, hypot(spec.width_mm, spec.thickness_mm) / 2
        high, low = float(top_glue_z_mm(placed, at)[0]), float(back_glue_z_mm(placed, at)[0])
        on_top, thick = stood_on(self._carved, "top", spec.x_mm, spec.y_mm, high, radius)
        on_back, thin = stood_on(self._carved, "back", spec.x_mm, spec.y_mm, low, radius)
        return _Stand(on_top, on_back, Raised(thick, thin), high - thick, low + thin)

    def _short(self, spec: PropSpec, slack_mm: float) -> tuple[Rod, np.ndarray]:
        stand = self.stand(spec)
        middle = np.array([[spec.x_mm, spec.y_mm, (stand.high_z_mm + stand.low_z_mm) / 2]])
        return rod_round(stand.length_mm - slack_mm, spec.width_mm, spec.thickness_mm), middle

    def inside(self, spec: PropSpec) -> bool:
        rod, middle = self._short(spec, 40.0)
        bare = replace(self.space(Raised()), obstacles=())
        return bool(clearances(bare, rod, middle, np.array([[0.0, 0.0, 1.0]]))[0] > 0)

    def blocked_by(self, spec: PropSpec) -> str:
        """What stands within the prop's section at its place, from face to face; its flat ends may touch nothing."""
        stand, radius = self.stand(spec), hypot(spec.width_mm, spec.thickness_mm) / 2
        space = self.space(stand.raised)
        z = np.linspace(stand.low_z_mm, stand.high_z_mm, 41)
        points = np.column_stack([np.full(41, spec.x_mm), np.full(41, spec.y_mm), z])
        for boxes in space.obstacles:
            if float(boxes.clearance(points).min()) < radius:
                return boxes.name
        over_hole = np.hypot(spec.x_mm - space.hole_at[0], spec.y_mm - space.hole_at[1])
        return "soundhole" if over_hole < space.hole_radius_mm + radius else ""

    def way(self, spec: PropSpec, slack_mm: float) -> WayOut:
        rod, middle = self._short(spec, slack_mm)
        x, y, z = (float(v) for v in middle[0])
        return way_out(self.space(self.stand(spec).raised), rod, (x, y, z), _STEP_TRIED)

    def least_slack(self, spec: PropSpec) -> float | None:
        """The least slack of the row, over the one given, with which a way is found."""
        most = gap_mm(self._carved.placed, spec.x_mm, spec.y_mm) / 2
        for slack in _SLACKS_MM:
            if spec.freed_by_mm < slack < most and self.way(spec, slack).found:
                return slack
        return None

    def better_place(self, spec: PropSpec) -> tuple[float, float] | None:
        """A place nearby, the nearest first, where the prop stands free and comes out."""
        tried = 0
        for reach in _AROUND_MM:
            for k in range(_AROUND_TURNS):
                turn = 2 * np.pi * k / _AROUND_TURNS
                x, y = spec.x_mm + reach * float(np.cos(turn)), spec.y_mm + reach * float(np.sin(turn))
                moved = PropSpec(x, y, spec.width_mm, spec.thickness_mm, spec.freed_by_mm)
                if not self.inside(moved) or self.blocked_by(moved):
                    continue
                if self.way(moved, spec.freed_by_mm).found:
                    return x, y
                tried += 1
                if tried >= _MOVES_TRIED:
                    return None
        return None


def place_words(x_mm: float, y_mm: float, handed: Literal["right", "left"]) -> str:
    """Return where a place of the plan lies, at the head of a sentence.

    >>> place_words(-40.2, 120.0, "right")
    '40 mm to the bass of the centre line and 120 mm from the tail'
    """
    off = round(abs(x_mm))
    side = "treble" if (x_mm > 0) == (handed == "right") else "bass"
    across = f"{off} mm to the {side} of the centre line and" if off else "On the centre line"
    return f"{across} {y_mm:.0f} mm from the tail"


def _advice(spec: PropSpec, blocked: str, way: WayOut | None, least: float | None, moved: str) -> str:
    if blocked:
        return f"Its place is taken by {blocked}.{moved}"
    if way is not None and way.found:
        return f"Freed by {spec.freed_by_mm:.1f} mm it can be leaned, turned and drawn out through the soundhole."
    if least is not None:
        return f"No way out was found with {spec.freed_by_mm:.1f} mm; made {least:.0f} mm shorter it comes out.{moved}"
    return f"No way out was found: make it in two pieces, thinner, or of something that stays in.{moved}"


def way_words(fit: PropFit, handed: Literal["right", "left"]) -> str:
    """Return how a prop is held when it is drawn out, "" if no way was found."""
    if fit.way is None or not fit.way.found:
        return ""
    last = fit.way.poses[-1]
    if last.lean_deg == 0:
        return "keep it upright, carry it under the hole and draw it out"
    turn = np.radians(last.turn_deg)
    across = float(np.cos(turn)) * (1 if handed == "right" else -1)
    sides = ["treble" if across > 0 else "bass"] if abs(across) > _LEAN_RATIO else []
    sides += ["neck" if np.sin(turn) > 0 else "tail"] if abs(float(np.sin(turn))) > _LEAN_RATIO else []
    towards = " and ".join(sides)
    return f"lean it {last.lean_deg:.0f} deg, upper end towards {towards} and under the hole, and draw it out endwise"
