"""Rectangles packed on shelves in reading order: left to right, top to bottom, sheet after sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a rectangle lies: on which page, and its lower left corner in the room of that page, y up."""

    page: int
    x_mm: float
    y_mm: float


@dataclass(slots=True)
class _Shelf:
    width_mm: float = 0.0
    height_mm: float = 0.0
    items: list[tuple[int, float]] = field(default_factory=list)


def packed(sizes: Sequence[tuple[float, float]], width_mm: float, height_mm: float, gap_mm: float) -> tuple[Spot, ...]:
    """Return a spot for each (width, height) of ``sizes``, at least ``gap_mm`` apart, in rooms of one size.

    Keeps to the given order unless filling earlier shelves saves a sheet, or taking the highest first. Raises
    ``ValueError`` for a rectangle larger than the room.
    """
    for w, h in sizes:
        if w > width_mm + _ROUNDING_MM or h > height_mm + _ROUNDING_MM:
            raise ValueError(f"{w:.1f} x {h:.1f} mm does not fit in {width_mm:.1f} x {height_mm:.1f} mm")
    order = list(range(len(sizes)))
    highest_first = sorted(order, key=lambda k: -sizes[k][1])
    tries = [
        _pages(sizes, turn, width_mm, height_mm, gap_mm, look_back)
        for turn, look_back in ((order, False), (order, True), (highest_first, True))
    ]
    return _spots(min(tries, key=len), sizes, height_mm, gap_mm)


def _pages(
    sizes: Sequence[tuple[float, float]],
    order: Sequence[int],
    width: float,
    height: float,
    gap: float,
    look_back: bool,
) -> list[list[_Shelf]]:
    """Return pages of shelves filled in ``order``, on the last shelf only or on the first with room."""
    pages: list[list[_Shelf]] = [[]]
    for k in order:
        w, h = sizes[k]
        open_shelves = [(page, shelf) for page in pages for shelf in page]
        for page, shelf in open_shelves if look_back else open_shelves[-1:]:
            grown = max(0.0, h - shelf.height_mm)
            if shelf.width_mm + gap + w <= width and _height(page, gap) + grown <= height:
                break
        else:
            page, shelf = _new_shelf(pages, h, height, gap)
        x = shelf.width_mm + gap if shelf.items else 0.0
        shelf.items.append((k, x))
        shelf.width_mm, shelf.height_mm = x + w, max(shelf.height_mm, h)
    return pages


def _new_shelf(pages: list[list[_Shelf]], h: float, height: float, gap: float) -> tuple[list[_Shelf], _Shelf]:
    """Open a shelf on the last page, or on a new one if the last has no room for height ``h``."""
    if pages[-1] and _height(pages[-1], gap) + gap + h > height:
        pages.append([])
    shelf = _Shelf()
    pages[-1].append(shelf)
    return pages[-1], shelf


def _height(page: Sequence[_Shelf], gap: float) -> float:
    return sum(s.height_mm for s in page) + gap * (len(page) - 1)


def _spots(
    pages: Sequence[Sequence[_Shelf]], sizes: Sequence[tuple[float, float]], height: float, gap: float
) -> tuple[Spot, ...]:
    spots: dict[int, Spot] = {}
    for number, page in enumerate(pages):
        top = height
        for shelf in page:
            for k, x in shelf.items:
                spots[k] = Spot(number, x, top - sizes[k][1])
            top -= shelf.height_mm + gap
    return tuple(spots[k] for k in range(len(sizes)))
