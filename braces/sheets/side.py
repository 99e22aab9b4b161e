"""The side view of a brace, true size, to stick to the stock."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan, degrees, isinf

import numpy as np

from braces.base.arrays import frozen_points
from braces.carved.values import Carved, CarvedBrace
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline, union
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import Note, Room, first_fit
from braces.sheets.side_bands import RISE_MM, Band, band, settled
from braces.sheets.side_callouts import (
    RING_ROOM_MM,
    TEXT_MM,
    bevel_rise_mm,
    callouts,
    ringed,
    section_blocks,
    section_marks,
    step_numbers,
)
from braces.sheets.side_shape import (
    blank_box,
    edge_z,
    glue_z,
    lap_strokes,
    notch_span_mm,
    profile_strokes,
    relief_strokes,
)
from braces.sheets.words import Hand, brace_face, end_word, end_words, far_word, key_of, near_word, one, two

_STATION_MM = 20.0
_NAME_MM = 3.5
_LONG_MM = 350.0
_TWO_NAMES_MM = 150.0
_NARROWEST_MM = 104.0
_CLEAR_OF_JOIN_MM = 12.0
_WORDS_OF_JOIN_MM = 8.0
_ARROW_MM = 9.0
_LINE_MM = 4.4
_CHIP_GAP_MM = 6.0


def brace_drawing(brace: CarvedBrace, carved: Carved) -> Drawing:
    """Return the side view of a brace of ``carved``: X to the right, room up, Z = 0 at y = 0."""
    hand = carved.placed.design.handed
    strokes = [*profile_strokes(brace), *relief_strokes(brace),
               *(s for n in brace.notches for s in lap_strokes(brace, n)), *section_marks(brace)]
    x0, z0, x1, z1 = blank_box(brace)
    spare = max(0.0, _NARROWEST_MM - (x1 - x0)) / 2
    low, high = x0 - spare, x1 + spare
    base = z1 + RISE_MM + 0.6
    words = band(callouts(brace), low, high, base)
    sections = settled(section_blocks(brace), words.boxes, low, high, base)
    low, high = min(low, *(b[0] for b in words.boxes)), max(high, *(b[2] for b in words.boxes))
    stations, under = station_marks(brace, min(z0, 0.0))
    marks: list[Mark] = [*strokes, *words.marks, *sections.marks, *stations]
    marks += glue_words(brace, strokes)
    marks += title_marks(brace, hand, low, high, max(words.top_mm, sections.top_mm))
    marks += chip_marks(brace, hand, low, high, under)
    title = brace.name
    return Drawing(f"brace-{key_of(brace.name)}", title, brace_face(brace, hand), "strip", tuple(marks),
                   join_windows(brace, words, sections))


def station_marks(brace: CarvedBrace, base_mm: float) -> tuple[list[Mark], float]:
    """Return ticks every 20 mm with heights and distances from the start, and the level under them."""
    x = [float(v) for v in np.arange(0.0, brace.length_mm + 1e-6, _STATION_MM)]
    if brace.length_mm - x[-1] > 0.5 * _STATION_MM:
        x.append(brace.length_mm)
    marks: list[Mark] = []
    tick, heights, places = base_mm - 2.6, base_mm - 6.6, base_mm - 10.7
    for at in x:
        edge = float(edge_z(brace, at))
        marks.append(polyline([(at, base_mm - 0.8), (at, tick)], "dim"))
        marks.append(polyline([(at, edge + 0.4), (at, edge + 1.6)], "dim"))
        where = f"{at:.0f}" if abs(at - round(at)) < 0.01 else one(at)
        marks.append(Label(at, heights, one(brace.height.at(at)), TEXT_MM, anchor="middle", layer="dim", bold=True))
        marks.append(Label(at, places, where, TEXT_MM, anchor="middle", layer="dim"))
    marks.append(Label(-5.5, heights, "height", TEXT_MM, anchor="end", layer="dim", bold=True))
    marks.append(Label(-5.5, places, "from start", TEXT_MM, anchor="end", layer="dim"))
    return marks, places - BELOW_RATIO * TEXT_MM


def glue_words(brace: CarvedBrace, strokes: list[Stroke]) -> list[Mark]:
    """Return "glue face" along the arc where the wood is high enough: once, or near both ends of a long brace."""
    room = Room(s for s in strokes if s.layer != "blank")
    marks: list[Mark] = []
    for share in (0.25, 0.75) if brace.length_mm > _TWO_NAMES_MM else (0.3,):
        note = first_fit(room, _glue_notes(brace, share), clear_mm=0.5)
        if note is not None:
            room.add(note)
            words = note.labels[0]
            marks.append(words)
            marks += ringed(1, words.x_mm - RING_ROOM_MM, words.y_mm)
    return marks


def _glue_notes(brace: CarvedBrace, share: float) -> Iterator[Note]:
    """Places for the words inside the wood, from a share of the length outwards; room for the ring is kept."""
    text = "glue face: arch first"
    width = text_width_mm(text, TEXT_MM)
    for k in range(80):
        x = share * brace.length_mm + 2.0 * ((k + 1) // 2) * (1 if k % 2 else -1)
        if x - RING_ROOM_MM < 3 or x + width > brace.length_mm - 3:
            continue
        slope = float(brace.glue.slope(x + width / 2, 0.0)[0])
        y = float(glue_z(brace, x)) + 1.4 + BELOW_RATIO * TEXT_MM
        label = Label(x, y, text, TEXT_MM, degrees(atan(slope)))
        ring = Label(x - RING_ROOM_MM, y, "1", 3.2)
        yield Note((label, ring))


def title_marks(brace: CarvedBrace, hand: Hand, low: float, high: float, top: float) -> list[Mark]:
    """Return the name at both ends (once if short, thrice if long) and the arrows that say where the ends point."""
    y = top + 2.2 + BELOW_RATIO * _NAME_MM
    marks: list[Mark] = [*_arrow(low, y + 1.2, -1), *_arrow(high, y + 1.2, 1)]
    words = [f"to {end_words(brace, hand, at_end)}" for at_end in (False, True)]
    left, right = low + _ARROW_MM + 1.5, high - _ARROW_MM - 1.5
    marks.append(Label(left, y, words[0], TEXT_MM))
    marks.append(Label(right, y, words[1], TEXT_MM, anchor="end"))
    left += text_width_mm(words[0], TEXT_MM) + 5
    right -= text_width_mm(words[1], TEXT_MM) + 5
    width = text_width_mm(brace.name, _NAME_MM, bold=True)
    if brace.length_mm <= _TWO_NAMES_MM or right - left < 2 * width + 10:
        at = y if right - left >= width else y + 6.0
        marks.append(Label((left + right) / 2 if right - left >= width else (low + high) / 2, at, brace.name, _NAME_MM,
                           anchor="middle", bold=True))
        return marks
    marks.append(Label(left, y, brace.name, _NAME_MM, bold=True))
    marks.append(Label(right, y, brace.name, _NAME_MM, anchor="end", bold=True))
    if brace.length_mm > _LONG_MM:
        marks.append(Label((left + right) / 2, y, brace.name, _NAME_MM, anchor="middle", bold=True))
    return marks


def _arrow(tip_x: float, y: float, sign: int, layer: str = "note") -> list[Mark]:
    back = tip_x - sign * _ARROW_MM
    head = [(tip_x - sign * 2.4, y + 0.9), (tip_x, y), (tip_x - sign * 2.4, y - 0.9)]
    return [polyline([(back, y), (tip_x, y)], layer), polyline(head, layer)]


def chip_marks(brace: CarvedBrace, hand: Hand, low: float, high: float, top: float) -> list[Mark]:
    """Return the order of work, then sizes and the face seen, in lines as wide as the drawing."""
    marks: list[Mark] = []
    y = top - 1.6 - ABOVE_RATIO * TEXT_MM
    for chips in (step_chips(brace), fact_chips(brace, hand)):
        x = low
        for number, text in chips:
            width = text_width_mm(text, TEXT_MM) + (RING_ROOM_MM if number else 0.0)
            if x > low and x + width > high:
                x, y = low, y - _LINE_MM
            if number > 0:
                marks += ringed(number, x, y)
            marks.append(Label(x + (RING_ROOM_MM if number else 0.0), y, text, TEXT_MM))
            x += width + _CHIP_GAP_MM
        y -= _LINE_MM
    return [*marks, *_grain(high, top - 1.6 - ABOVE_RATIO * TEXT_MM, marks)]


def _grain(high: float, y: float, marks: list[Mark]) -> list[Mark]:
    """Return the grain's two-headed arrow at the right end of the first line that has room for it."""
    words = Label(high, y, "grain", TEXT_MM, anchor="end", layer="grain")
    taken = [m.ink for m in marks if isinstance(m, Label)]
    left = high - words.width_mm - 26
    while any(t[2] > left and abs(t[1] - words.ink[1]) < 3 for t in taken):
        y -= _LINE_MM
        words = Label(high, y, "grain", TEXT_MM, anchor="end", layer="grain")
    tip = high - words.width_mm - 2
    line = y + TEXT_MM / 2
    return [words, *_arrow(tip, line, 1, "grain"), *_arrow(tip - 2 * _ARROW_MM, line, -1, "grain")]


