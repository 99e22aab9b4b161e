"""The order of the pages: the front, the job, the stock, a page for each brace, and all that follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from braces.sheets.drawing import Box
from braces.sheets.shopbook.flow import LEAST_MM, Flow, height_mm
from braces.sheets.shopbook.front import front_pieces
from braces.sheets.shopbook.pieces import Piece, chapter_heading, notes, section_heading
from braces.sheets.shopbook.setting import Setting
from braces.workshop.book.blocks import Book, Chapter, Figure, Section

#: Heights that a brace's cut-out may have in a column, and across the page where it has that page alone.
_CUT_OUTS_MM = (48.0, 58.0, 68.0, 78.0, 90.0, 102.0, 114.0, 126.0)
_ACROSS_MM = (160.0, 145.0, 130.0, 115.0, 100.0, 85.0, 70.0)
_LEAST_PLATES_MM = 62.0  #: pictures of the plates that fill a page are no smaller
_MOST_PLATES_MM = 150.0
_CAPTION_MM = 12.0
_UNIT_GAP_MM, _MOST_GAP_MM = 4.0, 10.0
_NEVER_MM = 1e6


def laid_out(book: Book, setting: Setting, window: Box) -> Flow:
    """Return the pages of the book."""
    flow = Flow(window)
    flow.lay(front_pieces(book, setting, window))
    flow.turn()
    for chapter in book.chapters:
        if any(s.kind == "brace" for s in chapter.sections):
            _braces(chapter, book, setting, flow)
        else:
            flow.lay(_chapter(chapter, setting))
    if flow.room_mm > LEAST_MM:
        flow.lay(notes(flow.room_mm, setting.page_mm))
    return flow


def _chapter(chapter: Chapter, setting: Setting) -> list[Piece]:
    out = [chapter_heading(chapter.title, setting.page_mm, chapter.anchor)]
    out += setting.blocks(chapter.blocks)
    for section in chapter.sections:
        out += setting.section(section)
    return out


def _braces(chapter: Chapter, book: Book, setting: Setting, flow: Flow) -> None:
    """Lay a page for each brace, two on one where they fit; pictures grow until a page is full."""
    first = [chapter_heading(chapter.title, setting.page_mm, chapter.anchor)]
    first += [piece for block in chapter.blocks for piece in setting.block(block, wide=True)]
    waiting = list(chapter.sections)
    flow.lay(first)
    if not _that_fit(waiting, setting, flow, flow.room_mm):
        _fill_with_plates(book, setting, flow)
    while waiting:
        room = flow.room_mm
        count = _that_fit(waiting, setting, flow, room)
        if count == 0 and flow.pages[-1]:
            flow.turn()
            continue
        count = max(1, count)
        last = count == len(waiting)
        flow.lay(_grown(waiting[:count], setting, flow, room, grow=not last))
        waiting = waiting[count:]
        if waiting:
            flow.turn()


def _unit(section: Section, setting: Setting, window: Box, cut_out_mm: float) -> list[Piece]:
    """A brace: what goes across the page first, then the rest in columns, the cut-out where they come out even."""
    key = (section.anchor, cut_out_mm)
    if key not in setting.units:
        own = replace(setting, picture_mm=cut_out_mm, whole=True)
        orders = [_ordered(own, some) for some in _orders(own, section)]
        setting.units[key] = min(orders, key=lambda some: height_mm(some, window) or _NEVER_MM)
    return setting.units[key]


def _orders(setting: Setting, section: Section) -> list[Section]:
    """The section with its cut-out where it was, and at the end."""
    last = tuple(b for b in section.blocks if isinstance(b, Figure) and setting.figures.is_cut_out(b.key))
    moved = replace(section, blocks=(*(b for b in section.blocks if b not in last), *last))
    return [section, moved]


def _ordered(setting: Setting, section: Section) -> list[Piece]:
    pictures = [b for b in section.blocks if isinstance(b, Figure)]
    if len(pictures) == 2 and setting.figures.is_short(pictures[0].key):
        side, cut_out = pictures
        rest = replace(section, blocks=tuple(b for b in section.blocks if b not in pictures))
        heading, *others = setting.section(rest)
        heading = section_heading(section.title, setting.page_mm, section.anchor, wide=True)
        pieces = [heading, setting.beside(side, cut_out), *others]
    else:
        pieces = setting.section(section)
    return [q for q in pieces if q.wide] + [q for q in pieces if not q.wide]


def _least(section: Section, setting: Setting, window: Box) -> float:
    own = height_mm(_unit(section, setting, window, _CUT_OUTS_MM[0]), window)
    return window[3] - window[1] if own is None else own


def _that_fit(sections: Sequence[Section], setting: Setting, flow: Flow, room: float) -> int:
    """How many of the next braces fit into a room, their pictures as small as they may be."""
    used, count = 0.0, 0
    for section in sections:
        used += _least(section, setting, flow.window) + (_UNIT_GAP_MM if count or flow.pages[-1] else 0.0)
        if used > room:
            break
        count += 1
    return count


def _grown(sections: Sequence[Section], setting: Setting, flow: Flow, room: float, grow: bool) -> list[Piece]:
    """The braces of one page with their cut-outs as large as they fit."""
    best: list[Piece] = []
    largest = 0.0
    for cut_out_mm in _CUT_OUTS_MM if grow else _CUT_OUTS_MM[:3]:
        units = [_unit(s, setting, flow.window, cut_out_mm) for s in sections]
        heights = [height_mm(u, flow.window) for u in units]
        gaps = _UNIT_GAP_MM * (len(units) - (0 if flow.pages[-1] else 1))
        if best and (None in heights or sum(h or 0.0 for h in heights) + gaps > room):
            break
        spare = room - sum(h or 0.0 for h in heights) - gaps
        gap = min(_MOST_GAP_MM, _UNIT_GAP_MM + max(0.0, spare) / len(units))
        best = [q for unit in units for q in (replace(unit[0], gap_mm=gap), *unit[1:])]
        largest = cut_out_mm
    if grow and len(sections) == 1 and not flow.pages[-1]:
        return _alone(sections[0], setting, flow.window, largest) or best
    return best


def _alone(section: Section, setting: Setting, window: Box, in_column_mm: float) -> list[Piece]:
    """A brace that has its page for itself, its cut-out across the page if it is larger there; else nothing."""
    figures = [b for b in section.blocks if isinstance(b, Figure)]
    cut_out = next((b for b in figures if setting.figures.is_cut_out(b.key)), None)
    if cut_out is None:
        return []
    rest = _ordered(
        replace(setting, whole=True), replace(section, blocks=tuple(b for b in section.blocks if b != cut_out))
    )
    scale = setting.figures.cut_out_ratio
    short = any(setting.figures.is_short(b.key) for b in figures)
    least = 0.0 if short else scale(cut_out.key, setting.column_mm, in_column_mm)
    for high in _ACROSS_MM:
        if scale(cut_out.key, setting.page_mm, high) <= least:
            break
        pieces = [*rest, *setting.figure(cut_out, setting.page_mm, high, wide=True)]
        if height_mm(pieces, window) is not None:
            return pieces
    return []


def _fill_with_plates(book: Book, setting: Setting, flow: Flow) -> None:
    """Where no brace fits on what is left of a page, show which brace is which."""
    room = flow.room_mm - _CAPTION_MM
    if room < _LEAST_PLATES_MM:
        return
    pieces: list[Piece] = []
    for figure in book.pictures:
        pieces += setting.figure(figure, setting.column_mm, min(room, _MOST_PLATES_MM), wide=False)
    flow.lay(pieces)
