"""The blocks of words of a plan, and the free places beside the waist that they go to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from braces.sheets.drawing import Box, Label, union
from braces.sheets.lettering import BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import PITCH_RATIO, Note, Room, block
from braces.sheets.plan_view import PlanView
from braces.sheets.plan_words import end_row, shifted, side_words_at, tabled
from braces.workshop.along import PlaceKind, places

_TEXT_MM = 2.5
_SIDE_MM = 5.0
_TITLE_MM = 3.0
_TITLE_GAP_MM = 2.2
_COLUMN_GAP_MM = 3.0
_STEP_MM = 4.0
_ALIKE_MM = 0.05
_BOUTS: tuple[PlaceKind, ...] = ("lower bout", "waist", "upper bout")
#: Blocks of words stay this far from everything; the large BASS and TREBLE a little further.
BLOCK_CLEAR_MM, SIDE_CLEAR_MM = 4.0, 5.5


def pocket_table(view: PlanView) -> Note | None:
    """Return the table of pockets with its lower left corner at (0, 0), or None if there are none."""
    pockets = view.plate.pockets
    if not pockets:
        return None
    rows = [("no.", "along", "wide", "high", "deep")]
    rows += [
        (
            str(p.number),
            view.lengths.cell(p.along_rim_mm),
            view.lengths.cell(p.width_mm),
            view.lengths.cell(p.height_mm),
            view.lengths.cell(p.reach_mm),
        )
        for p in pockets
    ]
    labels = list(table(rows, _TEXT_MM))
    top = max(a.ink[3] for a in labels)
    head = titled("pockets", ["middle, along the face of", "the linings from the tail"])
    return Note((*shifted(head, 0.0, top + 0.8).labels, *labels))


def end_tables(view: PlanView) -> list[Note]:
    """Return the table of the braces with free ends in two halves, left and right, or nothing if none is needed."""
    braces = tabled(view)
    if not braces:
        return []
    head = ("", "long", "start off", "from neck", "end off", "from neck")
    half = (len(braces) + 1) // 2
    notes = []
    for part in (braces[:half], braces[half:]):
        labels = table([head, *(end_row(view, b) for b in part)], _TEXT_MM)
        y = max(a.ink[3] for a in labels) + _TITLE_GAP_MM
        title = "free ends, off the centre line, B bass T treble"
        notes.append(Note((Label(0, y, title, _TITLE_MM, bold=True), *labels)))
    return notes


def table(rows: Sequence[Sequence[str]], height_mm: float) -> tuple[Label, ...]:
    """Return rows of words, the columns set flush right, the lower left corner at (0, 0); row 0 is the heading."""
    widths = [max(text_width_mm(row[i], height_mm) for row in rows) for i in range(len(rows[0]))]
    rights = np.cumsum(np.array(widths) + _COLUMN_GAP_MM) - _COLUMN_GAP_MM
    pitch = PITCH_RATIO * height_mm
    return tuple(
        Label(float(rights[i]), BELOW_RATIO * height_mm + (len(rows) - 1 - k) * pitch, text, height_mm, anchor="end")
        for k, row in enumerate(rows)
        for i, text in enumerate(row)
        if text
    )


def size_notes(view: PlanView) -> Note:
    """Return what a rule finds on the outline, what the plate is made of, and how the drawing is read."""
    spec = view.placed.spec
    lines = [
        f"{view.lengths.cell(view.neck_y_mm - view.tail_y_mm)} long",
        *_widths(view),
        f"{view.lengths.cell(spec.thickness_mm)} thick, {spec.wood}",
    ]
    if spec.centre_strip is not None:
        lines.append(
            f"strip {view.lengths.cell(spec.centre_strip.width_mm)} × "
            f"{view.lengths.cell(spec.centre_strip.thickness_mm)}"
        )
    lines.append("inner line: face of the linings")
    if any(end.brace for b in view.placed.braces for end in (b.start, b.end)):
        lines += ["butts: from middle to middle,", "along the brace they butt on"]
    if view.placed.crossings:
        lines.append("dashed at a lap: below, glued first")
    return titled(view.plate.name, lines)


def _widths(view: PlanView) -> Iterator[str]:
    """Widths across the bouts and the waist: both sides' own together, and each by itself where they differ."""
    body, outline = view.carved.placed.design.body, view.placed.outline
    sides = [{p.kind: abs(p.x_mm) for p in places(outline, body, sign)} for sign in (view.flip, -view.flip)]
    cell = view.lengths.cell
    for kind in _BOUTS:
        right, left = (side[kind] for side in sides)
        own = f" ({cell(left)} + {cell(right)})" if abs(left - right) > _ALIKE_MM else ""
        yield f"{view.lengths.cell(left + right)} {kind}{own}"


def titled(title: str, lines: Sequence[str]) -> Note:
    """Return a bold title over lines of words, the lower left corner at (0, 0)."""
    labels = block(lines, 0.0, 0.0)
    return Note((Label(0, max(a.ink[3] for a in labels) + _TITLE_GAP_MM, title, _TITLE_MM, bold=True), *labels))


def side_word(view: PlanView, u_sign: int) -> Note:
    """Return BASS or TREBLE with its lower left corner at (0, 0)."""
    return Note(block([side_words_at(view, u_sign)], 0.0, 0.0, _SIDE_MM, bold=True))


def box_of(note: Note) -> Box:
    """Return the box of a note's words."""
    return union(*(a.ink for a in note.labels))


def beside(view: PlanView, note: Note, u_sign: int, room: Room, frame: Box, clear_mm: float = BLOCK_CLEAR_MM) -> Note:
    """Return a block moved to free paper outside the outline: beside the waist, else in a corner, else below."""
    for place in _places(view, note, u_sign, frame):
        if room.fits(place, clear_mm=clear_mm) and _outside(view, box_of(place)):
            return place
    return below(note, u_sign, room, frame)


def below(note: Note, u_sign: int, room: Room, frame: Box) -> Note:
    """Return a block moved to the first free place under the frame."""
    x0, y0, x1, y1 = box_of(note)
    left = frame[0] if u_sign < 0 else frame[2] - (x1 - x0)
    low = frame[1] - (y1 - y0) - 4
    while True:
        place = shifted(note, left - x0, low - y0)
        if room.fits(place, clear_mm=BLOCK_CLEAR_MM):
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
