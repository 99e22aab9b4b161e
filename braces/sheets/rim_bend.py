"""What the sides are bent against: half of the outline to check the bend by, and half of the mould."""

from __future__ import annotations

from math import hypot

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.curves.path import Path
from braces.placed.values import Placed
from braces.sheets.drawing import Anchor, Drawing, Label, Mark, Stroke, polyline
from braces.sheets.lettering import BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import Note, Room, block, led_note
from braces.sheets.words import one
from braces.workshop.along import Place, half_grid, parameter_at, places

_TEXT_MM = 2.5
_TITLE_MM = 3.5
_TICK_MM = 5.0
_STATION_MM = 50.0
_PER_PIECE = 60
MOULD_WALL_MM = 40.0  #: least wood of a mould outside the body: common practice
_LINE_MM = 4.1
_SAME_MM = 1.0  #: places nearer to each other than this are one


def bending_drawing(placed: Placed, bass: bool) -> Drawing:
    """Return half of the outline as the bent side has to follow it: outer and inner face, stations from the tail.

    Seen from the front of the instrument with the neck up.
    """
    sign, side = _side(placed, bass)
    marks: list[Mark] = [
        Stroke(frozen_points(_half(placed.outline, sign)), "cut"),
        Stroke(frozen_points(_half(placed.outline.inside(placed.design.body.side_mm), sign)), "edge"),
        *_centre(placed),
    ]
    for at, u in _stations(placed.outline, sign):
        marks += _tick(placed.outline, u, f"{at:.0f}")
    marks += _all_places(placed, sign, marks)
    thick = placed.design.body.side_mm
    lines = [
        "thick: outside of the bent side",
        f"thin: its inside, {one(thick)} mm from it; a",
        "form for bending lies inside that by",
        "the thickness of blanket and slats",
        "ticks: mm along the outside",
        "from the tail",
    ]
    marks += _words(placed, sign, f"bending template, {side}", lines)
    where = "right" if sign > 0 else "left"
    face = f"from the front, neck up: {side} side on the {where}"
    return Drawing(f"rim-bend-{side}", f"bending template, {side}", face, "plan", tuple(marks))


def mould_drawing(placed: Placed, bass: bool) -> Drawing:
    """Return one half of an outside mould: the body's outline to cut, in a straight-sided blank."""
    sign, side = _side(placed, bass)
    half = _half(placed.outline, sign)
    out = float(np.abs(half[:, 0]).max()) + MOULD_WALL_MM
    low, high = float(half[:, 1].min()) - MOULD_WALL_MM, float(half[:, 1].max()) + MOULD_WALL_MM
    tail, neck = half[0], half[-1]
    edge = [(float(tail[0]), low), (sign * out, low), (sign * out, high), (float(neck[0]), high)]
    loop = np.vstack([half, np.array(edge[::-1])])
    marks: list[Mark] = [Stroke(frozen_points(loop), "cut", closed=True)]
    marks += _all_places(placed, sign, marks, ticks_out=True)
    lines = [
        "cut to the outline and sand it square;",
        "the other half is its mirror image" if _symmetrical(placed) else "the other half has a template of its own",
        "the straight ends meet on the centre line",
        f"least wall {MOULD_WALL_MM:.0f}; make it as high as the",
        "body's depth less the two linings allows",
        "clamps and bolts: to the maker's habit",
    ]
    marks += _words(placed, sign, f"mould, {side} half", lines)
    where = "right" if sign > 0 else "left"
    face = f"from the front, neck up: {side} side on the {where}"
    return Drawing(f"rim-mould-{side}", f"mould, {side} half", face, "plan", tuple(marks))


def rim_form_drawings(placed: Placed) -> tuple[Drawing, ...]:
    """Return bending template and mould half of the treble side, and of the bass side too if they differ."""
    sides = (False,) if _symmetrical(placed) else (False, True)
    return tuple(make(placed, bass) for make in (bending_drawing, mould_drawing) for bass in sides)


def _symmetrical(placed: Placed) -> bool:
    u = half_grid(placed.outline, 24)
    right = placed.outline.point(u)
    left = placed.outline.point(placed.outline.count - u) * np.array([-1.0, 1.0])
    return bool(np.max(np.abs(right - left)) < 0.05)


def _side(placed: Placed, bass: bool) -> tuple[int, str]:
    treble = 1 if placed.design.handed == "right" else -1
    return (-treble, "bass") if bass else (treble, "treble")


def _half(path: Path, sign: int) -> Points:
    """Points from the tail to the neck end on one side."""
    u = half_grid(path, _PER_PIECE)
    return path.along(u if sign > 0 else path.count - u)


