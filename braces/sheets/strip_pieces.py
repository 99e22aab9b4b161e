"""The pieces of a centre strip, true size and flat on the bench, with what each end is sawn to."""

from __future__ import annotations

from collections.abc import Sequence

from braces.base.arrays import frozen_points
from braces.base.units import inch_text
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline
from braces.sheets.lettering import ABOVE_RATIO, text_width_mm
from braces.sheets.place_labels import block
from braces.sheets.words import two
from braces.workshop.book.lengths import Lengths
from braces.workshop.strips import StripCut, StripEnd

_PLAIN = Lengths()
_TEXT_MM = 2.5
_NAME_MM = 3.0
_GAP_MM = 9.0  #: between one piece and the next, with the words between them
_LINE_MM = 4.1
_ARROW_MM = 1.6
_END_GAP_MM = 3.0
_GRAIN_MM = 5.0  #: an arrow and its room take so much at each end
#: Longer pieces are drawn broken: their ends and their length say it all.
_LONGEST_MM = 170.0
_BREAK_MM = 3.0


def strip_drawings(cuts: Sequence[StripCut], lengths: Lengths = _PLAIN) -> tuple[Drawing, ...]:
    """Return a drawing for each plate that has a strip."""
    plates = dict.fromkeys(c.plate for c in cuts)
    return tuple(_drawing([c for c in cuts if c.plate == plate], lengths) for plate in plates)


def _drawing(cuts: Sequence[StripCut], lengths: Lengths) -> Drawing:
    plate = cuts[0].plate
    marks: list[Mark] = []
    y = 0.0
    left = max(text_width_mm(_end_words(c.tail_end), _TEXT_MM) for c in cuts) + _END_GAP_MM
    for cut in cuts:
        marks += _piece(cut, left, y, lengths)
        y -= cut.width_mm + _GAP_MM
    thick = sorted({lengths.cell(c.thickness_mm, 2) for c in cuts})
    most = max(abs(c.glue_mm - c.room_mm) for c in cuts)
    lines = [
        f"{cuts[0].wood}, {' or '.join(thick)} thick, {lengths.cell(cuts[0].width_mm)} wide; grain as the arrows run",
        "glue face down, tail to the left; lengths of the glue face, in brackets those of the face in the room",
        "a bevel is measured off square; sawn square, an end stands off its brace or block a little at one face",
        f"(the two faces of a piece differ by up to {two(most)})",
    ]
    words = block(lines, 0.0, y - len(lines) * _LINE_MM)
    marks += words
    face = f"face in the room of the {plate}'s strip, tail on the left"
    return Drawing(f"strip-{plate}", f"centre strip of the {plate}", face, "plan", tuple(marks))


def _piece(cut: StripCut, left: float, y: float, lengths: Lengths) -> list[Mark]:
    """One piece with its number, its lengths and its ends; ``y`` is its upper edge."""
    low = y - cut.width_mm
    drawn = min(cut.glue_mm, _LONGEST_MM)
    right, middle = left + drawn, (y + low) / 2
    marks: list[Mark] = []
    if cut.glue_mm <= _LONGEST_MM:
        marks.append(polyline([(left, low), (right, low), (right, y), (left, y)], "cut", closed=True))
    else:
        marks += _broken(left, right, low, y)
    base = middle - _TEXT_MM / 2
    marks.append(Label(left - _END_GAP_MM, base, _end_words(cut.tail_end), _TEXT_MM, anchor="end"))
    marks.append(Label(right + _END_GAP_MM, base, _end_words(cut.neck_end), _TEXT_MM))
    name = f"{cut.number}"
    size = f"{two(cut.glue_mm)} ({two(cut.room_mm)})"
    if lengths.inches:
        size += f" · {inch_text(cut.glue_mm)} in"
    wide, long = text_width_mm(name, _NAME_MM, bold=True), text_width_mm(size, _TEXT_MM)
    at = (left + right) / 2 if cut.glue_mm <= _LONGEST_MM else left + drawn / 4
    if wide + long + 3.0 + 2 * _GRAIN_MM < drawn:
        first = at - (wide + 3.0 + long) / 2
        marks.append(Label(first, base, name, _NAME_MM, bold=True))
        marks.append(Label(first + wide + 3.0, base, size, _TEXT_MM))
    else:  # a short piece has its lengths below it
        marks.append(Label(at, base, name, _NAME_MM, anchor="middle", bold=True))
        marks.append(Label(at, low - 1.5 - _TEXT_MM * ABOVE_RATIO, size, _TEXT_MM, anchor="middle"))
    for x in (left + 2.5, right - 2.5):
        marks += _grain(x, low + 1.5, y - 1.5)
    return marks


def _broken(left: float, right: float, low: float, high: float) -> list[Mark]:
    """The outline of a piece that is longer than it is drawn, with a break in its middle."""
    at = (left + right) / 2
    a, b = at - _BREAK_MM / 2, at + _BREAK_MM / 2
    third = (high - low) / 3
    zig = [(0.0, 0.0), (1.2, third), (-1.2, 2 * third), (0.0, 3 * third)]
    marks: list[Mark] = [
        polyline([(a, low), (left, low), (left, high), (a, high)], "cut"),
        polyline([(b, low), (right, low), (right, high), (b, high)], "cut"),
    ]
    return marks + [polyline([(x + dx, low + dy) for dx, dy in zig], "note") for x in (a, b)]


def _grain(x: float, low: float, high: float) -> list[Mark]:
    """An arrow with two heads across the piece."""
    heads = [
        frozen_points([(x - _ARROW_MM / 2, end - s * _ARROW_MM), (x, end), (x + _ARROW_MM / 2, end - s * _ARROW_MM)])
        for end, s in ((high, 1), (low, -1))
    ]
    return [polyline([(x, low), (x, high)], "grain"), *(Stroke(h, "grain") for h in heads)]


def _end_words(end: StripEnd) -> str:
    return f"{end.meets}: {end.words}"
