"""What the long strips of the rim have in common: edges on paper, stations, marks across, places to join."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from braces.base.arrays import Floats, frozen_points
from braces.base.units import inch_text
from braces.sheets.drawing import Label, Mark, Stroke, polyline, union
from braces.sheets.lettering import BELOW_RATIO, text_width_mm, wrapped
from braces.sheets.words import one
from braces.workshop.book.lengths import Lengths

TEXT_MM = 2.5
NAME_MM = 3.5
STATION_MM = 50.0
LINE_MM = 4.1
_END_CLEAR_MM = 14.0
_NAME_CLEAR_MM = 6.0  #: a name stays this far from lines across the strip
_LEAST_WINDOW_MM = 4.0
_MOST_NAMES = 2
_JOIN_CLEAR_MM = 9.0  #: the keyed mark of a join and the overlap take this much on either side
_BESIDE_CLEAR_MM = 2.0  #: above and under that mark, a trim line stays this far from words and pockets
_COMB_MM = 6.0  #: the keyed mark reaches this far up and down
_TICK_MM = 3.0


@dataclass(frozen=True, slots=True)
class Run:
    """How lengths along a side lie on the drawing: ``sign`` -1 where they run to the left."""

    sign: int

    def x(self, along_mm: float) -> float:
        """Return the place on the drawing of a length along the side."""
        return self.sign * along_mm + 0.0

    def edge(self, along: Floats, z: Floats, layer: str) -> Stroke:
        """Return a line through heights (n,) at lengths (n,)."""
        return Stroke(frozen_points(np.column_stack([self.sign * along, z])), layer)

    def broken_edge(self, along: Floats, z: Floats, layer: str, gaps: Sequence[tuple[float, float]]) -> list[Stroke]:
        """Return the line without the stretches ``gaps`` (lengths along the side), where words cross it."""
        out, at, end = [], float(along[0]), float(along[-1])
        for a, b in [*sorted(gaps), (end, end)]:
            if min(a, end) - at > 0.5:
                inside = (along > at) & (along < min(a, end))
                x = np.concatenate([[at], along[inside], [min(a, end)]])
                out.append(self.edge(x, np.interp(x, along, z), layer))
            at = max(at, b)
        return out

    def band(self, along: Floats, low: Floats, high: Floats, layer: str) -> Stroke:
        """Return the closed outline between two lines over the same lengths (n,)."""
        x = self.sign * along
        return Stroke(
            frozen_points(np.column_stack([np.concatenate([x, x[::-1]]), np.concatenate([low, high[::-1]])])),
            layer,
            closed=True,
        )


def across(run: Run, along_mm: float, low: float, high: float, layer: str = "centre") -> Stroke:
    """Return a line across the strip."""
    return polyline([(run.x(along_mm), low), (run.x(along_mm), high)], layer)


def upright(run: Run, along_mm: float, y_mm: float, text: str, bold: bool = False) -> Label:
    """Return words that read upwards just left of a line across the strip, from ``y_mm`` up."""
    x = run.x(along_mm) - BELOW_RATIO * TEXT_MM - 0.9
    return Label(x, y_mm, text, TEXT_MM, 90.0, bold=bold)


def station_row(
    run: Run, along: Sequence[float], heights: Sequence[float], base_mm: float, lengths: Lengths
) -> tuple[list[Mark], float]:
    """Return ticks under ``base_mm`` with rows of numbers, heights and lengths from the tail, and where they end."""
    rows: list[tuple[str, list[str], bool]] = [
        ("height", [one(h) for h in heights], True),
        ("from tail", [f"{a:.0f}" for a in along], False),
    ]
    if lengths.inches:
        rows.insert(1, ("in inches", [inch_text(h) for h in heights], True))
        rows.append(("in inches", [inch_text(a) for a in along], False))
    marks: list[Mark] = [polyline([(run.x(a), base_mm - 0.6), (run.x(a), base_mm - _TICK_MM)], "dim") for a in along]
    first = min(range(len(along)), key=lambda i: run.x(along[i]))
    widest = max(text_width_mm(texts[first], TEXT_MM, bold) for _, texts, bold in rows)
    left = run.x(along[first]) - max(7.0, widest / 2 + 3.0)
    for k, (name, texts, bold) in enumerate(rows):
        y = base_mm - _TICK_MM - 4.0 - k * LINE_MM
        marks += [
            Label(run.x(a), y, text, TEXT_MM, anchor="middle", layer="dim", bold=bold)
            for a, text in zip(along, texts, strict=True)
        ]
        marks.append(Label(left, y, name, TEXT_MM, anchor="end", layer="dim", bold=bold))
    return marks, base_mm - _TICK_MM - 1.8 - len(rows) * LINE_MM


def stations(length_mm: float) -> list[float]:
    """Return lengths every 50 mm from the tail that stay clear of the end."""
    return [float(v) for v in np.arange(0.0, length_mm - 0.2 * STATION_MM, STATION_MM)]


def between(places: Sequence[float], width_mm: float) -> list[float]:
    """Return middles for words of a width near the beginnings of the widest stretches between ascending ``places``.

    Two are enough, since every join says the name too; the rest stays free for joins.
    """
    stretches = [(a, b) for a, b in pairwise(places) if b - a > width_mm + 2 * _NAME_CLEAR_MM]
    widest = sorted(stretches, key=lambda s: s[0] - s[1])[:_MOST_NAMES]
    middles = []
    for a, b in sorted(widest):
        spare = b - a - width_mm - 2 * _NAME_CLEAR_MM
        room_for_join = spare > 2 * _JOIN_CLEAR_MM + _LEAST_WINDOW_MM
        middles.append(a + _NAME_CLEAR_MM + width_mm / 2 if room_for_join else (a + b) / 2)
    return middles


def names(run: Run, places: Sequence[float], y_mm: float, name: str) -> list[Mark]:
    """Return the name of a strip where there is most room between lines across it."""
    width = text_width_mm(name, NAME_MM, bold=True)
    return [Label(run.x(at), y_mm, name, NAME_MM, anchor="middle", bold=True) for at in between(places, width)]


def short_lines(lines: Sequence[str], left_mm: float, top_mm: float, width_mm: float = 115.0) -> list[Mark]:
    """Return words in lines so short that a join between pieces leaves them whole, downwards from ``top_mm``."""
    short = [s for line in lines for s in wrapped(line, width_mm)]
    return [Label(left_mm, top_mm - (k + 1) * LINE_MM, text, TEXT_MM) for k, text in enumerate(short)]


def join_windows(
    marks: Iterable[Mark], low: float, high: float, spans: Iterable[tuple[float, float]] = ()
) -> tuple[tuple[float, float], ...]:
    """Return where a strip may be cut: clear of words, of lines across it and of further ``spans`` of x.

    The keyed mark of a join stands half way up: what is there needs more room than what is not.
    """
    marks = list(marks)
    cut = union(*(m.ink for m in marks if m.layer == "cut"))
    middle = (cut[1] + cut[3]) / 2
    taken = [(a - _BESIDE_CLEAR_MM, b + _BESIDE_CLEAR_MM) for a, b in spans]
    for mark in marks:
        x0, y0, x1, y1 = mark.ink
        if isinstance(mark, Label) or x1 - x0 < 3.0:
            level = y0 < middle + _COMB_MM and y1 > middle - _COMB_MM
            clear = _JOIN_CLEAR_MM if level else _BESIDE_CLEAR_MM if isinstance(mark, Label) else 0.0
            taken.append((x0 - clear, x1 + clear))
    gaps, at = [], low + _END_CLEAR_MM
    for a, b in [*sorted(taken), (high - _END_CLEAR_MM, high)]:
        if min(a, high - _END_CLEAR_MM) - at >= 2.0:
            gaps.append((at, min(a, high - _END_CLEAR_MM)))
        at = max(at, b)
    return tuple(gaps)
