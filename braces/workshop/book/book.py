"""The whole book: raw stock to closed body, every measurement from the design."""

from __future__ import annotations

from braces.carved.values import Carved
from braces.mechanics.values import Strength
from braces.workshop.bench import Bench
from braces.workshop.book.blocks import Book, Chapter, Figure, Table
from braces.workshop.book.braces import brace_chapter
from braces.workshop.book.front import front_blocks
from braces.workshop.book.glue import glue_chapter
from braces.workshop.book.job import caution_chapter, job_chapter
from braces.workshop.book.joints import joint_chapter
from braces.workshop.book.lengths import Lengths
from braces.workshop.book.numbers import numbers_chapter
from braces.workshop.book.pieces import piece_chapter
from braces.workshop.book.rim import rim_chapter
from braces.workshop.book.tools import Tools, tool_chapter
from braces.workshop.box_stock import box_stock
from braces.workshop.cutlist import Piece, cut_list
from braces.workshop.order import steps

_STOCK_HEAD = ("piece", "plate", "wood", "count", "size", "note")


def shop_book(
    carved: Carved,
    bench: Bench,
    revision: str,
    strength: Strength | None = None,
    tools: Tools | None = None,
    inches: bool = False,
) -> Book:
    """Return the book of an instrument.

    ``strength`` adds the numbers of the mechanics, ``tools`` the list of what can be printed. With ``inches`` inches to
    1/64 stand beside mm.
    """
    lengths = Lengths(inches)
    found = steps(carved, bench, inches)
    after = [
        _stock(carved, bench, lengths),
        brace_chapter(carved, lengths),
        joint_chapter(carved, bench, lengths),
        piece_chapter(bench, lengths),
        glue_chapter(bench, lengths),
        rim_chapter(bench, lengths),
        tool_chapter(tools) if tools is not None else None,
        numbers_chapter(strength) if strength is not None else None,
        caution_chapter(found),
    ]
    others = [c for c in after if c is not None]
    titles = {s.anchor: s.title for c in others for s in c.sections}
    design = carved.placed.design
    return Book(
        design.name,
        f"Shop book, {design.handed}-handed",
        revision,
        tuple(Figure(f"plate-{p}", p) for p in ("top", "back")),
        front_blocks(carved, bench, lengths),
        (job_chapter(found, titles), *others),
    )


def _stock(carved: Carved, bench: Bench, lengths: Lengths) -> Chapter:
    def table(caption: str, pieces: tuple[Piece, ...]) -> Table:
        rows = tuple((p.piece, p.plate, p.wood, str(p.count), lengths.sizes(*p.size_mm), p.note) for p in pieces)
        return Table(f"{caption}: length × width × height, {lengths.unit}", _STOCK_HEAD, rows)

    box = table("The box, glued up and thicknessed", box_stock(carved, bench))
    return Chapter("stock", "Stock", (box, table("The bracing", cut_list(carved))))
