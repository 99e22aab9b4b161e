"""What stands inside a carved body, as boxes: braces, strips, patches, blocks."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, pi

import numpy as np

from braces.base.arrays import Array, Floats, Points, frozen_points
from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.curves.frames import Placement, stay
from braces.design.braces import CrossingPairBrace
from braces.placed.values import Patch, Placed, PlacedPlate
from braces.workshop.space import Boxes, Face, Space

_SEGMENT_MM = 20.0
_SAMPLES = 9
_INTO_PLATE_MM = 5.0  #: boxes reach this far into their plate, so that nothing slips under them
_WALL_SPARE_MM = 0.05  #: chords of the wall's polygon stray no further
_SECTORS = 144  #: so many that their boxes, which are not turned, take hardly any of the hole
_TALL_MM = 1e3


def space_of(carved: Carved) -> Space:
    """Return the room inside a body. Raises ValueError if it has no soundhole."""
    placed = carved.placed
    if placed.soundhole_y_mm is None:
        raise ValueError("nothing comes out of a box without a soundhole")
    body = placed.design.body
    wall = placed.outline.inside(body.side_mm + placed.design.lining.thickness_mm + _WALL_SPARE_MM).dense(16)
    obstacles = [b for plate in carved.plates for b in _plate_boxes(carved, plate)]
    obstacles += _blocks(placed)
    return Space(
        Face(placed.top.dome.inner, placed.top_pose),
        Face(placed.back.dome.inner, placed.back_pose),
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


def _plate_boxes(carved: Carved, plate: CarvedPlate) -> list[Boxes]:
    placed = carved.placed
    where = placed.top if plate.name == "top" else placed.back
    pose = placed.top_pose if plate.name == "top" else placed.back_pose
    out = [Boxes(b.name, bench_to_body(b, placed), _brace_rows(b, _cap_mm(b, where))) for b in plate.braces]
    flip = -1 if plate.name == "top" else 1
    if plate.bridge_plate is not None and where.spec.bridge_plate is not None:
        row = _flat_row(where, plate.bridge_plate, flip, where.spec.bridge_plate.thickness_mm)
        out.append(Boxes("bridge plate", pose, np.array([row])))
    for patch in where.patches:
        out.append(Boxes(patch.spec.name, pose, _patch_rows(where, patch, flip)))
    for s in plate.strip_pieces:
        half = s.width_mm / 2
        low, high = s.from_mm, s.from_mm + s.length_mm
        corners = np.array([(-half, low), (half, low), (half, high), (-half, high)])
        out.append(Boxes("centre strip", pose, np.array([_flat_row(where, corners, flip, s.thickness_mm)])))
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


def _patch_rows(where: PlacedPlate, patch: Patch, flip: int) -> Array:
    """A graft as one box; a ring as a box for each of its sectors, so that the hole stays open."""
    thick = patch.spec.thickness_mm
    if patch.hole is None:
        return np.array([_flat_row(where, patch.outline, flip, thick)])
    middle = patch.hole.mean(axis=0)
    loops = [_fine(loop) for loop in (patch.outline, patch.hole)]
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
