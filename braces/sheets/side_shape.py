"""The lines of a brace's side view: what is cut, where it is glued, sawn and lapped.

Drawn in the bench frame, X to the right and Z up, seen along +Y: the near face is that of Y = -width / 2. The glue
line and the carved edge are those of the centre line, where all heights are measured, laid along the near face of a
curved brace; the ends and the laps are
where they meet the near face, because that is the face a template is stuck to.
"""

from __future__ import annotations

from math import pi, radians, tan
from typing import Literal

import numpy as np

from braces.base.arrays import Floats, Points, frozen_points
from braces.carved.values import CarvedBrace, Notch
from braces.sheets.drawing import Stroke, polyline
from braces.sheets.unrolled import ratio_of

Which = Literal["start", "end"]
Face = Literal["near", "far"]
_LAP_LAYERS: tuple[tuple[Face, str], ...] = (("far", "lap-far"), ("near", "lap"))
_CHORD_MM = 0.005
_WALL_BEYOND_MM = 2.0  #: lap walls run this far past the edge they open, to saw along
_LEAST_DROP_MM = 0.05


def face_y_mm(brace: CarvedBrace, face: Face) -> float:
    """Return the bench Y of a face."""
    return -brace.width_mm / 2 if face == "near" else brace.width_mm / 2


def _lean(angle_deg: float) -> float:
    """mm along the brace for each mm across it."""
    return tan(pi / 2 - radians(angle_deg))


def end_x_mm(brace: CarvedBrace, which: Which, face: Face) -> float:
    """Return where an end face meets the near or the far face."""
    end, x = (brace.start, 0.0) if which == "start" else (brace.end, brace.length_mm)
    if brace.is_curved:
        return x + ratio_of(brace) * end.shift_mm(face_y_mm(brace, face))
    return x + face_y_mm(brace, face) * _lean(end.face_angle_deg)


def notch_span_mm(brace: CarvedBrace, notch: Notch, face: Face) -> tuple[float, float]:
    """Return where the walls of a notch meet the near or the far face."""
    if brace.is_curved:
        low, high = (w - notch.at_mm for w in notch.walls(face_y_mm(brace, face)))
        return notch.at_mm + ratio_of(brace) * low, notch.at_mm + ratio_of(brace) * high
    middle = notch.at_mm + face_y_mm(brace, face) * _lean(notch.angle_deg)
    return middle - notch.width_mm / 2, middle + notch.width_mm / 2


def reaches(brace: CarvedBrace, notch: Notch, face: Face) -> bool:
    """Return whether a notch cuts the near or the far face: a housing is let into one of them only."""
    y = face_y_mm(brace, face)
    return notch.y_from_mm - 1e-6 <= y <= notch.y_to_mm + 1e-6


def glue_z(brace: CarvedBrace, x: Floats | float) -> Floats:
    """Return the glue line."""
    return np.asarray(brace.glue.z(x, 0.0))


def edge_z(brace: CarvedBrace, x: Floats | float) -> Floats:
    """Return the carved edge at its ridge, notches not yet cut."""
    return np.asarray(brace.glue.z(x, 0.0) + brace.height(x))


def blank_box(brace: CarvedBrace) -> tuple[float, float, float, float]:
    """Return the blank as (x0, z0, x1, z1)."""
    ends = [end_x_mm(brace, w, f) for w in ("start", "end") for f in ("near", "far")]
    x = np.linspace(brace.height.lo_mm, brace.height.hi_mm, 401)
    low = min(0.0, *(float(np.min(brace.glue.z(x, s * brace.width_mm / 2))) for s in (-1, 1)))
    spare = (brace.blank.length_mm - (max(ends) - min(ends))) / 2
    return min(ends) - spare, low, max(ends) + spare, low + brace.blank.height_mm


def places(brace: CarvedBrace, low: float, high: float) -> Floats:
    """Return X from ``low`` to ``high``, close enough together that chords stay within ``_CHORD_MM`` of the curves.

    A chord of length c strays by at most c^2 / 8 times the greatest second derivative, which on a cubic is at an end.
    """
    knots = brace.height.x_mm
    marks = np.concatenate([[low], knots[(knots > low + 1e-6) & (knots < high - 1e-6)], [high]])
    inside = np.column_stack([marks[:-1] + 1e-7, marks[1:] - 1e-7])
    bend = np.abs(brace.height.second(inside)).max(axis=1) + 1 / brace.glue_arc_radius_mm
    counts = np.ceil(np.diff(marks) * np.sqrt(bend / (8 * _CHORD_MM))).astype(int).clip(1)
    runs = [np.linspace(a, b, n, endpoint=False) for a, b, n in zip(marks[:-1], marks[1:], counts, strict=True)]
    return np.concatenate([*runs, [high]])


