"""Measured points: two columns of numbers, with the unit in the header."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from braces.traced.drawn_units import MM_PER_DRAWN_UNIT, unit_named, unit_question
from braces.traced.pieces import MAX_POINTS, Collector, Pieces, refusal, too_many

FEWEST_POINTS = 8
_HEADER = re.compile(r'^"?\s*([xy])\s*(?:[_ ]|\(|\[)*\s*([a-z]*)\s*(?:\)|\])*\s*"?$', re.IGNORECASE)
_ADVICE = 'write a first line such as "x_mm,y_mm" and then one point to a line, in order along the outline'


@dataclass(frozen=True, slots=True)
class _Layout:
    separator: str
    decimal: str
    x: int
    y: int
    unit: str  #: "" if the header names none
    first_row: int  #: index of the first line of numbers


def read_csv(data: bytes, name: str, unit: str | None = None) -> Pieces:
    """Return the lines through the points; an empty line begins a new one.

    A line whose ends lie no further apart than its points do is closed. ``unit`` overrides the header's. Raises
    DesignError with every line that cannot be read.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refusal("T06", name, "it is not UTF-8 text", "save it as UTF-8 CSV") from None
    lines = text.splitlines()
    if len(lines) > 2 * MAX_POINTS:
        raise too_many(name)
    layout = _layout(lines, name)
    asked = unit_named(unit, name) if unit is not None else ""
    found = asked or layout.unit
    collector = Collector(name, MM_PER_DRAWN_UNIT[found or "mm"])
    runs = _runs(lines, layout, name)
    if sum(len(rows) for _, rows in runs) < FEWEST_POINTS:
        raise refusal("T04", name, f"there are fewer than {FEWEST_POINTS} points in it", "measure more of them")
    for start, rows in runs:
        points = np.array(rows)
        collector.add(points, f"{len(rows)} points from line {start + 1}", _comes_round(points))
    if not found:
        extent = np.ptp(np.concatenate([p.points for p in collector.pieces]), axis=0)
        raise unit_question(name, float(extent[0]), float(extent[1]), "the first line names no unit")
    if asked:
        return collector.result(
            found, f"asked for; the first line says {layout.unit}" if layout.unit not in ("", asked) else "asked for"
        )
    return collector.result(found, "the first line")


def _blank(line: str) -> bool:
    return not line.strip().strip(",;") or line.lstrip().startswith("#")


def _layout(lines: list[str], name: str) -> _Layout:
    first = next((i for i, line in enumerate(lines) if not _blank(line)), None)
    if first is None:
        raise refusal("T04", name, "it is empty", _ADVICE)
    head = lines[first]
    body = next((line for line in lines[first + 1 :] if not _blank(line)), head)
    separator = next((s for s in ("\t", ";", ",") if s in body), " ")
    decimal = "," if separator in ";\t" and "," in body and "." not in body else "."
    cells = _cells(head, separator if separator in head else next((s for s in ("\t", ";", ",") if s in head), " "))
    if all(_is_number(c.replace(decimal, ".")) for c in cells):
        return _Layout(separator, decimal, 0, 1, "", first)
    named = {m.group(1).lower(): (i, m.group(2).lower()) for i, c in enumerate(cells) if (m := _HEADER.match(c[:40]))}
    if set(named) != {"x", "y"}:
        raise refusal("T06", name, f'the first line is "{head[:60]}"', _ADVICE)
    (x, unit), (y, other) = named["x"], named["y"]
    if unit != other:
        raise refusal("T06", name, f'x is in "{unit}" and y in "{other}"', "give both columns the same unit")
    return _Layout(separator, decimal, x, y, unit_named(unit, name) if unit else "", first + 1)


def _cells(line: str, separator: str) -> list[str]:
    return line.split() if separator == " " else [c.strip() for c in line.split(separator)]


def _is_number(text: str) -> bool:
    try:
        return bool(np.isfinite(float(text)))
    except ValueError:
        return False


def _runs(lines: list[str], layout: _Layout, name: str) -> list[tuple[int, list[tuple[float, float]]]]:
    runs: list[tuple[int, list[tuple[float, float]]]] = []
    bad: list[int] = []
    fresh = True
    for i, line in enumerate(lines[layout.first_row :], layout.first_row):
        if _blank(line):
            fresh = fresh or not line.lstrip().startswith("#")
            continue
        cells = [c.strip('"').replace(layout.decimal, ".") for c in _cells(line, layout.separator)]
        if len(cells) <= max(layout.x, layout.y) or not all(_is_number(cells[k]) for k in (layout.x, layout.y)):
            bad.append(i)
            continue
        if fresh:
            runs.append((i, []))
            fresh = False
        runs[-1][1].append((float(cells[layout.x]), float(cells[layout.y])))
    if bad:
        shown = ", ".join(str(i + 1) for i in bad[:8]) + (f" and {len(bad) - 8} more" if len(bad) > 8 else "")
        raise refusal("T06", name, f'no two numbers on line {shown}: "{lines[bad[0]][:60]}"', "mend or remove it")
    return runs


def _comes_round(points: np.ndarray) -> bool:
    """Whether the last point is about as near the first as points are to their neighbours, there or on the whole."""
    if len(points) < FEWEST_POINTS:
        return False
    steps = np.hypot(*np.diff(points, axis=0).T)
    return bool(np.hypot(*(points[-1] - points[0])) <= 2.5 * max(np.median(steps), steps[0], steps[-1]))
