"""Bindings and purflings: how long the strips round the plates' edges have to be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from braces.curves.path import Path
from braces.placed.values import Placed
from braces.workshop.along import half_grid, lengths_mm
from braces.workshop.faces import back_glue_z_mm, top_glue_z_mm
from braces.workshop.rim import SideName

SPARE_MM = 30.0  #: left on each strip for trimming to the joints: common practice


@dataclass(frozen=True, slots=True)
class EdgeSpec:
    """Width of the strips let into the edges; 0 for none."""

    binding_mm: float = 2.0
    purfling_mm: float = 1.5


@dataclass(frozen=True, slots=True)
class EdgeStrip:
    """One strip from the tail joint to the neck end."""

    kind: Literal["binding", "purfling"]
    plate: Literal["top", "back"]
    side: SideName
    length_mm: float  #: along the middle of its width, following the dome
    cut_mm: float  #: length to cut

    @property
    def name(self) -> str:
        """What the strip is called on lists."""
        return f"{self.kind} {self.plate} {self.side}"


def edge_strips(placed: Placed, spec: EdgeSpec | None = None) -> tuple[EdgeStrip, ...]:
    """Return every binding and purfling strip, the top's first, bass before treble."""
    spec = spec or EdgeSpec()
    treble = 1 if placed.design.handed == "right" else -1
    rows: list[tuple[Literal["binding", "purfling"], float]] = []
    if spec.binding_mm > 0:
        rows.append(("binding", spec.binding_mm / 2))
    if spec.purfling_mm > 0:
        rows.append(("purfling", spec.binding_mm + spec.purfling_mm / 2))
    plates: tuple[Literal["top", "back"], ...] = ("top", "back")
    sides: tuple[tuple[SideName, int], ...] = (("bass", -treble), ("treble", treble))
    strips = []
    for kind, inset in rows:
        for plate in plates:
            for side, sign in sides:
                long = _domed_mm(placed, placed.outline.inside(inset), plate, sign)
                strips.append(EdgeStrip(kind, plate, side, long, long + SPARE_MM))
    return tuple(strips)


def _domed_mm(placed: Placed, path: Path, plate: Literal["top", "back"], sign: int) -> float:
    """Length of half a path raised onto a plate; plan stretches and rises are short enough to add as straight ones."""
    u = half_grid(path, 64)
    u = path.kept(u if sign > 0 else path.count - u[::-1])
    face = top_glue_z_mm if plate == "top" else back_glue_z_mm
    return float(np.sum(np.hypot(np.diff(lengths_mm(path, u)), np.diff(face(placed, path.point(u))))))
