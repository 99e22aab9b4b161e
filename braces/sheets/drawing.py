"""A drawing as data: what to mark, true to size in mm, y up. Knows no paper and no file format.

>>> from braces.sheets.drawing import Drawing, Label, polyline
>>> bar = polyline([(0, 0), (90, 0), (90, 12), (0, 12)], "cut", closed=True)
>>> name = Label(45, 5, "Wren 1", anchor="middle")
>>> drawing = Drawing("brace-wren-1", "Wren 1", "side view, neck end on the right", "strip", (bar, name))
>>> drawing.ink
(-0.25, -0.25, 90.25, 12.25)
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.sheets.layers import pen
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm

Anchor = Literal["start", "middle", "end"]
Kind = Literal["plan", "strip"]
#: (xmin, ymin, xmax, ymax) in mm.
Box = tuple[float, float, float, float]

_ALONG = {"start": 0.0, "middle": 0.5, "end": 1.0}
#: The ring about the number of a step, and the room that it and the blank after it take, in letter heights.
_RING_RATIO, _STEP_ROOM_RATIO, _RING_COUNT = 0.74, 1.84, 36


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A polyline: ``points`` (n, 2) in mm, n >= 2, drawn with the pen of ``layer`` (see ``layers.LAYERS``).

    Curves are dense points (chords within about 0.01 mm). A closed stroke does not repeat its first point.
    """

    points: Points
    layer: str
    closed: bool = False

    def __post_init__(self) -> None:
        """Freeze the points; raise ``ValueError`` for an unknown layer or too few or not finite points."""
        pen(self.layer)
        points = frozen_points(self.points)
        if len(points) < 2 or not np.isfinite(points).all():
            raise ValueError(f"a stroke on {self.layer!r} needs two or more finite points")
        object.__setattr__(self, "points", points)

    @property
    def ink(self) -> Box:
        """The box of the line, its width included."""
        half = pen(self.layer).width_mm / 2
        (x0, y0), (x1, y1) = self.points.min(axis=0), self.points.max(axis=0)
        return float(x0) - half, float(y0) - half, float(x1) + half, float(y1) + half


def polyline(points: Sequence[tuple[float, float]], layer: str, closed: bool = False) -> Stroke:
    """Return a stroke through a few points written out as pairs in mm."""
    return Stroke(frozen_points(points), layer, closed)


@dataclass(frozen=True, slots=True)
class Label:
    """One line of words; ``x_mm, y_mm`` is the anchor on the baseline, turned by ``angle_deg`` anticlockwise.

    ``height_mm`` is the height of a capital letter, as lettering heights are given on drawings (ISO 3098-1). The
    number of a ``step`` of work stands in a ring before the words and goes wherever they go; 0 is none.
    """

    x_mm: float
    y_mm: float
    text: str
    height_mm: float = 2.5
    angle_deg: float = 0.0
    anchor: Anchor = "start"
    layer: str = "note"
    bold: bool = False
    step: int = 0

    def __post_init__(self) -> None:
        """Raise ``ValueError`` for an unknown layer or anchor, or a place or height that cannot be."""
        pen(self.layer)
        if self.anchor not in _ALONG:
            raise ValueError(f"no anchor {self.anchor!r}; known: {', '.join(_ALONG)}")
        numbers = (self.x_mm, self.y_mm, self.angle_deg, self.height_mm)
        if not all(map(math.isfinite, numbers)) or self.height_mm <= 0:
            raise ValueError(f"the label {self.text!r} has no place or no height")

    @property
    def width_mm(self) -> float:
        """Length of the words along the baseline, a ringed number before them included."""
        return self.step_room_mm + text_width_mm(self.text, self.height_mm, self.bold)

    @property
    def step_room_mm(self) -> float:
        """What a ringed number and the blank after it take of the line."""
        return _STEP_ROOM_RATIO * self.height_mm if self.step else 0.0

    @property
    def corners(self) -> Points:
        """The (4, 2) corners in mm of the room the words take, ascenders and tails included."""
        return _corners(self)

    @property
    def ink(self) -> Box:
        """The upright box of the words."""
        return _upright_box(self)


