"""One page for each shop tool: true views with dimensions, a picture, how it lies on the bed, how it is used."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from braces.sheets.drawing import Box, Label, Mark
from braces.sheets.lettering import text_width_mm, wrapped
from braces.sheets.pdf import pdf
from braces.sheets.print_job import Draft, Pose, PrintJob
from braces.sheets.tool_card import ToolCard
from braces.sheets.tool_contents import contents
from braces.sheets.tool_views import SCALES, sheaf, slanting, true_views

FACE: Final = "as it lies on the bed; all sizes in mm"
_CONTENTS_FACE: Final = "all parts, with what each takes to print"
_POSE: Final = Pose(landscape=True)
_HEAD_MM, _TEXT_MM, _PITCH_MM = 4.5, 2.8, 4.5
_HEAD_ROOM_MM = 9.0
_GAP_MM = 6.0
_LEAST_MM = 46.0  #: height of picture and bed under the views


def tools_pdf(cards: Sequence[ToolCard], job: PrintJob) -> bytes:
    """Return a PDF with a table of contents and a page for each tool."""
    room = job.window(_POSE, "shop tools", FACE)
    tables = contents(cards, room)
    drafts = [Draft("shop tools", _CONTENTS_FACE, _POSE, tuple(marks), (), "a table") for marks in tables]
    drafts += [_draft(card, room) for card in cards]
    pages = tuple(job.page(d, k, len(drafts)) for k, d in enumerate(drafts, start=1))
    return pdf(pages, f"{job.instrument}: shop tools")


def _draft(card: ToolCard, room: Box) -> Draft:
    marks, scale = page_marks(card, room)
    return Draft(card.title, FACE, _POSE, tuple(marks), (), f"views from above, front and left at scale {scale}")


def page_marks(card: ToolCard, room: Box) -> tuple[list[Mark], str]:
    """Return the marks of a tool's page, and the scale of its true views in words."""
    x0, y0, x1, top = room
    marks: list[Mark] = [Label(x0, top - 1.15 * _HEAD_MM, card.title, _HEAD_MM, bold=True)]
    how_many = f"make {card.count}"
    marks.append(Label(x1, top - 1.15 * _HEAD_MM, how_many, _HEAD_MM, anchor="end", bold=True))
    top -= _HEAD_ROOM_MM
    wide, high = x1 - x0, top - y0
    for scale, words in SCALES:
        need = sheaf(card, scale)
        floor = top - need.height_mm
        if need.width_mm <= wide and floor - _GAP_MM - y0 >= max(_LEAST_MM, _words_high(card, _middle(card, x0, x1))):
            return marks + true_views(card, (x0, floor, x1, top), scale) + _below(card, (x0, y0, x1, floor)), words
        side = x0 + max(need.width_mm, 0.4 * wide) + _GAP_MM
        if need.width_mm <= 0.54 * wide and need.height_mm <= high:
            return marks + true_views(card, (x0, y0, side, top), scale) + _aside(card, (side, y0, x1, top)), words
    raise ValueError(f"{card.title}: too large for a page at any scale")


def _middle(card: ToolCard, x0: float, x1: float) -> tuple[float, float]:
    """Return from and to where the words stand between picture and bed."""
    wide = x1 - x0
    return x0 + (0.4 if card.bed else 0.5) * wide, x1 - (0.25 * wide + _GAP_MM if card.bed else 0.0)


def _words_high(card: ToolCard, span: tuple[float, float]) -> float:
    """Return how much room the words of a card take in a column."""
    return -min(m.ink[1] for m in _words(card, (span[0], 0.0, span[1], 0.0)))


def _below(card: ToolCard, room: Box) -> list[Mark]:
    """Picture, words and bed side by side."""
    x0, y0, x1, y1 = room
    left, right = _middle(card, x0, x1)
    return [
        *slanting(card.slant, (x0, y0, left - _GAP_MM, y1 - _GAP_MM)),
        *_words(card, (left, y0, right, y1 - _GAP_MM)),
        *_bed(card, (right + _GAP_MM, y0, x1, y1 - _GAP_MM)),
    ]


def _aside(card: ToolCard, room: Box) -> list[Mark]:
    """Picture above, words and bed under it."""
    x0, y0, x1, y1 = room
    bed = x1 - (0.42 if card.bed else 0.0) * (x1 - x0)
    middle = y0 + max(0.58 * (y1 - y0), _words_high(card, (x0, bed - _GAP_MM)) + _GAP_MM)
    return [
        *slanting(card.slant, (x0, middle, x1, y1)),
        *_words(card, (x0, y0, bed - _GAP_MM, middle - _GAP_MM)),
        *_bed(card, (bed, y0, x1, middle - _GAP_MM)),
    ]


def _bed(card: ToolCard, room: Box) -> list[Mark]:
    if card.bed is None:
        return []
    x0, y0, x1, y1 = room
    lines = wrapped(card.bed_words, x1 - x0, _TEXT_MM)
    foot = y0 + len(lines) * _PITCH_MM
    marks = slanting(card.bed, (x0, foot, x1, y1))
    lowest = min((m.ink[1] for m in marks), default=y1)
    return [*marks, *_rows(lines, x0, lowest - 1.5)]


def _words(card: ToolCard, room: Box) -> list[Mark]:
    """Facts in two columns where they fit, then the notes."""
    x0, _, x1, top = room
    half = (x1 - x0 - _GAP_MM) / 2
    texts = [f"{label}: {value}" if value else label for label, value in card.facts]
    short = [t for t in texts if text_width_mm(t, _TEXT_MM) <= half]
    long = [row for t in texts if t not in short for row in wrapped(t, x1 - x0, _TEXT_MM)]
    marks = _rows(long, x0, top)
    top -= len(long) * _PITCH_MM
    rows = -(-len(short) // 2)
    marks += _rows(short[:rows], x0, top) + _rows(short[rows:], x0 + half + _GAP_MM, top)
    top -= rows * _PITCH_MM + 1.5
    for note in card.notes:
        lines = wrapped(note, x1 - x0, _TEXT_MM)
        marks += _rows(lines, x0, top)
        top -= len(lines) * _PITCH_MM + 1.0
    return marks


def _rows(lines: Sequence[str], x_mm: float, top_mm: float) -> list[Mark]:
    return [Label(x_mm, top_mm - _TEXT_MM - k * _PITCH_MM, text, _TEXT_MM) for k, text in enumerate(lines)]
