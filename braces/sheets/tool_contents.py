"""The table in front of the tools' pages: what there is, how many to make, what each takes."""

from __future__ import annotations

from collections.abc import Sequence

from braces.sheets.drawing import Box, Label, Mark, polyline
from braces.sheets.lettering import wrapped
from braces.sheets.tool_card import ToolCard

_TEXT_MM, _PITCH_MM = 2.5, 4.3
_HEAD_MM = 4.5
_COLUMNS = 2
_GAP_MM = 10.0
#: Right edges of the figures, from the right edge of a column: sheet, make, volume, filament.
_RIGHTS_MM = (0.0, 13.0, 28.0, 46.0)
_HEADS = ("sheet", "g each", "cm3 each", "make")
_NAMES_MM = 58.0  #: what the figures take


def contents(cards: Sequence[ToolCard], room: Box) -> list[list[Mark]]:
    """Return the marks of each page of the table; its own pages count among the sheets it names."""
    x0, y0, x1, top = room
    wide = (x1 - x0 - (_COLUMNS - 1) * _GAP_MM) / _COLUMNS
    rows_high = int((top - 9.0 - y0) / _PITCH_MM) - 1
    pages = 1
    while True:
        rows = _rows(cards, pages, wide)
        needed = -(-len(rows) // (rows_high * _COLUMNS))
        if needed <= pages:
            break
        pages = needed
    found = []
    for p in range(pages):
        marks: list[Mark] = [Label(x0, top - 1.15 * _HEAD_MM, "what there is to make", _HEAD_MM, bold=True)]
        for c in range(_COLUMNS):
            first = (p * _COLUMNS + c) * rows_high
            marks += _column(rows[first : first + rows_high], x0 + c * (wide + _GAP_MM), top - 9.0, wide)
        found.append(marks)
    return found


Row = tuple[str, tuple[str, ...]]  #: name and figures; a heading has none


def _rows(cards: Sequence[ToolCard], first: int, wide_mm: float) -> list[Row]:
    rows: list[Row] = []
    kind = ""
    for sheet, card in enumerate(cards, start=first + 1):
        if card.kind != kind:
            kind = card.kind
            rows.append((kind, ()))
        grams = f"{card.filament_g:.0f}" if card.bed else "-"
        volume = f"{card.volume_mm3 / 1000:.1f}" if card.bed else "-"
        names = wrapped(card.title, wide_mm - _NAMES_MM, _TEXT_MM)
        rows += [(name, ("", "", "", "")) for name in names[:-1]]
        rows.append((names[-1], (str(sheet), grams, volume, str(card.count))))
    grams_g = sum(c.filament_g * c.count for c in cards)
    volume_mm3 = sum(c.volume_mm3 * c.count for c in cards if c.bed)
    rows.append(("all that is printed, as many of each as it says", ()))
    rows.append(("", ("", f"{grams_g:.0f}", f"{volume_mm3 / 1000:.0f}", str(sum(c.count for c in cards if c.bed)))))
    return rows


def _column(rows: Sequence[Row], x_mm: float, top_mm: float, wide_mm: float) -> list[Mark]:
    if not rows:
        return []
    right = x_mm + wide_mm
    y = top_mm - _TEXT_MM
    marks: list[Mark] = [
        Label(right - off, y, head, _TEXT_MM, anchor="end") for off, head in zip(_RIGHTS_MM, _HEADS, strict=True)
    ]
    marks.append(polyline([(x_mm, y - 1.3), (right, y - 1.3)], "note"))
    for name, figures in rows:
        y -= _PITCH_MM
        marks.append(Label(x_mm + (2.0 if figures else 0.0), y, name or " ", _TEXT_MM, bold=not figures))
        marks += [
            Label(right - off, y, text, _TEXT_MM, anchor="end")
            for off, text in zip(_RIGHTS_MM, figures, strict=False)
            if text
        ]
    return marks
