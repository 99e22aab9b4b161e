"""The outline file: a small TOML text a design refers to, written and read back.

A knot a line: x and y in mm, heading in degrees from the treble side, bend in 1/m (1000 / radius in mm), run in mm to
the next knot. At a corner the heading and bend with which the curve arrives are given too.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

import numpy as np

from braces.base.arrays import frozen_floats, frozen_points
from braces.base.problems import DesignError, Problem, Where
from braces.curves.path import Path
from braces.traced.outline import Outline, path
from braces.traced.places import Places, places
from braces.traced.polylines import crosses_itself

MAX_TEXT = 64 * 1024
_FORMAT = 1
_FEWEST, _MOST = 4, 400
_LIMITS = {  # key: lowest, highest
    "x": (-1000.0, 1000.0),
    "y": (-200.0, 1400.0),
    "heading": (-360.0, 360.0),
    "bend": (-2000.0, 2000.0),
    "run": (0.5, 1500.0),
    "heading_in": (-360.0, 360.0),
    "bend_in": (-2000.0, 2000.0),
}
_NEEDED = ("x", "y", "heading", "bend", "run")
_MEETS_MM = 0.01  #: how far the tail's and the neck's knot may stand off the axis


@dataclass(frozen=True, slots=True)
class Provenance:
    """Where an outline came from, for whoever opens the file."""

    drawing: str  #: file name, no folders
    drawn_in: str  #: unit
    symmetry: str  #: "kept", "symmetrised" or "mirrored half"
    greatest_deviation_mm: float  #: of the points from the curve


@dataclass(frozen=True, slots=True, eq=False)
class ReadOutline:
    """An outline file's content."""

    outline: Outline
    path: Path
    places: Places


def outline_text(outline: Outline, source: Provenance) -> str:
    """Return the text of an outline file."""
    name = re.sub(r"[^\w .,()+-]", "_", re.split(r"[\\/]", source.drawing)[-1])[:80]
    rows = "\n".join(_row(outline, i) for i in range(len(outline.points)))
    return (
        "# A body outline, traced from a drawing. From the tail centre anticlockwise, as seen from the front.\n"
        "# x and y: mm from the tail centre, x to the treble side, y to the neck. run: mm of curve to the next knot.\n"
        "# heading: degrees from the treble side. bend: 1000 / radius in mm, positive turning left.\n"
        f"outline = {_FORMAT}\n"
        'unit = "mm"\n\n'
        "[traced]\n"
        f'drawing = "{name}"\n'
        f'drawn_in = "{source.drawn_in}"\n'
        f'symmetry = "{source.symmetry}"\n'
        f'greatest_deviation = "{source.greatest_deviation_mm:.3f} mm"\n\n'
        f"[curve]\nknots = [\n{rows}\n]\n"
    )


def _number(value: float) -> str:
    text = f"{value:.4f}"
    return "0.0000" if text == "-0.0000" else text


def _row(outline: Outline, i: int) -> str:
    x, y = outline.points[i]
    (heading_in, heading), (bend_in, bend) = outline.headings_deg[i], outline.bends_per_m[i]
    cells = {"x": x, "y": y, "heading": _below_turn(heading), "bend": bend, "run": outline.runs_mm[i]}
    if i in outline.corners:
        cells |= {"heading_in": _below_turn(heading_in), "bend_in": bend_in}
    return "  { " + ", ".join(f"{k} = {_number(float(v))}" for k, v in cells.items()) + " },"


def _below_turn(degrees: float) -> float:
    """Keep 359.99999 from being written as 360."""
    return degrees - 360.0 if degrees > 359.99995 else degrees


def written(outline: Outline) -> Outline:
    """Return the outline as its file will give it back: every number to four decimals."""
    text = outline_text(outline, Provenance("", "", "", 0.0))
    return _outline(tomllib.loads(text)["curve"]["knots"])


def read_outline(text: str) -> ReadOutline:
    """Return the curve and the named places of an outline file. Raises DesignError with every problem in it."""
    if len(text) > MAX_TEXT:
        raise DesignError([_bad((), f"it is longer than {MAX_TEXT // 1024} kB", "trace the drawing again")])
    try:
        raw = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise DesignError([_bad((), f"not TOML: {str(error)[:120]}", "trace the drawing again")]) from None
    problems = _head_problems(raw)
    knots = raw.get("curve", {}).get("knots") if isinstance(raw.get("curve"), dict) else None
    problems += _knot_problems(knots)
    if problems:
        raise DesignError(problems)
    assert isinstance(knots, list)  # else there is a problem
    outline = _outline(knots)
    curve = path(outline)
    problems = _shape_problems(outline, curve)
    if problems:
        raise DesignError(problems)
    return ReadOutline(outline, curve, places(curve))


