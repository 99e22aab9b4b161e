"""The keyed mark of a join, that shows whether two parts of a strip meet.

Both parts carry the same marks at the same places. The right part is trimmed at the join line and laid on
the left part. The comb is a vernier: five lines 1.5 mm apart on the left meet five lines 1.8 mm apart on the
right, the middle ones end to end. A slip of 0.3 mm brings the next pair end to end instead. The slanted cross
breaks at a gap.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from braces.sheets.drawing import Label, Stroke, polyline
from braces.sheets.lettering import text_width_mm
from braces.sheets.windows import Segments, crossing, stroke_segments

#: Both parts show this much of the strip around the join.
OVERLAP_MM: Final = 14.0
#: The slip that the comb shows as the next pair of lines meeting.
SLIP_MM: Final = 0.3
#: The join's words and cross stand at most this far above the strip.
BAND_MM: Final = 6.4
TEXT_MM: Final = 2.5
#: From the join line to the words beside it.
WORDS_OFF_MM: Final = 5.0
_PITCH_MM, _TOOTH_MM, _MIDDLE_MM, _TEETH = 1.5, 3.5, 6.0, 2
_CROSS_MM = 2.4
_CLEAR_MM, _STEP_MM = 0.8, 0.5
_WORD_GAP_MM = 0.5


@dataclass(frozen=True, slots=True)
class Join:
    """A join of a strip: its place, its name, and the words at its left and right."""

    x_mm: float
    name: str
    left: str
    right: str


@dataclass(frozen=True, slots=True, eq=False)
class JoinMarks:
    """What is drawn at a join: strokes for both parts, words for the left and the right one."""

    strokes: tuple[Stroke, ...]
    left: Label
    right: Label


def join_marks(join: Join, strokes: Iterable[Stroke], ink: Segments, words: Iterable[Label] = ()) -> JoinMarks:
    """Return the marks of a join of a strip with ``strokes`` and, words included, (n, 4) ``ink`` segments.

    The trim line leaves out the ``words`` that it would run through.
    """
    x, half = join.x_mm, OVERLAP_MM / 2
    top, bottom = float(ink[:, [1, 3]].max()), float(ink[:, [1, 3]].min())
    near = ink[crossing(ink, (x - half, bottom, x + half, top))][:, [1, 3]]
    low, high = (float(near.min()), float(near.max())) if len(near) else (bottom, top)
    y = _clear_height(join, ink, high, top)
    profile = profile_at(strokes, x) or (low, high)
    marks = [*_trim_line(x, low - 1, y + _CROSS_MM, words), *_comb(x, sum(profile) / 2)]
    for slope in (-1, 1):
        arm = (_CROSS_MM, slope * _CROSS_MM)
        marks.append(polyline([(x - arm[0], y - arm[1]), (x + arm[0], y + arm[1])], "sheet"))
    base = y - TEXT_MM / 2
    left = Label(x - WORDS_OFF_MM, base, join.left, TEXT_MM, anchor="end", layer="sheet")
    right = Label(x + WORDS_OFF_MM, base, join.right, TEXT_MM, layer="sheet")
    return JoinMarks(tuple(marks), left, right)


def _trim_line(x: float, low: float, high: float, words: Iterable[Label]) -> list[Stroke]:
    """Return the upright line between two levels in the stretches that words leave."""
    boxes = sorted((w.ink[1] - _WORD_GAP_MM, w.ink[3] + _WORD_GAP_MM) for w in words if w.ink[0] < x < w.ink[2])
    strokes, at = [], low
    for a, b in [*boxes, (high, high)]:
        if min(a, high) - at > _WORD_GAP_MM:
            strokes.append(polyline([(x, at), (x, min(a, high))], "trim"))
        at = max(at, b)
    return strokes


def _comb(x: float, middle: float) -> list[Stroke]:
    marks = []
    for k in range(-_TEETH, _TEETH + 1):
        reach = _TOOTH_MM if k else _MIDDLE_MM
        left, right = middle + k * _PITCH_MM, middle + k * (_PITCH_MM + SLIP_MM)
        marks.append(polyline([(x - reach, left), (x, left)], "sheet"))
        marks.append(polyline([(x, right), (x + reach, right)], "sheet"))
    return marks


def _clear_height(join: Join, ink: Segments, low: float, top: float) -> float:
    """Return the lowest y above ``low`` where cross and words lie on nothing; above ``top`` there is nothing."""
    reach = _CROSS_MM + _CLEAR_MM
    ends = [WORDS_OFF_MM + text_width_mm(words, TEXT_MM) + _CLEAR_MM for words in (join.left, join.right)]
    highest = top + BAND_MM - reach
    left, right = join.x_mm - ends[0], join.x_mm + ends[1]
    near = ink[crossing(ink, (left, low, right, top))]
    y = low + reach
    while y < highest and crossing(near, (left, y - reach, right, y + reach)).any():
        y += _STEP_MM
    return min(y, highest)


def profile_at(strokes: Iterable[Stroke], x_mm: float) -> tuple[float, float] | None:
    """Return the lowest and highest y at which cut lines pass ``x_mm``, if any do."""
    segments = stroke_segments(s for s in strokes if s.layer == "cut")
    left, right = segments[:, [0, 2]].min(axis=1), segments[:, [0, 2]].max(axis=1)
    hit = segments[(left <= x_mm) & (x_mm < right)]
    if not len(hit):
        return None
    y = hit[:, 1] + (hit[:, 3] - hit[:, 1]) * (x_mm - hit[:, 0]) / (hit[:, 2] - hit[:, 0])
    return float(y.min()), float(y.max())
