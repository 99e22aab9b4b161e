"""Braced plates that both models are built from: bars on a plate, in plan coordinates that may be skewed or bent."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import cos, inf, isinf, radians, sin

import numpy as np

from braces.base.arrays import Floats, Points
from braces.curves.course import Course
from braces.design.woods import Elastic

#: Round values for a spruce, chosen for the comparison: no claim about a species.
TEST_WOOD = Elastic(
    11_000.0, 900.0, 500.0, 750.0, 720.0, 40.0, 0.37, 0.42, 0.47, "assumed", "round values for a spruce"
)
DENSITY_KG_M3 = 400.0


@dataclass(frozen=True, slots=True)
class Stick:
    """A bar along one of the two plan directions, its height linear between stations."""

    along: int  #: 0 or 1: which plan direction it follows
    at_mm: float  #: its place on the other one, measured along that direction
    from_mm: float
    to_mm: float
    width_mm: float  #: square to itself
    stations_mm: tuple[float, ...]  #: along itself, first ``from_mm``, last ``to_mm``
    heights_mm: tuple[float, ...]
    radius_mm: float = inf  #: of its middle line; + turns left. Bent: alone, along 1, on an upright rectangle

    def height(self, s: Floats) -> Floats:
        """Height at places along it."""
        return np.interp(s, self.stations_mm, self.heights_mm)


@dataclass(frozen=True, slots=True)
class Case:
    """A plate: a parallelogram with sides along two directions, dome, hole, grading and bars."""

    name: str
    size_mm: tuple[float, float] = (400.0, 300.0)
    angle_deg: float = 90.0  #: between the two directions; the first is turned half the difference to 90 below x
    thickness_mm: float = 2.8
    grading_ratio: float = 0.0  #: thickness falls by this part of itself from the middle to the edges
    dome_radius_mm: float = 0.0  #: 0: flat
    hole: tuple[float, float, float] = (0.0, 0.0, 0.0)  #: centre in the two directions and radius; radius 0: none
    sticks: tuple[Stick, ...] = ()  #: the first keeps its plate side where two cross
    load: tuple[tuple[float, float, float, float, float], ...] = ()  #: patches from, to, from, to and N/mm2 outward
    edge: str = "clamped"  #: "clamped", "hinged", "supported" or "free"

    @property
    def directions(self) -> Floats:
        """(2, 2): unit vectors of the two directions."""
        turn = radians(90 - self.angle_deg) / 2
        return np.array([[cos(turn), sin(turn)], [sin(turn), cos(turn)]])

    def plan(self, xi: Floats, eta: Floats) -> tuple[Floats, Floats]:
        """Plan x, y of skew coordinates, or of those that follow a bent stick."""
        if self.bent is not None:
            return self._bent_plan(self.bent, xi, eta)
        d = self.directions
        return xi * d[0, 0] + eta * d[1, 0], xi * d[0, 1] + eta * d[1, 1]

    @property
    def bent(self) -> Stick | None:
        """The stick along an arc, if there is one."""
        return next((s for s in self.sticks if not isinf(s.radius_mm)), None)

    def course(self, stick: Stick) -> Course:
        """Middle line of a stick in plan. A bent one lies along the second direction half way."""
        length = stick.to_mm - stick.from_mm
        if isinf(stick.radius_mm):
            start = (stick.from_mm, stick.at_mm) if stick.along == 0 else (stick.at_mm, stick.from_mm)
            x, y = self.plan(np.array(start[0]), np.array(start[1]))
            head = self.directions[stick.along]
            return Course((float(x), float(y)), (float(head[0]), float(head[1])), length)
        r, half = stick.radius_mm, length / 2 / stick.radius_mm
        start = (stick.at_mm - r * (1 - cos(half)), stick.from_mm + length / 2 - r * sin(half))
        return Course(start, (sin(half), cos(half)), length, r)

    def _bent_plan(self, stick: Stick, xi: Floats, eta: Floats) -> tuple[Floats, Floats]:
        """Along the stick the coordinates are its own; from there they run straight to the straight edges."""
        width, depth = self.size_mm
        low, high = stick.at_mm - stick.width_mm / 2, stick.at_mm + stick.width_mm / 2
        xi, eta = np.broadcast_arrays(np.asarray(xi, dtype=float), np.asarray(eta, dtype=float))
        line = self.course(stick)
        place: Points = line.point(
            np.clip(eta, stick.from_mm, stick.to_mm) - stick.from_mm, stick.at_mm - np.clip(xi, low, high)
        )
        x, y = place[..., 0], place[..., 1]
        # Before and after its ends: to the edge, square to it.
        y = np.where(eta < stick.from_mm, y * eta / stick.from_mm, y)
        after = (eta - stick.to_mm) / (depth - stick.to_mm)
        y = np.where(eta > stick.to_mm, y + (depth - y) * after, y)
        # Beside it: from its face to the edge at the same coordinate.
        left, right = xi / low, (width - xi) / (width - high)
        part = np.minimum(np.minimum(left, right), 1.0)
        edge = np.where(xi < low, 0.0, width)
        return edge + (x - edge) * part, eta + (y - eta) * part

    @property
    def middle(self) -> tuple[float, float]:
        """Plan place of the plate's middle."""
        x, y = self.plan(np.array(self.size_mm[0] / 2), np.array(self.size_mm[1] / 2))
        return float(x), float(y)

    def thickness(self, x: Floats, y: Floats) -> Floats:
        """Thickness at plan places: a paraboloid between the middle and the corners."""
        cx, cy = self.middle
        reach = (self.size_mm[0] ** 2 + self.size_mm[1] ** 2) / 4
        return self.thickness_mm * (1 - self.grading_ratio * ((x - cx) ** 2 + (y - cy) ** 2) / reach)

    def rise(self, x: Floats, y: Floats) -> Floats:
        """Height of the domed mid-surface: a paraboloid of the sphere's curvature."""
        if not self.dome_radius_mm:
            return np.zeros(np.shape(x))
        cx, cy = self.middle
        return -((x - cx) ** 2 + (y - cy) ** 2) / (2 * self.dome_radius_mm)

    def width_along(self, stick: Stick) -> float:
        """Width of a bar measured along the direction it crosses."""
        return stick.width_mm / sin(radians(self.angle_deg))

    def with_edge(self, edge: str) -> Case:
        """The same plate held otherwise."""
        return replace(self, edge=edge)


