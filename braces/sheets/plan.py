"""The full-size plan of a plate as its maker sees it: from inside, neck up."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from braces.carved.values import Carved
from braces.placed.footprint import convex_parts
from braces.sheets.caps import cap_outlines
from braces.sheets.drawing import Drawing, Mark, Stroke, polyline, union
from braces.sheets.place_labels import Note, Room, led_note
from braces.sheets.plan_tables import SIDE_CLEAR_MM, beside, end_tables, pocket_table, side_word, size_notes, titled
from braces.sheets.plan_view import (
    PlanView,
    apex_strokes,
    brace_strokes,
    bridge_strokes,
    hole_strokes,
    patch_strokes,
    plan_view,
    rim_strokes,
    strip_strokes,
)
from braces.sheets.plan_words import (
    Saying,
    along_note,
    end_sayings,
    hole_note,
    length_saying,
    name_saying,
    neck_sayings,
    part_sayings,
    pocket_note,
    side_notes,
    strip_note,
    strip_saying,
)
from braces.sheets.windows import Segments
from braces.sheets.words import PlateName, plan_face
from braces.workshop.book.lengths import Lengths

_PLAIN = Lengths()
_CROSS_MM = 0.8


def plan_drawing(carved: Carved, plate: PlateName, lengths: Lengths = _PLAIN) -> Drawing:
    """Return the plan of the top or the back, true size in mm, seen from inside with the neck up."""
    view = plan_view(carved, plate, lengths)
    strokes = _strokes(view)
    marks = [*strokes, *_words(view, strokes)]
    face = plan_face(plate, carved.placed.design.handed)
    return Drawing(f"plan-{plate}", f"plan of the {plate}", face, "plan", tuple(marks))


def _strokes(view: PlanView) -> list[Stroke]:
    marks: list[Mark] = [*rim_strokes(view), *hole_strokes(view), *bridge_strokes(view)]
    marks += patch_strokes(view)
    for piece in view.plate.strip_pieces:
        marks += strip_strokes(view, piece)
    for brace in view.placed.braces:
        marks += brace_strokes(view, brace)
    marks += cap_outlines(view)
    marks += apex_strokes(view)
    return [m for m in marks if isinstance(m, Stroke)]


def _words(view: PlanView, strokes: list[Stroke]) -> list[Mark]:
    """Return all words: first those with one right place, then those that can go where there is room."""
    room = Room(strokes, _middles(view))
    marks: list[Mark] = []
    homeless: list[str] = []

    def keep(note: Note | None) -> None:
        if note is not None:
            room.add(note)
            marks.extend(note.marks)

    def say(saying: Saying) -> None:
        note = led_note(room, saying.at, saying.lines)
        if note is None:
            homeless.append(saying.plain)
        keep(note)

    parts, places = list(part_sayings(view)), [*neck_sayings(view), *end_sayings(view)]
    room.add_strokes(_crosses([*parts, *places]))
    for fixed in (*side_notes(view), hole_note(view)):
        keep(fixed)
    unnamed = _keep_names(view, room, keep)
    for pocket in view.plate.pockets:
        note, ring = pocket_note(view, pocket, room)
        keep(note)
        room.add_strokes([ring])
        marks.append(ring)
    for saying in (*parts, *unnamed, *places):
        say(saying)
    frame = union(*(s.ink for s in strokes if s.layer == "cut"))
    for sign, block in _blocks(view):
        keep(beside(view, block, sign, room, frame))
    for sign in (-1, 1):
        keep(beside(view, side_word(view, sign), sign, room, frame, SIDE_CLEAR_MM))
    if homeless:
        keep(beside(view, titled("not shown beside its place", homeless), -1, room, frame))
    return marks


def _keep_names(view: PlanView, room: Room, keep: Callable[[Note | None], None]) -> list[Saying]:
    """Keep the names that go along braces and strips; return what is still to be said of them."""
    left = []
    for brace in view.placed.braces:
        note = along_note(view, brace, room)
        keep(note)
        if note is None:
            left.append(name_saying(view, brace))
        elif note.labels[0].text == brace.name:
            left.append(length_saying(view, brace))
    for piece in view.plate.strip_pieces:
        note = strip_note(view, piece, room)
        keep(note)
        if note is None:
            left.append(strip_saying(view, piece))
    return left


def _blocks(view: PlanView) -> Iterator[tuple[int, Note]]:
    """The blocks of words outside the outline and the side that each goes to, -1 for the left."""
    yield -1, size_notes(view)
    table = pocket_table(view)
    if table is not None:
        yield 1, table
    yield from zip((-1, 1), end_tables(view), strict=False)


def _crosses(sayings: list[Saying]) -> list[Stroke]:
    """Small crosses, not drawn, that keep names off the points that leaders still have to reach."""
    return [
        polyline([(u - dx, v - dy), (u + dx, v + dy)], "note")
        for u, v in (s.at for s in sayings)
        for dx, dy in ((_CROSS_MM, 0.0), (0.0, _CROSS_MM))
    ]


def _middles(view: PlanView) -> Segments:
    """The middle of every brace, which keeps words that are not its own off it."""
    quads = [view.all_seen(part) for b in view.placed.braces for part in convex_parts(b)]
    lines = [np.concatenate([(q[0] + q[3]) / 2, (q[1] + q[2]) / 2]) for q in quads]
    return np.array(lines).reshape(-1, 4)
