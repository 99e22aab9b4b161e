"""The words of a plan: names, distances a maker can check with a rule, notes and the table of pockets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import cos, radians, sin

import numpy as np

from braces.base.arrays import frozen_points
from braces.carved.values import Pocket, StripPiece
from braces.placed.values import PlacedBrace
from braces.sheets.drawing import Label, Stroke
from braces.sheets.lettering import DIAMETER, text_width_mm
from braces.sheets.place_labels import Note, Room, first_fit, led_note
from braces.sheets.plan_view import XY, PlanView, circle, over_and_under, seen_angle_deg
from braces.sheets.words import dome_words, one, side_of

_TEXT_MM = 2.5
_NAME_MM = 3.0
_SIDE_MM = 5.0
_POCKET_RADIUS_MM = 2.9


def side_notes(view: PlanView) -> list[Note]:
    """Return NECK and TAIL above and below the outline."""
    neck = Label(0, view.neck_y_mm + 9, "NECK", _SIDE_MM, anchor="middle", bold=True)
    tail = Label(0, view.tail_y_mm - 9 - _SIDE_MM, "TAIL", _SIDE_MM, anchor="middle", bold=True)
    return [Note((neck,)), Note((tail,))]


def side_words_at(view: PlanView, u_sign: int) -> str:
    """Return BASS or TREBLE for the left (-1) or right (+1) of the drawing."""
    return side_of(view.flip * u_sign, view.carved.placed.design.handed).upper()


def brace_note(view: PlanView, brace: PlacedBrace, room: Room) -> Note:
    """Return a brace's name and length: along it if there is room between its sides, else beside it with a leader."""
    a, b = (np.array(view.seen(end.at)) for end in (brace.start, brace.end))
    text = f"{brace.name} · {one(brace.length_mm)} long"
    if (note := first_fit(room, _along(view, brace, text), ghosts=False, clear_mm=0.35)) is not None:
        return note
    if (note := first_fit(room, _along(view, brace, brace.name), ghosts=False, clear_mm=0.35)) is not None:
        return note
    middle = (a + b) / 2
    return led_note(room, (float(middle[0]), float(middle[1])), [brace.name, f"{one(brace.length_mm)} long"])


