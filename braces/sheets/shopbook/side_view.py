"""The side view of a brace made smaller, with its words at reading size and its sections at true size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from braces.carved.values import Carved, CarvedBrace
from braces.placed.values import PlacedBrace
from braces.sheets.drawing import Label, Mark, Stroke, moved_mark, polyline, union
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.shopbook.picture import TEXT_MM, Picture, picture, round_ratio, shrunk
from braces.sheets.side_bands import RISE_MM, Block, band, settled
from braces.sheets.side_callouts import TEXT_MM as CALLOUT_MM
from braces.sheets.side_callouts import callouts, section_blocks, section_marks
from braces.sheets.side_marks import step_chips
from braces.sheets.side_shape import blank_box, edge_z, lap_strokes, profile_strokes, relief_strokes
from braces.sheets.strength_leaf import magnified
from braces.sheets.unrolled import near_side, ratio_of, station_mm
from braces.sheets.words import Hand, end_words, near_word, one

_STATION_MM = 20.0
_STATION_ROOM_MM = 9.5  #: heights under the view stand no closer than this
_ROW_HEADS_MM = 15.0  #: room left of the view for what its rows of numbers are
_ROW_GAP_MM = 5.0  #: from what a row is called to its first number
_RIGHT_MM = 3.0
_LINE_MM = 3.9
_CHIP_GAP_MM = 5.0
_ARROW_MM = 8.0
_NARROWER_MM = 14.0
_SECTIONS_GAP_MM = 2.5


def side_picture(brace: CarvedBrace, carved: Carved, width_mm: float) -> Picture:
    """Return the side view as large as a width allows: X to the right, room up, glue face down."""
    brace = near_side(brace)
    plate = carved.placed.top if brace.plate == "top" else carved.placed.back
    placed = next(b for b in plate.braces if b.name == brace.name)
    hand = carved.placed.design.handed
    x0, _, x1, _ = blank_box(brace)
    ratio = round_ratio((width_mm - _ROW_HEADS_MM - _RIGHT_MM) / (x1 - x0))
    left = min(x0 * ratio - 1.0, -_ROW_GAP_MM - text_width_mm("from start", TEXT_MM) - 0.5)
    for narrower in (0.0, _NARROWER_MM, 2 * _NARROWER_MM):
        span = (left + narrower, left + width_mm - narrower)
        marks = _marks(brace, placed, hand, ratio, span, (left, left + width_mm))
        box = union(*(m.ink for m in marks))
        if box[2] - box[0] <= width_mm + 1e-6:
            break
    face = f"seen from its {near_word(brace, hand)} side"
    return picture(f"side-{brace.name}", brace.name, face, marks, ratio)


def _marks(
    brace: CarvedBrace,
    placed: PlacedBrace,
    hand: Hand,
    ratio: float,
    words: tuple[float, float],
    room: tuple[float, float],
) -> list[Mark]:
    """Everything, with the words above between two places and the lines below between two others."""
    laps = (s for n in brace.notches for s in lap_strokes(brace, n))
    lines = [*profile_strokes(brace), *relief_strokes(brace), *laps, *section_marks(brace)]
    strokes = shrunk(lines, ratio)
    base = blank_box(brace)[3] * ratio + RISE_MM + 0.6
    said = band([_smaller(b, ratio) for b in callouts(brace, placed)], *words, base)
    rows, under = _stations(brace, ratio, min(0.0, *(s.ink[1] for s in strokes)))
    below = _below(brace, hand, room, under)
    marks = [*strokes, *said.marks, *rows, *below]
    cut = [replace(b, at=(b.at[0] * ratio, b.at[1] * ratio)) for b in section_blocks(brace)]
    above = settled(cut, said.boxes, *words, base)
    if above.top_mm - said.top_mm <= max(b.height_mm for b in cut):
        return [*marks, *above.marks]
    return [*marks, *_row(cut, room, min(m.ink[1] for m in below) - _SECTIONS_GAP_MM)]


def _smaller(block: Block, ratio: float) -> Block:
    """Words about a place, in the letters of a picture, at the place in the picture."""
    k = TEXT_MM / CALLOUT_MM
    marks = tuple(magnified(m, k) for m in block.marks)
    return Block(marks, block.width_mm * k, block.height_mm * k, (block.at[0] * ratio, block.at[1] * ratio))


def _row(blocks: Sequence[Block], room: tuple[float, float], top: float) -> list[Mark]:
    """Sections side by side under everything, their feet level."""
    floor = top - max(b.height_mm for b in blocks)
    step = (room[1] - room[0]) / len(blocks)
    middles = [room[0] + (k + 0.5) * step for k in range(len(blocks))]
    return [moved_mark(m, x - b.width_mm / 2, floor) for b, x in zip(blocks, middles, strict=True) for m in b.marks]


def _stations(brace: CarvedBrace, ratio: float, base: float) -> tuple[list[Mark], float]:
    """Ticks with heights and places as close as there is room for, and the level under them."""
    step = _STATION_MM * max(1, int(np.ceil(_STATION_ROOM_MM / (_STATION_MM * ratio)))) * ratio_of(brace)
    x = [float(v) for v in np.arange(0.0, brace.length_mm + 1e-6, step)]
    if brace.length_mm - x[-1] > 0.75 * step:
        x.append(brace.length_mm)
    heights, places = base - 5.4, base - 9.0
    marks: list[Mark] = []
    for at, edge, tall in zip(x, edge_z(brace, np.array(x)), brace.height(np.array(x)), strict=True):
        u = at * ratio
        marks.append(polyline([(u, base - 0.6), (u, base - 2.2)], "dim"))
        marks.append(polyline([(u, float(edge) * ratio + 0.3), (u, float(edge) * ratio + 1.3)], "dim"))
        s = station_mm(brace, at)
        where = f"{s:.0f}" if abs(s - round(s)) < 0.01 else one(s)
        marks.append(Label(u, heights, one(float(tall)), TEXT_MM, anchor="middle", layer="dim", bold=True))
        marks.append(Label(u, places, where, TEXT_MM, anchor="middle", layer="dim"))
    marks.append(Label(-_ROW_GAP_MM, heights, "height", TEXT_MM, anchor="end", layer="dim", bold=True))
    marks.append(Label(-_ROW_GAP_MM, places, "from start", TEXT_MM, anchor="end", layer="dim"))
    return marks, places - BELOW_RATIO * TEXT_MM


def _below(brace: CarvedBrace, hand: Hand, room: tuple[float, float], top: float) -> list[Mark]:
    """Which end points where, and the order of work."""
    left, right = room
    y = top - 1.4 - ABOVE_RATIO * TEXT_MM
    marks: list[Mark] = []
    for sign, tip in ((-1, left), (1, right)):
        words = f"to {end_words(brace, hand, at_end=sign > 0)}"
        level = y + TEXT_MM / 2
        marks += _arrow(tip - sign * 0.2, level, sign)
        at = tip - sign * (_ARROW_MM + 1.2)
        marks.append(Label(at, y, words, TEXT_MM, anchor="start" if sign < 0 else "end"))
    y -= _LINE_MM + 0.4
    x = left
    for number, text in step_chips(brace):
        wide = Label(x, y, text, TEXT_MM, step=number).width_mm
        if x > left and x + wide > right:
            x, y = left, y - _LINE_MM
        marks.append(Label(x, y, text, TEXT_MM, step=number))
        x += wide + _CHIP_GAP_MM
    return marks


def _arrow(tip_x: float, y: float, sign: int) -> list[Stroke]:
    head = [(tip_x - sign * 2.2, y + 0.8), (tip_x, y), (tip_x - sign * 2.2, y - 0.8)]
    return [polyline([(tip_x - sign * _ARROW_MM, y), (tip_x, y)], "note"), polyline(head, "note")]
