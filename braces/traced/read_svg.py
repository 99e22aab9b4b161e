"""Lines of an SVG drawing: shapes and paths with their transforms, in mm, y turned up."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from numpy.typing import NDArray

from braces.base.problems import DesignError
from braces.traced import flatten
from braces.traced.drawn_units import MM_PER_DRAWN_UNIT, unit_named, unit_question
from braces.traced.pieces import Collector, Pieces, refusal
from braces.traced.svg_guard import guarded


def read_svg(data: bytes, name: str, unit: str | None = None) -> Pieces:
    """Return every line of the drawing.

    ``unit`` says what one user unit of the drawing is and overrides the size written in the file. Raises
    DesignError if the file cannot be read, plays tricks, or its unit is not known.
    """
    safe = guarded(data, name)
    if unit is not None:
        written = unit_named(unit, name)
        scale = (MM_PER_DRAWN_UNIT[written],) * 2
        known_from = "asked for"
        if safe.unit not in ("", written):
            known_from += f"; the drawing's width is in {safe.unit}"
    elif safe.scale is not None:
        written, scale, known_from = safe.unit, safe.scale, "the drawing's own width"
    else:
        written, scale, known_from = "", (1.0, 1.0), "the drawing's width has no real unit"
    collector = Collector(name, 1.0)
    for _ in range(safe.hidden_count):
        collector.pass_over("hidden")
    _collect(safe.text, scale, collector)
    pieces = collector.result(written, known_from)
    if not written:
        extent = np.ptp(np.concatenate([p.points for p in pieces.pieces]), axis=0)
        raise unit_question(name, float(extent[0]), float(extent[1]), known_from)
    return pieces


def _collect(text: str, scale: tuple[float, float], collector: Collector) -> None:
    from svgelements import SVG, Group, Shape, Use

    try:
        drawing = SVG.parse(io.StringIO(text), reify=False, ppi=96, on_error="raise")
        elements = list(drawing.elements())
    except Exception as error:
        reason = f": {str(error)[:120]}" if str(error) else ""
        raise refusal(
            "T06", collector.name, f"a shape in it cannot be read{reason}", "save it as plain SVG again"
        ) from None
    for element in elements:
        collector.entity()
        if not isinstance(element, Shape):
            if not isinstance(element, Group | Use):
                collector.pass_over(type(element).__name__.lower())
            continue
        try:
            _shape(element, scale, collector)
        except DesignError:
            raise
        except Exception as error:
            raise refusal(
                "T06",
                collector.name,
                f"{_label(element)} cannot be read: {str(error)[:100]}",
                "convert it to a path and save it again",
            ) from None


def _label(element: Any) -> str:
    kind = type(element).__name__.lower()
    return f'{kind} "{str(element.id)[:40]}"' if element.id else kind


def _shape(element: Any, scale: tuple[float, float], collector: Collector) -> None:
    m = element.transform
    # Points are moved, not the arcs' own numbers, so that skewed circles stay right.
    matrix = np.array([[m.a, m.c], [m.b, m.d]], dtype=float) * np.array([[scale[0]], [-scale[1]]])
    shift = np.array([m.e, m.f], dtype=float) * np.array([scale[0], -scale[1]])
    stretch = float(np.linalg.norm(collector.reach(matrix), 2))
    within = collector.within / max(stretch, 1e-9)
    run: list[NDArray[np.float64]] = []
    before = len(collector.pieces)

    def finish(closed: bool) -> None:
        if run and (points := np.concatenate(run)).shape[0] > 1:
            collector.add(points @ matrix.T + shift, _label(element), closed)
        run.clear()

    for segment in element.segments(transformed=False):
        kind = type(segment).__name__
        if kind == "Move":
            finish(False)
            run.append(_xy([segment.end], collector))
        elif kind == "Close":
            start = run[0][:1] if run else None
            finish(True)
            if start is not None:  # what follows without a move begins where the loop began
                run.append(start)
        else:
            run.append(_points(segment, kind, within, collector)[1 if run else 0 :])
    finish(False)
    if len(collector.pieces) == before:
        collector.pass_over(f"{_label(element)} without a line")


def _xy(points: Any, collector: Collector) -> NDArray[np.float64]:
    return collector.reach([(float(p.x), float(p.y)) for p in points])


def _points(segment: Any, kind: str, within: float, collector: Collector) -> NDArray[np.float64]:
    if kind == "Line":
        return _xy([segment.start, segment.end], collector)
    if kind == "QuadraticBezier":
        return flatten.bezier(_xy([segment.start, segment.control, segment.end], collector), within)
    if kind == "CubicBezier":
        return flatten.bezier(_xy([segment.start, segment.control1, segment.control2, segment.end], collector), within)
    if kind == "Arc":
        centre, prx, pry = _xy([segment.center, segment.prx, segment.pry], collector)
        u, v = prx - centre, pry - centre
        start = float(segment.get_start_t())
        if u[0] * v[1] - u[1] * v[0] < 0:  # the sweep is counted from prx on, the turn of the pair apart
            v = -v
        points = flatten.arc(centre, u, v, start, float(segment.sweep), within)
        ends = _xy([segment.start, segment.end], collector)
        points[0], points[-1] = ends
        return points
    raise ValueError(f"a {kind} is not known")
