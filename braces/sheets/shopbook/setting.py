"""The book's blocks turned into pieces of a column's or the page's width."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from braces.sheets.shopbook import pieces as p
from braces.sheets.shopbook.figures import Figures, picture_block
from braces.sheets.shopbook.pieces import Piece
from braces.sheets.shopbook.tables import fits_column, table_pieces
from braces.sheets.strength_block import Block as Laid
from braces.workshop.book.blocks import Block, Checks, Figure, Links, Section, Table, Warned, WarnedBefore, Words

_NAMES_TOLD = 3  #: of more pages only the numbers are given
_TALLEST_MM = 170.0
_BESIDE_MM, _SIDE_SHARE = 6.0, 0.7  #: between a short side view and its cut-out, and what the first has of the width
_LEAST_MM, _CAPTION_MM = 40.0, 10.0
_SHRINKS = (1.0, 0.9, 0.8, 0.7, 0.6)  #: of a picture in a column, so that it fits at the foot of a page
_NUMBERED = (1.0, 0.9, 0.8)  #: of a picture of numbered bars: smaller, the numbers find no room


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """What turning blocks into pieces needs: widths, pictures, and on which page everything stands."""

    page_mm: float  #: width of what goes across
    column_mm: float
    figures: Figures
    pages: Mapping[str, int]  #: anchor -> page, as it was found in the round before
    picture_mm: float  #: height of pictures in columns
    whole: bool  #: whether tables in columns are kept whole
    units: dict[tuple[str, float], list[Piece]]  #: pages of braces made before, by anchor and height of cut-out

    def section(self, section: Section) -> list[Piece]:
        """Return a section under its heading."""
        body = self.blocks(section.blocks)
        wide = bool(body) and body[0].wide
        return [p.section_heading(section.title, self._width(wide), section.anchor, wide), *body]

    def blocks(self, blocks: Sequence[Block]) -> list[Piece]:
        """Return blocks in order: words that only lead to or end what goes across the page go across it too."""
        across = [self._goes_across(b) for b in blocks]
        out: list[Piece] = []
        before: list[WarnedBefore] = []
        for k, block in enumerate(blocks):
            if isinstance(block, WarnedBefore):
                before.append(block)
                if k + 1 < len(blocks) and isinstance(blocks[k + 1], WarnedBefore):
                    continue
                out.append(self._before(before))
                before = []
                continue
            leads = k + 1 < len(blocks) and across[k + 1]
            below = k > 0 and across[k - 1]
            ends = below and not any(not a for a in across[k + 1 :])
            wide = isinstance(block, Words) and (leads or ends or (below and block.small))
            out += self.block(block, wide)
        return out

    def _goes_across(self, block: Block) -> bool:
        if isinstance(block, Figure):
            return self.figures.has(block.key) and self.figures.is_wide(block.key)
        return isinstance(block, Table) and not fits_column(block, self.column_mm)

    def _before(self, told: Sequence[WarnedBefore]) -> Piece:
        where = [f"{w.title} ({w.place}{self._page(w.anchor)})" for w in told]
        return p.caution(f"as before: {', '.join(where)}.", self.column_mm, again=True)

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
            case WarnedBefore():
                return [self._before([block])]
            case Links():
                return [p.note(text, width, wide) for text in self._links(block)]
            case Table():
                across = wide or not fits_column(block, self.column_mm)
                return list(table_pieces(block, self._width(across), across, self.whole))
            case Figure():
                return self._figure(block) if self.figures.has(block.key) else []

    def _width(self, wide: bool) -> float:
        return self.page_mm if wide else self.column_mm

    def _page(self, anchor: str) -> str:
        return f", page {self.pages[anchor]}" if anchor in self.pages else ""

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
        if wide or self.figures.is_cut_out(figure.key):
            return self.figure(figure, self._width(wide), _TALLEST_MM if wide else self.picture_mm, wide)
        ratios = _NUMBERED if figure.key.startswith("deck-") else _SHRINKS
        whole, *smaller = (self.figure(figure, self.column_mm, self.picture_mm * ratio, wide)[0] for ratio in ratios)
        return [replace(whole, smaller=tuple(smaller))]

    def beside(self, side: Figure, cut_out: Figure) -> Piece:
        """Return the side view of a short brace and its cut-out beside each other, across the page."""
        left = (self.page_mm - _BESIDE_MM) * _SIDE_SHARE
        right = self.page_mm - _BESIDE_MM - left
        own = self.figure(side, left, _TALLEST_MM, True)[0]
        room = max(_LEAST_MM, own.height_mm - _CAPTION_MM)
        other = self.figure(cut_out, right, room, True)[0]

        def make() -> Laid:
            marks = (*own.at(0.0, 0.0), *other.at(left + _BESIDE_MM, 0.0))
            return Laid(marks, self.page_mm, max(own.height_mm, other.height_mm))

        return p.figure(max(own.height_mm, other.height_mm), make, True)

    def figure(self, figure: Figure, width_mm: float, height_mm: float, wide: bool) -> list[Piece]:
        """Return a picture as large as a room allows, over what it shows and its scale."""
        _, high = self.figures.size_mm(figure.key, width_mm, height_mm)

        def make() -> Laid:
            made = self.figures.picture(figure.key, width_mm, height_mm)
            words = p.note(f"{figure.caption}; {made.drawing.face}; {made.scale}", width_mm).make()
            shown = picture_block(made, width_mm, high)
            return Laid((*shown.marks, *words.at(0.0, -high - 1.0)), width_mm, high + 1.0 + words.height_mm)

        # The scale is known from the size only once it is made: room is kept for the longest there can be.
        face = self.figures.face(figure.key)
        words = p.note(f"{figure.caption}; {face}; scale 1:88.8", width_mm)
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
