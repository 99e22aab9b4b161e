"""The bench in small: the deck with its bars, the side unrolled, the tape of the linings."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from braces.sheets.deck_plan import bar_number
from braces.sheets.drawing import Box, Drawing, Label, Mark, Stroke, union
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import Note, Room, first_fit
from braces.sheets.plan_view import circle
from braces.sheets.shopbook.picture import TEXT_MM, Picture, fence, picture, round_ratio, shrunk
from braces.sheets.shopbook.plates import box_at, face_of, shrunk_plate, whole_ratio
from braces.sheets.side_bands import Block, band
from braces.sheets.strength_plan import Plate
from braces.workshop.go_bars import PlateBars

DECK_ASIDE_MM = 3.0  #: of paper for numbers on either side of a plate
_FURTHEST_MM = 5.5  #: a number further from its bar has a line that leads to it
_SPOT_MM = 0.7
_STRIP_LAYERS = ("cut", "glue", "hidden", "centre")
_OVER_MM = 1.0
_RISE_MM = 5.0
_CLEAR_MM = 0.3
_MOST_NUMBERS = 70  #: of more bars only the first on each brace is numbered


def deck_picture(plate: Plate, bars: PlateBars, width_mm: float, height_mm: float) -> Picture:
    """Return a plate in its dish with every bar's number, as large as a box allows."""
    ratio = whole_ratio(plate, width_mm, height_mm, DECK_ASIDE_MM)
    strokes = shrunk_plate(plate, ratio)
    feet = np.array([plate.view.seen(p.at) for p in bars.places]) * ratio
    spots = [circle((float(x), float(y)), _SPOT_MM, "cut", 16) for x, y in feet]
    x0, y0, x1, y1 = box_at(plate, ratio)
    room = Room([*strokes, *spots, *fence((x0 - DECK_ASIDE_MM, y0, x1 + DECK_ASIDE_MM, y1))])
    marks: list[Mark] = [*strokes, *spots]
    firsts = {b.places[0].number for b in bars.braces}
    for place, (x, y) in zip(bars.places, feet, strict=True):
        if len(feet) > _MOST_NUMBERS and place.number not in firsts:
            continue
        note = bar_number(place.number, (float(x), float(y)), room, feet, TEXT_MM, _FURTHEST_MM)
        if not room.fits(note, clear_mm=0.0):  # the table has it
            continue
        room.add(note)
        marks += note.marks
    return picture(f"deck-{bars.plate}", f"go-bars, {bars.plate}", face_of(plate), marks, ratio)


def strip_picture(drawing: Drawing, width_mm: float) -> Picture:
    """Return a long template made as small as a width asks: places named above it, pockets numbered on it."""
    cut = union(*(s.ink for s in drawing.strokes if s.layer == "cut"))
    lines = [s for s in drawing.strokes if s.layer in _STRIP_LAYERS and _beside(s, cut)]
    whole = union(*(s.ink for s in lines))
    ratio = round_ratio((width_mm - 2 * _OVER_MM) / (whole[2] - whole[0]))
    marks: list[Mark] = [*shrunk(lines, ratio)]
    upright = [label for label in drawing.labels if label.angle_deg == 90.0]
    numbers = [label for label in upright if label.bold]
    room = Room([])
    for label in numbers:
        note = first_fit(room, _near(label, ratio, cut), clear_mm=_CLEAR_MM)
        if note is not None:
            room.add(note)
            marks += note.marks
    if not numbers:
        low, high = cut[0] * ratio - _OVER_MM, cut[2] * ratio + _OVER_MM
        marks += band([_named(label, ratio, cut[3]) for label in upright], low, high, cut[3] * ratio + _RISE_MM).marks
    return picture(drawing.key, drawing.title, drawing.face, marks, ratio)


def _beside(stroke: Stroke, cut: Box) -> bool:
    return stroke.ink[1] >= cut[1] - 0.5 and stroke.ink[3] <= cut[3] + 0.5


def _near(label: Label, ratio: float, cut: Box) -> Iterator[Note]:
    """Places for the number of a pocket inside the edge that it is cut from."""
    box = label.ink
    text = label.text.split(" ")[0]
    at = (box[0] + box[2]) / 2 * ratio
    top = box[3] > (cut[1] + cut[3]) / 2 and cut[3] - box[3] < box[1] - cut[1]
    level = cut[3] * ratio - 7.0 if top else cut[1] * ratio + 4.8
    for far in (0.0, 2.0, -2.0, 4.0, -4.0):
        yield Note((Label(at + far, level, text, TEXT_MM, anchor="middle", bold=True),))


def _named(label: Label, ratio: float, top: float) -> Block:
    """The words of a place with where its line ends above."""
    wide = text_width_mm(label.text, TEXT_MM)
    words = Label(0.0, BELOW_RATIO * TEXT_MM, label.text, TEXT_MM)
    return Block((words,), wide, (ABOVE_RATIO + BELOW_RATIO) * TEXT_MM, (label.x_mm * ratio, top * ratio))
