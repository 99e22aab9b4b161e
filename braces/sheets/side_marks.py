"""Round a side view: the row of stations, the name and the arrows, the grain, and the notes under it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import atan, degrees, isinf

import numpy as np

from braces.base.units import inch_text
from braces.carved.values import CarvedBrace
from braces.design.braces import CapSpec
from braces.sheets.drawing import Label, Mark, polyline
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import Note, Room, first_fit
from braces.sheets.side_callouts import (
    TEXT_MM,
    bevel_rise_mm,
    bevel_words,
    step_numbers,
    usual_size,
)
from braces.sheets.side_shape import blank_box, edge_z, glue_z
from braces.sheets.unrolled import ratio_of, station_mm
from braces.sheets.words import Hand, brace_face, end_word, end_words, far_word, near_word, one
from braces.workshop.book.lengths import Lengths

XY = tuple[float, float]
_PLAIN = Lengths()
_STATION_MM = 20.0
_NAME_MM = 3.5
_LONG_MM = 350.0
TWO_NAMES_MM = 150.0
_ARROW_MM = 9.0
_LINE_MM = 4.4
_ROW_MM = 4.1  #: from one row of station numbers to the next
_CHIP_GAP_MM = 6.0
_TICK_MM = 1.6  #: station ticks above the carved edge reach this far
_BEVEL_SEEN_MM = 0.05


def station_marks(brace: CarvedBrace, base_mm: float, lengths: Lengths = _PLAIN) -> tuple[list[Mark], float]:
    """Return ticks every 20 mm with heights and distances from the start, and the level under them."""
    ratio = ratio_of(brace)
    x = [float(v) for v in np.arange(0.0, brace.length_mm + 1e-6, _STATION_MM * ratio)]
    if brace.length_mm - x[-1] > (0.75 if lengths.inches else 0.5) * _STATION_MM * ratio:
        x.append(brace.length_mm)
    marks: list[Mark] = []
    tick, heights = base_mm - 2.6, base_mm - 6.6
    places = heights - (2 if lengths.inches else 1) * _ROW_MM
    edges, tall = edge_z(brace, np.array(x)), brace.height(np.array(x))
    for at, edge, height in zip(x, map(float, edges), map(float, tall), strict=True):
        marks.append(polyline([(at, base_mm - 0.8), (at, tick)], "dim"))
        marks.append(polyline([(at, edge + 0.4), (at, edge + _TICK_MM)], "dim"))
        s = station_mm(brace, at)
        where = f"{s:.0f}" if abs(s - round(s)) < 0.01 else one(s)
        marks.append(Label(at, heights, one(height), TEXT_MM, anchor="middle", layer="dim", bold=True))
        marks.append(Label(at, places, where, TEXT_MM, anchor="middle", layer="dim"))
        if lengths.inches:
            marks.append(
                Label(at, heights - _ROW_MM, inch_text(height), TEXT_MM, anchor="middle", layer="dim", bold=True)
            )
            marks.append(Label(at, places - _ROW_MM, inch_text(s), TEXT_MM, anchor="middle", layer="dim"))
    marks.append(Label(-5.5, heights, "height", TEXT_MM, anchor="end", layer="dim", bold=True))
    marks.append(Label(-5.5, places, "from start", TEXT_MM, anchor="end", layer="dim"))
    if lengths.inches:
        places -= _ROW_MM
        marks.append(Label(-7.5, heights - _ROW_MM, "in inches", TEXT_MM, anchor="end", layer="dim", bold=True))
        marks.append(Label(-7.5, places, "in inches", TEXT_MM, anchor="end", layer="dim"))
    return marks, places - BELOW_RATIO * TEXT_MM


def glue_words(brace: CarvedBrace, room: Room) -> list[Mark]:
    """Return "glue face" along the arc where the wood is high enough: once, or near both ends of a long brace."""
    marks: list[Mark] = []
    for share in (0.25, 0.75) if brace.length_mm > TWO_NAMES_MM else (0.3,):
        note = first_fit(room, _glue_notes(brace, share), clear_mm=0.5)
        if note is not None:
            room.add(note)
            marks.append(note.labels[0])
    return marks


def _glue_notes(brace: CarvedBrace, share: float) -> Iterator[Note]:
    """Places for the words inside the wood, from a share of the length outwards."""
    first = "plane first" if isinf(brace.glue_arc_radius_mm) else "fit first" if brace.is_curved else "arch first"
    text = f"glue face: {first}"
    width = Label(0.0, 0.0, text, TEXT_MM, step=1).width_mm
    for k in range(60):
        x = share * brace.length_mm + 3.0 * ((k + 1) // 2) * (1 if k % 2 else -1)
        if x < 3 or x + width > brace.length_mm - 3:
            continue
        slope = float(brace.glue.slope(x + width / 2, 0.0)[0])
        y = float(glue_z(brace, x)) + 1.4 + BELOW_RATIO * TEXT_MM
        yield Note((Label(x, y, text, TEXT_MM, degrees(atan(slope)), step=1),))


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
    if right - left < width:
        return [*marks, _name((low + high) / 2, y + 1.7 * _NAME_MM, brace, "middle")]
    if brace.length_mm <= TWO_NAMES_MM or right - left < 2 * width + 10:
        return [*marks, _name((left + right) / 2, y, brace, "middle")]
    marks += [_name(left, y, brace, "start"), _name(right, y, brace, "end")]
    if brace.length_mm > _LONG_MM:
        marks.append(_name((left + right) / 2, y, brace, "middle"))
    return marks


def _name(x: float, y: float, brace: CarvedBrace, anchor: str) -> Label:
    return Label(x, y, brace.name, _NAME_MM, anchor=anchor, bold=True)  # type: ignore[arg-type]


def _arrow(tip_x: float, y: float, sign: int, layer: str = "note", length: float = _ARROW_MM) -> list[Mark]:
    back = tip_x - sign * length
    head = [(tip_x - sign * 2.4, y + 0.9), (tip_x, y), (tip_x - sign * 2.4, y - 0.9)]
    return [polyline([(back, y), (tip_x, y)], layer), polyline(head, layer)]


def grain_marks(brace: CarvedBrace, room: Room, notes: list[Mark], high: float) -> list[Mark]:
    """Return the grain's two-headed arrow: in the waste over the carved edge, in the wood, or beside the ``notes``."""
    words = text_width_mm("grain", TEXT_MM)
    long, tall = words + 2 + 2 * _ARROW_MM, (ABOVE_RATIO + BELOW_RATIO) * TEXT_MM
    for x, y in (*_waste_places(brace, long, tall), *_wood_places(brace, long)):
        if room.clear((x - 0.5, y - 0.3, x + long + 0.5, y + tall + 0.3)):
            return _grain(x, y + BELOW_RATIO * TEXT_MM, words)
    lines = sorted({m.y_mm for m in notes if isinstance(m, Label)}, reverse=True)
    for y in lines:
        if all(m.ink[2] < high - long - 3 for m in notes if isinstance(m, Label) and m.y_mm == y):
            return _grain(high - long, y, words)
    return _grain(high - long, lines[-1] - _LINE_MM, words)


