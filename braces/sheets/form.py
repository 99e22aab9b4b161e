"""The bending form of a curved brace, true size: what its strips are glued between, and where its stations fall.

Drawn as the stick lies on the bench with its glue face down, seen from above: the chord of its centre line is level.
"""

from __future__ import annotations

from math import atan2, degrees, sqrt

import numpy as np

from braces.base.arrays import frozen_points
from braces.carved.values import Carved, CarvedBrace
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO
from braces.sheets.words import Hand, end_words, far_word, key_of, near_word
from braces.workshop.book.lengths import Lengths

_PLAIN = Lengths()
_TEXT_MM = 2.5
_NAME_MM = 3.5
_STATION_MM = 20.0
_TICK_MM = 2.4
_LINE_MM = 4.4


def form_drawing(brace: CarvedBrace, carved: Carved, lengths: Lengths = _PLAIN) -> Drawing:
    """Return the form of a curved brace of ``carved``: X along the chord, Y to its left."""
    hand = carved.placed.design.handed
    spare = (brace.blank.length_mm / (1 + brace.width_mm / 2 / abs(brace.radius_mm)) - brace.length_mm) / 2
    low, high = -spare, brace.length_mm + spare
    half = brace.width_mm / 2
    strips = np.linspace(-half, half, brace.blank.laminations_count + 1)
    marks: list[Mark] = [_arc(brace, low, high, float(y), "edge") for y in strips[1:-1]]
    marks += [_across(brace, s, "edge") for s in (low, high)]
    marks += [_arc(brace, low, high, y, "cut") for y in (-half, half)]
    marks.append(_arc(brace, low, high, 0.0, "centre"))
    marks += _ends(brace)
    marks += [_outside(brace, n.at_mm, f"{n.kind}: {n.with_}", _TICK_MM + 1.6 + 1.4 * _TEXT_MM) for n in brace.notches]
    marks += _stations(brace)
    marks += _chord(brace, lengths)
    marks += _words(brace, hand, (low, high), lengths)
    return Drawing(
        f"form-{key_of(brace.name)}",
        f"bending form, {brace.name}",
        f"as it lies glue face down, seen from above: {end_words(brace, hand)} end on the right",
        "plan",
        tuple(marks),
    )


def _arc(brace: CarvedBrace, low: float, high: float, y: float, layer: str) -> Stroke:
    """A line beside the centre line, chords within a micrometre of it."""
    return Stroke(frozen_points(brace.course.point(brace.course.stations(low, high), y)), layer)


def _across(brace: CarvedBrace, s: float, layer: str, beyond_mm: float = 0.0) -> Stroke:
    half = brace.width_mm / 2 + beyond_mm
    return polyline([brace.course.at(s, -half), brace.course.at(s, half)], layer)


def _ends(brace: CarvedBrace) -> list[Stroke]:
    """The finished end faces and the walls of notches: true planes, so straight lines here."""
    half = brace.width_mm / 2
    ends = [
        [brace.course.at(at + end.shift_mm(y), y) for y in (-half, half)]
        for end, at in ((brace.start, 0.0), (brace.end, brace.length_mm))
    ]
    walls = [
        ([brace.course.at(n.walls(y)[i], y) for y in (-half, half)], "lap" if n.opens == "room" else "lap-far")
        for n in brace.notches
        for i in (0, 1)
    ]
    return [*(polyline(e, "cut") for e in ends), *(polyline(w, layer) for w, layer in walls)]


def _stations(brace: CarvedBrace) -> list[Mark]:
    """Ticks on both faces every 20 mm of the centre line, their stations outside the bend, clear of the chord."""
    marks: list[Mark] = []
    for s in np.arange(0.0, brace.length_mm + 1e-6, _STATION_MM):
        for side in (-1, 1):
            near, far = (brace.course.at(float(s), side * (brace.width_mm / 2 + d)) for d in (0.0, _TICK_MM))
            marks.append(polyline([near, far], "dim"))
        marks.append(_outside(brace, float(s), f"{s:.0f}", _TICK_MM + 0.9))
    return marks


def _outside(brace: CarvedBrace, s: float, text: str, away_mm: float) -> Label:
    """Words along the outer face, at a station, so far from it."""
    out = -1 if brace.radius_mm > 0 else 1
    x, y = brace.course.at(s, out * (brace.width_mm / 2 + away_mm + _TEXT_MM / 2))
    tx, ty = brace.course.heading_at(s)
    return Label(x + _TEXT_MM / 2 * ty, y - _TEXT_MM / 2 * tx, text, _TEXT_MM, degrees(atan2(ty, tx)), "middle", "dim")


def _chord(brace: CarvedBrace, lengths: Lengths) -> list[Mark]:
    """The chord of the centre line and its rise half way, with what they measure."""
    end, (x, top) = brace.course.at(brace.length_mm), brace.course.at(brace.length_mm / 2)
    outside = -1 if top > 0 else 1  # the arc lies on one side of the chord, its number on the other
    above = 1.2 if outside > 0 else -1.2 - _TEXT_MM
    return [
        polyline([(0.0, 0.0), end], "dim"),
        polyline([(x, 0.0), (x, top)], "dim"),
        Label(x, above, f"chord {lengths.cell(end[0])}", _TEXT_MM, anchor="middle", layer="dim"),
        Label(x + 1.5, top * 0.3 - _TEXT_MM / 2, f"rise {lengths.cell(abs(top))}", _TEXT_MM, layer="dim"),
    ]


def rise_mm(brace: CarvedBrace) -> float:
    """Return how far the centre line lies from its chord half way."""
    radius, chord = abs(brace.radius_mm), brace.course.at(brace.length_mm)[0]
    return radius - sqrt(radius**2 - chord**2 / 4)


def _words(brace: CarvedBrace, hand: Hand, reach: tuple[float, float], lengths: Lengths) -> list[Mark]:
    """Name, sizes and the use of the lines, on the side of the chord that the arc leaves free."""
    (low, high), say = reach, lengths.cell
    left = brace.course.at(low)[0]
    corners = brace.course.point(np.linspace(low, high, 65)[:, None], np.array([-0.5, 0.5]) * brace.width_mm)
    y = float(corners[..., 1].min()) - _TICK_MM - 13.0
    radius, half, count = abs(brace.radius_mm), brace.width_mm / 2, brace.blank.laminations_count
    outside = near_word(brace, hand) if brace.radius_mm > 0 else far_word(brace, hand)
    rise = rise_mm(brace)
    lines = [
        f"radius of the centre line {say(radius)}, of the form's faces {say(radius - half)} and {say(radius + half)}",
        f"it bows to the {outside}; right end to {end_words(brace, hand)}, left end to {end_words(brace, hand, False)}",
        f"{count} strips {say(brace.blank.length_mm)} × {lengths.cell(brace.blank.strip_mm, 2)} × "
        f"{say(brace.blank.height_mm)}, {brace.wood}",
        "saw two cauls to the heavy arcs, less what they are lined with",
        "keep glue off the form: film or waxed paper between",
        f"out of the form the rise falls by about {say(rise / count**2)}: {count} strips spring back by "
        f"1 part in {count**2}",
        "(bending theory, if the glue does not creep)",
        "ticks are stations of the centre line, the same as on the side view",
    ]
    marks: list[Mark] = [Label(left, y, brace.name, _NAME_MM, bold=True)]
    y -= BELOW_RATIO * _NAME_MM + ABOVE_RATIO * _TEXT_MM + 1.2
    for text in lines:
        marks.append(Label(left, y, text, _TEXT_MM))
        y -= _LINE_MM
    return marks
