"""What stands inside a carved body, as boxes: braces, blocks, and the flat pieces glued to the plates."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, cos, pi, radians
from typing import Literal

import numpy as np

from braces.base.arrays import Array, Floats, Points, frozen_points
from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.curves.frames import Placement, stay
from braces.design.braces import CrossingPairBrace
from braces.placed.values import Placed, PlacedPlate
from braces.workshop.faces import slopes_deg
from braces.workshop.space import Boxes, Face, Space

_SEGMENT_MM = 20.0
_SAMPLES = 9
_INTO_PLATE_MM = 5.0  #: boxes reach this far into their plate, so that nothing slips under them
_WALL_SPARE_MM = 0.05  #: chords of the wall's polygon stray no further
_SECTORS = 144  #: so many that their boxes, which are not turned, take hardly any of the hole
_TALL_MM = 1e3


@dataclass(frozen=True, slots=True, eq=False)
class FlatPiece:
    """A piece glued flat to the inside of a plate."""

    name: str
    plate: Literal["top", "back"]
    outline: Points  #: (n, 2) convex, in the plate's own plan
    hole: Points | None  #: inner edge of a ring
    thickness_mm: float


@dataclass(frozen=True, slots=True)
class Raised:
    """How far the inner faces are taken to lie nearer together: for a prop that stands on flat pieces."""

    top_mm: float = 0.0
    back_mm: float = 0.0

    def of(self, plate: Literal["top", "back"]) -> float:
        """Return it for one plate."""
        return self.top_mm if plate == "top" else self.back_mm


def space_of(carved: Carved, raised: Raised | None = None) -> Space:
    """Return the room inside a body; flat pieces that lie below a raised face are part of it.

    Raises ValueError if the body has no soundhole.
    """
    raised = raised or Raised()
    placed = carved.placed
    if placed.soundhole_y_mm is None:
        raise ValueError("nothing comes out of a box without a soundhole")
    body = placed.design.body
    wall = placed.outline.inside(body.side_mm + placed.design.lining.thickness_mm + _WALL_SPARE_MM).dense(16)
    obstacles = [b for plate in carved.plates for b in _plate_boxes(carved, plate, raised.of(plate.name))]
    obstacles += _blocks(placed)
    return Space(
        Face(placed.top.dome.inner, placed.top_pose.after(_lift(raised.top_mm))),
        Face(placed.back.dome.inner, placed.back_pose.after(_lift(raised.back_mm))),
        frozen_points(wall),
        (0.0, placed.soundhole_y_mm),
        placed.soundhole_radius_mm,
        0.0,
        tuple(obstacles),
    )


def bench_to_body(brace: CarvedBrace, placed: Placed) -> Placement:
    """Return the motion from a brace's bench frame to the body."""
    top = brace.plate == "top"
    facing = -1 if top else 1
    (hx, hy), (x, y) = brace.heading_xy, brace.origin_xy_mm
    hu = facing * hx
    in_plate = Placement(((hu, -hy, 0.0), (hy, hu, 0.0), (0.0, 0.0, 1.0)), (facing * x, y, brace.glue_depth_mm))
    return (placed.top_pose if top else placed.back_pose).after(in_plate)


def _lift(by_mm: float) -> Placement:
    """Return the motion into the room, in a plate's own frame."""
    return Placement(stay().rotation, (0.0, 0.0, by_mm))


def flat_pieces(carved: Carved) -> Iterator[FlatPiece]:
    """Return bridge plate, patches and strip pieces, the top's first."""
    for plate, where in zip(carved.plates, carved.placed.plates, strict=True):
        if plate.bridge_plate is not None and where.spec.bridge_plate is not None:
            thick = where.spec.bridge_plate.thickness_mm
            yield FlatPiece("bridge plate", plate.name, plate.bridge_plate, None, thick)
        for patch in where.patches:
            yield FlatPiece(patch.spec.name, plate.name, patch.outline, patch.hole, patch.spec.thickness_mm)
        for s in plate.strip_pieces:
            half, low, high = s.width_mm / 2, s.from_mm, s.from_mm + s.length_mm
            corners = frozen_points([(-half, low), (half, low), (half, high), (-half, high)])
            yield FlatPiece("centre strip", plate.name, corners, None, s.thickness_mm)


def stood_on(
    carved: Carved, plate: Literal["top", "back"], x_mm: float, y_mm: float, z_mm: float, radius_mm: float
) -> tuple[str, float]:
    """Return the name and the upright height of the flat piece that bears a whole round end at a place of the body.

    ``z_mm`` is the height of the plate's face there. The name is "" and the height 0 where the end stands on the
    bare plate, or half on a piece.
    """
    placed = carved.placed
    pose, flip = (placed.top_pose, -1) if plate == "top" else (placed.back_pose, 1)
    u, v, _ = pose.inverse()(np.array([x_mm, y_mm, z_mm]))
    for piece in flat_pieces(carved):
        if piece.plate == plate and piece.hole is None and _depth_mm(piece.outline, flip * u, v) >= radius_mm:
            slopes = slopes_deg(placed, x_mm, y_mm)[0 if plate == "top" else 1]
            return piece.name, piece.thickness_mm / (cos(radians(slopes[0])) * cos(radians(slopes[1])))
    return "", 0.0


