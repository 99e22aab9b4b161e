"""Laps, strip notches and butts: what each does to the braces it joins."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, degrees, inf, radians, sin, tan
from typing import Literal

from braces.base.problems import Problem, Where
from braces.carved.values import Notch, Opens
from braces.curves.surface import Surface
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

    @property
    def width_mm(self) -> float:
        """Along the brace: across / sin(angle)."""
        return self.across_mm / sin(radians(self.angle_deg))


def angle_to(brace: PlacedBrace, lateral: tuple[float, float], direction: tuple[float, float]) -> float:
    """Return the angle of a plan direction to X in a brace's bench frame, 0 < angle < 180 (anticlockwise), degrees."""
    hx, hy = brace.heading
    along = direction[0] * hx + direction[1] * hy
    across = direction[0] * lateral[0] + direction[1] * lateral[1]
    return degrees(atan2(across, along)) % 180.0


def cut(
    brace: PlacedBrace,
    lateral: XY,
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
    hx, hy = brace.heading
    angle = angle_to(brace, lateral, direction)
    lean = abs(brace.width_mm / 2 / tan(radians(angle))) if abs(angle - 90) > 1e-9 else 0.0
    at_mm = (at[0] - brace.start.at[0]) * hx + (at[1] - brace.start.at[1]) * hy
    half = across_mm / sin(radians(angle)) / 2 + lean
    return Cut(other, kind, opens, at_mm, angle, across_mm, half, where, depth_mm)


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


def notch(made: Cut, glue: Surface, height_mm: float) -> Notch:
    """Return a cut as wood sees it, where the brace is ``height_mm`` high."""
    base = glue.at(made.at_mm, 0.0)
    floor = base + (made.depth_mm if made.opens == "plate" else height_mm - made.depth_mm)
    assert made.kind != "butt"  # a butt takes nothing from the brace it stands against
    return Notch(
        with_=made.with_,
        kind=made.kind,
        opens=made.opens,
        at_mm=made.at_mm,
        angle_deg=made.angle_deg,
        across_mm=made.across_mm,
        width_mm=made.width_mm,
        depth_mm=made.depth_mm,
        floor_z_mm=floor,
        left_mm=height_mm - made.depth_mm,
        y_from_mm=made.y_from_mm,
        y_to_mm=made.y_to_mm,
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