def outline(brace: CarvedBrace) -> Points:
    """Return the finished near face, (n, 2), anticlockwise from the glue line's start, notches cut."""
    low, high = end_x_mm(brace, "start", "near"), end_x_mm(brace, "end", "near")
    under = _run(brace, low, high, "plate")
    upper = _run(brace, low, high, "room")
    return np.vstack([under, upper[::-1]])


def _run(brace: CarvedBrace, low: float, high: float, opens: str) -> Points:
    """The glue line (plate) or the carved edge (room) from ``low`` to ``high``, down or up into its notches."""
    level = glue_z if opens == "plate" else edge_z
    parts, at = [], low
    for notch in brace.notches:
        if notch.opens != opens or not reaches(brace, notch, "near"):
            continue
        a, b = notch_span_mm(brace, notch, "near")
        x = places(brace, at, a)
        parts.append(np.column_stack([x, level(brace, x)]))
        parts.append(np.array([(a, notch.floor_z_mm), (b, notch.floor_z_mm)]))
        at = b
    x = places(brace, at, high)
    parts.append(np.column_stack([x, level(brace, x)]))
    return np.vstack(parts)


def profile_strokes(brace: CarvedBrace) -> list[Stroke]:
    """Return the cut line, the glue line, the far ends, the shoulder line and the blank."""
    x = places(brace, end_x_mm(brace, "start", "near"), end_x_mm(brace, "end", "near"))
    x0, z0, x1, z1 = blank_box(brace)
    return [
        polyline([(x0, z0), (x1, z0), (x1, z1), (x0, z1)], "blank", closed=True),
        Stroke(frozen_points(np.column_stack([x, glue_z(brace, x)])), "glue"),
        *shoulder_strokes(brace),
        *(s for which in ("start", "end") for s in far_end_strokes(brace, which)),
        Stroke(frozen_points(outline(brace)), "cut", closed=True),
    ]


def far_end_strokes(brace: CarvedBrace, which: Which) -> list[Stroke]:
    """Return the far edge of an oblique end: seen if the brace is longer on that side, else hidden."""
    near, far = end_x_mm(brace, which, "near"), end_x_mm(brace, which, "far")
    if abs(near - far) < 0.05:
        return []
    upright = [(far, float(glue_z(brace, far))), (far, float(edge_z(brace, far)))]
    beyond = far < near if which == "start" else far > near
    if not beyond:
        return [polyline(upright, "hidden")]
    x = places(brace, min(near, far), max(near, far))
    return [
        polyline(upright, "edge"),
        *(Stroke(frozen_points(np.column_stack([x, level(brace, x)])), "edge") for level in (glue_z, edge_z)),
    ]


def shoulder_strokes(brace: CarvedBrace) -> list[Stroke]:
    """Return the line to which the sides stay upright, where the section has shoulders."""
    x = places(brace, end_x_mm(brace, "start", "near"), end_x_mm(brace, "end", "near"))
    live = brace.drop(x) > _LEAST_DROP_MM
    z = edge_z(brace, x) - brace.drop(x)
    cuts = np.flatnonzero(np.diff(live.astype(int))) + 1
    runs = np.split(np.arange(len(x)), cuts)
    return [Stroke(frozen_points(np.column_stack([x[r], z[r]])), "edge") for r in runs if live[r[0]] and len(r) > 1]


def lap_strokes(brace: CarvedBrace, notch: Notch) -> list[Stroke]:
    """Return a notch's walls and floor: solid on the near face, dashed on the far one."""
    strokes = []
    for face, layer in _LAP_LAYERS:
        if not reaches(brace, notch, face):
            continue
        a, b = notch_span_mm(brace, notch, face)
        mouth = [float((glue_z if notch.opens == "plate" else edge_z)(brace, x)) for x in (a, b)]
        if face == "near":
            beyond = -_WALL_BEYOND_MM if notch.opens == "plate" else _WALL_BEYOND_MM
            mouth = [m + beyond for m in mouth]
        floor = notch.floor_z_mm
        strokes.append(polyline([(a, mouth[0]), (a, floor), (b, floor), (b, mouth[1])], layer))
    return strokes


def relief_strokes(brace: CarvedBrace) -> list[Stroke]:
    """Return the saw kerfs, from the blank's top edge down."""
    top = blank_box(brace)[3]
    return [polyline([(c.at_mm, top), (c.at_mm, top - c.depth_mm)], "relief") for c in brace.relief_cuts]
