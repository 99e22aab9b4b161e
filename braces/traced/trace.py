"""A drawing in, an outline out, with everything that was done to it said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isfinite
from typing import Literal

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.base.problems import DesignError, Problem
from braces.base.units import mm_text
from braces.curves.path import Path
from braces.traced.axis import way_named
from braces.traced.curve import mirrored_curve, whole_curve
from braces.traced.drawn_units import MM_PER_DRAWN_UNIT, size_text
from braces.traced.half import half_outline
from braces.traced.join import Joined, joined, widest_gap
from braces.traced.lay import Ends, Laid, Wish, laid_half, laid_whole
from braces.traced.outline import Outline, path
from braces.traced.outline_file import Provenance, outline_text, written
from braces.traced.pieces import MAX_BYTES, Pieces, refusal
from braces.traced.places import Places, places
from braces.traced.polylines import Nearest, crosses_itself
from braces.traced.read_csv import read_csv
from braces.traced.read_dxf import read_dxf
from braces.traced.read_svg import read_svg
from braces.traced.report import Row, Told, report_rows

_READERS = {"dxf": read_dxf, "svg": read_svg, "csv": read_csv, "txt": read_csv}
_SHORTEST_MM, _LONGEST_MM = 120.0, 900.0  #: of a body, tail to neck
_ALIKE_MM = 1.5  #: sides that differ by less are probably meant to be alike
_RANGES = {"gap_mm": (0.02, 50.0), "within_mm": (0.005, 5.0), "corner_deg": (10.0, 170.0)}


@dataclass(frozen=True, slots=True)
class TraceOptions:
    """What a maker may ask for."""

    unit: str | None = None  #: unit of the drawing, over what the file says
    symmetry: Literal["keep", "symmetrise"] = "keep"  #: of a whole outline; a half is always mirrored
    axis: Ends | None = None  #: tail and neck in the drawing's own units
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
    points: Points  #: (n, 2) what was drawn, in body axes, mm; half of them if a half was drawn
    curve: Points  #: (m, 2) the curve, in body axes, mm
    corner_points: Points  #: (k, 2) corners kept
    gap_points: Points  #: (j, 2) middles of the gaps bridged
    greatest_deviation_mm: float  #: of the points from the curve
    rms_deviation_mm: float
    report: tuple[Row, ...]  #: what was done: (subject, sentence)
    notes: tuple[Problem, ...]  #: not fatal; what the maker should know


def trace(data: bytes, filename: str, options: TraceOptions | None = None) -> Traced:
    """Return the outline drawn in a DXF, SVG or CSV file. Raises DesignError with what is wrong and what to do."""
    options = options or TraceOptions()
    name = filename.replace("\\", "/").rpartition("/")[2][:80] or "drawing"
    _check_options(options, name)
    read, left_out = _on_layer(_read(data, name, options), options.layer, name)
    found = joined(read.pieces, options.gap_mm)
    notes = _leftover_notes(found, name)
    laid = _laid(found, read.unit, options, name, notes)
    drawn = whole_curve(laid.course, options.within_mm) if laid.treatment == "kept" else mirrored_curve(
        laid.course, options.within_mm)
    outline = written(drawn.outline)
    curve = path(outline)
    dense = curve.dense(24)
    _check_shape(dense, outline, read.unit, name)
    around = Nearest(dense, closed=True)
    # Chords of the dense curve stand off it by less than a micron or so; the fit's own figure is the finer one.
    greatest, rms = float(drawn.off_mm.max()), float(np.sqrt(np.mean(drawn.off_mm**2)))
    between = _between(drawn.points, dense, laid)
    del around
    named = places(curve)
    told = Told(read, found, laid, drawn, outline, named, float(np.ptp(dense[:, 0])), greatest, rms, between, left_out)
    source = Provenance(name, read.unit, laid.treatment, greatest)
    notes += _fit_notes(told, options, name)
    gaps = np.array([g.at for g in found.outline.gaps]).reshape(-1, 2)
    return Traced(
        outline, curve, named, outline_text(outline, source), drawn.points, frozen_points(dense),
        frozen_points(outline.points[list(outline.corners)].reshape(-1, 2)),
        frozen_points(laid.to_body(gaps) - [0.0, drawn.rise_mm]), greatest, rms, report_rows(told), tuple(notes),
    )
