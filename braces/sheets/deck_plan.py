"""The go-bar deck from above: the plate in its dish with the place of every bar, numbered."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, inf, pi, sin

import numpy as np

from braces.base.arrays import Points
from braces.carved.values import Carved
from braces.placed.footprint import footprint
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline, union
from braces.sheets.lettering import text_width_mm
from braces.sheets.place_labels import Note, Room, first_fit, led_note
from braces.sheets.plan_tables import below, table, titled
from braces.sheets.plan_view import XY, PlanView, bridge_strokes, circle, hole_strokes, plan_view, strip_strokes
from braces.sheets.words import plan_face
from braces.workshop.book.lengths import Lengths
from braces.workshop.go_bars import BarPlace, BraceBars, DeckSpec, PlateBars

_PLAIN = Lengths()
_SPOT_MM = 1.6
_TEXT_MM = 2.5
_REACHES_MM = (3.4, 4.6, 6.0, 8.0, 10.5)
_TURNS = 12
_TITLE_GAP_MM = 2.2


def deck_drawing(carved: Carved, bars: PlateBars, spec: DeckSpec, lengths: Lengths = _PLAIN) -> Drawing:
    """Return the plan of a plate lying in its dish, seen from the deck's ceiling, with the bars numbered."""
    view = plan_view(carved, bars.plate)
    strokes = [m for m in _lines(view) if isinstance(m, Stroke)]
    spots = [s for p in bars.places for s in _spot(view, p)]
    room = Room([*strokes, *spots])
    marks: list[Mark] = [*strokes, *spots]
    feet = np.array([view.seen(p.at) for p in bars.places])
    for place in bars.places:
        note = bar_number(place.number, view.seen(place.at), room, feet)
        room.add(note)
        marks += note.marks
    frame = union(*(s.ink for s in strokes))
    for note in _notes(bars, spec, lengths):
        placed = below(note, -1, room, frame)
        room.add(placed)
        marks += placed.marks
    face = plan_face(bars.plate, carved.placed.design.handed) + ", lying in its dish"
    return Drawing(f"deck-{bars.plate}", f"go-bars, {bars.plate}", face, "plan", tuple(marks))


def _lines(view: PlanView) -> list[Mark]:
    outline = view.placed.outline
    marks: list[Mark] = [Stroke(view.all_seen(outline.dense(30)), "cut", closed=True)]
    marks += hole_strokes(view)
    marks += [m for m in bridge_strokes(view) if isinstance(m, Stroke) and m.layer == "cut"]
    for piece in view.plate.strip_pieces:
        marks += strip_strokes(view, piece)
    marks += [Stroke(view.all_seen(footprint(b)), "edge", closed=True) for b in view.placed.braces]
    ends = (view.tail_y_mm - 6, view.neck_y_mm + 6)
    return [*marks, polyline([(0.0, ends[0]), (0.0, ends[1])], "centre")]


def _spot(view: PlanView, place: BarPlace) -> list[Stroke]:
    """A ring with a dot where the bar's foot stands."""
    at = view.seen(place.at)
    return [circle(at, _SPOT_MM, "note", 24), circle(at, 0.3, "note", 8)]


def bar_number(
    number: int, at: XY, room: Room, feet: Points, text_mm: float = _TEXT_MM, furthest_mm: float = inf
) -> Note:
    """Return a bar's number as near to its spot as there is room, else with a leader; ``feet`` (n, 2) are all spots."""
    text = str(number)
    note = first_fit(room, _around(at, text, feet, text_mm, furthest_mm), clear_mm=0.3)
    if note is None:
        note = led_note(room, at, [text], text_mm)
    if note is None:  # nowhere: on its spot, where it is at least found
        note = Note((Label(at[0] + _SPOT_MM + 0.4, at[1], text, text_mm, bold=True),))
    return note


def _around(at: XY, text: str, feet: Points, text_mm: float, furthest_mm: float) -> Iterator[Note]:
    """Places round a spot that are nearer to it than to any other bar's foot."""
    half = text_width_mm(text, text_mm, bold=True) / 2
    for reach in (r for k in _REACHES_MM if (r := text_mm / _TEXT_MM * k) <= furthest_mm):
        for k in range(_TURNS):
            turn = 2 * pi * k / _TURNS
            x, y = at[0] + (reach + half - 1.0) * cos(turn), at[1] + reach * sin(turn)
            own = float(np.hypot(x - at[0], y - at[1]))
            if own > float(np.hypot(feet[:, 0] - x, feet[:, 1] - y).min()) + 1e-9:
                continue
            yield Note((Label(x, y - text_mm / 2, text, text_mm, anchor="middle", bold=True),))


def _notes(bars: PlateBars, spec: DeckSpec, lengths: Lengths) -> list[Note]:
    own = any(p.length_mm for p in bars.places)
    rows: list[tuple[str, ...]] = [("brace", "bars", "every", "gap", "bow", "push each", "together", "MPa")]
    for b in bars.braces:
        gaps = [lengths.cell(v) for v in sorted({round(p.gap_mm, 1) for p in b.places})]
        numbers = f"{b.places[0].number} to {b.places[-1].number}"
        gap = gaps[0] if len(gaps) == 1 else f"{gaps[0]} to {gaps[-1]}"
        push = float(np.mean([p.bar.push_n for p in b.places]))
        bow = max(p.bar.bow_mm for p in b.places)
        rows.append(
            (b.brace, numbers, lengths.cell(b.spacing_mm), gap, f"{bow:.0f}", f"{push:.0f} N", f"{b.push_n:.0f} N",
             f"{b.pressure_mpa:.3f}")
        )  # fmt: skip
    if own:
        rows = [
            (*row[:4], cut, *row[4:])
            for row, cut in zip(rows, ["long", *(_cut_to(b, lengths) for b in bars.braces)], strict=True)
        ]
    labels = list(table(rows, _TEXT_MM))
    top = max(a.ink[3] for a in labels) + _TITLE_GAP_MM
    title = f"bars, in the order in which the braces go on; {lengths.unit}"
    listing = Note((Label(0.0, top, title, 3.0, bold=True), *labels))
    published = bars.braces[0].published
    lines = [
        f"{len(bars.places)} bars of {bars.material}, "
        f"{'cut to length' if own else f'{lengths.say(bars.bar_length_mm)} long'}",
        f"deck {lengths.say(spec.deck_mm)} from the dish's lowest point to the ceiling",
        f"caul {lengths.say(spec.caul_mm)}",
        f"braces glued {spec.glued}; all bars together push {bars.push_n:.0f} N on floor and ceiling",
        f"published for clamps: {published.low_mpa:.2f} to {published.high_mpa:.2f} MPa, on flat well fitted wood",
        "eye protection: a bar that slips flies; keep faces out of the bars' plane",
    ]
    return [listing, titled("the deck", lines)]


def _cut_to(bars: BraceBars, lengths: Lengths) -> str:
    """Return the lengths that bars are cut to."""
    found = [lengths.cell(v) for v in sorted({p.length_mm for p in bars.places if p.length_mm})]
    return f"{found[0]} to {found[-1]}" if len(found) > 1 else found[0]
