"""A printed page as data: which drawings show through which windows, and the marks of the page itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from braces.sheets.drawing import Box, Drawing, Label, Mark, moved_mark


@dataclass(frozen=True, slots=True, eq=False)
class Placement:
    """The strokes of ``drawing``, its origin at (``x_mm``, ``y_mm``) of the page, seen through ``window``.

    Its labels are not drawn: a page lists the words that are whole on it among its own marks. A
    ``magnification_ratio`` other than 1 makes a map, drawn with one thin pen on the layers of ``only``.
    """

    drawing: Drawing
    x_mm: float
    y_mm: float
    window: Box
    magnification_ratio: float = 1.0
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """A page of true size; in the file, lengths are ``x_ratio`` times longer across and ``y_ratio`` up."""

    title: str
    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    placements: tuple[Placement, ...] = ()
    x_ratio: float = 1.0
    y_ratio: float = 1.0

    @property
    def file_size_mm(self) -> tuple[float, float]:
        """Width and height in the file."""
        return self.width_mm * self.x_ratio, self.height_mm * self.y_ratio

    @property
    def labels(self) -> Iterator[Label]:
        """The words on the page."""
        return (m for m in self.marks if isinstance(m, Label))


def shown(drawing: Drawing, x_mm: float, y_mm: float, window: Box) -> tuple[Placement, tuple[Mark, ...]]:
    """Return the placement of ``drawing`` and all its labels moved with it."""
    words = tuple(moved_mark(label, x_mm, y_mm) for label in drawing.labels)
    return Placement(drawing, x_mm, y_mm, window), words


def with_marks(page: Page, marks: tuple[Mark, ...]) -> Page:
    """Return the page with more marks."""
    return replace(page, marks=page.marks + marks)
