"""Pieces set on pages: in two columns as far as they go, across the page where they are wide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from braces.sheets.drawing import Box
from braces.sheets.shopbook.pieces import Piece

BETWEEN_MM: Final = 9.0  #: between the columns
_BAND_GAP_MM = 3.5  #: between what is wide and what is in columns
#: What follows a heading has at least so much room under it, and columns are not begun with less.
LEAST_MM: Final = 34.0
_HALVINGS = 11


@dataclass(frozen=True, slots=True, eq=False)
class Set:
    """A piece at its place: the upper left corner in mm of the page."""

    piece: Piece
    x_mm: float
    y_mm: float


def column_width_mm(window: Box) -> float:
    """Return the width of a column."""
    return (window[2] - window[0] - BETWEEN_MM) / 2


class Flow:
    """Pages filled from the top down; ``y_mm`` is how far the last one has come."""

    def __init__(self, window: Box) -> None:
        self.window = window
        self.pages: list[list[Set]] = []
        self.turn()

    def turn(self) -> None:
        """Begin a page."""
        self.pages.append([])
        self.y_mm = self.window[3]

    @property
    def room_mm(self) -> float:
        """What is left of the page."""
        return self.y_mm - self.window[1]

    @property
    def used_mm(self) -> float:
        """How far down the page is filled."""
        return self.window[3] - self.y_mm

    def lay(self, pieces: Sequence[Piece]) -> None:
        """Set pieces in their order, what is in columns in two of even length."""
        for wide, group in groupby(pieces, key=lambda p: p.wide):
            if wide:
                self._lay_wide(list(group))
            else:
                self._lay_columns(list(group))

    def _lay_wide(self, pieces: Sequence[Piece]) -> None:
        for held in _held_together(pieces):
            need = sum(p.height_mm + p.gap_mm for p in held)
            if held[-1].keep_next:  # what it is kept with stands in columns
                need += LEAST_MM + _BAND_GAP_MM
            if self.pages[-1] and need > self.room_mm:
                self.turn()
                if held[0].head is not None:
                    self._set(held[0].head, 0.0)
            for p in held:
                self._set(p, p.gap_mm if self.pages[-1] else 0.0)

    def _set(self, piece: Piece, gap_mm: float) -> None:
        self.y_mm -= gap_mm
        self.pages[-1].append(Set(piece, self.window[0], self.y_mm))
        self.y_mm -= piece.height_mm

    def _lay_columns(self, pieces: Sequence[Piece]) -> None:
        start = 0
        while start < len(pieces):
            gap = _BAND_GAP_MM if self.pages[-1] else 0.0
            room = self.room_mm - gap
            rest = pieces[start:]
            high = _even_mm(rest, room)
            if high is None and self.pages[-1] and room < LEAST_MM:
                self.turn()
                continue
            columns, count = _two_columns(rest, room if high is None else high, shrink=high is None)
            if count == 0 and self.pages[-1]:
                self.turn()
                continue
            if count == 0:  # taller than any page: better over the edge than not at all
                columns, count = [[(0.0, rest[0])], []], 1
            self._set_columns(columns, gap)
            start += count
            if start < len(pieces):
                self.turn()

    def _set_columns(self, columns: Sequence[Sequence[tuple[float, Piece]]], gap_mm: float) -> None:
        top = self.y_mm - gap_mm
        step = column_width_mm(self.window) + BETWEEN_MM
        for k, column in enumerate(columns):
            self.pages[-1] += [Set(p, self.window[0] + k * step, top - down) for down, p in column]
        self.y_mm = top - max(_length_mm(column) for column in columns)


def height_mm(pieces: Sequence[Piece], window: Box) -> float | None:
    """Return how much of a page pieces take, or None if they do not fit on one."""
    trial = Flow(window)
    trial.lay(pieces)
    return trial.used_mm if len(trial.pages) == 1 and trial.room_mm >= -1e-6 else None


def _held_together(pieces: Sequence[Piece]) -> Iterator[list[Piece]]:
    held: list[Piece] = []
    for p in pieces:
        held.append(p)
        if not p.keep_next:
            yield held
            held = []
    if held:
        yield held


def _column(pieces: Sequence[Piece], start: int, room_mm: float, shrink: bool) -> tuple[list[tuple[float, Piece]], int]:
    """What fits into one column, each with how far down it begins, and the first piece that does not."""
    out: list[tuple[float, Piece]] = []
    k = start
    if k < len(pieces) and (head := pieces[k].head) is not None:
        out.append((0.0, head))
    least = len(out)
    y = _length_mm(out)
    while k < len(pieces):
        gap = pieces[k].gap_mm if out else 0.0
        choice = (pieces[k], *pieces[k].smaller) if shrink else (pieces[k],)
        fit = next((q for q in choice if y + gap + q.height_mm <= room_mm + 1e-6), None)
        if fit is None:
            break
        out.append((y + gap, fit))
        y += gap + fit.height_mm
        k += 1
    while start < k < len(pieces) and pieces[k - 1].keep_next:
        out.pop()
        k -= 1
    return (out if len(out) > least else []), k


def _length_mm(column: Sequence[tuple[float, Piece]]) -> float:
    return column[-1][0] + column[-1][1].height_mm if column else 0.0


def _two_columns(pieces: Sequence[Piece], room_mm: float, shrink: bool) -> tuple[list[list[tuple[float, Piece]]], int]:
    left, middle = _column(pieces, 0, room_mm, shrink)
    right, end = _column(pieces, middle, room_mm, shrink)
    return [left, right], end


def _even_mm(pieces: Sequence[Piece], room_mm: float) -> float | None:
    """The least height in which two columns hold all, or None if ``room_mm`` is not enough."""
    if _two_columns(pieces, room_mm, shrink=False)[1] < len(pieces):
        return None
    low, high = 0.0, room_mm
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _two_columns(pieces, middle, shrink=False)[1] < len(pieces):
            low = middle
        else:
            high = middle
    return high
