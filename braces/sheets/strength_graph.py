"""The graph of one brace: bending stiffness along its length on a logarithmic scale that all graphs share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Final

import numpy as np

from braces.base.arrays import Floats, Points
from braces.mechanics.brace_figures import BraceFigures
from braces.sheets.drawing import Box, Label, Mark, Stroke, polyline
from braces.sheets.lettering import text_width_mm
from braces.sheets.strength_numbers import Group, figures, fixed, n_m2
from braces.sheets.words import Hand, end_word

#: Pens: the brace alone, with its strip of plate, the uncut stick, the middle of a lap.
OWN: Final = "heavy"
BOTH: Final = "edge"
BLANK: Final = "blank"
LAP: Final = "relief"
_GRID = "hatch"
_TEXT_MM = 2.5
_HEAD_MM, _FOOT_MM = 7.0, 8.5  #: room of a graph's name above it and its scale below
_DECADES_MOST = 4  #: what is softer than this many decades below the stiffest is not shown
_TICK_MM = 1.0
_BASE_MM = 3.2  #: from the top of the box down to the baseline of the name


@dataclass(frozen=True, slots=True)
class Scale:
    """Decades of stiffness that all graphs share."""

    low_power: int  #: power of ten of the lowest line, N m2
    high_power: int

    def share(self, stiffness_n_mm2: Floats) -> Floats:
        """Return how far up a graph values stand, 0 to 1."""
        power = np.log10(np.maximum(stiffness_n_mm2 * 1e-6, 1e-12))
        return np.clip((power - self.low_power) / (self.high_power - self.low_power), 0.0, 1.0)


def shared_scale(braces: Sequence[BraceFigures]) -> Scale:
    """Return whole decades that hold every value, but none more than four below the highest."""
    values = np.concatenate([np.append(np.append(b.own_n_mm2, b.with_plate_n_mm2), b.blank_n_mm2) for b in braces])
    high = ceil(log10(float(values.max()) * 1e-6) - 1e-9)
    least = float(values[values > 0].min()) * 1e-6
    return Scale(max(floor(log10(least) + 1e-9), high - _DECADES_MOST), high)


def graph(group: Group, hand: Hand, scale: Scale, box: Box) -> list[Mark]:
    """Return the graph of one brace in a box of the page."""
    f = group.figures
    ticks = [f"{10.0**p:g}" for p in range(scale.low_power, scale.high_power + 1)]
    left = box[0] + max(text_width_mm(t, _TEXT_MM) for t in ticks) + 1.5
    area = (left, box[1] + _FOOT_MM, box[2], box[3] - _HEAD_MM)
    marks = _frame(area, ticks, float(f.x_mm[-1]))
    marks += _head(group, box)
    marks += _foot(group, hand, area)

    def line(x: Floats, values: Floats, layer: str) -> Stroke:
        px = area[0] + x / f.x_mm[-1] * (area[2] - area[0])
        py = area[1] + scale.share(values) * (area[3] - area[1])
        return Stroke(_thinned(np.column_stack([px, py])), layer)

    whole = f.x_mm[[0, -1]]
    marks.append(line(whole, np.full(2, f.blank_n_mm2), BLANK))
    for lap in f.laps:
        x = area[0] + lap.at_mm / float(f.x_mm[-1]) * (area[2] - area[0])
        marks.append(polyline([(x, area[1]), (x, area[3])], LAP))
    marks.append(line(f.x_mm, f.with_plate_n_mm2, BOTH))
    marks.append(line(f.x_mm, f.own_n_mm2, OWN))
    return marks


def _thinned(points: Points) -> Points:
    """Points that do not fall together on the page."""
    keep = np.concatenate([[True], np.hypot(*np.diff(points, axis=0).T) > 1e-4])
    keep[-1] = True
    return np.asarray(points[keep])


def _frame(area: Box, ticks: Sequence[str], length_mm: float) -> list[Mark]:
    x0, y0, x1, y1 = area
    marks: list[Mark] = []
    for k, text in enumerate(ticks):
        y = y0 + (y1 - y0) * k / (len(ticks) - 1)
        marks.append(polyline([(x0, y), (x1, y)], _GRID))
        marks.append(Label(x0 - 1.5, y - _TEXT_MM / 2, text, _TEXT_MM, anchor="end"))
    for x in (x0, x1):
        marks.append(polyline([(x, y0), (x, y1)], _GRID))
    for at in np.arange(0.0, length_mm, 10.0 if length_mm < 150 else 50.0):
        x = x0 + at / length_mm * (x1 - x0)
        marks.append(polyline([(x, y0), (x, y0 - _TICK_MM)], "note"))
    return marks


def _head(group: Group, box: Box) -> list[Mark]:
    name = f"{group.number}  {group.name}"
    marks: list[Mark] = [Label(box[0], box[3] - _BASE_MM, name, _TEXT_MM, bold=True)]
    weak = group.figures.weakest
    text = "N m²"
    if weak is not None:
        text = f"weakest at {weak.at_mm:.0f} mm, {figures(n_m2(weak.stiffness_n_mm2))} N m² on the plate"
    if text_width_mm(name, _TEXT_MM, True) + text_width_mm(text, _TEXT_MM) + 3 > box[2] - box[0]:
        text = "N m²"
    marks.append(Label(box[2], box[3] - _BASE_MM, text, _TEXT_MM, anchor="end"))
    return marks


def _foot(group: Group, hand: Hand, area: Box) -> list[Mark]:
    """Return the scale of the length in words: the ends, and the middle of the way."""
    x0, y0, x1, _ = area
    y = y0 - _TICK_MM - 3.6
    length = float(group.figures.x_mm[-1])
    start, end = "start", "end"
    if len(group.names) == 1:
        start, end = (end_word(group.made, hand, at_end) for at_end in (False, True))
    step = 100.0 if length > 150 else 20.0
    marks: list[Mark] = [
        Label(x0, y, f"{start} 0", _TEXT_MM),
        Label(x1, y, f"{fixed(length, 0)} mm {end}", _TEXT_MM, anchor="end"),
    ]
    taken = [m.ink for m in marks]
    for at in np.arange(step, length, step):
        label = Label(x0 + at / length * (x1 - x0), y, f"{at:.0f}", _TEXT_MM, anchor="middle")
        if all(label.ink[2] + 2 < t[0] or label.ink[0] - 2 > t[2] for t in taken):
            marks.append(label)
    return marks
