"""The words of a plan: names, distances a maker can check with a rule, notes and the table of pockets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import cos, radians, sin

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.carved.values import Pocket, StripPiece
from braces.placed.values import PlacedBrace
from braces.sheets.caps import cap_words
from braces.sheets.drawing import Label, Stroke
from braces.sheets.lettering import DIAMETER, text_width_mm
from braces.sheets.place_labels import Note, Room, first_fit
from braces.sheets.plan_view import XY, PlanView, circle, seen_angle_deg
from braces.sheets.words import dome_words, side_of

_TEXT_MM = 2.5
_NAME_MM = 3.0
_SIDE_MM = 5.0
_POCKET_RADIUS_MM = 3.2
_SLIDES_MM = (0.0, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0)
#: A plate with more laps, or more braces with free ends, than this does not mark each.
MOST_LAPS, MOST_FREE = 4, 12


def side_notes(view: PlanView) -> list[Note]:
    """Return NECK and TAIL above and below the outline."""
    neck = Label(0, view.neck_y_mm + 9, "NECK", _SIDE_MM, anchor="middle", bold=True)
    tail = Label(0, view.tail_y_mm - 9 - _SIDE_MM, "TAIL", _SIDE_MM, anchor="middle", bold=True)
    return [Note((neck,)), Note((tail,))]


def side_words_at(view: PlanView, u_sign: int) -> str:
    """Return BASS or TREBLE for the left (-1) or right (+1) of the drawing."""
    return side_of(view.flip * u_sign, view.carved.placed.design.handed).upper()


@dataclass(frozen=True, slots=True)
class Saying:
    """Words about a point, and how they are put where there is no room beside it."""

    at: XY  #: in the drawing
    lines: tuple[str, ...]
    plain: str


def along_note(view: PlanView, brace: PlacedBrace, room: Room) -> Note | None:
    """Return a brace's name and length along it, or its name alone, if there is room between its sides."""
    whole = f"{brace.name} · {view.lengths.cell(brace.length_mm)} long"
    bend = () if brace.is_straight else (f"{whole} · radius {view.lengths.cell(abs(brace.radius_mm))}",)
    for text in (*bend, whole, brace.name):
        note = first_fit(room, _along(view, brace, text), ghosts=False, clear_mm=0.35)
        if note is not None:
            return note
    return None


def name_saying(view: PlanView, brace: PlacedBrace) -> Saying:
    """Return a brace's name and length to be put beside it."""
    length = f"{view.lengths.cell(brace.length_mm)} long"
    lines = (brace.name,) if brace in tabled(view) else (brace.name, length)
    if not brace.is_straight:
        lines = (*lines, f"radius {view.lengths.cell(abs(brace.radius_mm))}")
    return Saying(view.seen(brace.course.at(brace.length_mm / 2)), lines, f"{brace.name}: {length}")


def length_saying(view: PlanView, brace: PlacedBrace) -> Saying:
    """Return the length of a brace whose name alone has room along it."""
    saying = name_saying(view, brace)
    return replace(saying, lines=saying.lines[1:])