_STICK_1 = Stick(
    1, 220.0, 10.0, 290.0, 8.0, (10, 50, 85, 100, 120, 150, 190, 230, 290), (3, 14, 8, 12, 12, 7, 8, 15, 3)
)
_STICK_2 = Stick(
    0, 110.0, 10.0, 390.0, 8.0, (10, 60, 120, 160, 210, 230, 270, 320, 390), (3, 10, 16, 9, 12, 12, 7, 12, 3)
)
_PATCHES = ((150.0, 160.0, 80.0, 220.0, 0.05), (140.0, 150.0, 80.0, 220.0, -0.05))

CROSSING = Case("square crossing", sticks=(_STICK_1, _STICK_2), load=_PATCHES)
SKEW = Case(
    "skew X, 74 deg",
    size_mm=(340.0, 320.0),
    angle_deg=74.0,
    sticks=(
        Stick(1, 180.0, 10.0, 310.0, 8.0, (10, 60, 100, 150, 170, 220, 260, 310), (3, 12, 8, 14, 14, 8, 12, 3)),
        Stick(0, 160.0, 10.0, 330.0, 8.0, (10, 70, 120, 170, 190, 240, 290, 330), (3, 11, 9, 14, 14, 8, 11, 3)),
    ),
    load=((110.0, 120.0, 90.0, 210.0, 0.05), (100.0, 110.0, 90.0, 210.0, -0.05)),
)
DOMED = replace(CROSSING, name="domed, 7.6 m", dome_radius_mm=7600.0)
GRADED = replace(CROSSING, name="graded, -25 % to the corners", grading_ratio=0.25)
HOLED = Case(
    "round hole, one bar",
    hole=(290.0, 150.0, 45.0),
    sticks=(Stick(1, 200.0, 10.0, 290.0, 8.0, (10, 60, 110, 150, 200, 240, 290), (3, 12, 8, 13, 8, 11, 3)),),
    load=_PATCHES,
)
CURVED = Case(
    "curved bar, radius 300 mm",
    sticks=(replace(_STICK_1, at_mm=230.0, radius_mm=300.0),),
    load=_PATCHES,
)
#: Small and coarse: seconds, for every run of the tests.
QUICK = Case(
    "quick: one bar",
    size_mm=(200.0, 150.0),
    sticks=(Stick(1, 90.0, 10.0, 140.0, 8.0, (10, 50, 100, 140), (3, 10, 10, 3)),),
    load=((40.0, 60.0, 50.0, 100.0, 0.05),),
)
QUICK_CURVED = replace(
    QUICK, name="quick: one curved bar", sticks=(replace(QUICK.sticks[0], at_mm=110.0, radius_mm=250.0),)
)
EVERY = (
    *(CROSSING.with_edge(e) for e in ("clamped", "hinged", "supported", "free")),
    *(SKEW.with_edge(e) for e in ("clamped", "free")),
    *(DOMED.with_edge(e) for e in ("clamped", "supported")),
    GRADED,
    GRADED.with_edge("free"),
    HOLED,
    HOLED.with_edge("free"),
    CURVED,
    CURVED.with_edge("free"),
)
