"""What pages are filled with: pieces that are not broken, each as wide as a column or as the page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from braces.sheets.drawing import Label, Mark, polyline
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm, wrapped
from braces.sheets.strength_block import PITCH_RATIO, Block, lines

TEXT_MM, SMALL_MM = 2.4, 2.1
CHAPTER_MM, SECTION_MM = 5.0, 3.2
_PARAGRAPH_GAP_MM, _CLOSE_MM = 2.0, 1.0
_CHAPTER_GAP_MM, _SECTION_GAP_MM = 9.0, 5.0
_BOX_MM, _BOX_ROOM_MM = 2.9, 5.2
_BAR_MM, _IN_MM = 1.2, 3.4
_NOTE_MM = 8.0  #: from line to line of what is written by hand
_WIDOW = 2  #: lines of a paragraph that stay together at its beginning and at its end


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A piece of known height; its marks are only made once its place is known.

    ``head`` is set again above it where it begins a column, as the heading of a table is. ``keep_next`` keeps it with
    the piece after it. Where it does not fit, one of ``smaller``, the largest first, may stand for it.
    """

    height_mm: float
    make: Callable[[], Block]
    gap_mm: float = 0.0
    wide: bool = False
    keep_next: bool = False
    head: Piece | None = None
    anchor: str = ""
    smaller: tuple[Piece, ...] = ()

    def at(self, x_mm: float, y_mm: float) -> tuple[Mark, ...]:
        """Return its marks with its upper left corner at (x, y)."""
        return self.make().at(x_mm, y_mm)


def piece(block: Block, gap_mm: float = 0.0, wide: bool = False, keep_next: bool = False) -> Piece:
    """Return a piece that is already made."""
    return Piece(block.height_mm, lambda: block, gap_mm, wide, keep_next)


def chapter_heading(text: str, width_mm: float, anchor: str) -> Piece:
    """Return the heading of a chapter over a rule."""
    words = lines(wrapped(text, width_mm, CHAPTER_MM, bold=True), width_mm, CHAPTER_MM, bold=True)
    rule = polyline([(0.0, -words.height_mm - 0.6), (width_mm, -words.height_mm - 0.6)], "edge")
    block = Block((*words.marks, rule), width_mm, words.height_mm + 1.6)
    return replace(piece(block, _CHAPTER_GAP_MM, wide=True, keep_next=True), anchor=anchor)


def section_heading(text: str, width_mm: float, anchor: str, wide: bool = False) -> Piece:
    """Return the heading of a section."""
    words = lines(wrapped(text, width_mm, SECTION_MM, bold=True), width_mm, SECTION_MM, bold=True)
    return replace(piece(words, _SECTION_GAP_MM, wide, keep_next=True), anchor=anchor)


def paragraph(text: str, width_mm: float, small: bool = False, wide: bool = False) -> list[Piece]:
    """Return a paragraph line by line; it is never broken after its first line or before its last."""
    height = SMALL_MM if small else TEXT_MM
    rows = wrapped(text, width_mm, height)
    middle = [(r,) for r in rows[_WIDOW:-_WIDOW]]
    parts = [rows[:_WIDOW], *middle, rows[-_WIDOW:]] if len(rows) >= 2 * _WIDOW else [rows]
    own = PITCH_RATIO * height - (ABOVE_RATIO + BELOW_RATIO) * height  # between two boxes, as between two lines
    return [
        piece(lines(part, width_mm, height), _PARAGRAPH_GAP_MM if k == 0 else own, wide) for k, part in enumerate(parts)
    ]


def checks(items: tuple[str, ...], width_mm: float) -> list[Piece]:
    """Return boxes to tick."""
    out = []
    for k, text in enumerate(items):
        words = lines(wrapped(text, width_mm - _BOX_ROOM_MM, TEXT_MM), width_mm, TEXT_MM)
        top = -ABOVE_RATIO * TEXT_MM + TEXT_MM / 2 + _BOX_MM / 2
        corners = [(0.2, top), (0.2 + _BOX_MM, top), (0.2 + _BOX_MM, top - _BOX_MM), (0.2, top - _BOX_MM)]
        marks = (polyline(corners, "edge", closed=True), *words.at(_BOX_ROOM_MM, 0.0))
        last = k == len(items) - 1
        out.append(piece(Block(marks, width_mm, words.height_mm), 1.6 if k == 0 else 0.9, keep_next=not last))
    return out


def caution(text: str, width_mm: float, again: bool = False) -> Piece:
    """Return a warning behind a heavy bar, in a box if it is told in full; its first word is bold."""
    first = "Caution"
    lead = text_width_mm(f"{first} ", TEXT_MM, bold=True)
    rows = _after(text, width_mm - _IN_MM - (0.0 if again else 2.0), lead)
    pad = 0.4 if again else 1.2
    words = lines(rows, width_mm, TEXT_MM)
    marks = [m for m in words.at(_IN_MM, -pad) if isinstance(m, Label)]
    # The first line begins behind the bold word, whether or not there was room for more of it.
    marks = [_moved(m, lead) if m.y_mm == marks[0].y_mm else m for m in marks]
    bold = Label(_IN_MM, -pad - ABOVE_RATIO * TEXT_MM, first, TEXT_MM, bold=True)
    high = words.height_mm + 2 * pad
    bars: list[Mark] = [polyline([(x, -0.2), (x, -high + 0.2)], "cut") for x in (0.25, 0.6, _BAR_MM - 0.25)]
    if not again:
        box = [(0.1, -0.1), (width_mm - 0.1, -0.1), (width_mm - 0.1, -high + 0.1), (0.1, -high + 0.1)]
        bars.append(polyline(box, "dim", closed=True))
    return piece(Block((*bars, bold, *marks), width_mm, high), 1.8)


def _after(text: str, width_mm: float, lead_mm: float) -> list[str]:
    """Lines of a width of which the first is shorter by ``lead_mm``."""
    rows: list[str] = [""]
    for word in text.split():
        longer = f"{rows[-1]} {word}".strip()
        room = width_mm - (lead_mm if len(rows) == 1 else 0.0)
        if text_width_mm(longer, TEXT_MM) <= room:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def _moved(label: Label, dx_mm: float) -> Label:
    return replace(label, x_mm=label.x_mm + dx_mm)


def note(text: str, width_mm: float, wide: bool = False) -> Piece:
    """Return a small line or two that is not broken."""
    return piece(lines(wrapped(text, width_mm, SMALL_MM), width_mm, SMALL_MM), _CLOSE_MM, wide)


def notes(room_mm: float, width_mm: float) -> list[Piece]:
    """Return a heading and lines to write on that fill what is left of a page."""
    head = section_heading("Notes", width_mm, "", wide=True)
    count = int((room_mm - head.height_mm - head.gap_mm) / _NOTE_MM - 1e-6)
    rules = [polyline([(0.0, -(k + 1) * _NOTE_MM), (width_mm, -(k + 1) * _NOTE_MM)], "dim") for k in range(count)]
    return [head, piece(Block(tuple(rules), width_mm, count * _NOTE_MM), wide=True)]


def figure(height_mm: float, make: Callable[[], Block], wide: bool, gap_mm: float = 2.0) -> Piece:
    """Return a picture that is made when its place is known."""
    return Piece(height_mm, make, gap_mm, wide)
