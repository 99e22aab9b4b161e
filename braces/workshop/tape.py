"""The rim strip: a paper tape round the inside of the linings, with every pocket of top and back on it.

What is measured: lengths along the upright inner face of the linings from the centre line at the tail; heights from
the inner faces of top and back over that face. A pocket is as wide as its brace's end runs along the face, and as
high as the brace's end. The back's own lining lies in the tilted plate; its pockets are carried over to the tape
through the same place of the outline.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from braces.base.arrays import Floats, frozen_floats
from braces.carved.values import Carved, Pocket
from braces.curves.hits import line_hits
from braces.curves.path import Path
from braces.placed.values import Placed, PlacedPlate
from braces.workshop.along import half_grid, lengths_mm, parameter_at
from braces.workshop.faces import back_glue_z_mm
from braces.workshop.rim import GlueEdge, RimSpec, SideName

_STATION_MM = 3.0


@dataclass(frozen=True, slots=True)
class TapePocket:
    """A pocket as it stands on the tape."""

    number: int  #: as on the plate's plan
    plate: Literal["top", "back"]
    brace: str
    from_mm: float  #: its edges, along the tape from the centre line at the tail
    to_mm: float
    height_mm: float  #: from the plate's inner face into the lining
    reach_mm: float  #: depth into the lining

    @property
    def width_mm(self) -> float:
        """Along the tape."""
        return self.to_mm - self.from_mm


@dataclass(frozen=True, slots=True, eq=False)
class Tape:
    """The tape of one side. Arrays (n,) from the centre line at the tail to that at the neck."""

    side: SideName
    along_mm: Floats
    top_z_mm: Floats  #: inner face of the top over the lining's inner face, body height
    back_z_mm: Floats
    tail_block_mm: float  #: where the linings begin: the tail block's side
    neck_block_mm: float  #: and where they end
    lining_height_mm: float
    pockets: tuple[TapePocket, ...]  #: the top's first, from the tail

    def at(self, along_mm: float) -> tuple[float, float]:
        """Return (top z, back z) at a length from the tail, between stations by straight lines."""
        top = float(np.interp(along_mm, self.along_mm, self.top_z_mm))
        return top, float(np.interp(along_mm, self.along_mm, self.back_z_mm))


def tapes(carved: Carved, spec: RimSpec | None = None) -> tuple[Tape, Tape]:
    """Return the tapes of the bass and the treble side."""
    treble = 1 if carved.placed.design.handed == "right" else -1
    edge = GlueEdge(carved.placed, spec.flat_bout if spec else None)
    return _tape(carved, "bass", -treble, edge), _tape(carved, "treble", treble, edge)


def _tape(carved: Carved, side: SideName, sign: int, edge: GlueEdge) -> Tape:
    placed = carved.placed
    path = _face(placed)
    longest = path.perimeter_mm / path.count * 2
    u = half_grid(path, max(8, int(longest / _STATION_MM)))
    u = path.kept(u) if sign > 0 else path.kept(path.count - u[::-1])[::-1]
    xy = path.point(u)
    along = lengths_mm(path, u) if sign > 0 else _backwards(lengths_mm(path, u[::-1]))
    body = placed.design.body
    tail = _block_side(path, body.tail_block_mm, sign * body.tail_block_width_mm / 2, first=True)
    neck = _block_side(path, body.neck_block_mm, sign * body.neck_block_width_mm / 2, first=False)
    found = [
        _carried(placed, plate, p, path, sign)
        for plate, wood in zip(placed.plates, carved.plates, strict=True)
        for p in wood.pockets
        if p.side == side
    ]
    found.sort(key=lambda p: (p.plate != "top", p.from_mm))
    return Tape(
        side,
        frozen_floats(along),
        frozen_floats(edge(xy)),
        frozen_floats(back_glue_z_mm(placed, xy)),
        tail if tail is not None else 0.0,
        neck if neck is not None else float(along[-1]),
        placed.design.lining.height_mm,
        tuple(found),
    )


def _face(placed: Placed) -> Path:
    return placed.outline.inside(placed.design.body.side_mm + placed.design.lining.thickness_mm)


def _backwards(along: Floats) -> Floats:
    return np.asarray((along[-1] - along)[::-1])


def _block_side(path: Path, thick_mm: float, x_mm: float, first: bool) -> float | None:
    hits = line_hits(path, (x_mm, -1e4), (0.0, 1.0)) if thick_mm > 0 and x_mm else ()
    if not hits:
        return None
    u = (hits[0] if first else hits[-1]).u_count
    return path.length(0.0, u) if u <= path.count / 2 else path.length(u, float(path.count))


def _carried(placed: Placed, plate: PlacedPlate, pocket: Pocket, path: Path, sign: int) -> TapePocket:
    """Carry a pocket from its own plate's lining to the tape."""
    ratio = plate.lining.count / path.count
    edges = []
    for edge in (pocket.along_rim_mm - pocket.width_mm / 2, pocket.along_rim_mm + pocket.width_mm / 2):
        u = _signed_parameter(plate.lining, sign * edge) / ratio
        along = path.length(0.0, u) if u >= 0 else -path.length(u + path.count, float(path.count))
        edges.append(sign * along)
    return TapePocket(pocket.number, plate.name, pocket.brace, edges[0], edges[1], pocket.height_mm, pocket.reach_mm)


def _signed_parameter(path: Path, along_mm: float) -> float:
    """Parameter at a signed length from the tail: negative lengths run against travel."""
    if along_mm >= 0:
        return parameter_at(path, along_mm)
    return parameter_at(path, path.perimeter_mm + along_mm) - path.count
