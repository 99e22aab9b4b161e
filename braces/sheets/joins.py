"""Strips too long for a sheet: where they are cut, and the keyed mark that shows whether the parts meet.

Both parts carry the same marks at the same places. The right part is trimmed at the join line and laid on
the left part. The comb is a vernier: five lines 1.5 mm apart on the left meet five lines 1.8 mm apart on the
right, the middle ones end to end. A slip of 0.3 mm brings the next pair end to end instead. The slanted cross
breaks at a gap.
"""
from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from braces.sheets.drawing import Box, Drawing, Label, Mark, polyline, union
from braces.sheets.lettering import text_width_mm
from braces.sheets.windows import Region, is_whole, settled, stroke_segments

#: Both parts show this much of the strip around the join.
OVERLAP_MM: Final = 14.0
#: The slip that the comb shows as the next pair of lines meeting.
SLIP_MM: Final = 0.3
_PITCH_MM, _TOOTH_MM, _MIDDLE_MM, _TEETH = 1.5, 3.5, 6.0, 2
_CROSS_MM = 2.4
_BAND_MM = 6.4
_TEXT_MM = 2.5
#: From the join line to the words beside it.
_WORDS_OFF_MM = 5.0
_ROUNDING_MM = 1e-9


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
    x0, y0, x1, y1 = drawing.ink
    if x1 - x0 <= width_mm:
        return (Piece(drawing, drawing.ink, drawing.ink, drawing.labels, ()),)
    cuts = join_places(drawing, width_mm)
    names = [next(letters) for _ in cuts]
    top = y1 + _BAND_MM
    half = OVERLAP_MM / 2
    edges = [x0, *cuts, x1]
    regions = [
        Region((a - half * (k > 0), y0, b + half * (k < len(cuts)), top), (a, y0, b, top))
        for k, (a, b) in enumerate(itertools.pairwise(edges))
    ]
    words = settled(drawing.labels, regions)
    joins = [_join_marks(drawing, x, name) for x, name in zip(cuts, names, strict=True)]
    parts = []
    for k, region in enumerate(regions):
        near = slice(max(0, k - 1), k + 1)
        marks: list[Mark] = [w for w in words if is_whole(w, region.window)]
        marks += [m for join in joins[near] for m in join if not isinstance(m, Label)]
        before, after = names[k - 1] if k else "", names[k] if k < len(cuts) else ""
        marks += _join_words(drawing, region.kept, before, after)
        box = union(region.window, *(m.ink for m in marks))
        parts.append(Piece(drawing, region.window, box, tuple(marks), tuple(names[near])))
    missing = [w.text for w in words if not any(is_whole(w, r.window) for r in regions)]
    if missing:
        raise ValueError(f"{drawing.key!r}: no part of the strip has room for {missing[0]!r}")
    return tuple(parts)


def join_places(drawing: Drawing, width_mm: float) -> tuple[float, ...]:
    """Return the x of the fewest joins that leave no part wider than ``width_mm``, near to even parts.

    Joins lie in the drawing's join windows. If these cannot do it, the strip is joined where it must be.
    """
    x0, _, x1, _ = drawing.ink
    fewest = math.ceil((x1 - x0 - OVERLAP_MM) / (width_mm - OVERLAP_MM) - 1e-9) - 1
    for windows in (drawing.join_windows, ((x0, x1),)):
        for count in range(fewest, fewest + 3):
            cuts = _even_cuts(x0, x1, count, width_mm, windows)
            if cuts is not None:
                return cuts
    raise ValueError(f"{drawing.key!r} cannot be cut into parts {width_mm:.0f} mm wide")


def _even_cuts(
    x0: float, x1: float, count: int, width: float, windows: Sequence[tuple[float, float]]
) -> tuple[float, ...] | None:
    """Return ``count`` cuts nearest to even shares that keep every part within ``width``, if any do."""
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
        spans = [(max(a, earliest), min(b, latest)) for a, b in windows]
        fitting = [min(max(ideal, a), b) for a, b in spans if a <= b]
        if not fitting:
            return None
        cuts.append(min(fitting, key=lambda c: abs(c - ideal)))
        start = cuts[-1] - half
    return tuple(cuts)


def _join_marks(drawing: Drawing, x: float, name: str) -> tuple[Mark, ...]:
    _, y0, _, y1 = drawing.ink
    marks: list[Mark] = [polyline([(x, y0), (x, y1 + _BAND_MM)], "trim")]
    low, high = _profile_at(drawing, x)
    middle = (low + high) / 2
    for k in range(-_TEETH, _TEETH + 1):
        reach = _TOOTH_MM if k else _MIDDLE_MM
        left, right = middle + k * _PITCH_MM, middle + k * (_PITCH_MM + SLIP_MM)
        marks.append(polyline([(x - reach, left), (x, left)], "sheet"))
        marks.append(polyline([(x, right), (x + reach, right)], "sheet"))
    y = y1 + _BAND_MM / 2 + 0.4
    for slope in (-1, 1):
        arm = (_CROSS_MM, slope * _CROSS_MM)
        marks.append(polyline([(x - arm[0], y - arm[1]), (x + arm[0], y + arm[1])], "sheet"))
    return tuple(marks)


def _join_words(drawing: Drawing, kept: Box, before: str, after: str) -> list[Mark]:
    """Return the letter of the join at each cut end of a part, with the strip's name where there is room."""
    y = drawing.ink[3] + _BAND_MM / 2 - _TEXT_MM / 2 + 0.4
    room = kept[2] - kept[0] - 3 * _WORDS_OFF_MM
    left, right = (f"join {name}" if name else "" for name in (before, after))
    words: list[Mark] = []
    if left:
        named = f"{left} · {drawing.title}"
        left = named if _long(named) + _long(right) <= room else left
        words.append(Label(kept[0] + _WORDS_OFF_MM, y, left, _TEXT_MM, layer="sheet"))
    if right:
        named = f"{drawing.title} · {right}"
        right = named if _long(left) + _long(named) <= room else right
        words.append(Label(kept[2] - _WORDS_OFF_MM, y, right, _TEXT_MM, anchor="end", layer="sheet"))
    return words


def _long(text: str) -> float:
    return text_width_mm(text, _TEXT_MM)


def _profile_at(drawing: Drawing, x: float) -> tuple[float, float]:
    """Return the lowest and highest y of the cut lines that cross ``x`` (of the drawing if none do)."""
    _, y0, _, y1 = drawing.ink
    segments = stroke_segments(s for s in drawing.strokes if s.layer == "cut")
    left, right = segments[:, [0, 2]].min(axis=1), segments[:, [0, 2]].max(axis=1)
    hit = segments[(left <= x) & (x < right)]
    if not len(hit):
        return y0, y1
    y = hit[:, 1] + (hit[:, 3] - hit[:, 1]) * (x - hit[:, 0]) / (hit[:, 2] - hit[:, 0])
    return float(y.min()), float(y.max())
