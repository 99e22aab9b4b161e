"""What the long strips of the rim have in common: edges on paper, stations, marks across, places to join."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from braces.base.arrays import Floats, frozen_points
from braces.sheets.drawing import Label, Mark, Stroke, polyline, union
from braces.sheets.lettering import BELOW_RATIO, text_width_mm, wrapped
from braces.sheets.words import one

TEXT_MM = 2.5
NAME_MM = 3.5
STATION_MM = 50.0
LINE_MM = 4.1
_END_CLEAR_MM = 14.0
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
    run: Run, along: Sequence[float], heights: Sequence[float], base_mm: float, words: tuple[str, str]
) -> list[Mark]:
    """Return ticks under ``base_mm`` with two rows of numbers: heights and lengths from the tail."""
    first, second = base_mm - _TICK_MM - 4.0, base_mm - _TICK_MM - 8.1
    marks: list[Mark] = []
    for at, height in zip(along, heights, strict=True):
        x = run.x(at)
        marks.append(polyline([(x, base_mm - 0.6), (x, base_mm - _TICK_MM)], "dim"))
        marks.append(Label(x, first, one(height), TEXT_MM, anchor="middle", layer="dim", bold=True))
        marks.append(Label(x, second, f"{at:.0f}", TEXT_MM, anchor="middle", layer="dim"))
    left = min(run.x(a) for a in along) - 7.0
    marks.append(Label(left, first, words[0], TEXT_MM, anchor="end", layer="dim", bold=True))
    marks.append(Label(left, second, words[1], TEXT_MM, anchor="end", layer="dim"))
    return marks


def stations(length_mm: float) -> list[float]:
    """Return lengths every 50 mm from the tail that stay clear of the end."""
    return [float(v) for v in np.arange(0.0, length_mm - 0.2 * STATION_MM, STATION_MM)]


def between(places: Sequence[float], width_mm: float) -> list[float]:
    """Return middles of the stretches between ascending ``places`` that have room for words of a width.

    A long stretch takes them twice; the rest stays free for joins.
    """
    middles = []
    for a, b in pairwise(places):
        count = 2 if b - a > 5 * width_mm else int(b - a > width_mm + 12.0)
        middles += [a + (k + 0.5) * (b - a) / count for k in range(count)]
    return middles


def names(run: Run, places: Sequence[float], y_mm: float, name: str) -> list[Mark]:
    """Return the name of a strip wherever there is room between lines across it, so that every piece has it."""
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
