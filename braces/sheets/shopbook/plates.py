"""Plates from the inside, small, with the names of their braces."""

from __future__ import annotations

from typing import TypeGuard

from braces.placed.values import PlacedBrace
from braces.sheets.drawing import Box, Mark, Stroke, polyline
from braces.sheets.place_labels import Room, led_note
from braces.sheets.plan_view import PlanView, brace_strokes, strip_strokes
from braces.sheets.shopbook.picture import TEXT_MM, Picture, fence, picture, round_ratio
from braces.sheets.strength_plan import Plate
from braces.sheets.words import plan_face

_MOST_NAMES = 16  #: on a plate with more braces names would hide what they name
PLATE_ASIDE_MM = 8.0  #: of paper for words on either side of a plate
_CENTRE_MM = 4.0  #: the centre line runs so far beyond the plate


def plate_picture(plate: Plate, width_mm: float, height_mm: float) -> Picture:
    """Return a plate with the names of its braces, as large as a box allows."""
    ratio = whole_ratio(plate, width_mm, height_mm, PLATE_ASIDE_MM)
    strokes = shrunk_plate(plate, ratio)
    x0, y0, x1, y1 = box_at(plate, ratio)
    room = Room([*strokes, *fence((x0 - PLATE_ASIDE_MM, y0, x1 + PLATE_ASIDE_MM, y1))])
    marks: list[Mark] = [*strokes]
    for brace in plate.braces if len(plate.braces) <= _MOST_NAMES else ():
        at = middle(plate.view, brace, ratio)
        # In two lines a name fits beside the waist.
        note = led_note(room, at, [brace.name], TEXT_MM) or led_note(room, at, brace.name.split(), TEXT_MM)
        if note is not None:
            room.add(note)
            marks += note.marks
    return picture(f"plate-{plate.name}", plate.name, face_of(plate), marks, ratio)


def whole_ratio(plate: Plate, width_mm: float, height_mm: float, aside_mm: float) -> float:
    """Return the scale of a whole plate in a box, with paper for words on either side."""
    wide, high = plate.size_mm
    return round_ratio(min((width_mm - 2 * aside_mm) / wide, height_mm / (high + 2 * _CENTRE_MM)))


def whole_size_mm(plate: Plate, width_mm: float, height_mm: float, aside_mm: float) -> tuple[float, float]:
    """Return the width and height that the picture of a whole plate takes, with words beside it."""
    ratio = whole_ratio(plate, width_mm, height_mm, aside_mm)
    wide, high = plate.size_mm
    return wide * ratio + 2 * aside_mm, (high + 2 * _CENTRE_MM) * ratio + 0.4


def box_at(plate: Plate, ratio: float) -> Box:
    """Return the box of a plate's outline in a picture."""
    x0, y0, x1, y1 = plate.box
    return x0 * ratio, y0 * ratio, x1 * ratio, y1 * ratio


def face_of(plate: Plate) -> str:
    """Return in words which face is seen."""
    return plan_face(plate.name, plate.view.carved.placed.design.handed)


def shrunk_plate(plate: Plate, ratio: float, heavy: str = "") -> list[Stroke]:
    """Return the lines of a plate times a ratio; the brace ``heavy`` in the pen of a cut line."""
    view = plate.view
    thin = [Stroke(view.all_seen(plate.outline) * ratio, "glue", closed=True)]
    thin.append(Stroke(view.all_seen(plate.lining) * ratio, "dim", closed=True))
    if plate.hole is not None:
        thin.append(Stroke(view.all_seen(plate.hole) * ratio, "edge", closed=True))
    loops = [p.outline for p in view.placed.patches]
    loops += [loop for loop in (view.plate.bridge_plate,) if loop is not None]
    thin += [Stroke(view.all_seen(loop) * ratio, "dim", closed=True) for loop in loops]
    for piece in view.plate.strip_pieces:
        thin += [Stroke(m.points * ratio, "dim", m.closed) for m in strip_strokes(view, piece) if _seen(m)]
    for brace in plate.braces:
        layer = "cut" if brace.name == heavy else "edge"
        thin += [Stroke(m.points * ratio, layer, m.closed) for m in brace_strokes(view, brace) if _seen(m)]
    tail, neck = view.tail_y_mm, view.neck_y_mm
    return [*thin, polyline([(0.0, (tail - _CENTRE_MM) * ratio), (0.0, (neck + _CENTRE_MM) * ratio)], "centre")]


def _seen(mark: Mark) -> TypeGuard[Stroke]:
    """Whether a line of a plan lies on top of everything else there."""
    return isinstance(mark, Stroke) and mark.layer == "cut"


def middle(view: PlanView, brace: PlacedBrace, ratio: float) -> tuple[float, float]:
    """Return the middle of a brace in a picture."""
    (ux, uy), (vx, vy) = view.seen(brace.start.at), view.seen(brace.end.at)
    return (ux + vx) / 2 * ratio, (uy + vy) / 2 * ratio
