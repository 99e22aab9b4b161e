"""Pages of words and pictures that are not templates: a strip of words below, no check bars.

Everything is laid out on a sheet the size of A4 or Letter; a larger paper shows the same, magnified, so that its
letters are larger too and no page is left half empty.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from braces.sheets.drawing import Box, Label, Mark, Stroke, polyline
from braces.sheets.lettering import wrapped
from braces.sheets.page import Page, Placement
from braces.sheets.paper import MARGIN_MM, Paper
from braces.sheets.title_strip import TEXT_MM, TEXT_PITCH_MM, TITLE_MM, TITLE_PITCH_MM, StripWords

SCALE = "no template: nothing here is to scale"
_LAID_OUT_MM = (210.0, 279.4)  #: the narrower of A4 and Letter, and the shorter
_GAP_MM = 2.5


@dataclass(frozen=True, slots=True, eq=False)
class Leaf:
    """What a page shows, before it has a number; in mm of the layout."""

    title: str
    face: str
    landscape: bool
    marks: tuple[Mark, ...]
    placements: tuple[Placement, ...] = ()


@dataclass(frozen=True, slots=True)
class Folder:
    """What the pages of one report have in common."""

    instrument: str
    revision: str
    paper: Paper

    @property
    def magnification_ratio(self) -> float:
        """How much larger the paper shows everything than it is laid out."""
        wide, high = _LAID_OUT_MM
        return max(1.0, min(self.paper.width_mm / wide, self.paper.height_mm / high))

    def size_mm(self, landscape: bool) -> tuple[float, float]:
        """Return width and height of a page in mm of the layout."""
        sheet = self.paper.turned if landscape else self.paper
        return sheet.width_mm / self.magnification_ratio, sheet.height_mm / self.magnification_ratio

    def window(self, title: str, face: str, landscape: bool = False) -> Box:
        """Return the room above the strip of a page of that title and face."""
        return self._frame(title, face, landscape, "sheet 88 of 88")[1]

    def page(self, leaf: Leaf, number: int, count: int) -> Page:
        """Return the finished page ``number`` of ``count``."""
        strip, _ = self._frame(leaf.title, leaf.face, leaf.landscape, f"sheet {number} of {count}")
        k = self.magnification_ratio
        wide, high = self.size_mm(leaf.landscape)
        return Page(
            leaf.title,
            wide * k,
            high * k,
            tuple(magnified(m, k) for m in (*leaf.marks, *strip)),
            tuple(_placed_larger(p, k) for p in leaf.placements),
        )

    def _frame(self, title: str, face: str, landscape: bool, sheet: str) -> tuple[tuple[Mark, ...], Box]:
        width, height = self.size_mm(landscape)
        words = StripWords(self.instrument, self.revision, title, face, sheet, self.paper.title, SCALE)
        rows = _rows(words, width - 2 * MARGIN_MM)
        depth = sum(pitch for _, _, pitch in rows)
        rule = MARGIN_MM + depth + _GAP_MM
        marks: list[Mark] = [polyline([(MARGIN_MM, rule), (width - MARGIN_MM, rule)], "sheet")]
        y = MARGIN_MM + depth
        for text, bold, pitch in rows:
            letters = TITLE_MM if bold else TEXT_MM
            marks.append(Label(MARGIN_MM, y - letters, text, letters, layer="sheet", bold=bold))
            y -= pitch
        return tuple(marks), (MARGIN_MM, rule + _GAP_MM, width - MARGIN_MM, height - MARGIN_MM)


def finished(leaves: Sequence[Leaf], folder: Folder) -> tuple[Page, ...]:
    """Return the pages with their numbers."""
    return tuple(folder.page(leaf, k, len(leaves)) for k, leaf in enumerate(leaves, start=1))


def _rows(words: StripWords, width_mm: float) -> list[tuple[str, bool, float]]:
    rows = [(line, True, TITLE_PITCH_MM) for line in wrapped(words.heading, width_mm, TITLE_MM, bold=True)]
    for text in (words.face, words.facts):
        rows += [(line, False, TEXT_PITCH_MM) for line in wrapped(text, width_mm, TEXT_MM)]
    return rows


def magnified(mark: Mark, ratio: float) -> Mark:
    """Return a mark as a larger paper shows it."""
    if ratio == 1.0:
        return mark
    if isinstance(mark, Stroke):
        return Stroke(mark.points * ratio, mark.layer, mark.closed)
    return replace(mark, x_mm=mark.x_mm * ratio, y_mm=mark.y_mm * ratio, height_mm=mark.height_mm * ratio)


def _placed_larger(placement: Placement, ratio: float) -> Placement:
    x0, y0, x1, y1 = placement.window
    return replace(
        placement,
        x_mm=placement.x_mm * ratio,
        y_mm=placement.y_mm * ratio,
        window=(x0 * ratio, y0 * ratio, x1 * ratio, y1 * ratio),
        magnification_ratio=placement.magnification_ratio * ratio,
    )