# Laying out sheets asks for the room of the same few hundred labels ten thousands of times.
@lru_cache(maxsize=4096)
def _corners(label: Label) -> Points:
    left = -_ALONG[label.anchor] * label.width_mm
    right = left + label.width_mm
    low, high = -BELOW_RATIO * label.height_mm, ABOVE_RATIO * label.height_mm
    c, s = math.cos(math.radians(label.angle_deg)), math.sin(math.radians(label.angle_deg))
    flat = np.array([(left, low), (right, low), (right, high), (left, high)])
    return frozen_points(flat @ np.array([(c, s), (-s, c)]) + (label.x_mm, label.y_mm))


@lru_cache(maxsize=4096)
def _upright_box(label: Label) -> Box:
    (x0, y0), (x1, y1) = label.corners.min(axis=0), label.corners.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


Mark = Stroke | Label


def inked(marks: Iterable[Mark]) -> Iterator[Mark]:
    """Yield marks as they are drawn: a label with a step as a ring, a number and words."""
    for mark in marks:
        if isinstance(mark, Stroke) or not mark.step:
            yield mark
            continue
        h, turn = mark.height_mm, math.radians(mark.angle_deg)
        left = -_ALONG[mark.anchor] * mark.width_mm
        along = np.array((math.cos(turn), math.sin(turn)))
        foot = np.array((mark.x_mm, mark.y_mm)) + (left + _RING_RATIO * h) * along
        middle = foot + 0.5 * h * np.array((-along[1], along[0]))
        round_ = np.arange(_RING_COUNT) * (2 * math.pi / _RING_COUNT)
        ring = middle + _RING_RATIO * h * np.column_stack([np.cos(round_), np.sin(round_)])
        start = np.array((mark.x_mm, mark.y_mm)) + (left + mark.step_room_mm) * along
        yield Stroke(frozen_points(ring), mark.layer, closed=True)
        number, x, y = str(mark.step), float(foot[0]), float(foot[1])
        yield Label(x, y, number, h, mark.angle_deg, "middle", mark.layer, bold=True)
        yield replace(mark, x_mm=float(start[0]), y_mm=float(start[1]), anchor="start", step=0)


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """Marks with a name. Coordinates are true mm with any origin.

    ``key`` is the file stem ("plan-top", "brace-x-treble"), ``title`` names it on the sheet, ``face`` says in
    words which face is seen and which way round. ``join_windows`` are the x-intervals in mm in which a strip
    template too long for a sheet may be cut and joined: away from laps, peaks and valleys.
    """

    key: str
    title: str
    face: str
    kind: Kind
    marks: tuple[Mark, ...]
    join_windows: tuple[tuple[float, float], ...] = ()
    #: The box of everything drawn, labels and line widths included.
    ink: Box = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Raise ``ValueError`` for an empty drawing, an unknown kind or an impossible join window."""
        if not self.marks:
            raise ValueError(f"the drawing {self.key!r} has no marks")
        if self.kind not in ("plan", "strip"):
            raise ValueError(f"the drawing {self.key!r} is neither a plan nor a strip: {self.kind!r}")
        if any(not a < b for a, b in self.join_windows):
            raise ValueError(f"{self.key!r}: a join window is not an interval: {self.join_windows}")
        object.__setattr__(self, "ink", union(*(m.ink for m in self.marks)))

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """The strokes, in the order drawn."""
        return tuple(m for m in self.marks if isinstance(m, Stroke))

    @property
    def labels(self) -> tuple[Label, ...]:
        """The labels, in the order drawn."""
        return tuple(m for m in self.marks if isinstance(m, Label))


def union(*boxes: Box) -> Box:
    """Return the box around ``boxes`` (at least one)."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def moved_mark(mark: Mark, dx_mm: float, dy_mm: float) -> Mark:
    """Return the stroke or label shifted by (``dx_mm``, ``dy_mm``)."""
    if isinstance(mark, Stroke):
        return Stroke(mark.points + np.array((dx_mm, dy_mm)), mark.layer, mark.closed)
    return replace(mark, x_mm=mark.x_mm + dx_mm, y_mm=mark.y_mm + dy_mm)


def moved(drawing: Drawing, dx_mm: float, dy_mm: float) -> Drawing:
    """Return the drawing shifted by (``dx_mm``, ``dy_mm``)."""
    marks = tuple(moved_mark(m, dx_mm, dy_mm) for m in drawing.marks)
    windows = tuple((a + dx_mm, b + dx_mm) for a, b in drawing.join_windows)
    return replace(drawing, marks=marks, join_windows=windows)