def _bad(where: Where, found: str, advice: str = "trace the drawing again, or mend the number") -> Problem:
    return Problem("T14", where, found, advice)


def _head_problems(raw: dict[str, Any]) -> list[Problem]:
    problems = []
    if type(raw.get("outline")) is not int or raw["outline"] != _FORMAT:
        problems.append(_bad(("outline",), f"this is no outline of kind {_FORMAT}", 'write one with "braces trace"'))
    if raw.get("unit") != "mm":
        problems.append(_bad(("unit",), "the unit is not mm", 'an outline file is always in mm: unit = "mm"'))
    known = {"outline", "unit", "traced", "curve"}
    problems += [_bad((k,), "this key is not known here", "remove it") for k in raw if k not in known]
    return problems


def _knot_problems(knots: Any) -> list[Problem]:
    where: Where = ("curve", "knots")
    if not isinstance(knots, list) or not _FEWEST <= len(knots) <= _MOST or len(knots) % 2:
        return [_bad(where, f"there must be an even number of knots, {_FEWEST} to {_MOST}", "trace the drawing again")]
    problems: list[Problem] = []
    for i, knot in enumerate(knots):
        if not isinstance(knot, dict):
            problems.append(_bad((*where, i), "a knot is no table"))
            continue
        problems += [_bad((*where, i, k), "the number is missing") for k in _NEEDED if k not in knot]
        if ("heading_in" in knot) != ("bend_in" in knot):
            problems.append(_bad((*where, i), "a corner needs both heading_in and bend_in"))
        for key, value in knot.items():
            problems += _value_problems((*where, i, str(key)), str(key), value)
    return problems[:40]


def _value_problems(where: Where, key: str, value: Any) -> list[Problem]:
    if key not in _LIMITS:
        return [_bad(where, "this key is not known here", f"use {', '.join(_LIMITS)}")]
    low, high = _LIMITS[key]
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        return [_bad(where, f"{str(value)[:40]} is no number from {low:g} to {high:g}")]
    return []


def _outline(knots: list[dict[str, float]]) -> Outline:
    headings = np.array([[k.get("heading_in", k["heading"]), k["heading"]] for k in knots], dtype=float)
    bends = np.array([[k.get("bend_in", k["bend"]), k["bend"]] for k in knots], dtype=float)
    for a in (headings, bends):
        a.setflags(write=False)
    points, runs = frozen_points([(k["x"], k["y"]) for k in knots]), frozen_floats([k["run"] for k in knots])
    return Outline(points, headings, bends, runs)


def _shape_problems(outline: Outline, curve: Path) -> list[Problem]:
    """What makes numbers that are each possible no body."""
    where: Where = ("curve", "knots")
    n = len(outline.points)
    (x0, y0), (xn, yn) = outline.points[0], outline.points[n // 2]
    if abs(x0) > _MEETS_MM or abs(y0) > _MEETS_MM:
        return [_bad((*where, 0), "the first knot is not the tail centre", "it stands at x = 0, y = 0")]
    if abs(xn) > _MEETS_MM or not 100 <= yn <= 1000:
        return [_bad((*where, n // 2), "the middle knot is not the neck end", "it stands at x = 0, 100 to 1000 mm up")]
    chords = np.hypot(*(np.roll(outline.points, -1, axis=0) - outline.points).T)
    odd = np.flatnonzero((outline.runs_mm < 0.99 * chords) | (outline.runs_mm > 3 * chords + 1))
    if len(odd):
        return [
            _bad(
                (*where, int(i), "run"),
                f"{outline.runs_mm[i]:.4f} mm does not fit the {chords[i]:.1f} mm straight to the next knot",
            )
            for i in odd[:8]
        ]
    dense = curve.dense(20)
    if curve.area_mm2() <= 0:
        return [_bad(where, "the knots run clockwise", "trace the drawing again")]
    if (at := crosses_itself(dense)) is not None:
        return [_bad(where, f"the curve crosses itself near x = {at[0]:.0f}, y = {at[1]:.0f} mm")]
    return []