def _along(view: PlanView, brace: PlacedBrace, text: str) -> Iterator[Note]:
    """Words along the middle of a brace, from its middle outwards, the larger letters first."""
    for height in (_NAME_MM, _TEXT_MM):
        for k in range(33):
            s = (0.5 + (0.025 * ((k + 1) // 2)) * (1 if k % 2 else -1)) * brace.length_mm
            angle = seen_angle_deg(view, brace, s)
            up = np.array((-sin(radians(angle)), cos(radians(angle))))
            at = np.array(view.seen(brace.course.at(s))) - 0.5 * height * up
            yield Note((Label(float(at[0]), float(at[1]), text, height, angle, "middle"),))


def strip_note(view: PlanView, piece: StripPiece, room: Room) -> Note | None:
    """Return a strip piece's number and length, reading up along it beside the centre line, if there is room."""
    middle = piece.from_mm + piece.length_mm / 2
    number, length = (
        f"strip {piece.number} · {view.lengths.cell(piece.length_mm)} long",
        view.lengths.cell(piece.length_mm),
    )
    for words in (number, f"strip {piece.number} · {length}", f"{piece.number} · {length}"):
        spare = (piece.length_mm - text_width_mm(words)) / 2
        notes = (
            Note((Label(s * piece.width_mm / 4 + _TEXT_MM / 2, middle + dy, words, _TEXT_MM, 90.0, "middle"),))
            for dy in (0.0, 12.0, -12.0, 24.0, -24.0, 40.0, -40.0, 60.0, -60.0, 80.0, -80.0)
            for s in (1, -1)
            if abs(dy) < spare
        )
        if (note := first_fit(room, notes, ghosts=False, clear_mm=0.4)) is not None:
            return note
    return None


def strip_saying(view: PlanView, piece: StripPiece) -> Saying:
    """Return a strip piece's number and length to be put beside it."""
    text = f"strip {piece.number}: {view.lengths.cell(piece.length_mm)} long"
    return Saying((piece.width_mm / 4, piece.from_mm + piece.length_mm / 2), (text,), text)


def neck_sayings(view: PlanView) -> Iterator[Saying]:
    """Return for every brace that crosses the centre line how far from the neck end it does; laps say who is over."""
    told, listed = set(), tabled(view)
    for c in view.placed.crossings if len(view.placed.crossings) <= MOST_LAPS else ():
        over, under = c.opens_to_plate, c.opens_to_room
        lines = [f"{over} over {under}"]
        lines += [text for cap in view.plate.caps if cap.across == over for text in cap_words(cap, view.lengths)]
        if abs(c.at[0]) < 0.05:
            lines.append(f"{_from_neck(view, c.at[1])} from neck")
            told |= {over, under}
        yield Saying(view.seen(c.at), tuple(lines), ", ".join(lines))
    for brace in view.placed.braces:
        y = centre_crossing(brace)
        if y is not None and brace.name not in told and brace not in listed:
            text = f"{_from_neck(view, y)} from neck"
            yield Saying((0.0, y), (text,), f"{brace.name}: {text}")


def _from_neck(view: PlanView, y: float) -> str:
    return view.lengths.cell(view.neck_y_mm - y)


def centre_crossing(brace: PlacedBrace) -> float | None:
    """Return where a brace's middle crosses the centre line, or None."""
    (x0, y0), (x1, y1) = brace.start.at, brace.end.at
    if x0 * x1 >= 0:
        return None
    if brace.is_straight:
        return y0 - x0 * (y1 - y0) / (x1 - x0)
    return brace.course.at(brace.course.slice_at((0.0, (y0 + y1) / 2), (0.0, 1.0), 0.0))[1]


def end_sayings(view: PlanView) -> Iterator[Saying]:
    """Return where every end lies that no pocket shows: along the brace it butts on, or free on the plate."""
    by_name = {b.name: b for b in view.placed.braces}
    listed = tabled(view)
    for brace in view.placed.braces:
        for end in (brace.start, brace.end):
            if end.brace in by_name:
                at, words = butt_distance(view, brace, by_name[end.brace])
                yield Saying(view.seen(at), (words,), f"{brace.name}: {words} on {end.brace}")
            elif end.meets == "nothing" and brace not in listed:
                lines = (_off_centre(view, end.at[0]), f"{_from_neck(view, end.at[1])} from neck")
                yield Saying(view.seen(end.at), lines, f"{brace.name} ends {', '.join(lines)}")


def _off_centre(view: PlanView, x: float) -> str:
    return "on the centre line" if abs(x) < 0.05 else f"{view.lengths.cell(abs(x))} off centre"


def tabled(view: PlanView) -> tuple[PlacedBrace, ...]:
    """Return the braces whose ends go into a table because too many lie free on the plate to mark each."""
    free = [b for b in view.placed.braces if "nothing" in (b.start.meets, b.end.meets)]
    return tuple(free) if len(free) > MOST_FREE else ()


def end_row(view: PlanView, brace: PlacedBrace) -> tuple[str, ...]:
    """Return a row of the table: name, length, and for both ends the distances from the centre line and the neck.

    The distance from the centre line is followed by the side's initial, B or T.
    """
    hand = view.carved.placed.design.handed
    cells = [brace.name, view.lengths.cell(brace.length_mm)]
    for end in (brace.start, brace.end):
        side = "" if abs(end.at[0]) < 0.05 else f" {side_of(end.at[0], hand)[0].upper()}"
        cells += [f"{view.lengths.cell(abs(end.at[0]))}{side}", _from_neck(view, end.at[1])]
    return tuple(cells)


def butt_distance(view: PlanView, brace: PlacedBrace, other: PlacedBrace) -> tuple[XY, str]:
    """Return where the middles of two braces meet and its distance along ``other``, in words."""
    gx, gy = other.heading
    if brace.is_straight:
        hx, hy = brace.heading
        dx, dy = brace.start.at[0] - other.start.at[0], brace.start.at[1] - other.start.at[1]
        along = (dx * hy - dy * hx) / (gx * hy - gy * hx)
    else:
        at_start = brace.start.brace == other.name
        here = brace.start.at if at_start else brace.end.at
        way = brace.course.heading_at(0.0 if at_start else brace.length_mm)
        t = min(other.course.line_meets(here, way), key=abs)
        along = other.course.where((here[0] + t * way[0], here[1] + t * way[1]))[0]
    at = (other.start.at[0] + along * gx, other.start.at[1] + along * gy)
    laps = [c for c in view.placed.crossings if other.name in (c.opens_to_plate, c.opens_to_room)]
    if len(laps) != 1:
        side = side_of(other.start.at[0], view.carved.placed.design.handed)
        return at, f"{view.lengths.cell(along)} from {side} end"
    base = (laps[0].at[0] - other.start.at[0]) * gx + (laps[0].at[1] - other.start.at[1]) * gy
    return at, f"{view.lengths.cell(abs(along - base))} from lap"


def hole_note(view: PlanView) -> Note | None:
    """Return the words in the soundhole, right of the centre line, if it is large enough for them."""
    words = hole_words(view)
    if words is None:
        return None
    (_, y), lines = words
    labels = tuple(Label(3.0, y + 4 - 4.2 * i, text) for i, text in enumerate(lines))
    corners = np.vstack([label.corners for label in labels]) - (0.0, y)
    inside = np.hypot(*corners.T).max() < view.carved.placed.soundhole_radius_mm - 1
    return Note(labels) if inside else None


def hole_words(view: PlanView) -> tuple[XY, tuple[str, ...]] | None:
    """Return the middle of the soundhole and what is said of it, or None if this plate has none."""
    placed = view.carved.placed
    if view.placed.spec.soundhole is None or placed.soundhole_y_mm is None:
        return None
    y = placed.soundhole_y_mm
    size = f"soundhole {DIAMETER} {view.lengths.cell(2 * placed.soundhole_radius_mm)}"
    return (0.0, y), (size, f"centre {_from_neck(view, y)} from neck")


def part_sayings(view: PlanView) -> Iterator[Saying]:
    """Return the words for a small soundhole, the saddle line, the bridge and its plate, and the dome's apex."""
    placed, spec = view.carved.placed, view.placed.spec
    hole = hole_words(view)
    if hole is not None and hole_note(view) is None:
        yield Saying(hole[0], hole[1], ", ".join(hole[1]))
    if view.placed.bridge is not None and spec.bridge is not None:
        reach = float(np.abs(view.placed.bridge[:, 0]).max())
        y = placed.saddle_y_mm
        lines = ("saddle line", f"{_from_neck(view, y)} from neck")
        yield Saying((reach + 4, y), lines, " ".join(lines))
        size = f"{view.lengths.cell(spec.bridge.length_mm)} × {view.lengths.cell(spec.bridge.width_mm)}"
        low = float(view.placed.bridge[:, 1].min())
        yield Saying((-reach + 6, low), ("bridge, outside", size), f"bridge, outside: {size}")
    if view.plate.bridge_plate is not None and spec.bridge_plate is not None:
        points = view.all_seen(view.plate.bridge_plate)
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        size = " × ".join(map(view.lengths.cell, (x1 - x0, y1 - y0, spec.bridge_plate.thickness_mm)))
        yield Saying((float(x1) - 12, float(y0)), ("bridge plate", size), f"bridge plate: {size}")
    for patch in view.placed.patches:
        points = view.all_seen(patch.outline)
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        wide = (
            view.lengths.cell(patch.spec.width_mm)
            if patch.hole is not None
            else f"{view.lengths.cell(x1 - x0)} × {view.lengths.cell(y1 - y0)}"
        )
        lines = (patch.spec.name, f"{wide} × {view.lengths.cell(patch.spec.thickness_mm)}, {patch.spec.wood}")
        yield Saying((float(points[0, 0]), float(points[0, 1])), lines, ": ".join(lines))
    if view.placed.dome.shape != "flat":
        y = view.placed.dome.apex_y_mm
        lines = (dome_words(view.placed.dome), f"apex {_from_neck(view, y)} from neck")
        yield Saying((0.0, y), lines, ", ".join(lines))


def pocket_note(view: PlanView, pocket: Pocket, room: Room) -> tuple[Note, Stroke]:
    """Return a pocket's number outside the rim, and the ring about it."""
    corners = view.all_seen(frozen_points(pocket.corners))
    back = (corners[1] + corners[2]) / 2
    foot, out = outline_foot(view, back)
    aside = np.array((-out[1], out[0]))
    places = [foot + away * out + slide * aside for away in (4.6, 6.5, 9.0, 12.0, 16.0) for slide in _SLIDES_MM]
    notes = [_number(pocket.number, (float(x), float(y))) for x, y in places]
    fit = first_fit(room, notes, clear_mm=1.2)
    note = notes[0] if fit is None else fit
    words = note.labels[0]
    return note, circle((words.x_mm, words.y_mm + _NAME_MM / 2), _POCKET_RADIUS_MM, "note", 48)


def _number(number: int, at: XY) -> Note:
    return Note((Label(at[0], at[1] - _NAME_MM / 2, str(number), _NAME_MM, anchor="middle", bold=True),))


def outline_foot(view: PlanView, at: Points) -> tuple[Points, Points]:
    """Return the point of the outline nearest to ``at``, and the unit vector out of the body there, in the drawing."""
    u = view.placed.outline.grid(40)
    points = view.all_seen(view.placed.outline.point(u))
    i = int(np.argmin(np.hypot(*(points - at).T)))
    return points[i], -view.all_seen(view.placed.outline.left(u[i : i + 1]))[0]


def shifted(note: Note, dx_mm: float, dy_mm: float) -> Note:
    """Return a note without leader, moved."""
    return Note(tuple(replace(a, x_mm=a.x_mm + dx_mm, y_mm=a.y_mm + dy_mm) for a in note.labels))