def _grain(x: float, y: float, words: float) -> list[Mark]:
    tail, line = x + words + 2, y + TEXT_MM / 2
    label = Label(x, y, "grain", TEXT_MM, layer="grain")
    return [label, *_arrow(tail + 2 * _ARROW_MM, line, 1, "grain"), *_arrow(tail, line, -1, "grain")]


def _waste_places(brace: CarvedBrace, long: float, tall: float) -> Iterator[XY]:
    """Lower left corners between the carved edge and the blank's top, from the end backwards."""
    top = blank_box(brace)[3]
    x = np.arange(0.0, brace.length_mm, 3.0)
    edge = edge_z(brace, x) + _TICK_MM + 0.4
    for left in x[::-1]:
        if left + long <= brace.length_mm:
            low = float(edge[(x > left - 3) & (x < left + long + 3)].max())
            if low + tall < top - 0.4:
                yield float(left), (low + top - tall) / 2


def _wood_places(brace: CarvedBrace, long: float) -> Iterator[XY]:
    """Lower left corners just over the glue line."""
    x = np.arange(brace.length_mm - long - 4, 4.0, -4.0)
    glue = np.maximum(glue_z(brace, x), glue_z(brace, x + long))
    yield from ((float(a), float(z) + 1.2) for a, z in zip(x, glue, strict=True))