def step_chips(brace: CarvedBrace) -> list[tuple[int, str]]:
    """Return the order of work in short words."""
    radius = brace.glue_arc_radius_mm
    what = {
        "glue": "plane the glue face flat" if isinf(radius) else f"arch the glue face, radius {radius:.0f}",
        "notch": "cut the lap" if len(brace.notches) == 1 else "cut the laps",
        "relief": "saw the relief cut" if len(brace.relief_cuts) == 1 else "saw the relief cuts",
        "carve": "carve to the heavy line",
    }
    return [(number, what[step]) for step, number in step_numbers(brace).items()]


def fact_chips(brace: CarvedBrace, hand: Hand) -> list[tuple[int, str]]:
    """Return what one needs to know of the stick and of the drawing."""
    size = brace.blank
    rise = bevel_rise_mm(brace)
    facts = [
        brace_face(brace, hand),
        f"{one(brace.width_mm)} wide, {brace.wood}",
        f"blank {one(size.length_mm)} × {one(size.width_mm)} × {one(size.height_mm)}",
    ]
    side = far_word(brace, hand) if rise > 0 else near_word(brace, hand)
    bevel = f"bevel {one(abs(brace.bevel_deg))}°, {side} side {two(abs(rise))} taller" if abs(rise) >= 0.005 else "no bevel"
    facts.append(f"glue line on the centre line: {bevel}")
    if abs(rise) >= 0.05:
        facts.append(f"sections look to the {end_word(brace, hand)} end")
    return [(0, text) for text in facts]


