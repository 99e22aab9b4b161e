"""A drawing in, an outline out, with everything that was done to it said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, isfinite
from typing import Literal

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.base.problems import DesignError, Problem
from braces.base.units import mm_text
from braces.curves.path import Path
from braces.traced.axis import way_named
from braces.traced.curve import Drawn, mirrored_curve, whole_curve
from braces.traced.drawn_units import MM_PER_DRAWN_UNIT, size_text
from braces.traced.fit import Tangled
from braces.traced.half import half_outline
from braces.traced.join import Gap, Joined, bends, joined, missing
from braces.traced.lay import Ends, Laid, Wish, laid_half, laid_whole
from braces.traced.outline import Outline, path
from braces.traced.outline_file import Provenance, outline_text, read_outline, written
from braces.traced.pieces import MAX_BYTES, Pieces, refusal
from braces.traced.places import Places, places
from braces.traced.polylines import Nearest, crosses_itself
from braces.traced.read_csv import read_csv
from braces.traced.read_dxf import read_dxf
from braces.traced.read_svg import read_svg
from braces.traced.report import Row, Told, is_centre_line, report_rows

_READERS = {"dxf": read_dxf, "svg": read_svg, "csv": read_csv, "txt": read_csv}
_SHORTEST_MM, _LONGEST_MM = 120.0, 900.0  #: of a body, tail to neck
_NEAR_MISS_MM = 10.0  #: a bent run that begins so near the end of half an outline is its continuation
_ALIKE_MM = 1.5  #: sides that differ by less are probably meant to be alike
_LONGEST_WAY_MM = 6000.0  #: all round; twice that of the largest body
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
    found = _not_a_hole(joined(read.pieces, options.gap_mm))
    notes: list[Problem] = []
    laid = _laid(found, read.unit, options, name, notes)
    drawn = _drawn(laid, options, name)
    outline = written(drawn.outline)
    curve = path(outline)
    dense = curve.dense(24)
    _check_shape(dense, outline, read.unit, name)
    off = np.linalg.norm(curve.point(drawn.u) - drawn.points, axis=1)
    greatest, rms = float(off.max()), float(np.sqrt(np.mean(off**2)))
    between = _between(curve, drawn, laid, found)
    named = places(curve)
    told = Told(read, found, laid, drawn, outline, named, float(np.ptp(dense[:, 0])), greatest, rms, between, left_out)
    source = Provenance(name, read.unit, laid.treatment, greatest)
    notes += _fit_notes(told, options, name)
    text = outline_text(outline, source)
    _check_file(text, name)
    gaps = np.array([g.at for g in found.outline.gaps]).reshape(-1, 2)
    return Traced(
        outline,
        curve,
        named,
        text,
        drawn.points,
        frozen_points(dense),
        frozen_points(outline.points[list(outline.corners)].reshape(-1, 2)),
        frozen_points(laid.to_body(gaps) - [0.0, drawn.rise_mm]),
        greatest,
        rms,
        report_rows(told),
        tuple(notes),
    )


def _check_options(options: TraceOptions, name: str) -> None:
    for key, (low, high) in _RANGES.items():
        value = getattr(options, key)
        if not low <= value <= high:
            what = key.rpartition("_")[0]
            raise refusal("T16", name, f"{what} is {value:g}", f"it must lie between {low:g} and {high:g}")
    if options.symmetry not in ("keep", "symmetrise"):
        raise refusal("T16", name, f'"{options.symmetry}" is no way to treat symmetry', "keep or symmetrise")
    if options.axis is not None and not all(isfinite(v) for end in options.axis for v in end):
        raise refusal(
            "T16", name, "the axis given is no line", "give two places on the centre line, tail first, then neck"
        )
    way_named(options.neck, name)


def _read(data: bytes, name: str, options: TraceOptions) -> Pieces:
    if len(data) > MAX_BYTES:
        raise refusal(
            "T02",
            name,
            f"the file is larger than {MAX_BYTES // 1024 // 1024} MB",
            "save only the outline to a file of its own",
        )
    reader = _READERS.get(name.rpartition(".")[2].lower())
    if reader is None:
        raise refusal("T01", name, "its name does not end in .dxf, .svg or .csv", "save the drawing as one of these")
    return reader(data, name, options.unit)


def _on_layer(read: Pieces, layer: str | None, name: str) -> tuple[Pieces, tuple[str, ...]]:
    if layer is None:
        return read, ()
    chosen = tuple(p for p in read.pieces if layer.lower() in p.label.lower())
    if not chosen:
        labels = sorted({p.label for p in read.pieces})
        raise refusal("T04", name, f'nothing drawn is named "{layer[:40]}"', f"there are: {'; '.join(labels[:12])}")
    return replace(read, pieces=chosen), tuple(p.label for p in read.pieces if layer.lower() not in p.label.lower())


def _not_a_hole(found: Joined) -> Joined:
    """Where the largest loop is too small for a body, take the longest bent open run for the outline instead."""
    bent = next((c for c in found.leftovers if bends(c)), None)
    if not found.outline.closed or bent is None or np.ptp(found.outline.points, axis=0).max() >= _SHORTEST_MM:
        return found
    rest = tuple(c for c in found.leftovers if c is not bent)
    return Joined(bent, (found.outline, *found.others), rest, found.duplicates)


def _laid(found: Joined, unit: str, options: TraceOptions, name: str, notes: list[Problem]) -> Laid:
    half = half_outline(found.outline)
    if not found.outline.closed:
        gap = missing(found, inf if half is None else _NEAR_MISS_MM)
        if gap is not None:
            raise _open_outline(found, gap, name, options.gap_mm)
    mm = MM_PER_DRAWN_UNIT[unit]
    ends: Ends | None = None
    if options.axis is not None:
        (x0, y0), (x1, y1) = options.axis
        ends = ((x0 * mm, y0 * mm), (x1 * mm, y1 * mm))
    wish = Wish(
        ends, way_named(options.neck, name), options.symmetry == "symmetrise", options.mirrored, options.corner_deg
    )
    extent = np.ptp(found.outline.points, axis=0)
    if not _SHORTEST_MM <= float(extent.max()) <= 2 * _LONGEST_MM:
        raise _no_body(float(extent[0]), float(extent[1]), unit, name)
    return laid_half(half, wish, name, notes) if half else laid_whole(found.outline, wish, name, notes)


def _drawn(laid: Laid, options: TraceOptions, name: str) -> Drawn:
    if laid.course.whole_mm > _LONGEST_WAY_MM:
        raise refusal(
            "T10",
            name,
            f"the outline's line is {laid.course.whole_mm / 1000:.1f} m long",
            "check the drawing; points must stand in order along the outline",
        )
    to_curve = whole_curve if laid.treatment == "kept" else mirrored_curve
    try:
        return to_curve(laid.course, options.within_mm)
    except Tangled:
        raise refusal(
            "T10",
            name,
            "no smooth curve runs through the points in the order they stand in",
            "check the drawing; points must stand in order along the outline",
        ) from None


def _open_outline(found: Joined, gap: Gap, name: str, gap_mm: float) -> DesignError:
    length, pieces = mm_text(found.outline.length_mm), len(found.outline.labels)
    return refusal(
        "T07",
        name,
        f"the longest run, {length} mm of {pieces} lines, does not close: {gap.size_mm:.2f} mm are missing at "
        f"x = {gap.at[0]:.1f}, y = {gap.at[1]:.1f} mm in the drawing",
        f"draw what is missing, or raise --gap (now {gap_mm:g} mm) if the ends only fail to meet; half an outline must "
        "run from the tail to the neck on one side of the centre line",
    )


def _no_body(width_mm: float, height_mm: float, unit: str, name: str) -> DesignError:
    other = "in" if unit != "in" else "mm"
    ratio = MM_PER_DRAWN_UNIT[other] / MM_PER_DRAWN_UNIT[unit]
    return refusal(
        "T09",
        name,
        f"the outline measures {size_text(width_mm, height_mm)}, taken as drawn in {unit}",
        f"a body is {_SHORTEST_MM:g} to {_LONGEST_MM:g} mm long; with --unit {other} it would be "
        f"{size_text(width_mm * ratio, height_mm * ratio)}",
    )


def _check_shape(dense: Points, outline: Outline, unit: str, name: str) -> None:
    length = float(outline.points[len(outline.points) // 2, 1])
    if not _SHORTEST_MM <= length <= _LONGEST_MM:
        raise _no_body(float(np.ptp(dense[:, 0])), length, unit, name)
    if (at := crosses_itself(dense)) is not None:
        raise refusal(
            "T10",
            name,
            f"the curve crosses itself {at[1]:.0f} mm from the tail, {at[0]:.0f} mm aside",
            "check the drawing there; points must stand in order along the outline",
        )


def _check_file(text: str, name: str) -> None:
    """What is written must be readable again, however odd the drawing was."""
    try:
        read_outline(text)
    except DesignError as error:
        raise refusal(
            "T10",
            name,
            f"the curve is no body's outline ({error.problems[0].found})",
            "check the drawing; points must stand in order along the outline",
        ) from None


def _between(curve: Path, drawn: Drawn, laid: Laid, found: Joined) -> float:
    """How far the curve stands off the straight lines between the points drawn."""
    line = laid.to_body(found.outline.points) - [0.0, drawn.rise_mm]
    dense = curve.dense(24)
    side = dense[: len(dense) // 2] if laid.alike is None else dense
    return float(Nearest(line, found.outline.closed)(side)[0].max())


def _fit_notes(told: Told, options: TraceOptions, name: str) -> list[Problem]:
    notes = []
    stray = [c for c in told.found.leftovers if not is_centre_line(told, c)]
    if stray:
        lengths = ", ".join(f"{c.length_mm:.0f} mm" for c in stray[:5])
        what = "a run of lines belongs" if len(stray) == 1 else f"{len(stray)} runs of lines belong"
        notes.append(
            Problem(
                "T15",
                (name,),
                f"{what} to no loop ({lengths} long)",
                "see that no part of the outline is among them",
                False,
            )
        )
    if round(told.greatest_mm, 2) > options.within_mm:
        why = "the points scatter" if told.drawn.settled else "the line turns too tightly for it"
        notes.append(
            Problem(
                "T11",
                (name,),
                f"the curve stands up to {told.greatest_mm:.2f} mm off the points: {why}",
                "look at the picture; smooth the drawing, or ask for --within that much",
                False,
            )
        )
    alike = told.laid.alike
    if alike is not None and told.laid.treatment == "kept" and alike.rms_mm > 0.05 and alike.greatest_mm <= _ALIKE_MM:
        notes.append(
            Problem(
                "T12",
                (name,),
                f"the sides differ by up to {alike.greatest_mm:.2f} mm",
                "if they are meant to be alike, trace it with --symmetrise",
                False,
            )
        )
    return notes