def _centre(placed: Placed) -> list[Mark]:
    ends = [placed.outline.point(u) for u in (0.0, placed.outline.count / 2)]
    return [polyline([(0.0, float(ends[0][1]) - 6), (0.0, float(ends[1][1]) + 6)], "centre")]


def _stations(path: Path, sign: int) -> list[tuple[float, float]]:
    """(length from the tail, parameter) every 50 mm."""
    half = path.length(0.0, path.count / 2) if sign > 0 else path.length(path.count / 2, float(path.count))
    out = []
    for at in np.arange(_STATION_MM, half - 10, _STATION_MM):
        along = float(at) if sign > 0 else path.perimeter_mm - float(at)
        out.append((float(at), parameter_at(path, along)))
    return out


def _tick(path: Path, u: float, text: str) -> list[Mark]:
    """A tick outwards with its number beyond it."""
    p, out = path.point(u), -path.left(u)
    a, b = p + out * 0.6, p + out * _TICK_MM
    at = p + out * (_TICK_MM + 4.0)
    return [
        polyline([(float(a[0]), float(a[1])), (float(b[0]), float(b[1]))], "dim"),
        Label(float(at[0]), float(at[1]) - _TEXT_MM / 2, text, _TEXT_MM, anchor="middle", layer="dim"),
    ]


def _all_places(placed: Placed, sign: int, drawn: list[Mark], ticks_out: bool = False) -> list[Mark]:
    """The marks of every place of a side, their words clear of what is ``drawn`` and of each other."""
    room = Room(m for m in drawn if isinstance(m, Stroke) and m.layer != "centre")
    marks: list[Mark] = []
    found = [p for p in places(placed.outline, placed.design.body, sign) if p.kind not in ("tail", "neck end")]
    for same in _together(found):
        tick, words = _place_marks(placed, same, ticks_out)
        note = Note(tuple(words))
        if any(p.kind == "corner" for p in same) or not room.fits(note, clear_mm=0.3):
            x, y = (float(v) for v in placed.outline.point(same[0].u_count))
            note = led_note(room, (x, y), [w.text for w in words]) or note
        room.add_strokes([tick])
        room.add(note)
        marks += [tick, *note.marks]
    return marks


def _together(found: list[Place]) -> list[list[Place]]:
    """Places in groups that are one and the same, as an upper bout that ends in a corner."""
    groups: list[list[Place]] = []
    for place in found:
        last = groups[-1][-1] if groups else None
        if last is not None and hypot(place.x_mm - last.x_mm, place.y_mm - last.y_mm) < _SAME_MM:
            groups[-1].append(place)
        else:
            groups.append([place])
    return groups


def _place_marks(placed: Placed, same: list[Place], ticks_out: bool) -> tuple[Stroke, list[Label]]:
    """A tick at a place of the outline, inwards or outwards, and its name and distances inside."""
    place, path = same[0], placed.outline
    p, inward = path.point(place.u_count), _inward(path, place.u_count)
    tick = -inward if ticks_out else inward
    ends = [p + tick * 0.8, p + tick * 7.0]
    lines = (" and ".join(p.kind for p in same), f"{one(abs(place.x_mm))} out, {one(place.y_mm)} up")
    x, y = (float(v) for v in p + inward * 9.0)
    if abs(float(inward[1])) > abs(float(inward[0])):  # a block: the words run from its tick to the middle line
        x = 4.0 if place.x_mm > 0 else -4.0
        low = y if inward[1] > 0 else y - 2 * _LINE_MM
        anchor: Anchor = "start" if place.x_mm > 0 else "end"
    else:
        low, anchor = y - _LINE_MM, "end" if inward[0] < 0 else "start"
    base = low + BELOW_RATIO * _TEXT_MM
    words = [Label(x, base + (1 - k) * _LINE_MM, text, _TEXT_MM, anchor=anchor) for k, text in enumerate(lines)]
    return polyline([(float(e[0]), float(e[1])) for e in ends], "note"), words


def _inward(path: Path, u: float) -> Points:
    """Unit vector inwards; half way between both sides' at a corner."""
    both = path.left(u - 1e-9) + path.left(u)
    return np.asarray(both / np.linalg.norm(both))


def _words(placed: Placed, sign: int, title: str, lines: list[str]) -> list[Mark]:
    """The title and what the lines mean, in the hollow of the lower bout."""
    body = placed.design.body
    width = max(text_width_mm(t, _TEXT_MM) for t in lines)
    left = 8.0 if sign > 0 else -8.0 - width
    y = body.lower_bout.at_mm - 30.0
    words = block(lines, left, y - len(lines) * _LINE_MM)
    return [Label(left, y + 3.0, title, _TITLE_MM, bold=True), *words]