def join_windows(brace: CarvedBrace, words: Band, sections: Band) -> tuple[tuple[float, float], ...]:
    """Return where the template may be cut: 12 mm clear of laps, peaks, valleys, kerfs, ends and sections.

    Words with leaders are kept clear of too, if that leaves any place at all.
    """
    clear = _CLEAR_OF_JOIN_MM
    keep = [(f.at_mm, f.at_mm) for f in brace.features if f.kind in ("top", "valley", "peak")]
    keep += [(c.at_mm, c.at_mm) for c in brace.relief_cuts]
    keep += [notch_span_mm(brace, n, face) for n in brace.notches for face in ("near", "far")]  # type: ignore[arg-type]
    keep += [(-clear, clear), (brace.length_mm - clear, brace.length_mm + clear)]
    keep += [(b[0], b[2]) for b in sections.boxes]
    taken = [(a - clear, b + clear) for a, b in keep]
    return (_gaps([*taken, *((b[0] - _WORDS_OF_JOIN_MM, b[2] + _WORDS_OF_JOIN_MM) for b in words.boxes)], 0.0,
                  brace.length_mm)
            or _gaps(taken, 0.0, brace.length_mm))


def _gaps(taken: list[tuple[float, float]], low: float, high: float) -> tuple[tuple[float, float], ...]:
    """What the intervals leave of [low, high], at least 1 mm long."""
    gaps, at = [], low
    for a, b in [*sorted(taken), (high, high)]:
        if a - at >= 1.0:
            gaps.append((at, a))
        at = max(at, b)
    return tuple(gaps)