def _depth_mm(loop: Points, x: float, y: float) -> float:
    """How far inside a convex loop a point lies, negative outside."""
    ahead = np.roll(loop, -1, axis=0) - loop
    off = np.array([x, y]) - loop
    left = (ahead[:, 0] * off[:, 1] - ahead[:, 1] * off[:, 0]) / np.hypot(*ahead.T)
    turn = np.sign(np.sum(loop[:, 0] * np.roll(loop[:, 1], -1) - np.roll(loop[:, 0], -1) * loop[:, 1]))
    return float(np.min(left * turn))


def _plate_boxes(carved: Carved, plate: CarvedPlate, raised_mm: float) -> list[Boxes]:
    placed = carved.placed
    where = placed.top if plate.name == "top" else placed.back
    pose = placed.top_pose if plate.name == "top" else placed.back_pose
    out = [Boxes(b.name, bench_to_body(b, placed), _brace_rows(b, _cap_mm(b, where))) for b in plate.braces]
    flip = -1 if plate.name == "top" else 1
    for piece in flat_pieces(carved):
        if piece.plate == plate.name and piece.thickness_mm > raised_mm:
            out.append(Boxes(piece.name, pose, _piece_rows(where, piece, flip)))
    return out


def _cap_mm(brace: CarvedBrace, where: PlacedPlate) -> float:
    """Thickness of what is glued on the carved edge, taken to lie all along."""
    spec = next(b.spec for b in where.braces if b.name == brace.name)
    strip = 0.0 if spec.cap_strip is None else spec.cap_strip.thickness_mm
    cap = spec.lap.cap.thickness_mm if isinstance(spec, CrossingPairBrace) and spec.lap.cap is not None else 0.0
    return strip + cap


def _brace_rows(brace: CarvedBrace, cap_mm: float) -> Array:
    """Boxes along a brace in its bench frame, each as high as the highest place over it."""
    low, high = brace.height.lo_mm, brace.height.hi_mm
    edges = np.linspace(low, high, max(1, ceil((high - low) / _SEGMENT_MM)) + 1)
    rows = []
    for a, b in pairwise(edges):
        knots = brace.height.x_mm[(brace.height.x_mm > a) & (brace.height.x_mm < b)]
        x = np.concatenate([np.linspace(a, b, _SAMPLES), knots])
        top = float(np.max(brace.glue.z(x, 0.0) + brace.height(x))) + cap_mm
        corners = brace.course.point(np.array([a, b, a, b]), np.array([-0.5, -0.5, 0.5, 0.5]) * brace.width_mm)
        (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
        rows.append((x0, y0, -_INTO_PLATE_MM, x1, y1, top))
    return np.array(rows, dtype=float)


def _flat_row(where: PlacedPlate, corners: Points, flip: int, thick_mm: float) -> tuple[float, ...]:
    """The box round a flat piece on a plate's inner face, in the plate's frame."""
    u = corners * np.array([flip, 1])
    (u0, v0), (u1, v1) = u.min(axis=0), u.max(axis=0)
    rim = np.array([(a, b) for a in (u0, (u0 + u1) / 2, u1) for b in (v0, (v0 + v1) / 2, v1)])
    z = where.dome.inner.z(rim[:, 0], rim[:, 1])
    return float(u0), float(v0), float(z.min()) - _INTO_PLATE_MM, float(u1), float(v1), float(z.max()) + thick_mm


def _piece_rows(where: PlacedPlate, piece: FlatPiece, flip: int) -> Array:
    """A plain piece as one box; a ring as a box for each of its sectors, so that the hole stays open."""
    thick = piece.thickness_mm
    if piece.hole is None:
        return np.array([_flat_row(where, piece.outline, flip, thick)])
    middle = piece.hole.mean(axis=0)
    loops = [_fine(loop) for loop in (piece.outline, piece.hole)]
    turns = [np.arctan2(*(loop - middle).T[::-1]) % (2 * pi) for loop in loops]
    rows = []
    for k in range(_SECTORS):
        parts = [loop[_in_sector(turn, k)] for loop, turn in zip(loops, turns, strict=True)]
        if all(len(p) for p in parts):
            rows.append(_flat_row(where, np.vstack(parts), flip, thick))
    return np.array(rows)


def _fine(loop: Points) -> Points:
    """A loop with points between its own."""
    ahead = np.roll(loop, -1, axis=0) - loop
    return np.concatenate([loop + t * ahead for t in np.arange(8) / 8])


def _in_sector(turn_rad: Floats, k: int) -> np.ndarray:
    """Which points lie between two directions, or a little beyond them, so that nothing is left between sectors."""
    step = 2 * pi / _SECTORS
    return np.asarray((turn_rad >= (k - 0.1) * step) & (turn_rad <= (k + 1.1) * step))


def _blocks(placed: Placed) -> list[Boxes]:
    body = placed.design.body
    tail = float(placed.outline.point(0.0)[1])
    neck = float(placed.outline.point(placed.outline.count / 2)[1])
    rows = []
    if body.tail_block_mm > 0:
        rows.append((body.tail_block_width_mm, tail, tail + body.side_mm + body.tail_block_mm))
    if body.neck_block_mm > 0:
        rows.append((body.neck_block_width_mm, neck - body.side_mm - body.neck_block_mm, neck))
    return [Boxes("block", stay(), np.array([(-w / 2, a, -_TALL_MM, w / 2, b, _TALL_MM)])) for w, a, b in rows]
