"""A card for each shop tool, four to a page: a picture, its main sizes, how it is printed and used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.sheets.drawing import Box, Label, Mark, Stroke
from braces.sheets.lettering import wrapped
from braces.sheets.pdf import pdf
from braces.sheets.print_job import Draft, Pose, PrintJob

FACE: Final = "each tool seen from above at the front right, as it lies on the bed"
_TITLE: Final = "shop tools"
_POSE: Final = Pose(landscape=False)
_ROWS, _COLUMNS = 2, 2
_HEAD_MM, _TEXT_MM, _PITCH_MM = 3.5, 2.5, 4.2
_GAP_MM = 4.0
_LARGEST_RATIO = 2.0  #: a small part is not blown up beyond this


@dataclass(frozen=True, slots=True, eq=False)
class ToolCard:
    """What one card shows."""

    title: str
    view: tuple[Points, ...]  #: visible edges, (n, 2) each, mm in the picture's plane
    facts: tuple[tuple[str, str], ...]  #: label and value
    notes: tuple[str, ...]


def tools_pdf(cards: Sequence[ToolCard], job: PrintJob) -> bytes:
    """Return a PDF with four tools to a page."""
    room = job.window(_POSE, _TITLE, FACE)
    cells = _cells(room)
    drafts = []
    for k in range(0, len(cards), len(cells)):
        marks = [m for card, cell in zip(cards[k:], cells, strict=False) for m in _card(card, cell)]
        drafts.append(Draft(_TITLE, FACE, _POSE, tuple(marks), (), "not to scale but the bars"))
    pages = tuple(job.page(d, k, len(drafts)) for k, d in enumerate(drafts, start=1))
    return pdf(pages, f"{job.instrument}: shop tools")


def _cells(room: Box) -> list[Box]:
    """The page in reading order."""
    x0, y0, x1, y1 = room
    wide, high = (x1 - x0) / _COLUMNS, (y1 - y0) / _ROWS
    return [
        (x0 + c * wide, y1 - (r + 1) * high + _GAP_MM, x0 + (c + 1) * wide - _GAP_MM, y1 - r * high)
        for r in range(_ROWS)
        for c in range(_COLUMNS)
    ]


def _card(card: ToolCard, cell: Box) -> list[Mark]:
    x0, y0, x1, top = cell
    marks: list[Mark] = []
    for row in wrapped(card.title, x1 - x0, _HEAD_MM, bold=True):
        top -= _HEAD_MM * 1.5
        marks.append(Label(x0, top, row, _HEAD_MM, bold=True))
    lines = _lines(card, x1 - x0)
    floor = y0 + len(lines) * _PITCH_MM + _GAP_MM
    picture, foot = _picture(card.view, (x0, floor, x1, top - _GAP_MM))
    y = foot - _GAP_MM / 2
    for text in lines:
        y -= _PITCH_MM
        marks.append(Label(x0, y, text, _TEXT_MM))
    return marks + picture


def _lines(card: ToolCard, width_mm: float) -> list[str]:
    rows = [row for label, value in card.facts for row in wrapped(f"{label}: {value}", width_mm, _TEXT_MM)]
    return rows + [row for note in card.notes for row in wrapped(note, width_mm, _TEXT_MM)]


def _picture(view: Sequence[Points], room: Box) -> tuple[list[Mark], float]:
    """The view as large as the room allows, at its top; and the height at which it ends."""
    every = np.concatenate(view)
    low, size = every.min(axis=0), np.maximum(np.ptp(every, axis=0), 1e-6)
    ratio = min((room[2] - room[0]) / size[0], (room[3] - room[1]) / size[1], _LARGEST_RATIO)
    left = room[0] + (room[2] - room[0] - ratio * size[0]) / 2
    bottom = room[3] - ratio * size[1]
    strokes: list[Mark] = [
        Stroke(frozen_points((line - low) * ratio + np.array([left, bottom])), "edge") for line in view
    ]
    return strokes, float(bottom)
