"""The book's blocks turned into pieces of a column's or the page's width."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from braces.sheets.shopbook import pieces as p
from braces.sheets.shopbook.figures import Figures, picture_block
from braces.sheets.shopbook.pieces import Piece
from braces.sheets.shopbook.tables import fits_column, table_pieces
from braces.workshop.book.blocks import Block, Checks, Figure, Links, Section, Table, Warned, WarnedBefore, Words

_NAMES_TOLD = 3  #: of more pages only the numbers are given
_TALLEST_MM = 170.0


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """What turning blocks into pieces needs: widths, pictures, and on which page everything stands."""

    page_mm: float  #: width of what goes across
    column_mm: float
    figures: Figures
    pages: Mapping[str, int]  #: anchor -> page, as it was found in the round before
    picture_mm: float  #: height of pictures in columns

    def section(self, section: Section) -> list[Piece]:
        """Return a section under its heading."""
        body = [piece for block in section.blocks for piece in self.block(block)]
        wide = bool(body) and body[0].wide
        return [p.section_heading(section.title, self._width(wide), section.anchor, wide), *body]

    def block(self, block: Block, wide: bool = False) -> list[Piece]:
        """Return a block; tables and pictures say themselves whether they go across the page."""
        width = self._width(wide)
        match block:
            case Words(text, small):
                return p.paragraph(text, width, small, wide)
            case Checks(items):
                return p.checks(items, width)
            case Warned(text):
                return [p.caution(text, width)]
            case WarnedBefore(title, place, anchor):
                return [p.caution(f"as at {place}{self._page(anchor)}: {title}.", width, again=True)]
            case Links():
                return [p.note(text, width, wide) for text in self._links(block)]
            case Table():
                across = not fits_column(block, self.column_mm)
                return table_pieces(block, self._width(across), across)
            case Figure():
                return self._figure(block) if self.figures.has(block.key) else []

    def _width(self, wide: bool) -> float:
        return self.page_mm if wide else self.column_mm

    def _page(self, anchor: str) -> str:
        return f" (page {self.pages[anchor]})" if anchor in self.pages else ""

    def _links(self, links: Links) -> Iterator[str]:
        told = [(link.name, self.pages.get(link.anchor, 0)) for link in links.pages]
        if told and len(told) <= _NAMES_TOLD:
            yield "In this book: " + "; ".join(f"{name}, page {page}" for name, page in told) + "."
        elif told:
            yield f"In this book: pages {ranges([page for _, page in told])}."
        if links.sheets:
            yield f"Sheets: {', '.join(links.sheets)}."

    def _figure(self, figure: Figure) -> list[Piece]:
        wide = self.figures.is_wide(figure.key)
        return self.figure(figure, self._width(wide), _TALLEST_MM if wide else self.picture_mm, wide)

    def figure(self, figure: Figure, width_mm: float, height_mm: float, wide: bool) -> list[Piece]:
        """Return a picture as large as a room allows, over what it shows and its scale."""
        _, high = self.figures.size_mm(figure.key, width_mm, height_mm)

        def make() -> p.Block:
            made = self.figures.picture(figure.key, width_mm, height_mm)
            words = p.note(f"{figure.caption}; {made.drawing.face}; {made.scale}", width_mm).make()
            shown = picture_block(made, width_mm, high)
            return p.Block((*shown.marks, *words.at(0.0, -high - 1.0)), width_mm, high + 1.0 + words.height_mm)

        # The scale is known from the size only once it is made: room is kept for the longest there can be.
        face = self.figures.face(figure.key)
        words = p.note(f"{figure.caption}; {face}; scale 1 : 88.8", width_mm)
        return [p.figure(high + 1.0 + words.height_mm, make, wide)]


def ranges(pages: Sequence[int]) -> str:
    """Return page numbers with runs drawn together.

    >>> ranges([7, 8, 9, 9, 12])
    '7 to 9, 12'
    """
    found = sorted(set(pages))
    runs: list[list[int]] = []
    for page in found:
        if runs and page == runs[-1][1] + 1:
            runs[-1][1] = page
        else:
            runs.append([page, page])
    return ", ".join(f"{a} to {b}" if b > a + 1 else (f"{a}, {b}" if b > a else str(a)) for a, b in runs)


