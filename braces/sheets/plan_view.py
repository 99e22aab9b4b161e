"""A plate seen from inside: body axes turned into the drawing's, and the lines of everything on it."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, pi

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.carved.values import Carved, CarvedPlate, StripPiece
from braces.curves.hits import line_hits
from braces.placed.footprint import convex_parts, footprint
from braces.placed.values import PlacedBrace, PlacedPlate
from braces.sheets.drawing import Mark, Stroke, polyline
from braces.sheets.spans import split_line
from braces.sheets.words import PlateName, mirror
from braces.workshop.book.lengths import Lengths

XY = tuple[float, float]
_PLAIN = Lengths()
_BEYOND_MM = 6.0  #: the centre line runs this far past the outline
_CIRCLE_COUNT = 240
_APEX_MM = 3.0
#: Points round a rim, and least on each of its pieces: chords then stay within 0.01 mm of the curve.
_ROUND_COUNT, _PER_PIECE_COUNT = 920, 8


@dataclass(frozen=True, slots=True, eq=False)
class PlanView:
    """One plate and the sign of its mirror image."""

    carved: Carved
    placed: PlacedPlate
    plate: CarvedPlate
    flip: int  #: u = flip * x
    lengths: Lengths = _PLAIN

    def seen(self, xy: XY) -> XY:
        """Return a plan point in the drawing."""
        return self.flip * xy[0], xy[1]

    def all_seen(self, points: Points) -> Points:
        """Return plan points (n, 2) in the drawing."""
        return np.asarray(points * (self.flip, 1))

    @property
    def tail_y_mm(self) -> float:
        """Where the outline meets the centre line at the tail."""
        return float(self.placed.outline.point(0.0)[1])

    @property
    def neck_y_mm(self) -> float:
        """Where the outline meets the centre line at the neck."""
        return max(h.at[1] for h in line_hits(self.placed.outline, (0.0, self.tail_y_mm - 1), (0.0, 1.0)))


def plan_view(carved: Carved, plate: PlateName, lengths: Lengths = _PLAIN) -> PlanView:
    """Return what a plan of the plate needs."""
    if plate == "top":
        return PlanView(carved, carved.placed.top, carved.top, mirror(plate), lengths)
    return PlanView(carved, carved.placed.back, carved.back, mirror(plate), lengths)


def circle(middle: XY, radius_mm: float, layer: str, count: int = _CIRCLE_COUNT) -> Stroke:
    """Return a closed circle."""
    turn = np.arange(count) * (2 * pi / count)
    return Stroke(
        frozen_points(np.column_stack([middle[0] + radius_mm * np.cos(turn), middle[1] + radius_mm * np.sin(turn)])),
        layer,
        closed=True,
    )


def rim_strokes(view: PlanView) -> list[Mark]:
    """Return the outline, the inside of the sides and of the linings, and the centre line."""
    design = view.carved.placed.design
    outline, lining = view.placed.outline, view.placed.lining
    side = outline.inside(design.body.side_mm)
    count = max(_PER_PIECE_COUNT, -(-_ROUND_COUNT // outline.count))
    return [
        Stroke(frozen_points(view.all_seen(outline.dense(count))), "cut", closed=True),
        Stroke(frozen_points(view.all_seen(side.dense(count))), "hidden", closed=True),
        Stroke(frozen_points(view.all_seen(lining.dense(count))), "edge", closed=True),
        polyline([(0, view.tail_y_mm - _BEYOND_MM), (0, view.neck_y_mm + _BEYOND_MM)], "centre"),
    ]


def hole_strokes(view: PlanView) -> list[Mark]:
    """Return the soundhole and the rosette behind it, on a top that has them."""
    placed = view.carved.placed
    hole = view.placed.spec.soundhole
    if hole is None or placed.soundhole_y_mm is None:
        return []
    at = (0.0, placed.soundhole_y_mm)
    marks: list[Mark] = [circle(at, placed.soundhole_radius_mm, "cut")]
    if hole.rosette_mm > 0:
        marks.append(circle(at, placed.soundhole_radius_mm + hole.rosette_mm, "hidden"))
    return marks


def bridge_strokes(view: PlanView) -> list[Mark]:
    """Return the saddle line, the bridge on the other face and the bridge plate on this one."""
    marks: list[Mark] = []
    if view.placed.bridge is not None:
        marks.append(Stroke(frozen_points(view.all_seen(view.placed.bridge)), "hidden", closed=True))
        reach = float(np.abs(view.placed.bridge[:, 0]).max()) + 4
        y = view.carved.placed.saddle_y_mm
        marks.append(polyline([(-reach, y), (reach, y)], "centre"))
    if view.plate.bridge_plate is not None:
        marks.append(Stroke(frozen_points(view.all_seen(view.plate.bridge_plate)), "cut", closed=True))
    return marks


def patch_strokes(view: PlanView) -> list[Mark]:
    """Return the flat pieces glued between the braces."""
    loops = [p for patch in view.placed.patches for p in (patch.outline, patch.hole) if p is not None]
    return [Stroke(frozen_points(view.all_seen(loop)), "cut", closed=True) for loop in loops]


def apex_strokes(view: PlanView) -> list[Mark]:
    """Return the cross at the highest point of the dome, which nothing marks on a flat plate."""
    if view.placed.dome.shape == "flat":
        return []
    y = view.placed.dome.apex_y_mm
    return [
        polyline([(-_APEX_MM, y - _APEX_MM), (_APEX_MM, y + _APEX_MM)], "note"),
        polyline([(-_APEX_MM, y + _APEX_MM), (_APEX_MM, y - _APEX_MM)], "note"),
    ]


def over_and_under(view: PlanView) -> list[tuple[str, str]]:
    """Return (the brace seen whole, the one that passes under it) of every lap, seen from inside.

    The brace that is cut from its glue face bridges the other: it is the nearer one.
    """
    return [(c.opens_to_plate, c.opens_to_room) for c in view.placed.crossings]


def brace_strokes(view: PlanView, brace: PlacedBrace) -> list[Mark]:
    """Return a brace's footprint; dashed where another brace passes over it."""
    over = [
        view.all_seen(part)
        for b in view.placed.braces
        if (b.name, brace.name) in over_and_under(view)
        for part in convex_parts(b)
    ]
    corners = view.all_seen(footprint(brace))
    if not over:
        return [Stroke(frozen_points(corners), "cut", closed=True)]
    marks: list[Mark] = []
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        marks += split_line((float(a[0]), float(a[1])), (float(b[0]), float(b[1])), over, "cut")
    return marks if brace.is_straight else _chained(marks)


