"""Flat pieces glued between the braces: grafts and soundhole rings."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Floats, Points, frozen_points
from braces.base.problems import Problem
from braces.curves.course import Course
from braces.curves.polygons import area_mm2, clipped, common, rectangle
from braces.design.model import PatchSpec, PlateSpec
from braces.placed.anchors import Anchors
from braces.placed.footprint import convex_parts
from braces.placed.values import Patch, PlacedBrace

_LEAST_RATIO = 0.4  #: a patch that loses more than this to the braces is not what was meant


def trimmed(shape: Points, centre: Floats, braces: list[PlacedBrace], gap_mm: float) -> Points:
    """Return what is left of a convex piece round its ``centre`` when every brace in it keeps its room and a gap."""
    for brace in braces:
        if not _over(brace, shape):
            continue
        course, room = brace.course, brace.width_mm / 2 + gap_mm
        at, aside = course.where((float(centre[0]), float(centre[1])))
        side = 1 if aside > 0 else -1
        for s in _tangents(course, at, side):
            hx, hy = course.heading_at(s)
            normal = side * np.array([-hy, hx])
            shape = clipped(shape, course.point(s, side * room), normal)
    return shape


def _tangents(course: Course, at_mm: float, side: int) -> Floats:
    """Stations at whose tangents a piece beside a course is cut: it stays convex.

    Inside a bend that is all along the arc. Outside it a piece keeps only what lies beyond the tangent nearest to its
    middle, since its edge could not follow the arc.
    """
    if course.is_straight:
        return np.zeros(1)
    inside = side * course.radius_mm > 0
    return course.stations(0.0, course.length_mm) if inside else np.array([min(max(at_mm, 0.0), course.length_mm)])


def _over(brace: PlacedBrace, shape: Points) -> bool:
    return any(len(common(shape, part)) >= 3 for part in convex_parts(brace))


def patches(
    plate: str, spec: PlateSpec, known: Anchors, braces: list[PlacedBrace], problems: list[Problem]
) -> tuple[Patch, ...]:
    """Return every patch of a plate that can be placed; a problem for each that cannot."""
    made = []
    for i, patch in enumerate(spec.patches):
        where = (plate, "patches", i)
        found = _ring(patch, spec, known) if patch.shape == "ring" else None
        if patch.shape == "graft" and patch.at is not None and patch.length_mm is not None:
            y = known.y_or(patch.at, (*where, "at"), problems, known.length_mm / 2)
            whole = rectangle(patch.length_mm / 2, y - patch.width_mm / 2, y + patch.width_mm / 2)
            shape = trimmed(whole, np.array([0.0, y]), braces, patch.gap_mm)
            if len(shape) < 3 or abs(area_mm2(shape)) < _LEAST_RATIO * area_mm2(whole):
                problems.append(
                    Problem(
                        "L11",
                        where,
                        f'less than 40 % of "{patch.name}" is left between the braces',
                        "make it smaller, or move it clear of them",
                    )
                )
                continue
            found = Patch(patch, frozen_points(shape), None)
        if found is None:
            problems.append(
                Problem(
                    "K02",
                    where,
                    f'"{patch.name}" does not say where it lies',
                    "a graft needs at and length; a ring needs a soundhole in the top",
                )
            )
            continue
        problems += _under_braces(found, braces, where)
        made.append(found)
    return tuple(made)


def _ring(patch: PatchSpec, spec: PlateSpec, known: Anchors) -> Patch | None:
    if spec.soundhole is None or "soundhole" not in known.edges:
        return None
    low, high = known.edges["soundhole"]
    inner = (high - low) / 2 + patch.gap_mm
    a = np.linspace(0, 2 * np.pi, 361)[:-1]
    circle = np.column_stack([np.cos(a), np.sin(a)])
    middle = np.array([0.0, (low + high) / 2])
    return Patch(
        patch, frozen_points(middle + (inner + patch.width_mm) * circle), frozen_points(middle + inner * circle)
    )


def _under_braces(patch: Patch, braces: list[PlacedBrace], where: tuple[str | int, ...]) -> list[Problem]:
    """A ring is not trimmed: a brace over it is a problem that names both."""
    if patch.hole is None:
        return []
    return [
        Problem(
            "L11",
            where,
            f'"{brace.name}" lies over "{patch.spec.name}"',
            "make the ring narrower, or move the brace away from the soundhole",
        )
        for brace in braces
        if _over(brace, patch.outline)
    ]
