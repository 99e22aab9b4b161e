"""Where a brace is cut in plan: the lines across it, from end to end, on its top and on its underside."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import degrees, hypot, inf, isinf, radians, tan

import numpy as np

from braces.carved.values import CarvedBrace, Notch, Opens
from braces.curves.course import Course, cut_station

CLEAR_MM = 1e-3  #: lines nearer to each other than this are taken to touch
TOUCH_MM = 1e-6  #: a notch that stops so close to a side opens to it


@dataclass(frozen=True, slots=True)
class Line:
    """An upright plane cut across a brace: on a straight one, x = at + y * lean."""

    at_mm: float
    lean_ratio: float = 0.0  #: cotangent of the angle to the centre line where the two meet; 0 is square
    radius_mm: float = inf  #: of the centre line

    def x(self, y_mm: float) -> float:
        """Station at lateral place ``y_mm``."""
        return self.at_mm + cut_station(self.lean_ratio, y_mm, self.radius_mm)

    @property
    def normal(self) -> tuple[float, float, float]:
        """Unit vector square to the cut, towards growing X; the centre line runs along (1, 0, 0) there."""
        n = hypot(1.0, self.lean_ratio)
        return 1.0 / n, -self.lean_ratio / n, 0.0

    def normal_on(self, course: Course) -> tuple[float, float, float]:
        """The same in the frame of the brace's course."""
        (tx, ty), (along, aside, _) = course.heading_at(self.at_mm), self.normal
        return along * tx - aside * ty, along * ty + aside * tx, 0.0


@dataclass(frozen=True, slots=True)
class Gap:
    """A notch as two lines and a floor."""

    first: Line
    last: Line
    floor_z_mm: float


@dataclass(frozen=True, slots=True)
class Inlet:
    """A notch in the underside that opens to one side only and ends in an upright wall along the brace."""

    gap: Gap
    outer_y_mm: float  #: the side that it opens to
    inner_y_mm: float  #: its end wall


@dataclass(frozen=True, slots=True)
class Layout:
    """Every cut of one brace. Gaps ascend along X; they and the inlets stand clear of each other and of the ends."""

    course: Course  #: the centre line in the bench frame
    half_mm: float  #: half the width
    start: Line
    end: Line
    room: tuple[Gap, ...]  #: cut from the top
    plate: tuple[Gap, ...]  #: cut from the glue face
    inlets: tuple[Inlet, ...]  #: let into the glue face from either side
    creases: tuple[Line, ...]  #: kinks of the profile, where the top breaks into two faces
    tangled: tuple[Notch, ...]  #: run into another, over an end or out of the wood, or are of a rarer shape


def line_at(at_mm: float, angle_deg: float, radius_mm: float = inf) -> Line:
    """Return the cut through the centre line at a station, at an angle to it there."""
    return Line(at_mm, 0.0 if abs(angle_deg - 90) < 1e-10 else 1 / tan(radians(angle_deg)), radius_mm)


def gap_of(notch: Notch) -> Gap:
    """Return the two walls and the floor of a notch."""
    if not isinf(notch.radius_mm):
        walls = [(w, (w - notch.at_mm) / notch.radius_mm) for w in notch.walls(0.0)]
        first, last = (line_at(w, notch.angle_deg - degrees(turn), notch.radius_mm) for w, turn in walls)
        return Gap(first, last, notch.floor_z_mm)
    middle = line_at(notch.at_mm, notch.angle_deg)
    half = notch.across_mm / 2 * hypot(1.0, middle.lean_ratio)
    first, last = (Line(middle.at_mm + d, middle.lean_ratio) for d in (-half, half))
    return Gap(first, last, notch.floor_z_mm)


@dataclass(frozen=True, slots=True)
class Reach:
    """What a cut takes of a brace in plan: two walls, and from where to where across it."""

    gap: Gap
    low_y_mm: float = -inf  #: infinite where it opens to a side
    high_y_mm: float = inf

    @property
    def is_whole(self) -> bool:
        """Whether it runs from side to side."""
        return isinf(self.low_y_mm) and isinf(self.high_y_mm)

    def is_inlet(self, half_mm: float) -> bool:
        """Whether it opens to one side and leaves wood at the other."""
        if isinf(self.low_y_mm) == isinf(self.high_y_mm):
            return False
        inner = self.high_y_mm if isinf(self.low_y_mm) else self.low_y_mm
        return abs(inner) < half_mm - CLEAR_MM


