"""Strips too long for a sheet: where they are cut, and the parts with all that belongs on them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Points
from braces.sheets.drawing import Box, Drawing, Mark, union
from braces.sheets.join_marks import BAND_MM, OVERLAP_MM, TEXT_MM, WORDS_OFF_MM, Join, join_marks
from braces.sheets.lettering import text_width_mm
from braces.sheets.windows import Region, Segments, crossing, is_shown, settled, stroke_segments, with_labels

_ROUNDING_MM = 1e-9
_STEP_MM = 1.0
_LINES_MORE_MM = 22.0  #: ground under a strip for words that find no other
_LINE_CLEAR_MM = 0.6  #: from a trim line to words beside it
_HALF_PEN_MM = 0.25


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A part of a strip as it lies on a sheet, in the strip's own mm; ``box`` holds all of it."""

    drawing: Drawing
    window: Box
    box: Box
    marks: tuple[Mark, ...]
    joins: tuple[str, ...]


def pieces(drawing: Drawing, width_mm: float, letters: Iterator[str]) -> tuple[Piece, ...]:
    """Return the parts of a strip, none wider than ``width_mm``; joins are named by the next of ``letters``.

    Raises ``ValueError`` if a label is too long to be whole on any part.
    """
    x0, _, x1, _ = drawing.ink
    if x1 - x0 <= width_mm:
        return (Piece(drawing, drawing.ink, drawing.ink, drawing.labels, ()),)
    regions = _regions(drawing, join_places(drawing, width_mm))
    strokes = stroke_segments(drawing.strokes)
    words = settled(drawing.labels, regions, strokes)
    missing = [w.text for w in words if not any(is_shown(w, r) for r in regions)]
    if missing:
        raise ValueError(f"{drawing.key!r}: no part of the strip has room for {missing[0]!r}")
    ink = with_labels(strokes, words)
    joins = _joins(drawing.title, regions, letters)
    drawn = [join_marks(join, drawing.strokes, ink, words) for join in joins]
    parts = []
    for k, region in enumerate(regions):
        near = slice(max(0, k - 1), k + 1)
        marks: list[Mark] = [w for w in words if is_shown(w, region)]
        marks += [m for join in drawn[near] for m in join.strokes]
        marks += [drawn[k - 1].right] if k else []
        marks += [drawn[k].left] if k < len(drawn) else []
        window = _tight(strokes, region.window)
        box = union(window, *(m.ink for m in marks))
        parts.append(Piece(drawing, window, box, tuple(marks), tuple(j.name for j in joins[near])))
    return tuple(parts)


def _regions(drawing: Drawing, cuts: Sequence[float]) -> list[Region]:
    """Return what each part shows and what is left of it once it is trimmed."""
    x0, y0, x1, y1 = drawing.ink
    y0 -= _LINES_MORE_MM
    top, half = y1 + BAND_MM, OVERLAP_MM / 2
    return [
        Region((a - half * (a > x0), y0, b + half * (b < x1), top), (a, y0, b, top))
        for a, b in itertools.pairwise((x0, *cuts, x1))
    ]


def _tight(strokes: Segments, window: Box) -> Box:
    """Return the window no higher than the strokes seen through it."""
    seen = strokes[crossing(strokes, window)]
    if not len(seen):
        return window
    low, high = float(seen[:, [1, 3]].min()) - _HALF_PEN_MM, float(seen[:, [1, 3]].max()) + _HALF_PEN_MM
    return window[0], low, window[2], high


