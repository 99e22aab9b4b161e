"""What the page of one shop tool shows, as plain values: its pictures in mm, its words, how it is printed."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from braces.base.arrays import Points
from braces.sheets.drawing import Box

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class ToolDim:
    """A dimension between two places of a view, written out."""

    a: XY
    b: XY
    text: str

    @property
    def ends(self) -> tuple[XY, ...]:
        """The places that it runs between."""
        return self.a, self.b


@dataclass(frozen=True, slots=True)
class ToolAngle:
    """An angle of a view, from one direction anticlockwise to another, written out."""

    at: XY
    from_deg: float
    to_deg: float
    radius_mm: float
    text: str

    @property
    def ends(self) -> tuple[XY, ...]:
        """The ends of its arc, and about where its figure ends."""
        reaches = ((self.from_deg, 1.0), ((self.from_deg + self.to_deg) / 2, 2.8), (self.to_deg, 1.0))
        return tuple(
            (self.at[0] + k * self.radius_mm * cos(radians(d)), self.at[1] + k * self.radius_mm * sin(radians(d)))
            for d, k in reaches
        )


@dataclass(frozen=True, slots=True, eq=False)
class ToolView:
    """One picture, mm, y up: edges (n, 2) each, engraved words, and the dimensions drawn on it."""

    edges: tuple[Points, ...]
    words: tuple[Points, ...] = ()
    dims: tuple[ToolDim | ToolAngle, ...] = ()

    @property
    def size(self) -> Box:
        """The box of its edges."""
        every = np.concatenate(self.edges)
        (x0, y0), (x1, y1) = every.min(axis=0), every.max(axis=0)
        return float(x0), float(y0), float(x1), float(y1)

    @property
    def room(self) -> Box:
        """The box of its edges and of the ends of its dimensions."""
        x0, y0, x1, y1 = self.size
        ends = [p for d in self.dims for p in d.ends]
        xs, ys = [x0, x1, *(p[0] for p in ends)], [y0, y1, *(p[1] for p in ends)]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True, slots=True, eq=False)
class ToolCard:
    """Everything on the page of one tool."""

    kind: str  #: which tools it belongs to, for the contents
    title: str
    above: ToolView
    front: ToolView
    left: ToolView | None  #: of its left end, where that says more than its size
    under: ToolView | None  #: from below, where that shows something new
    slant: ToolView
    bed: ToolView | None  #: its first piece on the bed; None if it is not printed
    bed_words: str  #: how it lies there
    count: int  #: how many to make
    size: str  #: of a piece, and how many pieces if more than one
    volume_mm3: float  #: of one
    filament_g: float  #: for one
    facts: tuple[tuple[str, str], ...]  #: label and value
    notes: tuple[str, ...]  #: what it is for and how it is used
