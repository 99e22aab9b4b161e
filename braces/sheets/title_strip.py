"""The quiet strip along the lower edge of every sheet, the check bars, and the room left for the drawing."""
from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from braces.sheets.check_bars import DEPTH_MM, LENGTH_MM, check_bar
from braces.sheets.drawing import Box, Label, Mark, polyline
from braces.sheets.lettering import wrapped
from braces.sheets.paper import MARGIN_MM

SENTENCE: Final = "measure both before you cut or glue"
TITLE_MM: Final = 3.5
TEXT_MM: Final = 2.5
#: From one baseline to the next.
TITLE_PITCH_MM: Final = 5.6
TEXT_PITCH_MM: Final = 4.3
#: A page narrower than this has its words above the bar, a wider one beside it.
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


def frame(width_mm: float, height_mm: float, words: StripWords) -> Frame:
    """Lay out the strip on a page of true size ``width_mm`` x ``height_mm``."""
    x0, y0, x1 = MARGIN_MM, MARGIN_MM, width_mm - MARGIN_MM
    beside = width_mm >= _BESIDE_MM
    text_x = x0 + LENGTH_MM + 6 if beside else x0
    rows = _rows(words, x1 - text_x)
    text_mm = sum(pitch for _, _, pitch in rows)
    bar_mm = DEPTH_MM + (TEXT_PITCH_MM if beside else 0.0)
    depth = max(text_mm, bar_mm) if beside else text_mm + bar_mm + 1.5
    marks: list[Mark] = []
    y = y0 + depth
    for text, bold, pitch in rows:
        height = TITLE_MM if bold else TEXT_MM
        marks.append(Label(text_x, y - height, text, height, layer="sheet", bold=bold))
        y -= pitch
    marks += check_bar(x0, y0, "across")
    sentence = (x0, y0 + DEPTH_MM + 1.4) if beside else (x0 + LENGTH_MM + 2, y0 + 2.1)
    marks.append(Label(*sentence, SENTENCE, layer="sheet"))
    rule = y0 + depth + _GAP_MM
    marks.append(polyline([(x0, rule), (x1, rule)], "sheet"))
    marks += check_bar(x0, rule + _GAP_MM, "up")
    window = (x0 + DEPTH_MM + _GAP_MM, rule + _GAP_MM, x1, height_mm - MARGIN_MM)
    if window[3] - window[1] < LENGTH_MM:
        raise ValueError(f"a page {height_mm:g} mm high has no room for an upright check bar")
    return Frame(tuple(marks), window)


def _rows(words: StripWords, width_mm: float) -> list[tuple[str, bool, float]]:
    rows = [(line, True, TITLE_PITCH_MM) for line in wrapped(words.heading, width_mm, TITLE_MM, bold=True)]
    rows += [(line, False, TEXT_PITCH_MM) for line in wrapped(words.face, width_mm, TEXT_MM)]
    rows += [(line, False, TEXT_PITCH_MM) for line in wrapped(words.facts, width_mm, TEXT_MM)]
    return rows