def reach_of(notch: Notch, half_mm: float) -> Reach:
    """Return what a notch takes in plan of a brace of half the width ``half_mm``."""
    low, high = notch.y_from_mm, notch.y_to_mm
    return Reach(gap_of(notch), -inf if low < TOUCH_MM - half_mm else low, inf if high > half_mm - TOUCH_MM else high)


def layout_of(brace: CarvedBrace) -> Layout:
    """Return the cuts of a brace, sorted into those that stand clear and those that are tangled."""
    half = brace.width_mm / 2
    start = line_at(0.0, brace.start.face_angle_deg, brace.radius_mm)
    end = line_at(brace.length_mm, brace.end.face_angle_deg, brace.radius_mm)
    cuts = [(n, reach_of(n, half)) for n in sorted(brace.notches, key=lambda n: n.at_mm)]

    def is_clear(cut: Reach, rivals: Iterable[Reach]) -> bool:
        within = start.at_mm < cut.gap.first.at_mm and cut.gap.last.at_mm < end.at_mm
        return within and _stands_clear(cut, [_across(start), _across(end), *rivals], half)

    clear: dict[Opens, list[Reach]] = {"room": [], "plate": []}
    tangled = []
    for notch, reach in cuts:
        rivals = [r for n, r in cuts if n is not notch and (n.opens == notch.opens or _meet(n, notch))]
        is_plain = reach.is_whole or (notch.opens == "plate" and reach.is_inlet(half))
        if is_plain and is_clear(reach, rivals) and _lies_within(reach, brace):
            clear[notch.opens].append(reach)
        else:
            tangled.append(notch)
    kinks = (Line(x, 0.0, brace.radius_mm) for x in _kinks(brace))
    creases = (line for line in kinks if is_clear(_across(line), clear["room"]))
    return Layout(
        brace.course,
        half,
        start,
        end,
        room=tuple(r.gap for r in clear["room"]),
        plate=tuple(r.gap for r in clear["plate"] if r.is_whole),
        inlets=tuple(_inlet(r, half) for r in clear["plate"] if not r.is_whole),
        creases=tuple(creases),
        tangled=tuple(tangled),
    )


def _meet(a: Notch, b: Notch) -> bool:
    """Whether two notches from opposite sides would leave no wood between their floors."""
    plate, room = (a, b) if a.opens == "plate" else (b, a)
    return plate.floor_z_mm > room.floor_z_mm - CLEAR_MM


def _across(line: Line) -> Reach:
    return Reach(Gap(line, line, 0.0))


def _inlet(reach: Reach, half_mm: float) -> Inlet:
    if isinf(reach.low_y_mm):
        return Inlet(reach.gap, -half_mm, reach.high_y_mm)
    return Inlet(reach.gap, half_mm, reach.low_y_mm)


def _before(a: Line, b: Line, y_mm: tuple[float, float]) -> bool:
    """Whether ``a`` lies before ``b`` from one Y to another."""
    return all(a.x(y) + CLEAR_MM < b.x(y) for y in y_mm)


def _stands_clear(cut: Reach, others: Iterable[Reach], half_mm: float) -> bool:
    """Whether wood is left between a cut and each of the others, wherever both are."""
    for other in others:
        low, high = max(-half_mm, cut.low_y_mm, other.low_y_mm), min(half_mm, cut.high_y_mm, other.high_y_mm)
        beside = low > high + CLEAR_MM
        y = (low, high)
        if not (beside or _before(cut.gap.last, other.gap.first, y) or _before(other.gap.last, cut.gap.first, y)):
            return False
    return True


def _lies_within(cut: Reach, brace: CarvedBrace) -> bool:
    """Whether a cut's floor lies in wood all over, below the top and above the glue face."""
    half = brace.width_mm / 2
    y = np.linspace(max(-half, cut.low_y_mm), min(half, cut.high_y_mm), 9)[:, None]
    first, floor_z = cut.gap.first, cut.gap.floor_z_mm
    x = np.array([[first.x(float(v))] for v in y[:, 0]]) + np.linspace(0, cut.gap.last.at_mm - first.at_mm, 9)
    top = brace.glue.z(x, 0.0) + brace.height(x) - brace.drop(x) * brace.shape(y)
    return bool(np.all(top - floor_z > CLEAR_MM) and np.all(floor_z - brace.glue.z(x, y) > CLEAR_MM))


def _kinks(brace: CarvedBrace) -> list[float]:
    """Return X of every knot at which the slope of the height or of the drop jumps."""
    jumps = [abs(c.slope_out[:-1] - c.slope_in[1:]) > 1e-9 for c in (brace.height, brace.drop)]
    return [float(x) for x in brace.height.x_mm[1:-1][jumps[0] | jumps[1]]]