def chip_marks(
    brace: CarvedBrace,
    hand: Hand,
    cap: CapSpec | None,
    low: float,
    high: float,
    top: float,
    more: Sequence[str] = (),
    lengths: Lengths = _PLAIN,
) -> list[Mark]:
    """Return the order of work, then sizes, the face seen and ``more``, in lines as wide as the drawing."""
    marks: list[Mark] = []
    y = top - 1.6 - ABOVE_RATIO * TEXT_MM
    for chips in (step_chips(brace), [*fact_chips(brace, hand, cap, lengths), *((0, text) for text in more)]):
        x = low
        for number, text in chips:
            label = Label(x, y, text, TEXT_MM, step=number)
            width = label.width_mm
            if x > low and x + width > high:
                x, y = low, y - _LINE_MM
            marks.append(replace(label, x_mm=x, y_mm=y))
            x += width + _CHIP_GAP_MM
        y -= _LINE_MM
    return marks


def step_chips(brace: CarvedBrace) -> list[tuple[int, str]]:
    """Return the order of work in short words."""
    radius = brace.glue_arc_radius_mm
    cut = "lap" if all(n.kind == "half-lap" for n in brace.notches) else "notch"
    several = {"lap": "laps", "notch": "notches"}[cut]
    arch = "plane the glue face flat" if isinf(radius) else f"arch the glue face, radius {radius:.0f}"
    what = {
        "glue": "fit the glue face in the dish, along its line" if brace.is_curved else arch,
        "notch": f"cut the {cut if len(brace.notches) == 1 else several}",
        "relief": "saw the relief cut" if len(brace.relief_cuts) == 1 else "saw the relief cuts",
        "carve": "carve to the heavy line",
    }
    return [(number, what[step]) for step, number in step_numbers(brace).items()]


def fact_chips(brace: CarvedBrace, hand: Hand, cap: CapSpec | None, lengths: Lengths = _PLAIN) -> list[tuple[int, str]]:
    """Return what one needs to know of the stick and of the drawing."""
    size = brace.blank
    facts = [brace_face(brace, hand)]
    if (usual := usual_size(brace, lengths)) is not None:
        # Two short facts: one long one finds no free ground on the short part of a joined template.
        facts += [f"laps {usual[0].replace('opens', 'open')}, if not said", f"laps {', '.join(usual[1:])}"]
    facts.append(f"{lengths.cell(brace.width_mm)} wide, {brace.wood}")
    if brace.is_curved:
        facts += _curved_facts(brace, lengths)
    else:
        facts.append("blank " + " × ".join(map(lengths.cell, (size.length_mm, size.width_mm, size.height_mm))))
    if cap is not None:
        facts.append(f"cap strip {lengths.cell(cap.thickness_mm)} {cap.wood}, glued on the carved edge")
    bevel = bevel_words(brace, f"{near_word(brace, hand)} side", f"{far_word(brace, hand)} side", lengths)
    facts.append(f"glue line on the centre line: {bevel}{' half way' if brace.is_curved else ''}")
    if abs(bevel_rise_mm(brace)) >= _BEVEL_SEEN_MM:
        facts.append(f"sections look to the {end_word(brace, hand)} end")
    return [(0, text) for text in facts]


def _curved_facts(brace: CarvedBrace, lengths: Lengths) -> list[str]:
    """The strips, and how the drawing of a bent side is to be read."""
    size, ratio = brace.blank, ratio_of(brace)
    side, longer = ("outside", "longer") if ratio > 1 else ("inside", "shorter")
    return [
        f"{size.laminations_count} strips "
        + " × ".join(map(lengths.cell, (size.length_mm, size.strip_mm, size.height_mm))),
        f"{side} of the bend: {abs(ratio - 1) * 100:.1f} % {longer} than the centre line, where stations are",
    ]