def _joins(title: str, regions: Sequence[Region], letters: Iterator[str]) -> list[Join]:
    """Return the joins between neighbouring regions; a part too narrow for it leaves out the strip's name."""
    names = [next(letters) for _ in regions[1:]]
    before, after = ["", *names], [*names, ""]
    words = []
    for region, left, right in zip(regions, before, after, strict=True):
        room = region.kept[2] - region.kept[0] - 3 * WORDS_OFF_MM
        short = [f"join {left}" if left else "", f"join {right}" if right else ""]
        named = [f"{short[0]} · {title}" if left else "", f"{title} · {short[1]}" if right else ""]
        choices = (named, [named[0], short[1]], short)
        words.append(next((c for c in choices if sum(_long(t) for t in c) <= room), short))
    return [
        Join(a.kept[2], name, here[1], there[0])
        for a, name, (here, there) in zip(regions, names, itertools.pairwise(words), strict=False)
    ]


def _long(text: str) -> float:
    return text_width_mm(text, TEXT_MM)


def join_places(drawing: Drawing, width_mm: float) -> tuple[float, ...]:
    """Return the x of the fewest joins that leave no part wider than ``width_mm``, near to even parts.

    Joins lie in the drawing's join windows. If these cannot do it, those that cannot lie where they must.
    """
    x0, _, x1, _ = drawing.ink
    fewest = math.ceil((x1 - x0 - OVERLAP_MM) / (width_mm - OVERLAP_MM) - 1e-9) - 1
    for strict in (True, False):
        for count in range(fewest, fewest + 3):
            cuts = _even_cuts(drawing, count, width_mm, strict)
            if cuts is not None:
                return cuts
    raise ValueError(f"{drawing.key!r} cannot be cut into parts {width_mm:.0f} mm wide")


def _tries(low: float, high: float, ideal: float) -> list[float]:
    """Return places in [low, high]: the one nearest to ``ideal``, and others a step apart."""
    steps = max(1, math.ceil((high - low) / _STEP_MM))
    return [min(max(ideal, low), high), *(low + (high - low) * k / steps for k in range(steps + 1))]


def _broken(spans: Points, x: float) -> int:
    """Return how many labels, (n, 2) left and right ends, a cut at ``x`` breaks.

    One that lies in the shared band is whole on both parts.
    """
    half = OVERLAP_MM / 2
    left, right = spans[:, 0], spans[:, 1]
    return int(((left < x) & (right > x) & ((left < x - half) | (right > x + half))).sum())


def _under(spans: Points, x: float) -> int:
    """Return how many labels, (n, 2) left and right ends, a trim line at ``x`` runs through."""
    return int(((spans[:, 0] - _LINE_CLEAR_MM < x) & (spans[:, 1] + _LINE_CLEAR_MM > x)).sum())


def _even_cuts(drawing: Drawing, count: int, width: float, strict: bool) -> tuple[float, ...] | None:
    """Return ``count`` cuts that keep every part within ``width``, if any do.

    Each lies in a join window; if ``strict`` is not asked, anywhere where no window can be reached. It breaks as few
    labels as it can, then runs through as few as it can, then lies near to an even share.
    """
    x0, _, x1, _ = drawing.ink
    spans_of_words = np.array([(w.ink[0], w.ink[2]) for w in drawing.labels]).reshape(-1, 2)
    half = OVERLAP_MM / 2
    cuts: list[float] = []
    start = x0
    for k in range(1, count + 1):
        latest = start + width - half + _ROUNDING_MM
        # The parts still to come hold at most this much: the last has one shared end, the others two.
        rest = count - k
        earliest = x1 - (width - half) - rest * (width - 2 * half)
        ideal = x0 + k * (x1 - x0) / (count + 1)
        earliest = max(earliest, (cuts or [x0])[-1] + OVERLAP_MM)
        spans = [(max(a, earliest), min(b, latest)) for a, b in drawing.join_windows]
        if not strict and not any(a <= b for a, b in spans):
            spans = [(earliest, latest)]
        fitting = [c for a, b in spans if a <= b for c in _tries(a, b, ideal)]
        if not fitting:
            return None
        cuts.append(min(fitting, key=lambda c: (_broken(spans_of_words, c), _under(spans_of_words, c), abs(c - ideal))))
        start = cuts[-1] - half
    return tuple(cuts)
