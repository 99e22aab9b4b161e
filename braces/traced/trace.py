"""A drawing in, an outline out, with everything that was done to it said."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.base.problems import DesignError, Problem
from braces.base.units import mm_text
from braces.curves.path import Path
from braces.traced.axis import Axis, directed, found_axis, given_axis, way_named
from braces.traced.course import folded, half_course, whole_course
from braces.traced.curve import Drawn, mirrored_curve, whole_curve
from braces.traced.drawn_units import MM_PER_DRAWN_UNIT, size_text
from braces.traced.half import Half, anticlockwise, half_outline
from braces.traced.join import Joined, joined, widest_gap
from braces.traced.mirror import MirrorLine, Symmetry, symmetry
from braces.traced.outline import Outline, path
from braces.traced.outline_file import Provenance, outline_text, written
from braces.traced.pieces import MAX_BYTES, Pieces, refusal
from braces.traced.places import Places, places
from braces.traced.polylines import Nearest, crosses_itself, with_straights_filled
from braces.traced.read_csv import read_csv
from braces.traced.read_dxf import read_dxf
from braces.traced.read_svg import read_svg
from braces.traced.report import Told, report_rows

_READERS = {"dxf": read_dxf, "svg": read_svg, "csv": read_csv, "txt": read_csv}
_SHORTEST_MM, _LONGEST_MM = 120.0, 900.0  #: of a body, tail to neck
_NOT_ALIKE_MM = 8.0  #: sides that differ by more than this are meant to differ


@dataclass(frozen=True, slots=True)
class TraceOptions:
    """What a maker may ask for."""

    unit: str | None = None  #: unit of the drawing, over what the file says
    symmetry: Literal["keep", "symmetrise"] = "keep"  #: of a whole outline; a half is always mirrored
    axis: tuple[tuple[float, float], tuple[float, float]] | None = None  #: tail and neck in the drawing's own units
    neck: str | None = None  #: the way the neck points in the drawing: up, down, left, right
    mirrored: bool = False  #: the drawing shows the body from inside or behind: treble side on the left, neck up
    layer: str | None = None  #: only what has this text in its label, e.g. a layer's name
    gap_mm: float = 0.5  #: widest gap that is bridged
    within_mm: float = 0.1  #: how near the curve should come to the points
    corner_deg: float = 35.0  #: a sharper turn than this is a corner and kept


@dataclass(frozen=True, slots=True, eq=False)
class Traced:
    """The outline, and what was done to get it."""

    outline: Outline  #: as the file gives it back
    path: Path
    places: Places
    text: str  #: the outline file
    points: Points  #: (n, 2) what was drawn, in body axes, mm
    curve: Points  #: (m, 2) the curve, in body axes, mm
    corner_points: Points  #: (k, 2) corners kept
    gap_points: Points  #: (j, 2) middles of the gaps bridged
    greatest_deviation_mm: float  #: of the points from the curve
    rms_deviation_mm: float
    report: tuple[tuple[str, str], ...]  #: what was done: (subject, sentence)
    notes: tuple[Problem, ...] = field(default=())  #: not fatal; what the maker should know


def trace(data: bytes, filename: str, options: TraceOptions | None = None) -> Traced:
    """Return the outline drawn in a DXF, SVG or CSV file. Raises DesignError with what is wrong and what to do."""
    options = options or TraceOptions()
    name = filename.replace("\\", "/").rpartition("/")[2][:80] or "drawing"
    _check(options, name)
    notes: list[Problem] = []
    read = _chosen(_read(data, name, options), options, name)
    found = joined(read.pieces, options.gap_mm)
    half = half_outline(found.outline)
    if half is None and not found.outline.closed:
        raise _open_outline(found, name, options)
    _note_leftovers(found, name, notes)
    turned = np.array([-1.0 if options.mirrored else 1.0, 1.0])
    axis, alike, drawn, symmetric = _placed(found, half, turned, read.unit, options, name, notes)
    outline = written(drawn.outline)
    curve = path(outline)
    _check_curve(curve, read.unit, name)
    shift = drawn.points[0] - axis_points(axis, half, found, turned)[0] if False else _shift(drawn, axis, turned, found, half)
    raise NotImplementedError
