"""The pages that show the stiffness along each brace against its uncut stick, and what laps and strings ask of it."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Final

from braces.sheets.drawing import Box, Mark, polyline
from braces.sheets.lettering import ABOVE_RATIO
from braces.sheets.strength_block import Block, Column, heading, lines, paragraph, row, stacked, table
from braces.sheets.strength_graph import BLANK, BOTH, LAP, OWN, graph, shared_scale
from braces.sheets.strength_leaf import Folder, Leaf
from braces.sheets.strength_numbers import Group, fixed, percent
from braces.sheets.strength_pile import Pile
from braces.sheets.words import Hand

TITLE: Final = "how stiff each brace is along its length"
FACE: Final = "each brace from its start, on the left, to its end; bending stiffness E I on one scale for all"
_TEXT_MM = 2.5
_ACROSS = 2
_BETWEEN_MM = 6.0
_LEAST_HIGH_MM, _MOST_HIGH_MM = 34.0, 90.0
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
    (OWN, "the brace alone, as carved"),
    (BOTH, "with its strip of plate"),
    (BLANK, "the uncut stick"),
    (LAP, "the middle of a lap"),
)
_LEGEND: Final = (
    "Up: stiffness in N m², ten times as stiff from one level line to the next. Along: mm from the brace’s start. Beam "
    "formulas, bounds on the sheet of the stages."
)
_SAMPLE_MM = 12.0


def stiffness_leaves(braces: Sequence[Group], hand: Hand, folder: Folder) -> list[Leaf]:
    """Return the graphs of all braces on as few pages as they need, all pages full, and the table of laps."""
    if not braces:
        return []
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
    scale = shared_scale([g.figures for g in braces])
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
        counts.append(min(most, left, max(need, round(room_mm / each))))
        left -= counts[-1]
    return [*counts, left]


def _cell(k: int, span: tuple[float, float, float], high_mm: float) -> Box:
    x0, top, x1 = span
    wide = (x1 - x0 - _BETWEEN_MM * (_ACROSS - 1)) / _ACROSS
    left = x0 + (k % _ACROSS) * (wide + _BETWEEN_MM)
    y = top - (k // _ACROSS) * high_mm
    return left, y - high_mm, left + wide, y


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
                str(group.number),
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
