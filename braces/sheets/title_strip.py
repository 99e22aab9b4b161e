"""The quiet strip along one edge of every sheet, the check bars, and the room left for the drawing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from braces.sheets.check_bars import DEPTH_MM, LENGTH_MM, check_bar
from braces.sheets.drawing import Box, Label, Mark, Stroke, moved_mark, polyline
from braces.sheets.lettering import wrapped
from braces.sheets.paper import MARGIN_MM

SENTENCE: Final = "measure both before you cut or glue"
TITLE_MM: Final = 3.5
TEXT_MM: Final = 2.5
#: From one baseline to the next.
TITLE_PITCH_MM: Final = 5.6
TEXT_PITCH_MM: Final = 4.3
#: A strip shorter than this has its words above the bar, a longer one beside it.
_BESIDE_MM: Final = 250.0
_GAP_MM: Final = 2.5


@dataclass(frozen=True, slots=True)
class StripWords:
    """What the strip of one sheet says."""

    instrument: str
    revision: str
    title: str
    face: str
    sheet: str
    paper: str
    scale: str = "scale 1:1"

    @property
    def heading(self) -> str:
        """The line in large letters."""
        return f"{self.instrument} · {self.title}"

    @property
    def facts(self) -> str:
        """The line of small facts."""
        return f"revision {self.revision} · {self.scale} · {self.sheet} · {self.paper}"


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """The strip and the bars of a page as marks, and the window left for its content."""

    marks: tuple[Mark, ...]
    window: Box


def frame(width_mm: float, height_mm: float, words: StripWords, strip_left: bool = False) -> Frame:
    """Lay out a page of true size ``width_mm`` x ``height_mm``, its strip along the lower or the left edge.

    Raises ``ValueError`` if the page has no room for both check bars.
    """
    length = (height_mm if strip_left else width_mm) - 2 * MARGIN_MM
    strip, depth = _strip(length, words)
    rule, beyond = MARGIN_MM + depth + _GAP_MM, MARGIN_MM + depth + 2 * _GAP_MM
    far = (width_mm - MARGIN_MM, height_mm - MARGIN_MM)
    if strip_left:
        marks = [moved_mark(_turned(m, depth), MARGIN_MM, MARGIN_MM) for m in strip]
        marks.append(polyline([(rule, MARGIN_MM), (rule, far[1])], "sheet"))
        marks += check_bar(beyond, MARGIN_MM, "across")
        window = (beyond, MARGIN_MM + DEPTH_MM + _GAP_MM, *far)
    else:
        marks = [moved_mark(m, MARGIN_MM, MARGIN_MM) for m in strip]
        marks.append(polyline([(MARGIN_MM, rule), (far[0], rule)], "sheet"))
        marks += check_bar(MARGIN_MM, beyond, "up")
        window = (MARGIN_MM + DEPTH_MM + _GAP_MM, beyond, *far)
    if min(length, far[0] - beyond if strip_left else far[1] - beyond) < LENGTH_MM:
        raise ValueError(f"a page {width_mm:g} x {height_mm:g} mm has no room for the check bars")
    return Frame(tuple(marks), window)


def _strip(length_mm: float, words: StripWords) -> tuple[list[Mark], float]:
    """Return the strip lying with its lower left corner at the origin, and its depth in mm."""
    beside = length_mm >= _BESIDE_MM
    text_x = LENGTH_MM + 6 if beside else 0.0
    rows = _rows(words, length_mm - text_x)
    text_mm = sum(pitch for _, _, pitch in rows)
    bar_mm = DEPTH_MM + (TEXT_PITCH_MM if beside else 0.0)
    depth = max(text_mm, bar_mm) if beside else text_mm + bar_mm + 1.5
    marks: list[Mark] = list(check_bar(0.0, 0.0, "across"))
    sentence = (0.0, DEPTH_MM + 1.4) if beside else (LENGTH_MM + 2, 2.1)
    marks.append(Label(*sentence, SENTENCE, layer="sheet"))
    y = depth
    for text, bold, pitch in rows:
        height = TITLE_MM if bold else TEXT_MM
        marks.append(Label(text_x, y - height, text, height, layer="sheet", bold=bold))
        y -= pitch
    return marks, depth


def _turned(mark: Mark, depth_mm: float) -> Mark:
    """Return a mark of a strip turned anticlockwise, so that the strip's upper edge lies at x = 0."""
    if isinstance(mark, Stroke):
        x, y = mark.points.T
        return Stroke(np.column_stack([depth_mm - y, x]), mark.layer, mark.closed)
    return replace(mark, x_mm=depth_mm - mark.y_mm, y_mm=mark.x_mm, angle_deg=mark.angle_deg + 90)


def _rows(words: StripWords, width_mm: float) -> list[tuple[str, bool, float]]:
    """Return the lines of words: text, whether it is the heading, the pitch to the next."""
    rows = [(line, True, TITLE_PITCH_MM) for line in wrapped(words.heading, width_mm, TITLE_MM, bold=True)]
    rows += [(line, False, TEXT_PITCH_MM) for line in wrapped(words.face, width_mm, TEXT_MM)]
    rows += [(line, False, TEXT_PITCH_MM) for line in wrapped(words.facts, width_mm, TEXT_MM)]
    return rows
