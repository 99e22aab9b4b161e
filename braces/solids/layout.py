"""Where a brace is cut in plan: the lines across it, from end to end, on its top and on its underside."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot, radians, tan

import numpy as np

from braces.carved.values import CarvedBrace, Notch, Opens

CLEAR_MM = 1e-3  #: lines nearer to each other than this are taken to touch


@dataclass(frozen=True, slots=True)
class Line:
    """An upright cut across a brace, seen in the bench plan: x = at + y * lean."""

    at_mm: float
    lean_ratio: float = 0.0  #: cotangent of the angle to X; 0 is square

    def x(self, y_mm: float) -> float:
        """X at lateral place ``y_mm``."""
        return self.at_mm + y_mm * self.lean_ratio

    @property
    def normal(self) -> tuple[float, float, float]:
        """Unit vector square to the cut, towards growing X."""
        n = hypot(1.0, self.lean_ratio)
        return 1.0 / n, -self.lean_ratio / n, 0.0


@dataclass(frozen=True, slots=True)
class Gap:
    """A notch as two lines and a floor."""

    first: Line
    last: Line
    floor_z_mm: float


@dataclass(frozen=True, slots=True)
class Layout:
    """Every cut of one brace. Gaps ascend along X and stand clear of each other and of the ends."""

    half_mm: float  #: half the width
    start: Line
    end: Line
    room: tuple[Gap, ...]  #: cut from the top
    plate: tuple[Gap, ...]  #: cut from the glue face
    creases: tuple[Line, ...]  #: kinks of the profile, where the top breaks into two faces
    tangled: tuple[Notch, ...]  #: run into another of their side, over an end, or out of the wood


def line_at(at_mm: float, angle_deg: float) -> Line:
    """Return the cut through (at, 0) at an angle to X."""
    return Line(at_mm, 0.0 if abs(angle_deg - 90) < 1e-10 else 1 / tan(radians(angle_deg)))


def gap_of(notch: Notch) -> Gap:
    """Return the two walls and the floor of a notch."""
    middle = line_at(notch.at_mm, notch.angle_deg)
    half = notch.across_mm / 2 * hypot(1.0, middle.lean_ratio)
    first, last = (Line(middle.at_mm + d, middle.lean_ratio) for d in (-half, half))
    return Gap(first, last, notch.floor_z_mm)


def layout_of(brace: CarvedBrace) -> Layout:
    """Return the cuts of a brace, sorted into those that stand clear and those that are tangled."""
    half = brace.width_mm / 2
    start = line_at(0.0, brace.start.face_angle_deg)
    end = line_at(brace.length_mm, brace.end.face_angle_deg)
    sides: dict[Opens, list[Gap]] = {"room": [], "plate": []}
    tangled = []
    for notch in sorted(brace.notches, key=lambda n: n.at_mm):
        gap = gap_of(notch)
        rivals = [gap_of(n) for n in brace.notches if n is not notch and n.opens == notch.opens]
        ends = [Gap(start, start, 0.0), Gap(end, end, 0.0)]
        if _stands_clear(gap, [*ends, *rivals], half) and _lies_within(gap, brace):
            sides[notch.opens].append(gap)
        else:
            tangled.append(notch)
    room = sides["room"]
    creases = (
        line
        for line in map(Line, _kinks(brace))
        if _before(start, line, half) and _before(line, end, half) and _stands_clear(Gap(line, line, 0.0), room, half)
    )
    return Layout(half, start, end, tuple(room), tuple(sides["plate"]), tuple(creases), tuple(tangled))


def _before(a: Line, b: Line, half_mm: float) -> bool:
    """Whether ``a`` lies before ``b`` over the whole width."""
    return all(a.x(y) + CLEAR_MM < b.x(y) for y in (-half_mm, half_mm))


def _stands_clear(gap: Gap, others: Iterable[Gap], half_mm: float) -> bool:
    return all(_before(gap.last, o.first, half_mm) or _before(o.last, gap.first, half_mm) for o in others)


def _lies_within(gap: Gap, brace: CarvedBrace) -> bool:
    """Whether a notch's floor lies in wood all over, below the top and above the glue face."""
    half = brace.width_mm / 2
    y = np.linspace(-half, half, 9)[:, None]
    reach = gap.last.at_mm - gap.first.at_mm
    x = gap.first.at_mm + y * gap.first.lean_ratio + np.linspace(0, reach, 9)
    top = brace.glue.z(x, 0.0) + brace.height(x) - brace.drop(x) * brace.shape(y)
    above, below = top - gap.floor_z_mm, gap.floor_z_mm - brace.glue.z(x, y)
    return bool(np.all(above > CLEAR_MM) and np.all(below > CLEAR_MM))


def _kinks(brace: CarvedBrace) -> list[float]:
    """Return X of every knot at which the slope of the height or of the drop jumps."""
    jumps = [abs(c.slope_out[:-1] - c.slope_in[1:]) > 1e-9 for c in (brace.height, brace.drop)]
    return [float(x) for x in brace.height.x_mm[1:-1][jumps[0] | jumps[1]]]
