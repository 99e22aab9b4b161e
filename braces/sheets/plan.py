"""The full-size plan of a plate as its maker sees it: from inside, neck up."""

from __future__ import annotations

import numpy as np

from braces.carved.values import Carved
from braces.placed.footprint import footprint
from braces.sheets.drawing import Drawing, Mark, Stroke, union
from braces.sheets.place_labels import Note, Room
from braces.sheets.plan_tables import beside, pocket_table, side_word, size_notes
from braces.sheets.plan_view import (
    PlanView,
    apex_strokes,
    brace_strokes,
    bridge_strokes,
    hole_strokes,
    plan_view,
    rim_strokes,
    strip_strokes,
)
from braces.sheets.plan_words import (
    brace_note,
    butt_notes,
    neck_notes,
    part_notes,
    pocket_note,
    side_notes,
    strip_note,
)
from braces.sheets.windows import Segments
from braces.sheets.words import PlateName, plan_face


def plan_drawing(carved: Carved, plate: PlateName) -> Drawing:
    """Return the plan of the top or the back, true size in mm, seen from inside with the neck up."""
    view = plan_view(carved, plate)
    strokes = _strokes(view)
    marks = [*strokes, *_words(view, strokes)]
    face = plan_face(plate, carved.placed.design.handed)
    return Drawing(f"plan-{plate}", f"plan of the {plate}", face, "plan", tuple(marks))


def _strokes(view: PlanView) -> list[Stroke]:
    marks: list[Mark] = [*rim_strokes(view), *hole_strokes(view), *bridge_strokes(view)]
    for piece in view.plate.strip_pieces:
        marks += strip_strokes(view, piece)
    for brace in view.placed.braces:
        marks += brace_strokes(view, brace)
    marks += apex_strokes(view)
    return [m for m in marks if isinstance(m, Stroke)]


def _words(view: PlanView, strokes: list[Stroke]) -> list[Mark]:
    """Return all words: first those with one right place, then those that can go where there is room."""
    room = Room(strokes, _middles(view))
    marks: list[Mark] = []

    def keep(note: Note) -> None:
        room.add(note)
        marks.extend(note.marks)

    for note in side_notes(view):
        keep(note)
    for brace in view.placed.braces:
        keep(brace_note(view, brace, room))
    for piece in view.plate.strip_pieces:
        keep(strip_note(view, piece, room))
    for pocket in view.plate.pockets:
        note, ring = pocket_note(view, pocket, room)
        keep(note)
        room.add_strokes([ring])
        marks.append(ring)
    for notes in (part_notes, neck_notes, butt_notes):
        for note in notes(view, room):
            keep(note)
    frame = union(*(s.ink for s in strokes if s.layer == "cut"))
    for sign, block in ((-1, size_notes(view)), (1, pocket_table(view)), (-1, side_word(view, -1)),
                        (1, side_word(view, 1))):
        if block is not None:
            keep(beside(view, block, sign, room, frame))
    return marks


def _middles(view: PlanView) -> Segments:
    """The middle of every brace, which keeps words that are not its own off it."""
    quads = [view.all_seen(footprint(b)) for b in view.placed.braces]
    lines = [np.concatenate([(q[0] + q[3]) / 2, (q[1] + q[2]) / 2]) for q in quads]
    return np.array(lines).reshape(-1, 4)