def _chained(marks: list[Mark]) -> list[Mark]:
    """Return strokes of one layer that follow on one another as one, so that dashes run on round a curve."""
    runs: list[Stroke] = []
    for mark in marks:
        assert isinstance(mark, Stroke)
        if runs and runs[-1].layer == mark.layer and np.abs(runs[-1].points[-1] - mark.points[0]).max() < 1e-9:
            runs[-1] = Stroke(frozen_points(np.vstack([runs[-1].points, mark.points[1:]])), mark.layer)
        else:
            runs.append(mark)
    return list(runs)


def strip_strokes(view: PlanView, piece: StripPiece) -> list[Mark]:
    """Return a piece of the centre strip; dashed where braces pass over it."""
    half, low, high = piece.width_mm / 2, piece.from_mm, piece.from_mm + piece.length_mm
    over = [view.all_seen(part) for b in view.placed.braces for part in convex_parts(b)]
    corners = [(-half, low), (half, low), (half, high), (-half, high)]
    marks: list[Mark] = []
    for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
        marks += split_line(a, b, over, "cut")
    if all(isinstance(m, Stroke) and m.layer == "cut" for m in marks):
        return [polyline(corners, "cut", closed=True)]
    return marks


def seen_angle_deg(view: PlanView, brace: PlacedBrace, at_mm: float = 0.0) -> float:
    """Return the angle of a brace in the drawing at a station, so that words stand upright: -90 < angle <= 90."""
    hx, hy = brace.heading if brace.is_straight else brace.course.heading_at(at_mm)
    angle = degrees(atan2(hy, view.flip * hx))
    angle = angle - 180 if angle > 90 + 1e-9 else angle
    angle = angle + 180 if angle <= -90 + 1e-9 else angle
    return 0.0 if abs(angle) < 1e-9 else angle
