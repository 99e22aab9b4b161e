"""The blocks of words of a plan, and the free places beside the waist that they go to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from braces.sheets.drawing import Box, Label, union
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import PITCH_RATIO, Note, Room, block, block_size
from braces.sheets.plan_view import PlanView
from braces.sheets.plan_words import shifted, side_words_at
from braces.sheets.words import one

_TEXT_MM = 2.5
_SIDE_MM = 5.0
_COLUMN_GAP_MM = 3.0
_STEP_MM = 4.0


def pocket_table(view: PlanView) -> Note | None:
    """Return the table of pockets with its lower left corner at (0, 0), or None if there are none."""
    pockets = view.plate.pockets
    if not pockets:
        return None
    rows = [("no.", "along", "wide", "high", "deep")]
    rows += [(str(p.number), one(p.along_rim_mm), one(p.width_mm), one(p.height_mm), one(p.reach_mm)) for p in pockets]
    labels = list(table(rows, _TEXT_MM))
    top = max(a.ink[3] for a in labels)
    head = block(["along the lining's inner", "face from the tail", "centre line, mm"], 0.0, top)
    title = Label(0, max(a.ink[3] for a in head) + 1.4, "pockets", 3.0, bold=True)
    return Note((title, *head, *labels))


def table(rows: Sequence[Sequence[str]], height_mm: float) -> tuple[Label, ...]:
    """Return rows of words, the columns set flush right, the lower left corner at (0, 0); row 0 is the heading."""
    widths = [max(text_width_mm(row[i], height_mm) for row in rows) for i in range(len(rows[0]))]
    rights = np.cumsum(np.array(widths) + _COLUMN_GAP_MM) - _COLUMN_GAP_MM
    pitch = PITCH_RATIO * height_mm
    return tuple(
        Label(float(rights[i]), BELOW_RATIO * height_mm + (len(rows) - 1 - k) * pitch, text, height_mm, anchor="end")
        for k, row in enumerate(rows) for i, text in enumerate(row))


def size_notes(view: PlanView) -> Note:
    """Return what a rule finds on the outline and what the plate is made of."""
    outline = view.placed.outline.dense(60)
    y, x = outline[:, 1], np.abs(outline[:, 0])
    body, spec = view.carved.placed.design.body, view.placed.spec
    low, high = body.lower_bout.at_mm, body.upper_bout.at_mm
    waist = float(x[(y > low) & (y < high)].min())
    widths = [2 * float(x[y < body.waist.at_mm].max()), 2 * waist, 2 * float(x[y > body.waist.at_mm].max())]
    sizes = [f"{one(view.neck_y_mm - view.tail_y_mm)} long",
             *(f"{one(w)} {word}" for w, word in zip(widths, ("lower bout", "waist", "upper bout"), strict=True)),
             f"{one(spec.thickness_mm)} thick", spec.wood]
    if any(end.brace for b in view.placed.braces for end in (b.start, b.end)) and view.placed.crossings:
        sizes += ["from lap: middle to middle,", "along the brace it butts on"]
    labels = block(sizes, 0.0, 0.0)
    title = Label(0, max(a.ink[3] for a in labels) + 1.4, view.plate.name, 3.0, bold=True)
    return Note((title, *labels))


def side_word(view: PlanView, u_sign: int) -> Note:
    """Return BASS or TREBLE with its lower left corner at (0, 0)."""
    return Note(block([side_words_at(view, u_sign)], 0.0, 0.0, _SIDE_MM, bold=True))


def box_of(note: Note) -> Box:
    """Return the box of a note's words."""
    return union(*(a.ink for a in note.labels))


def beside(view: PlanView, note: Note, u_sign: int, room: Room, frame: Box) -> Note:
    """Return a block moved to free paper outside the outline: beside the waist, else in a corner, else below."""
    for place in _places(view, note, u_sign, frame):
        if room.fits(place, clear_mm=3.0) and _outside(view, box_of(place)):
            return place
    return below(note, u_sign, room, frame)


def below(note: Note, u_sign: int, room: Room, frame: Box) -> Note:
    """Return a block moved to the first free place under the frame."""
    x0, y0, x1, y1 = box_of(note)
    left = frame[0] if u_sign < 0 else frame[2] - (x1 - x0)
    low = frame[1] - (y1 - y0) - 4
    while True:
        place = shifted(note, left - x0, low - y0)
        if room.fits(place, clear_mm=2.0):
            return place
        low -= _STEP_MM


def _places(view: PlanView, note: Note, u_sign: int, frame: Box) -> Iterator[Note]:
    """Places flush with the frame's side, from the waist up and down."""
    x0, y0, x1, y1 = box_of(note)
    left = frame[0] if u_sign < 0 else frame[2] - (x1 - x0)
    waist = view.carved.placed.design.body.waist.at_mm - (y1 - y0) / 2
    for k in range(61):
        low = waist + _STEP_MM * ((k + 1) // 2) * (1 if k % 2 else -1)
        if low >= frame[1] and low + (y1 - y0) <= frame[3]:
            yield shifted(note, left - x0, low - y0)


def _outside(view: PlanView, box: Box) -> bool:
    """Whether a box that crosses no line lies outside the outline (even-odd rule at its middle)."""
    px, py = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
    p = view.all_seen(view.placed.outline.dense(12))
    q = np.roll(p, -1, axis=0)
    straddles = (p[:, 1] > py) != (q[:, 1] > py)
    with np.errstate(divide="ignore", invalid="ignore"):
        x = p[:, 0] + (py - p[:, 1]) * (q[:, 0] - p[:, 0]) / (q[:, 1] - p[:, 1])
    return int(np.count_nonzero(straddles & (x > px))) % 2 == 0


def height_of(lines: int, height_mm: float = _TEXT_MM) -> float:
    """Return the height of so many lines of words."""
    return ((lines - 1) * PITCH_RATIO + ABOVE_RATIO + BELOW_RATIO) * height_mm


__all__ = ["beside", "block_size", "box_of", "pocket_table", "side_word", "size_notes", "table"]
