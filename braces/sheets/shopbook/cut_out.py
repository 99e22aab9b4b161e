"""The part of a plate round one brace: where it runs and what it meets."""

from __future__ import annotations

from collections.abc import Iterator

from braces.placed.footprint import footprint
from braces.placed.values import PlacedBrace
from braces.sheets.drawing import Box, Label, Mark, polyline
from braces.sheets.lettering import text_width_mm
from braces.sheets.place_labels import Note, Room, first_fit, led_note
from braces.sheets.plan_words import centre_crossing
from braces.sheets.shopbook.picture import TEXT_MM, Picture, clipped, fence, picture, round_ratio
from braces.sheets.shopbook.plates import face_of, middle, shrunk_plate
from braces.sheets.strength_plan import Plate
from braces.sheets.words import one

_AROUND_MM = 14.0  #: of the plate to see around a brace
_BEYOND_MM = 4.0  #: of paper beyond the plate's edge
_MOST_NAMES = 12  #: neighbours named
_NAME_CLEAR_MM = 0.4


def cut_out(plate: Plate, name: str, width_mm: float, height_mm: float) -> Picture:
    """Return the plate round a brace as large as a box allows. Raises ``StopIteration`` for an unknown name."""
    brace = next(b for b in plate.braces if b.name == name)
    ratio, box = _window(plate, brace, width_mm, height_mm)
    strokes = [part for s in shrunk_plate(plate, ratio, heavy=name) for part in clipped(s, box)]
    x0, y0, x1, y1 = box
    frame = polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], "dim", closed=True)
    room = Room([*strokes, frame, *fence(box)])
    marks: list[Mark] = [frame, *strokes]

    def keep(note: Note | None) -> None:
        if note is not None:
            room.add(note)
            marks.extend(note.marks)

    for at, text in _sayings(plate, brace):
        keep(led_note(room, (at[0] * ratio, at[1] * ratio), [text], TEXT_MM))
    neighbours = [b for b in plate.braces if b.name != name]
    for other in neighbours if len(neighbours) <= _MOST_NAMES else ():
        near = (n for n in _beside(plate, other, ratio) if _within(n, box))
        keep(first_fit(room, near, clear_mm=_NAME_CLEAR_MM))
    return picture(f"cut-{name}", name, face_of(plate), marks, ratio)


def cut_out_size_mm(plate: Plate, name: str, width_mm: float, height_mm: float) -> tuple[float, float]:
    """Return the width and height that ``cut_out`` takes."""
    _, (x0, y0, x1, y1) = _window(plate, next(b for b in plate.braces if b.name == name), width_mm, height_mm)
    return x1 - x0, y1 - y0


def cut_out_ratio(plate: Plate, name: str, width_mm: float, height_mm: float) -> float:
    """Return the scale of ``cut_out``."""
    return _window(plate, next(b for b in plate.braces if b.name == name), width_mm, height_mm)[0]


def _window(plate: Plate, brace: PlacedBrace, width_mm: float, height_mm: float) -> tuple[float, Box]:
    """The scale, and the box of the picture: the brace with something around, grown to the room there is."""
    corners = plate.view.all_seen(footprint(brace))
    (x0, y0), (x1, y1) = corners.min(axis=0) - _AROUND_MM, corners.max(axis=0) + _AROUND_MM
    ratio = round_ratio(min(width_mm / (x1 - x0), height_mm / (y1 - y0)))
    whole = plate.box
    a, b = _grown(x0, x1, width_mm / ratio, whole[0] - _BEYOND_MM, whole[2] + _BEYOND_MM)
    c, d = _grown(y0, y1, height_mm / ratio, whole[1] - _BEYOND_MM, whole[3] + _BEYOND_MM)
    return ratio, (a * ratio, c * ratio, b * ratio, d * ratio)


def _grown(low: float, high: float, room: float, least: float, most: float) -> tuple[float, float]:
    """An interval about the same middle as long as ``room``, moved and cut to lie within two ends."""
    spare = max(0.0, room - (high - low)) / 2
    low, high = low - spare, high + spare
    shift = max(0.0, least - low) - max(0.0, high - most)
    return max(low + shift, least), min(high + shift, most)


def _sayings(plate: Plate, brace: PlacedBrace) -> Iterator[tuple[tuple[float, float], str]]:
    """Where the brace crosses the centre line, and which end is which."""
    at = centre_crossing(brace)
    if at is not None:
        yield (0.0, at), f"{one(plate.view.neck_y_mm - at)} from neck"
    yield plate.view.seen(brace.start.at), "start"
    yield plate.view.seen(brace.end.at), "end"


def _within(note: Note, box: Box) -> bool:
    x0, y0, x1, y1 = note.labels[0].ink
    return x0 > box[0] and y0 > box[1] and x1 < box[2] and y1 < box[3]


def _beside(plate: Plate, brace: PlacedBrace, ratio: float) -> Iterator[Note]:
    """Places for a neighbour's name close to its middle."""
    x, y = middle(plate.view, brace, ratio)
    half = text_width_mm(brace.name, TEXT_MM) / 2
    for far in (2.0, 3.5, 5.0, 7.0):
        for dx, dy in ((half + far, 0.0), (-half - far, 0.0), (0.0, far), (0.0, -far), (half, far), (-half, -far)):
            yield Note((Label(x + dx, y + dy - TEXT_MM / 2, brace.name, TEXT_MM, anchor="middle"),))