def _along(view: PlanView, brace: PlacedBrace, text: str) -> Iterator[Note]:
    """Words along the middle of a brace, from its middle outwards, the larger letters first."""
    a, b = (np.array(view.seen(end.at)) for end in (brace.start, brace.end))
    angle = seen_angle_deg(view, brace)
    up = np.array((-sin(radians(angle)), cos(radians(angle))))
    for height in (_NAME_MM, _TEXT_MM):
        for k in range(33):
            share = 0.5 + (0.025 * ((k + 1) // 2)) * (1 if k % 2 else -1)
            at = a + share * (b - a) - 0.5 * height * up
            yield Note((Label(float(at[0]), float(at[1]), text, height, angle, "middle"),))


def strip_note(view: PlanView, piece: StripPiece, room: Room) -> Note:
    """Return a strip piece's number and length, reading up along it beside the centre line, else beside it."""
    text = f"strip {piece.number} · {one(piece.length_mm)}"
    middle = piece.from_mm + piece.length_mm / 2
    for words in (f"{text} long", text, f"{piece.number} · {one(piece.length_mm)}"):
        notes = (Note((Label(s * piece.width_mm / 4 + _TEXT_MM / 2, middle + dy, words, _TEXT_MM, 90.0, "middle"),))
                 for dy in (0.0, 12.0, -12.0, 24.0, -24.0, 40.0, -40.0, 60.0, -60.0) for s in (1, -1)
                 if abs(dy) + text_width_mm(words) / 2 < piece.length_mm / 2)
        if (note := first_fit(room, notes, ghosts=False, clear_mm=0.4)) is not None:
            return note
    return led_note(room, (piece.width_mm / 4, middle), [f"{text} long"])


def neck_notes(view: PlanView, room: Room) -> Iterator[Note]:
    """Return for every brace that crosses the centre line how far from the neck end it does; laps say who is over."""
    told = set()
    for over, under in over_and_under(view):
        crossing = next(c for c in view.placed.crossings if (c.opens_to_plate, c.opens_to_room) == (over, under))
        lines = [f"{over} over {under}"]
        if abs(crossing.at[0]) < 0.05:
            lines.append(f"{one(view.neck_y_mm - crossing.at[1])} from neck")
            told |= {over, under}
        yield led_note(room, view.seen(crossing.at), lines)
    for brace in view.placed.braces:
        y = centre_crossing(brace)
        if y is not None and brace.name not in told:
            yield led_note(room, (0.0, y), [f"{one(view.neck_y_mm - y)} from neck"])


def centre_crossing(brace: PlacedBrace) -> float | None:
    """Return where a brace's middle crosses the centre line, or None."""
    (x0, y0), (x1, y1) = brace.start.at, brace.end.at
    return y0 - x0 * (y1 - y0) / (x1 - x0) if x0 * x1 < 0 else None


def butt_notes(view: PlanView, room: Room) -> Iterator[Note]:
    """Return for every brace that starts at another how far along that one its middle meets the other's middle."""
    by_name = {b.name: b for b in view.placed.braces}
    for brace in view.placed.braces:
        for end in (brace.start, brace.end):
            if end.brace in by_name:
                at, words = butt_distance(view, brace, by_name[end.brace])
                yield led_note(room, view.seen(at), [words])


def butt_distance(view: PlanView, brace: PlacedBrace, other: PlacedBrace) -> tuple[XY, str]:
    """Return where the middles of two braces meet and its distance along ``other``, in words."""
    (hx, hy), (gx, gy) = brace.heading, other.heading
    dx, dy = brace.start.at[0] - other.start.at[0], brace.start.at[1] - other.start.at[1]
    along = (dx * hy - dy * hx) / (gx * hy - gy * hx)
    at = (other.start.at[0] + along * gx, other.start.at[1] + along * gy)
    crossing = next((c for c in view.placed.crossings if other.name in (c.opens_to_plate, c.opens_to_room)), None)
    if crossing is None:
        return at, f"{one(along)} from the start of {other.name}"
    base = (crossing.at[0] - other.start.at[0]) * gx + (crossing.at[1] - other.start.at[1]) * gy
    return at, f"{one(abs(along - base))} from lap"


def part_notes(view: PlanView, room: Room) -> Iterator[Note]:
    """Return the words for the soundhole, the dome's apex, the saddle line, the bridge and its plate."""
    placed, spec = view.carved.placed, view.placed.spec
    if spec.soundhole is not None and placed.soundhole_y_mm is not None:
        y = placed.soundhole_y_mm
        lines = (f"soundhole {DIAMETER} {one(2 * placed.soundhole_radius_mm)}",
                 f"centre {one(view.neck_y_mm - y)} from neck")
        yield Note(tuple(Label(3.0, y + 4 - 4.2 * i, text) for i, text in enumerate(lines)))
    if view.placed.bridge is not None:
        reach = float(np.abs(view.placed.bridge[:, 0]).max())
        y = placed.saddle_y_mm
        yield led_note(room, (reach + 4, y), ["saddle line", f"{one(view.neck_y_mm - y)} from neck"])
        low = float(view.placed.bridge[:, 1].min())
        yield led_note(room, (-reach + 6, low), ["bridge, outside"])
    if view.plate.bridge_plate is not None:
        points = view.all_seen(view.plate.bridge_plate)
        x, low = float(points[:, 0].max()) - 8, float(points[:, 1].min())
        yield led_note(room, (x, low), ["bridge plate"])
    if view.placed.dome.shape != "flat":
        y = view.placed.dome.apex_y_mm
        yield led_note(room, (0.0, y), [dome_words(view.placed.dome), f"apex {one(view.neck_y_mm - y)} from neck"])


def pocket_note(view: PlanView, pocket: Pocket, room: Room) -> tuple[Note, Stroke]:
    """Return a pocket's number in a ring outside the rim, and the ring."""
    corners = view.all_seen(frozen_points(pocket.corners))
    mouth, back = (corners[0] + corners[3]) / 2, (corners[1] + corners[2]) / 2
    out = outward(view, back)
    foot = _outline_ahead(view, back, out)
    made: list[tuple[Note, Stroke]] = []
    for away in (4.2, 6.0, 8.0, 11.0, 15.0):
        for aside in (0.0, 3.0, -3.0, 6.0, -6.0, 10.0, -10.0):
            at = foot + away * out + aside * np.array((-out[1], out[0]))
            made.append(_ringed(pocket.number, (float(at[0]), float(at[1])), mouth))
    fit = first_fit(room, (note for note, _ in made), clear_mm=1.2)
    return next((m for m in made if m[0] is fit), made[0])


def _ringed(number: int, at: XY, mouth: np.ndarray) -> tuple[Note, Stroke]:  # type: ignore[type-arg]
    digits = Label(at[0], at[1] - _NAME_MM / 2, str(number), _NAME_MM, anchor="middle", bold=True)
    return Note((digits,)), circle(at, _POCKET_RADIUS_MM, "note", 48)


def outward(view: PlanView, at: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    """Return the unit vector out of the body at the place of the rim nearest to ``at``, in the drawing."""
    u = view.placed.outline.grid(40)
    points = view.all_seen(view.placed.outline.point(u))
    i = int(np.argmin(np.hypot(*(points - at).T)))
    out: np.ndarray = -view.all_seen(view.placed.outline.left(u[i : i + 1]))[0]  # type: ignore[type-arg]
    return out


def _outline_ahead(view: PlanView, at: np.ndarray, out: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    points = view.all_seen(view.placed.outline.dense(40))
    depth = float(np.min(np.hypot(*(points - at).T)))
    foot: np.ndarray = at + depth * out  # type: ignore[type-arg]
    return foot


def shifted(note: Note, dx_mm: float, dy_mm: float) -> Note:
    """Return a note without leader, moved."""
    return Note(tuple(replace(a, x_mm=a.x_mm + dx_mm, y_mm=a.y_mm + dy_mm) for a in note.labels))
