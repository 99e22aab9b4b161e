"""Laps, strip notches and butts: what each does to the braces it joins."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, degrees, inf, isinf, radians, sin, tan
from typing import Literal

from braces.base.problems import Problem, Where
from braces.carved.values import Notch, Opens
from braces.curves.surface import Face
from braces.placed.values import Crossing, PlacedBrace

XY = tuple[float, float]
_DEEP_RATIO = 0.35  #: a lap that leaves less of a brace weakens it more than the lower brace makes good
LEAST_LEFT_MM = 1.0  #: wood that must stay in a lap for it to be cut at all


@dataclass(frozen=True, slots=True)
class Cut:
    """Where a notch will be; laps and inlets get their depth once heights are known."""

    with_: str
    kind: Literal["half-lap", "strip", "inlet", "cut-out", "butt"]
    opens: Opens
    at_mm: float
    angle_deg: float
    across_mm: float
    half_mm: float  #: half of what it takes along the brace at its longer face
    where: Where
    depth_mm: float = 0.0
    y_from_mm: float = -inf
    y_to_mm: float = inf
    radius_mm: float = inf  #: of the brace's centre line, + if it turns towards bench Y
    crossing_mm: float | None = None  #: where the centre lines cross, if that is not quite the cut's middle

    @property
    def width_mm(self) -> float:
        """Along the brace: across / sin(angle)."""
        return self.across_mm / sin(radians(self.angle_deg))


def bench_radius_mm(brace: PlacedBrace) -> float:
    """Radius of a brace's centre line as its bench frame has it: a top is seen from below, where left is right."""
    return -brace.radius_mm if brace.plate == "top" and not isinf(brace.radius_mm) else brace.radius_mm


def lateral_of(brace: PlacedBrace, at_mm: float = 0.0) -> XY:
    """Plan direction, at a station, of bench Y = Z x X, with Z into the room: down from the top, up from the back."""
    hx, hy = brace.heading if brace.is_straight else brace.course.heading_at(at_mm)
    return (hy, -hx) if brace.plate == "top" else (-hy, hx)


def angle_to(brace: PlacedBrace, at_mm: float, direction: tuple[float, float]) -> float:
    """Return the angle of a plan direction to X at a station, 0 < angle < 180 (anticlockwise in the bench), degrees."""
    hx, hy = brace.heading if brace.is_straight else brace.course.heading_at(at_mm)
    lateral = lateral_of(brace, at_mm)
    along = direction[0] * hx + direction[1] * hy
    across = direction[0] * lateral[0] + direction[1] * lateral[1]
    return degrees(atan2(across, along)) % 180.0


def cut(
    brace: PlacedBrace,
    other: str,
    kind: Literal["half-lap", "strip", "inlet", "cut-out", "butt"],
    opens: Opens,
    at: XY,
    direction: XY,
    across_mm: float,
    where: Where,
    depth_mm: float = 0.0,
) -> Cut:
    """Return the cut of something ``across_mm`` wide that runs along ``direction`` through ``at``."""
    at_mm = station(brace, at)
    angle = angle_to(brace, at_mm, direction)
    lean = abs(brace.width_mm / 2 / tan(radians(angle))) if abs(angle - 90) > 1e-9 else 0.0
    half = across_mm / sin(radians(angle)) / 2 + lean
    made = Cut(other, kind, opens, at_mm, angle, across_mm, half, where, depth_mm, radius_mm=bench_radius_mm(brace))
    if brace.is_straight:
        return made
    sides = [w for y in (-brace.width_mm / 2, brace.width_mm / 2) for w in walls(made, y)]
    return replace(made, half_mm=max(abs(w - at_mm) for w in sides))


def station(brace: PlacedBrace, at: XY) -> float:
    """Return the station at which a plan place lies beside a brace."""
    if not brace.is_straight:
        return brace.course.where(at)[0]
    hx, hy = brace.heading
    return (at[0] - brace.start.at[0]) * hx + (at[1] - brace.start.at[1]) * hy


def walls(made: Cut, y_mm: float) -> tuple[float, float]:
    """X of the two walls of a cut on the line Y = ``y_mm``."""
    return notch_of(made, 0.0, 0.0).walls(y_mm)


def lap_depths(
    crossing: Crossing, height_below_mm: float, height_above_mm: float, problems: list[Problem]
) -> tuple[float, float]:
    """Return (depth in the brace that opens to the plate, depth in the one that opens to the room).

    Both floors lie at one level, ``share`` of the lower brace's height above the glue face.
    """
    level = crossing.share_ratio * min(height_below_mm, height_above_mm)
    room = height_above_mm - level
    names = (crossing.opens_to_plate, crossing.opens_to_room)
    for name, left in ((names[0], height_below_mm - level), (names[1], level)):
        if left < LEAST_LEFT_MM:
            problems.append(
                Problem(
                    "J01",
                    (*crossing.where, "lap", "share"),
                    f'the lap would leave {max(left, 0):.1f} mm of "{name}"',
                    "change the share, or make the brace higher at the crossing",
                )
            )
    if LEAST_LEFT_MM <= level < _DEEP_RATIO * height_above_mm:
        found = f'the lap leaves {level:.1f} mm of the {height_above_mm:.1f} mm of "{names[1]}"'
        advice = f'let "{names[1]}" open to the plate, or raise "{names[0]}"'
        problems.append(Problem("J07", (*crossing.where, "lap"), found, advice, fatal=False))
    return level, room


def notch(made: Cut, glue: Face, height_mm: float) -> Notch:
    """Return a cut as wood sees it, where the brace is ``height_mm`` high."""
    base = glue.at(made.at_mm if made.crossing_mm is None else made.crossing_mm, 0.0)
    floor = base + (made.depth_mm if made.opens == "plate" else height_mm - made.depth_mm)
    assert made.kind != "butt"  # a butt takes nothing from the brace it stands against
    return notch_of(made, floor, height_mm)


def notch_of(made: Cut, floor_z_mm: float, height_mm: float) -> Notch:
    """Return a cut with its floor at a level of the bench frame."""
    return Notch(
        with_=made.with_,
        kind=made.kind,  # type: ignore[arg-type]
        opens=made.opens,
        at_mm=made.at_mm,
        angle_deg=made.angle_deg,
        across_mm=made.across_mm,
        width_mm=made.width_mm,
        depth_mm=made.depth_mm,
        floor_z_mm=floor_z_mm,
        left_mm=height_mm - made.depth_mm,
        y_from_mm=made.y_from_mm,
        y_to_mm=made.y_to_mm,
        radius_mm=made.radius_mm,
    )


def running_together(brace: str, cuts: list[Cut]) -> list[Problem]:
    """Return a problem for every two cuts in one brace that leave no wood between them."""
    row = sorted(cuts, key=lambda c: c.at_mm)
    return [
        Problem(
            "J02",
            b.where,
            f'in "{brace}" the cuts for {a.with_} and {b.with_} run into each other',
            f"move them at least {a.half_mm + b.half_mm + LEAST_LEFT_MM:.1f} mm apart; "
            f"they are {b.at_mm - a.at_mm:.1f} mm apart",
        )
        for a, b in pairwise(row)
        if b.at_mm - a.at_mm < a.half_mm + b.half_mm + LEAST_LEFT_MM
        and min(a.y_to_mm, b.y_to_mm) > max(a.y_from_mm, b.y_from_mm)
    ]
