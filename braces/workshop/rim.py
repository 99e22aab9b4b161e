"""The rim: how long and how high the sides are, and what stands in their corners.

What is measured: the height of a side at a place is the upright distance between the inner faces of top and back
over the *outside* of the side there, where both plates are glued on. The inner edge of the side is a little higher,
by the domes' slope across its thickness (``Side.inner_higher_mm``); the linings end in the same two faces.
Lengths of the unrolled side run along the middle of its thickness, which bending neither stretches nor shortens to
first order; along the outside and the inside a side is about half a turn times half its thickness longer or shorter.
The walls stand upright, square to the plan: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees
from typing import Literal

import numpy as np

from braces.base.arrays import Floats, Points, frozen_floats
from braces.curves.hits import line_hits
from braces.curves.path import Path
from braces.placed.values import Placed
from braces.workshop.along import PlaceKind, half_grid, lengths_mm, places
from braces.workshop.faces import back_glue_z_mm, top_glue_z_mm

SideName = Literal["bass", "treble"]
BlockName = Literal["tail block", "neck block"]
ALIKE_MM = 0.05  #: sides that differ by no more are cut to one template
_STATION_MM = 3.0  #: heights are worked out at least this often along a side


@dataclass(frozen=True, slots=True)
class FlatBout:
    """An upper bout sanded to a plane, for a neck extension that lies flat.

    The plane goes through the glue edge on both sides at ``from_mm`` and through the neck end on the centre line.
    """

    from_mm: float  #: along the centre line from the tail: where the plane begins
    lowered_mm: float = 0.0  #: how much lower than the dome's edge the plane lies at the neck end


@dataclass(frozen=True, slots=True)
class RimSpec:
    """What a maker decides about the rim."""

    sanding_mm: float = 1.0  #: wood left on each edge of a side for the dish
    flat_bout: FlatBout | None = None


@dataclass(frozen=True, slots=True)
class SideMark:
    """A place to mark on a side."""

    kind: PlaceKind | Literal["flat begins"]
    along_mm: float  #: from the tail, along the middle of the side's thickness
    top_z_mm: float
    back_z_mm: float
    mitre_deg: float = 0.0  #: at a corner: how far off square the two pieces of the side are cut there

    @property
    def height_mm(self) -> float:
        """Height of the side there."""
        return self.top_z_mm - self.back_z_mm


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """One side unrolled, from the tail joint to the neck end. Arrays (n,)."""

    name: SideName
    along_mm: Floats  #: from the tail, along the middle of the side's thickness, ascending
    top_z_mm: Floats  #: glue edge towards the top, body height (0 is the top's highest point)
    back_z_mm: Floats  #: glue edge towards the back
    outside_mm: float  #: length along the outside of the bent side
    inside_mm: float  #: and along its inside
    inner_higher_mm: float  #: most that the inner edge of the side stands above the outer one, both edges together
    marks: tuple[SideMark, ...]  #: from the tail

    @property
    def length_mm(self) -> float:
        """Along the middle of the thickness."""
        return float(self.along_mm[-1])

    @property
    def height_mm(self) -> Floats:
        """Heights (n,) between the two glue edges."""
        return self.top_z_mm - self.back_z_mm

    def at(self, along_mm: float) -> tuple[float, float]:
        """Return (top z, back z) at a length from the tail, between stations by straight lines."""
        top = float(np.interp(along_mm, self.along_mm, self.top_z_mm))
        return top, float(np.interp(along_mm, self.along_mm, self.back_z_mm))


@dataclass(frozen=True, slots=True)
class Block:
    """The tail or the neck block: heights on the centre line of its face to the side and of its inner face."""

    name: BlockName
    thickness_mm: float
    width_mm: float
    outer_height_mm: float
    inner_height_mm: float
    top_bevel_deg: float  #: slope of its upper end away from the side, + when it rises
    back_bevel_deg: float  #: slope of its lower end away from the side, + when it falls


@dataclass(frozen=True, slots=True, eq=False)
class Rim:
    """Sides, linings and blocks."""

    sides: tuple[Side, Side]  #: bass, treble
    alike: bool  #: whether one template does for both
    differ_mm: float  #: most that the two differ, in height at the same place or in length
    blocks: tuple[Block, ...]
    lining_height_mm: float
    lining_thickness_mm: float
    least_between_linings_mm: float  #: free side between the two linings where the body is lowest
    spec: RimSpec

    def side(self, name: SideName) -> Side:
        """Return the side of that name."""
        return self.sides[0] if name == "bass" else self.sides[1]


def rim(placed: Placed, spec: RimSpec | None = None) -> Rim:
    """Return the rim of a placed design. Raises ValueError for a flat bout that begins off the outline."""
    spec = spec or RimSpec()
    lining = placed.design.lining
    treble = 1 if placed.design.handed == "right" else -1
    top = GlueEdge(placed, spec.flat_bout)
    sides = (_side(placed, "bass", -treble, top), _side(placed, "treble", treble, top))
    differ = _difference_mm(*sides)
    least = min(float(s.height_mm.min()) for s in sides) - 2 * lining.height_mm
    names: tuple[BlockName, ...] = ("tail block", "neck block")
    blocks = tuple(b for b in (_block(placed, top, n) for n in names) if b.thickness_mm > 0)
    return Rim(sides, differ <= ALIKE_MM, differ, blocks, lining.height_mm, lining.thickness_mm, least, spec)


class GlueEdge:
    """Height of the edge that the top is glued to: its dome, and a plane in a flat upper bout."""

    def __init__(self, placed: Placed, flat: FlatBout | None) -> None:
        self._placed = placed
        self.flat_from_mm: float | None = None
        if flat is None:
            return
        left, right = _across(placed.outline, flat.from_mm)
        neck = placed.outline.point(placed.outline.count / 2)
        corners = np.array([left, right, neck])
        z = top_glue_z_mm(placed, corners) - np.array([0.0, 0.0, flat.lowered_mm])
        self._plane = np.linalg.solve(np.column_stack([corners, np.ones(3)]), z)
        self.flat_from_mm = flat.from_mm

    def __call__(self, xy: Points) -> Floats:
        """Heights (n,) over plan points (n, 2), body axes, mm."""
        z = top_glue_z_mm(self._placed, xy)
        if self.flat_from_mm is None:
            return z
        plane = xy @ self._plane[:2] + self._plane[2]
        return np.asarray(np.where(xy[:, 1] > self.flat_from_mm, plane, z))


def _across(outline: Path, y_mm: float) -> tuple[tuple[float, float], tuple[float, float]]:
    hits = line_hits(outline, (-1e4, y_mm), (1.0, 0.0))
    if len(hits) < 2:
        raise ValueError(f"the flat bout begins at {y_mm:.1f} mm from the tail, where there is no body")
    return hits[0].at, hits[-1].at


def _side(placed: Placed, name: SideName, sign: int, top: GlueEdge) -> Side:
    outline, thick = placed.outline, placed.design.body.side_mm
    longest = outline.perimeter_mm / outline.count * 2
    u = half_grid(outline, max(8, int(longest / _STATION_MM)))
    if sign < 0:
        u = outline.count - u[::-1]
    ends = float(u[0]), float(u[-1])
    middle, inner = outline.inside(thick / 2), outline.inside(thick)
    u = middle.kept(u)
    outer = outline.point(u)
    top_z, back_z = top(outer), back_glue_z_mm(placed, outer)
    more = (top(inner.point(u)) - back_glue_z_mm(placed, inner.point(u))) - (top_z - back_z)
    along = lengths_mm(middle, u)
    if sign < 0:  # the grid runs from the neck to the tail
        along, top_z, back_z = (along[-1] - along)[::-1], top_z[::-1], back_z[::-1]
    return Side(
        name,
        frozen_floats(along),
        frozen_floats(top_z),
        frozen_floats(back_z),
        outline.length(*ends),
        inner.length(*ends),
        float(np.max(more)),
        _marks(placed, sign, middle, top),
    )


def _marks(placed: Placed, sign: int, middle: Path, top: GlueEdge) -> tuple[SideMark, ...]:
    outline = placed.outline
    found: list[tuple[PlaceKind | Literal["flat begins"], float]] = [
        (p.kind, p.u_count) for p in places(outline, placed.design.body, sign)
    ]
    if top.flat_from_mm is not None:
        hits = line_hits(outline, (0.0, top.flat_from_mm), (float(sign), 0.0))
        found.append(("flat begins", next(h.u_count for h in hits if h.t_mm > 0)))
    marks = []
    for kind, u in found:
        xy = outline.point(np.array([u]))
        along = middle.length(0.0, u) if sign > 0 else middle.length(u if u > 0 else middle.count, middle.count)
        mitre = abs(outline.turn_deg(int(u))) / 2 if kind == "corner" else 0.0
        marks.append(SideMark(kind, along, float(top(xy)[0]), float(back_glue_z_mm(placed, xy)[0]), mitre))
    return tuple(sorted(marks, key=lambda m: m.along_mm))


def _difference_mm(bass: Side, treble: Side) -> float:
    share = np.linspace(0.0, 1.0, 400)
    off = [abs(bass.length_mm - treble.length_mm)]
    for a, b in ((bass.top_z_mm, treble.top_z_mm), (bass.back_z_mm, treble.back_z_mm)):
        za = np.interp(share * bass.length_mm, bass.along_mm, a)
        zb = np.interp(share * treble.length_mm, treble.along_mm, b)
        off.append(float(np.max(np.abs(za - zb))))
    return max(off)


def _block(placed: Placed, top: GlueEdge, name: BlockName) -> Block:
    body, tail = placed.design.body, name == "tail block"
    thick, width = (
        (body.tail_block_mm, body.tail_block_width_mm) if tail else (body.neck_block_mm, body.neck_block_width_mm)
    )
    end = float(placed.outline.point(0.0 if tail else placed.outline.count / 2)[1])
    inward = 1 if tail else -1
    outer_y = end + inward * body.side_mm
    at = np.array([[0.0, outer_y], [0.0, outer_y + inward * thick]])
    top_z, back_z = top(at), back_glue_z_mm(placed, at)
    bevel = [degrees(atan2(float(z[1] - z[0]), thick)) if thick > 0 else 0.0 for z in (top_z, back_z)]
    return Block(name, thick, width, float(top_z[0] - back_z[0]), float(top_z[1] - back_z[1]), bevel[0], -bevel[1])
