"""The pages that show the stiffness along each brace against its uncut stick, and what laps and strings ask of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Final

import numpy as np

from braces.base.arrays import Floats, Points
from braces.mechanics.brace_figures import BraceFigures
from braces.sheets.drawing import Box, Label, Mark, Stroke, polyline
from braces.sheets.lettering import ABOVE_RATIO, text_width_mm
from braces.sheets.strength_block import Block, Column, heading, lines, paragraph, row, stacked, table
from braces.sheets.strength_leaf import Folder, Leaf
from braces.sheets.strength_numbers import Group, figures, fixed, n_m2, percent
from braces.sheets.strength_pile import Pile
from braces.sheets.words import Hand, end_word

TITLE: Final = "how stiff each brace is along its length"
FACE: Final = "each brace from its start, on the left, to its end; bending stiffness E I on one scale for all"
_OWN, _BOTH, _BLANK, _LAP, _GRID = "cut", "edge", "blank", "relief", "hatch"
_TEXT_MM, _NAME_MM = 2.5, 2.5
_ACROSS = 2
_BETWEEN_MM = 6.0
_LEAST_HIGH_MM, _MOST_HIGH_MM = 34.0, 90.0
_HEAD_MM, _FOOT_MM = 7.0, 8.5  #: room of a graph's name above it and its scale below
_DECADES_MOST = 4  #: what is softer than this many decades below the stiffest is not shown
_TICK_MM = 1.0
_GAP_MM, _CLOSE_MM = 4.0, 2.0
_LAPS_TITLE: Final = "Laps, and stress under the strings"
_LAPS: Final = (
    Column(("", "no."), left=True),
    Column(("", "brace"), left=True),
    Column(("", "laps")),
    Column(("deepest lap", "at mm, with"), left=True),
    Column(("height", "left, %")),
    Column(("own stiffness", "left, %")),
    Column(("worst stress", "MPa")),
    Column(("", "at mm")),
    Column(("bears for ten", "years, MPa")),
)
_LINES: Final = (
    (_OWN, "the brace alone, as carved"),
    (_BOTH, "with its strip of plate"),
    (_BLANK, "the uncut stick"),
    (_LAP, "the middle of a lap"),
)
_LEGEND: Final = (
    "Up: stiffness in N m², ten times as stiff from one level line to the next. Along: mm from the brace’s start. Beam "
    "formulas, bound not measured."
)
_SAMPLE_MM = 12.0


@dataclass(frozen=True, slots=True)
class _Scale:
    """Decades of stiffness that all graphs share."""

    low_count: int  #: power of ten of the lowest line, N m2
    high_count: int

    def share(self, stiffness_n_mm2: Floats) -> Floats:
        """Return how far up a graph values stand, 0 to 1."""
        power = np.log10(np.maximum(n_m2_of(stiffness_n_mm2), 1e-12))
        return np.clip((power - self.low_count) / (self.high_count - self.low_count), 0.0, 1.0)


def n_m2_of(stiffness_n_mm2: Floats) -> Floats:
    """Return bending stiffnesses in N m2."""
    return stiffness_n_mm2 * 1e-6


def stiffness_leaves(braces: Sequence[Group], hand: Hand, folder: Folder) -> list[Leaf]:
    """Return the graphs of all braces on as few pages as they need, all pages full, and the table of laps."""
    window = folder.window(TITLE, FACE)
    wide, high = window[2] - window[0], window[3] - window[1]
    below, over = _lap_table(braces, wide), []
    if below.height_mm > high / 2:
        # Too long to share a page with graphs.
        below, over = Block((), wide, -_GAP_MM), _lap_leaves(braces, window)
    # An odd graph leaves a place free: the explanation takes it. Else it goes on top of every page.
    shared = len(braces) % _ACROSS > 0
    above = Block((), wide, -_GAP_MM) if shared else _legend(wide, _ACROSS)
    counts = rows_on_pages(ceil(len(braces) / _ACROSS), high - above.height_mm - _GAP_MM, below.height_mm + _GAP_MM)
    scale = _scale([g.figures for g in braces])
    todo: list[Group | None] = [None, *braces] if shared else list(braces)
    leaves = []
    for page, count in enumerate(counts):
        last = page == len(counts) - 1
        marks: list[Mark] = list(above.at(window[0], window[3]))
        top = window[3] - above.height_mm - _GAP_MM
        low = window[1] + (below.height_mm + _GAP_MM if last else 0.0)
        each = min(_MOST_HIGH_MM, (top - low) / count) if count else 0.0
        for k, group in enumerate(todo[: count * _ACROSS]):
            cell = _cell(k, (window[0], top, window[2]), each)
            if group is None:
                marks += _legend(cell[2] - cell[0], 1).at(cell[0], cell[3])
            else:
                marks += graph(group, hand, scale, cell)
        todo = todo[count * _ACROSS :]
        if last:
            marks += below.at(window[0], top - count * each - _GAP_MM if count else top)
        leaves.append(Leaf(TITLE, FACE, False, tuple(marks)))
    return [*leaves, *over]


def _lap_leaves(braces: Sequence[Group], window: Box) -> list[Leaf]:
    pile = Pile(window)
    pile.add(heading(_LAPS_TITLE, window[2] - window[0]))
    pile.add_table(_LAPS, _lap_rows(braces), _CLOSE_MM)
    return [Leaf(TITLE, FACE, False, marks) for marks in pile.marks(last_is_full=False)]


def _legend(width_mm: float, across: int) -> Block:
    """Return what the lines are, so many side by side, and the scale in words."""
    each = width_mm / across
    samples = [_sample(layer, words, each) for layer, words in _LINES]
    rows = [row(samples[k : k + across], width_mm) for k in range(0, len(samples), across)]
    return stacked([*rows, paragraph(_LEGEND, width_mm)], 1.2)


def _sample(layer: str, words: str, width_mm: float) -> Block:
    text = lines([words], width_mm)
    middle = -ABOVE_RATIO * _TEXT_MM + _TEXT_MM / 2
    return Block(
        (polyline([(0.0, middle), (_SAMPLE_MM, middle)], layer), *text.at(_SAMPLE_MM + 1.5, 0.0)),
        width_mm,
        text.height_mm,
    )


def rows_on_pages(rows: int, room_mm: float, below_mm: float) -> list[int]:
    """Return how many rows of graphs stand on each page; the last page keeps room for what goes below."""
    most, most_last = int(room_mm / _LEAST_HIGH_MM), max(0, int((room_mm - below_mm) / _LEAST_HIGH_MM))
    pages = 1
    while most * (pages - 1) + most_last < rows:
        pages += 1
    # All rows alike as far as whole rows allow.
    each = (room_mm * pages - below_mm) / rows
    counts: list[int] = []
    left = rows
    for page in range(pages - 1):
        need = left - most * (pages - 2 - page) - most_last
        counts.append(min(most, max(need, round(room_mm / each))))
        left -= counts[-1]
    return [*counts, left]


def _cell(k: int, span: tuple[float, float, float], high_mm: float) -> Box:
    x0, top, x1 = span
    wide = (x1 - x0 - _BETWEEN_MM * (_ACROSS - 1)) / _ACROSS
    left = x0 + (k % _ACROSS) * (wide + _BETWEEN_MM)
    y = top - (k // _ACROSS) * high_mm
    return left, y - high_mm, left + wide, y


def _scale(braces: Sequence[BraceFigures]) -> _Scale:
    values = np.concatenate([np.append(np.append(b.own_n_mm2, b.with_plate_n_mm2), b.blank_n_mm2) for b in braces])
    high = ceil(log10(float(n_m2_of(values).max())) - 1e-9)
    least = float(n_m2_of(values[values > 0]).min())
    return _Scale(max(floor(log10(least) + 1e-9), high - _DECADES_MOST), high)


def graph(group: Group, hand: Hand, scale: _Scale, box: Box) -> list[Mark]:
    """Return the graph of one brace in a box of the page."""
    f = group.figures
    ticks = [f"{10.0**p:g}" for p in range(scale.low_count, scale.high_count + 1)]
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
    marks.append(line(whole, np.full(2, f.blank_n_mm2), _BLANK))
    for lap in f.laps:
        x = area[0] + lap.at_mm / float(f.x_mm[-1]) * (area[2] - area[0])
        marks.append(polyline([(x, area[1]), (x, area[3])], _LAP))
    marks.append(line(f.x_mm, f.with_plate_n_mm2, _BOTH))
    marks.append(line(f.x_mm, f.own_n_mm2, _OWN))
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
    name = f"{group.number_count}  {group.name}"
    marks: list[Mark] = [Label(box[0], box[3] - 3.2, name, _NAME_MM, bold=True)]
    weak = group.figures.weakest
    text = "N m²"
    if weak is not None:
        text = f"weakest at {weak.at_mm:.0f} mm, {figures(n_m2(weak.stiffness_n_mm2))} N m² on the plate"
    if text_width_mm(name, _NAME_MM, True) + text_width_mm(text, _TEXT_MM) + 3 > box[2] - box[0]:
        text = "N m²"
    marks.append(Label(box[2], box[3] - 3.2, text, _TEXT_MM, anchor="end"))
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


def _lap_table(braces: Sequence[Group], width_mm: float) -> Block:
    rows = _lap_rows(braces)
    if not rows:
        return Block((), width_mm, -_GAP_MM)
    return stacked([heading(_LAPS_TITLE, width_mm), table(_LAPS, rows, width_mm)], _CLOSE_MM)


def _lap_rows(braces: Sequence[Group]) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for group in braces:
        f, stress = group.figures, group.stress
        deepest = min(f.laps, key=lambda lap: lap.stiffness_ratio, default=None)
        if deepest is None and stress is None:
            continue
        limit = None if stress is None else stress.long_load_strength_mpa
        rows.append(
            (
                str(group.number_count),
                group.name,
                "–" if deepest is None else str(len(f.laps)),
                "–" if deepest is None else f"{deepest.at_mm:.0f}, {deepest.with_name}",
                "–" if deepest is None else percent(deepest.height_ratio),
                "–" if deepest is None else percent(deepest.stiffness_ratio),
                "–" if stress is None else fixed(stress.worst_mpa, 1),
                "–" if stress is None else fixed(stress.worst_at_mm, 0),
                "–" if limit is None else fixed(limit, 0),
            )
        )
    return rows
