"""Closed meshes that can be added and taken away: marks, dowel holes and splits are made here, not in the kernel."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise
from math import pi
from typing import Literal

import numpy as np
from manifold3d import CrossSection, Error, FillRule, Manifold, Mesh64, OpType

from braces.base.arrays import Array
from braces.solids.kernel import SolidError
from braces.solids.mesh import Triangles, Vertices, is_closed
from braces.solids.tools.settings import LEAST_TEXT_MM
from braces.solids.tools.strokes import Place, plain, text_lines, text_size_mm

GROOVE_MM = 0.8  #: width of an engraved stroke: two passes of a 0.4 mm nozzle stay apart
DEPTH_MM = 0.5  #: of an engraved stroke
_OVER_MM = 1.0  #: how far a cutter stands out of the surface it cuts
_SLIVER_MM = 2e-5  #: edges shorter than this are closed up: finer than files can tell


MOST_LINES = 4
Face = Literal["up", "under", "front"]
_TURNS_DEG = {"up": 0.0, "under": 180.0, "front": 90.0}  #: about X


@dataclass(frozen=True, slots=True)
class Mark:
    """A text to engrave in a level face that looks up, in one ``under`` the part, or on its front, which looks to -Y.

    It is broken between words if it does not fit in one line; a text with line ends of its own stays as it is.
    """

    text: str
    at: tuple[float, float, float]  #: the middle of the text, mm
    room: tuple[float, float]  #: along and across the text, mm
    height_mm: float = 5.0  #: of capitals, where there is room
    turn_deg: float = 0.0
    face: Face = "up"
    others: tuple[str, ...] = ()  #: shorter texts, for when the first cannot be legible


def body(vertices: Vertices, faces: Triangles) -> Manifold:
    """Return a closed net as a body.

    Raises:
        SolidError: if it is not the border of a solid.
    """
    made = Manifold(Mesh64(np.array(vertices, dtype=np.float64), np.array(faces, dtype=np.uint64)))
    if made.status() != Error.NoError or made.volume() <= 0:
        raise SolidError(f"a mesh does not close: {made.status().name}")
    return made


def triangles(made: Manifold) -> tuple[Vertices, Triangles]:
    """Return a body as a net, slivers closed up."""
    net = made.simplify(_SLIVER_MM).to_mesh64()
    vertices, faces = np.array(net.vert_properties[:, :3]), np.array(net.tri_verts, dtype=np.int64)
    for shift in (0.0, 0.5):  # twice, so that no border between two cells of the grid parts a pair both times
        vertices, faces = _welded(vertices, faces, shift)
    return vertices, faces


def _welded(vertices: Vertices, faces: Triangles, shift: float) -> tuple[Vertices, Triangles]:
    """Return the net with vertices in one cell of a fine grid made one, unless that would tear it.

    A cut that passes a corner by a millionth of a millimetre leaves such pairs; files in single precision would
    make them one in some triangles only.
    """
    cells = np.floor(vertices / _SLIVER_MM + shift)
    _, kept, index = np.unique(cells, axis=0, return_index=True, return_inverse=True)
    if len(kept) == len(vertices):
        return vertices, faces
    moved = kept[index.reshape(-1)][faces]
    whole = moved[(moved[:, 0] != moved[:, 1]) & (moved[:, 1] != moved[:, 2]) & (moved[:, 2] != moved[:, 0])]
    if not is_closed(whole):
        return vertices, faces
    used, faces = np.unique(whole, return_inverse=True)
    return vertices[used], faces.reshape(-1, 3)


def region(points: Iterable[tuple[float, float]]) -> CrossSection:
    """Return the inside of a closed line, whichever way it runs."""
    return CrossSection([np.array(list(points), dtype=float)], FillRule.NonZero)


def slab(points: Iterable[tuple[float, float]], low_mm: float, high_mm: float) -> Manifold:
    """Return the upright prism over a plan between two levels."""
    return Manifold.extrude(region(points), high_mm - low_mm).translate((0, 0, low_mm))


def box(low: Sequence[float], high: Sequence[float]) -> Manifold:
    """Return the box between two corners."""
    size = [b - a for a, b in zip(low, high, strict=True)]
    return Manifold.cube(size).translate(list(low))


def joined(parts: Sequence[Manifold]) -> Manifold:
    """Return everything that is in any of the parts."""
    return Manifold.batch_boolean(list(parts), OpType.Add)


@lru_cache(maxsize=4096)
def set_text(mark: Mark) -> tuple[str, float]:
    """Return a mark's text, broken if it must be, and the height of its capitals; 0 if none of its texts is legible."""
    for text in (mark.text, *mark.others):
        best = ("", 0.0)
        for broken in _breaks(text):
            wide, high = text_size_mm(broken, 1.0)
            fitting = min(mark.height_mm, (mark.room[0] - GROOVE_MM) / wide, (mark.room[1] - GROOVE_MM) / high)
            if fitting > best[1] + 1e-9:
                best = (broken, fitting)
        if best[1] >= LEAST_TEXT_MM and plain(best[0]).strip():
            return best
    return "", 0.0


