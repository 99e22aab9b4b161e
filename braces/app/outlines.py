"""Tracing a drawing of a body into an outline file, with a picture of what was made of it."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from braces.base.arrays import Points
from braces.base.problems import DesignError, Problem
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline
from braces.sheets.svg import svg
from braces.traced.pieces import MAX_BYTES
from braces.traced.trace import Traced, TraceOptions, trace

_MOST_CROSSES = 600


@dataclass(frozen=True, slots=True, eq=False)
class TracedFiles:
    """What a trace wrote."""

    traced: Traced
    outline: Path
    picture: Path


def trace_file(source: Path, target: Path, options: TraceOptions) -> TracedFiles:
    """Trace a drawing into ``target`` and a picture beside it. Raises DesignError; OSError if it cannot be written."""
    try:
        with source.open("rb") as handle:
            data = handle.read(MAX_BYTES + 1)
    except OSError as error:
        found = f'"{source}" cannot be read: {error.strerror}'
        raise DesignError([Problem("F01", (), found, "give the path of a DXF, SVG or CSV file")]) from None
    traced = trace(data, source.name, options)
    picture = target.with_suffix(".svg")
    _write(target, traced.text.encode())
    _write(picture, svg(picture_of(traced, target.stem)))
    return TracedFiles(traced, target, picture)


def picture_of(traced: Traced, name: str) -> Drawing:
    """Return the traced curve over the points it was made from, true to size."""
    step = max(1, len(traced.points) // _MOST_CROSSES)
    marks: list[Mark] = [Stroke(traced.curve, "cut", closed=True)]
    marks += [_cross(float(x), float(y)) for x, y in traced.points[::step]]
    marks += [_ring(p, "lap") for p in traced.corner_points] + [_ring(p, "relief") for p in traced.gap_points]
    x0, y0 = traced.curve.min(axis=0)
    y1 = traced.curve.max(axis=0)[1]
    marks.append(polyline([(0.0, float(y0) - 8), (0.0, float(y1) + 8)], "centre"))
    words = [
        f"{name}: curve (heavy line) over the points drawn (crosses)",
        f"greatest deviation {traced.greatest_deviation_mm:.3f} mm",
        "rings: corners kept (solid), gaps bridged (dashed)",
    ]
    marks += [Label(float(x0), float(y0) - 16 - 5 * i, text) for i, text in enumerate(words)]
    return Drawing("outline", name, "front, neck up: treble side on the right", "plan", tuple(marks))


def _cross(x: float, y: float) -> Stroke:
    return polyline([(x - 0.7, y - 0.7), (x + 0.7, y + 0.7)], "note")


def _ring(at: Points, layer: str) -> Stroke:
    a = np.linspace(0, 2 * np.pi, 37)[:-1]
    return Stroke(at + 3 * np.column_stack([np.cos(a), np.sin(a)]), layer, closed=True)


def _write(target: Path, data: bytes) -> None:
    """Write a file so that a killed run leaves the old one whole."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(0o644)
        Path(name).replace(target)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
