"""Small maps of the plates that say which number is which brace, and where each is weakest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from braces.base.arrays import Points
from braces.carved.values import CarvedBrace
from braces.sheets.drawing import Box, Label, Mark, Stroke
from braces.sheets.page import Placement
from braces.sheets.place_labels import Note, Room, first_fit, led_note
from braces.sheets.strength_numbers import Group
from braces.sheets.strength_plan import THIN, Plate, PlateMap
from braces.sheets.windows import is_whole
from braces.sheets.words import plan_face

_TEXT_MM = 2.5
_WEAK = "heavy"  #: pen of the line across a brace where it is weakest
_BEYOND_MM = 1.2  #: that line stands out so far on either side
_WORDS_MM = 5.0
_CLEAR_MM = 0.45
_ASIDE_MM: Final = (2.6, 3.4, 4.4, 5.6)
_EVERY_MM: Final = 2.5


def places(plate: Plate, braces: Sequence[Group], box: Box) -> tuple[list[Mark], list[Placement]]:
    """Return the map of one plate as large as a box of the page allows, with a line of words below."""
    x0, y0, x1, y1 = box
    wide, high = plate.size_mm
    # At the top of its box, the words close below.
    low = max(y0, y1 - (x1 - x0) * high / wide - _WORDS_MM)
    where = plate.fitted((x0, low + _WORDS_MM, x1, y1))
    made = {b.name: b for b in plate.view.plate.braces}
    marks = plate.edges(where)
    ground = plate.ground(where)
    sticks = [(g, made[name]) for g in braces for name in g.names]
    weak = [_across(where, b, g.figures.weakest.at_mm) for g, b in sticks if g.figures.weakest is not None]
    marks += weak
    room = Room([*(m for m in marks if isinstance(m, Stroke)), *ground.strokes])
    face = plan_face(plate.name, plate.view.carved.placed.design.handed)
    caption = Label((x0 + x1) / 2, low + 1.0, face, _TEXT_MM, anchor="middle")
    room.add(Note((caption,)))
    for group, brace in sticks:
        at = group.figures.weakest.at_mm if group.figures.weakest is not None else brace.length_mm / 2
        number = str(group.number)
        note = first_fit(room, _beside(where, brace, at, number), clear_mm=_CLEAR_MM)
        note = note or led_note(room, _point(where, brace, at), [number])
        # A number that finds no place on the map is better left out than set over other words.
        if note is not None and all(is_whole(label, box) for label in note.labels):
            room.add(note)
            marks += note.marks
    return [*marks, caption], [Placement(ground, 0.0, 0.0, box, 1.0, THIN)]


def _point(where: PlateMap, brace: CarvedBrace, at_mm: float) -> tuple[float, float]:
    plan = np.array(brace.plan_at(at_mm))
    x, y = where.on_page(plan[None])[0]
    return float(x), float(y)


def _direction(where: PlateMap, brace: CarvedBrace, at_mm: float) -> Points:
    """Unit vector along a brace on the page, at a station."""
    return np.array(brace.heading_at(at_mm)) * (where.view.flip, 1)


def _across(where: PlateMap, brace: CarvedBrace, at_mm: float) -> Stroke:
    along = _direction(where, brace, at_mm)
    aside = np.array([-along[1], along[0]]) * (brace.width_mm / 2 * where.scale_ratio + _BEYOND_MM)
    middle = np.array(_point(where, brace, at_mm))
    return Stroke(np.array([middle - aside, middle + aside]), _WEAK)


def _beside(where: PlateMap, brace: CarvedBrace, at_mm: float, text: str) -> Iterator[Note]:
    """Yield places for a number beside a brace, the nearest to ``at_mm`` first."""
    x, y = _point(where, brace, at_mm)
    along = _direction(where, brace, at_mm)
    aside = np.array([-along[1], along[0]])
    half = brace.width_mm / 2 * where.scale_ratio
    before, after = at_mm * where.scale_ratio, (brace.length_mm - at_mm) * where.scale_ratio
    steps = np.concatenate([np.arange(0.0, after, _EVERY_MM), -np.arange(_EVERY_MM, before, _EVERY_MM)])
    for step in sorted(steps, key=lambda s: (abs(s), s)):
        for far in _ASIDE_MM:
            for side in (1, -1):
                cx, cy = np.array([x, y]) + step * along + side * (half + far) * aside
                yield Note((Label(float(cx), float(cy) - _TEXT_MM / 2, text, _TEXT_MM, anchor="middle"),))