def _breaks(text: str) -> Iterator[str]:
    """Yield a text in one line, then broken between its words into up to four lines, as even as may be."""
    yield text
    if "\n" in text:
        return
    words = text.split()
    for count in range(2, min(len(words), MOST_LINES) + 1):
        ways = ((0, *places, len(words)) for places in combinations(range(1, len(words)), count - 1))
        rows = [[" ".join(words[a:b]) for a, b in pairwise(way)] for way in ways]
        yield "\n".join(min(rows, key=lambda row: max(map(len, row))))


def _stroke(a: Place, b: Place, half_mm: float) -> Array:
    """Return what a square pen marks on its way, anticlockwise: no side of it leans but along the way itself."""
    (ax, ay), (bx, by) = sorted((a, b))
    h = half_mm
    if by >= ay:
        corners = [
            (ax - h, ay - h),
            (ax + h, ay - h),
            (bx + h, by - h),
            (bx + h, by + h),
            (bx - h, by + h),
            (ax - h, ay + h),
        ]
    else:
        corners = [
            (ax - h, ay - h),
            (bx - h, by - h),
            (bx + h, by - h),
            (bx + h, by + h),
            (ax + h, ay + h),
            (ax - h, ay + h),
        ]
    return np.array(corners)


def groove(mark: Mark) -> Manifold:
    """Return what a mark takes away; nothing if its text cannot be legible in its room."""
    text, height = set_text(mark)
    if not height:
        return Manifold()
    half = min(GROOVE_MM, height / 5) / 2
    strokes = [_stroke(a, b, half) for line in text_lines(text, height) for a, b in pairwise(line)]
    flat = CrossSection(strokes, FillRule.NonZero).rotate(mark.turn_deg)
    cutter = Manifold.extrude(flat, DEPTH_MM + _OVER_MM).translate((0, 0, -DEPTH_MM))
    return cutter.rotate((_TURNS_DEG[mark.face], 0, 0)).translate(mark.at)


def engraved(made: Manifold, marks: Iterable[Mark]) -> Manifold:
    """Return a body with its marks."""
    cutters = [g for g in map(groove, marks) if not g.is_empty()]
    return Manifold.batch_boolean([made, *cutters], OpType.Subtract) if cutters else made


def pin_hole(at: tuple[float, float, float], diameter_mm: float, length_mm: float) -> Manifold:
    """Return a hole along X about ``at``, with a roof of 45 degrees so that it prints level without support."""
    r = diameter_mm / 2
    around = [(r * np.cos(a), r * np.sin(a)) for a in np.linspace(3 * pi / 4, 9 * pi / 4, 25)]
    drop = [*around, (0.0, r / np.sin(pi / 4))]
    # A polygon in a circle is small by its chords; this one lies outside it.
    grown = 1 / np.cos(pi / 32)
    made = Manifold.extrude(region((x * grown, y * grown) for x, y in drop), length_mm)
    turned = made.rotate((90, 0, 90))
    x, y, z = at
    return turned.translate((x - length_mm / 2, y, z))


def rod(at: tuple[float, float, float], diameter_mm: float, height_mm: float) -> Manifold:
    """Return an upright rod, its foot at ``at``, about a polygon of 48 sides outside the circle."""
    r = diameter_mm / 2 / np.cos(pi / 48)
    return Manifold.cylinder(height_mm, r, r, 48).translate(at)


@dataclass(frozen=True, slots=True)
class Split:
    """Where a long part is cut square to X, and how its pieces are joined again."""

    at: tuple[float, ...]  #: places along X, mm
    pins: tuple[tuple[float, float], ...]  #: (y, z) of every pin
    pin_mm: float  #: diameter of the holes
    deep_mm: float  #: in either piece


def pieces(made: Manifold, split: Split) -> list[Manifold]:
    """Return the pieces of a body from low to high X."""
    holes = [pin_hole((x, y, z), split.pin_mm, 2 * split.deep_mm) for x in split.at for y, z in split.pins]
    rest = Manifold.batch_boolean([made, *holes], OpType.Subtract) if holes else made
    found = []
    for x in split.at:
        beyond, before = rest.split_by_plane((1, 0, 0), x)
        found.append(before)
        rest = beyond
    return [*found, rest]
