"""The page that shows how the top moves under the strings: lines of equal movement over its plan."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from braces.base.arrays import Points
from braces.mechanics.ranges import bound
from braces.mechanics.values import Shape, Strength
from braces.sheets.drawing import Box, Label, Mark, Stroke, polyline
from braces.sheets.page import Placement
from braces.sheets.place_labels import Note, Room
from braces.sheets.strength_block import paragraph, stacked
from braces.sheets.strength_field import clear_cut, contours, cut_out, ends, field, levels, nice_step
from braces.sheets.strength_leaf import Folder, Leaf
from braces.sheets.strength_numbers import UNMEASURED, fixed, percent, signed, span
from braces.sheets.strength_plan import THIN, Plate, PlateMap, thin_drawing
from braces.sheets.words import plan_face, side_of

TITLE: Final = "how the top moves under the strings"
#: Pens: outward, inward, not moved.
_OUT, _IN, _STILL = "edge", "hidden", "heavy"
_TEXT_MM, _PEAK_MM, _SIDE_MM = 2.5, 3.5, 3.5
_WORDS_GAP_MM = 4.0
_CROSS_MM = 1.6
#: A line shorter than this many of its label's widths carries none.
_LEAST_WIDTHS = 3.5
_LEAST_LINE_MM = 10.0  #: shorter lines only smudge the cross on a peak
#: A still line counts if the plate moves by so much of its most so near to it.
_NEAR_MM, _NEAR_LEAST = 12.0, 0.03
_TRY_EVERY_MM = 2.0
_CUT_CLEAR_MM = 0.6
_APART_MM = 12.0  #: labels of lines stay so far from each other where they can


@dataclass(frozen=True, slots=True, eq=False)
class _Line:
    level_mm: float
    points: Points  #: on the page

    @property
    def length_mm(self) -> float:
        return float(np.hypot(*np.diff(self.points, axis=0).T).sum())

    @property
    def layer(self) -> str:
        if self.level_mm == 0:
            return _STILL
        return _OUT if self.level_mm > 0 else _IN


def deflection_leaf(strength: Strength, plate: Plate, folder: Folder) -> Leaf | None:
    """Return the page, or None if nothing was loaded."""
    shape = strength.top.deflection
    if shape is None:
        return None
    face = plan_face("top", plate.view.carved.placed.design.handed)
    window = folder.window(TITLE, face)
    (low, _), (high, _) = ends(shape)
    step = nice_step(min(low, 0.0), max(high, 0.0))
    words = stacked([paragraph(text, window[2] - window[0]) for text in _words(strength, shape, step)], 1.4)
    where = plate.fitted((window[0], window[1] + words.height_mm + _WORDS_GAP_MM, window[2], window[3]))
    lines = _lines(shape, step, plate, where)
    fixed_marks = [*plate.edges(where), *_sides(plate, where, window)]
    labels = _labels(lines, shape, step, where, fixed_marks)
    holes = [_hole(label) for label in labels]
    marks: list[Mark] = [*fixed_marks, *_crosses(shape, where), *labels]
    for line in lines:
        marks += [Stroke(p, line.layer) for p in cut_out([line.points], False, holes) if len(p) > 1]
    thin = [
        Stroke(p, THIN[0]) for p in cut_out([where.on_page(loop) for loop in (*plate.thin, plate.lining)], True, holes)
    ]
    marks += words.at(window[0], window[1] + words.height_mm)
    return Leaf(TITLE, face, False, tuple(marks), (Placement(thin_drawing("under", thin), 0, 0, window, 1.0, THIN),))


def _words(strength: Strength, shape: Shape, step: float) -> Iterator[str]:
    top, load = strength.top, strength.load
    sure = bound(strength, "deflection")
    (low, _), (high, _) = ends(shape)
    digits = _peak_digits(step)
    yield (
        f"One line for every {step:g} mm. Whole lines: outward, away from the box. Dashed: inward. Heavy: not moved. "
        f"Most outward {signed(high, digits)} mm ({span(high, sure, digits, 'mm')}), "
        f"most inward {signed(low, digits)} mm ({span(low, sure, digits, 'mm')})."
    )
    if top.bridge_turn_deg is not None and top.bridge_rise_mm is not None:
        yield (
            f"The bridge turns {fixed(top.bridge_turn_deg, 2)}° towards the neck "
            f"({span(top.bridge_turn_deg, bound(strength, 'bridge turn'), 2, '°')}) and its middle moves "
            f"{signed(top.bridge_rise_mm, 2)} mm ({span(top.bridge_rise_mm, sure, 2, 'mm')}), + outward."
        )
    range_words = (
        UNMEASURED
        if sure is None
        else (f"ranges of movement: {percent(max(sure.low_ratio, sure.high_ratio))} %, root mean square over the plate")
    )
    yield (
        f"{load.total_n:.0f} N of string pull (set “{load.set_name}”), {load.height_mm:g} mm above the top; "
        f"{range_words}. What moves at once: wood under a load that stays goes on creeping."
    )


def _digits(step: float) -> int:
    """Decimals that write every multiple of a step."""
    return max(0, len(f"{step:.6f}".rstrip("0").partition(".")[2]))


def _peak_digits(step: float) -> int:
    """Decimals of the extremes: two at least."""
    return max(2, _digits(step))


def _lines(shape: Shape, step: float, plate: Plate, where: PlateMap) -> list[_Line]:
    smooth, region = field(shape), plate.region(to_lining=False)
    inner = plate.region(to_lining=True)
    (low, _), (high, _) = ends(shape)
    out = []
    for level in levels(low, high, step):
        # Over the lining the plate hardly moves, and where nought runs there means nothing.
        for line in contours(smooth, level, inner if level == 0 else region):
            if level == 0 and not clear_cut(smooth, line, _NEAR_MM, _NEAR_LEAST * max(-low, high)):
                continue
            drawn = _Line(level, where.on_page(line))
            if drawn.length_mm > _LEAST_LINE_MM:
                out.append(drawn)
    return out


def _labels(lines: Sequence[_Line], shape: Shape, step: float, where: PlateMap, marks: Iterable[Mark]) -> list[Label]:
    """Return the heights on the lines, and those of the two extremes."""
    room = Room([m for m in marks if isinstance(m, Stroke)])
    for mark in marks:
        if isinstance(mark, Label):
            room.add(Note((mark,)))
    crosses = _crosses(shape, where)
    room.add_strokes(crosses)
    others = [Stroke(line.points, line.layer) for line in lines]
    chosen = []
    for value, place in ends(shape):
        label = _beside(room, others, where.on_page(place[None])[0], signed(value, _peak_digits(step)))
        if label is not None:
            room.add(Note((label,)))
            chosen.append(label)
    for k, line in enumerate(lines):
        label = _on_line(room, others[:k] + others[k + 1 :], line, _digits(step), chosen)
        if label is not None:
            room.add(Note((label,)))
            chosen.append(label)
    return chosen


def _beside(room: Room, lines: Sequence[Stroke], at: Points, text: str) -> Label | None:
    """Return words beside a point, off all lines if that can be."""
    full = room.around((at[0] - 40, at[1] - 20, at[0] + 40, at[1] + 20))
    full.add_strokes(lines)
    for there in (full, room):
        for dx, dy in itertools.product((2.4, -2.4, 0.0), (-_PEAK_MM / 2, 2.4, -2.4 - _PEAK_MM)):
            anchor = "start" if dx > 0 else "end" if dx < 0 else "middle"
            label = Label(at[0] + dx, at[1] + dy, text, _PEAK_MM, anchor=anchor, bold=True)  # type: ignore[arg-type]
            if there.fits(Note((label,)), clear_mm=0.3):
                return label
    return None


def _on_line(room: Room, others: Sequence[Stroke], line: _Line, digits: int, taken: Sequence[Label]) -> Label | None:
    """Return the height of a line, standing in it where no other line runs and other heights are far."""
    steps = np.hypot(*np.diff(line.points, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    text = "0" if line.level_mm == 0 else fixed(line.level_mm, digits)
    width = Label(0, 0, text, _TEXT_MM).width_mm
    if along[-1] < _LEAST_WIDTHS * width:
        return None
    there = room.around((*(line.points.min(axis=0) - 10), *(line.points.max(axis=0) + 10)))
    there.add_strokes(others)
    best, least = None, np.inf
    for s in np.arange(0.0, along[-1], _TRY_EVERY_MM):
        x, y = (float(np.interp(s, along, line.points[:, i])) for i in (0, 1))
        cost = sum(max(0.0, _APART_MM - float(np.hypot(x - t.x_mm, y - t.y_mm))) for t in taken)
        cost += 1e-3 * abs(s - along[-1] / 2)
        label = Label(x, y - _TEXT_MM / 2, text, _TEXT_MM, anchor="middle")
        if cost < least and there.fits(Note((label,)), clear_mm=0.4):
            best, least = label, cost
    return best


def _crosses(shape: Shape, where: PlateMap) -> list[Stroke]:
    out = []
    for _, place in ends(shape):
        x, y = where.on_page(place[None])[0]
        out.append(polyline([(x - _CROSS_MM, y), (x + _CROSS_MM, y)], "note"))
        out.append(polyline([(x, y - _CROSS_MM), (x, y + _CROSS_MM)], "note"))
    return out


def _sides(plate: Plate, where: PlateMap, window: Box) -> list[Mark]:
    """Return which side is which, beside the waist."""
    x0, _, x1, _ = window
    waist = plate.view.carved.placed.design.body.waist.at_mm
    y = float(where.on_page(np.array([[0.0, waist]]))[0, 1])
    hand = plate.view.carved.placed.design.handed
    left, right = side_of(-plate.view.flip, hand), side_of(plate.view.flip, hand)
    return [
        Label(x0, y, left, _SIDE_MM, bold=True),
        Label(x1, y, right, _SIDE_MM, anchor="end", bold=True),
    ]


def _hole(label: Label) -> Any:
    import shapely

    x0, y0, x1, y1 = label.ink
    return shapely.box(x0 - _CUT_CLEAR_MM, y0 - _CUT_CLEAR_MM, x1 + _CUT_CLEAR_MM, y1 + _CUT_CLEAR_MM)
