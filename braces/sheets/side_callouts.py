"""What is said at the places of a side view: ends, laps, kerfs, high and low places, sections."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from math import pi, radians, tan

import numpy as np

from braces.base.arrays import frozen_points
from braces.carved.values import CarvedBrace, EndCut, Notch
from braces.placed.values import PlacedBrace
from braces.sheets.drawing import Label, Mark, Stroke, moved_mark, polyline
from braces.sheets.lettering import BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import PITCH_RATIO, block, block_size
from braces.sheets.side_bands import Block
from braces.sheets.side_sections import mostly_level, section, section_places
from braces.sheets.side_shape import Which, blank_box, edge_z, end_x_mm, glue_z, notch_span_mm
from braces.sheets.spans import hatching
from braces.sheets.unrolled import station_mm
from braces.sheets.words import one
from braces.workshop.book.lengths import Lengths

TEXT_MM = 2.5
_PLAIN = Lengths()
_HATCH_MM = 1.4
_SAME_PLACE_MM = 2.0
_MOST_STATIONS = 6
_LEAST_BEVEL_MM = 0.005
_MANY_NOTCHES = 2  #: more than these say once what they have in common
Line = tuple[int, str]  #: the number of a step, 0 for none, and words


def step_numbers(brace: CarvedBrace) -> dict[str, int]:
    """Return the order of work: the steps that this brace has, numbered from 1."""
    steps = ["glue", *(["notch"] if brace.notches else []), *(["relief"] if brace.relief_cuts else []), "carve"]
    return {step: i for i, step in enumerate(steps, 1)}


def words_block(lines: list[Line], at: tuple[float, float], flush_right: bool = False) -> Block:
    """Return a block of lines about a place."""
    widths = [Label(0.0, 0.0, text, TEXT_MM, step=step).width_mm for step, text in lines]
    width, height = max(widths), block_size(["x"] * len(lines), TEXT_MM)[1]
    marks: list[Mark] = []
    for i, ((step, text), own) in enumerate(zip(lines, widths, strict=True)):
        y = BELOW_RATIO * TEXT_MM + (len(lines) - 1 - i) * PITCH_RATIO * TEXT_MM
        x = width - own if flush_right else 0.0
        marks.append(Label(x, y, text, TEXT_MM, step=step))
    return Block(tuple(marks), width, height, at)


def callouts(
    brace: CarvedBrace,
    placed: PlacedBrace,
    more: Iterable[tuple[float, list[Line]]] = (),
    lengths: Lengths = _PLAIN,
) -> list[Block]:
    """Return the words above a side view, each with the place it is about; ``more`` are of what lies on the brace."""
    said: list[tuple[float, list[Line]]] = []
    for x, lines in (
        *_feature_lines(brace, lengths),
        *_notch_lines(brace, lengths),
        *_relief_lines(brace, lengths),
        *more,
    ):
        near = next((before for at, before in said if abs(at - x) < _SAME_PLACE_MM), None)
        if near is None:
            said.append((x, lines))
        else:
            near.extend(lines)
    made = [words_block(lines, (x, level_mm(brace, x))) for x, lines in said]
    ends = [_end_block(brace, placed, which, lengths) for which in ("start", "end")]
    return [ends[0], *made, ends[1]]


def _feature_lines(brace: CarvedBrace, lengths: Lengths) -> list[tuple[float, list[Line]]]:
    return [(_in_notch(brace, x), [(0, text)]) for x, text in feature_words(brace, lengths)]


def _notch_lines(brace: CarvedBrace, lengths: Lengths) -> list[tuple[float, list[Line]]]:
    step = step_numbers(brace).get("notch", 0)
    usual = usual_size(brace, lengths)
    lines = []
    for notch in brace.notches:
        sizes = size_words(notch, brace.width_mm, lengths)
        name = notch.with_ if sizes == usual else notch_name(notch)
        at = lengths.cell(station_mm(brace, notch.at_mm))
        more: list[Line] = [(0, f"at {at}")] if sizes == usual else [(0, text) for text in sizes]
        lines.append((sum(notch_span_mm(brace, notch, "near")) / 2, [(step, name), *more]))
    return lines


def _relief_lines(brace: CarvedBrace, lengths: Lengths) -> list[tuple[float, list[Line]]]:
    step = step_numbers(brace).get("relief", 0)
    lines: list[tuple[float, list[Line]]] = [
        (cut.at_mm, [(step, f"saw {lengths.cell(cut.depth_mm)} deep, {lengths.cell(cut.left_mm)} left")])
        for cut in brace.relief_cuts
    ]
    return lines + [(hollow.at_mm, [(0, f"hollow radius {hollow.radius_mm:.0f}")]) for hollow in brace.hollows]


def _in_notch(brace: CarvedBrace, x: float) -> float:
    """``x``, or the middle of the notch on the near face that it lies in: they share one block of words."""
    for notch in brace.notches:
        a, b = notch_span_mm(brace, notch, "near")
        if a <= x <= b:
            return (a + b) / 2
    return x


def level_mm(brace: CarvedBrace, x: float) -> float:
    """Where a leader from above ends: the carved edge, a kerf's top, or the floor of a notch that opens upwards."""
    if any(abs(c.at_mm - x) < _SAME_PLACE_MM for c in brace.relief_cuts):
        return blank_box(brace)[3]
    for notch in brace.notches:
        a, b = notch_span_mm(brace, notch, "near")
        if notch.opens == "room" and a <= x <= b:
            return notch.floor_z_mm
    return float(edge_z(brace, x))


def notch_name(notch: Notch) -> str:
    """Return what a notch is for."""
    named = {"half-lap": "lap for ", "strip": "notch over the ", "inlet": "housing for "}
    return f"{named[notch.kind]}{notch.with_}" if notch.kind in named else notch.kind


def size_words(notch: Notch, width_mm: float, lengths: Lengths = _PLAIN) -> tuple[str, ...]:
    """Return which way a notch opens and its sizes, line by line."""
    angle = "square" if abs(notch.angle_deg - 90) < 0.05 else f"{one(notch.angle_deg)}°"
    half = width_mm / 2
    part: tuple[str, ...] = ()
    if notch.y_from_mm > -half + 1e-6:
        part = (f"let {lengths.cell(half - notch.y_from_mm)} into the far face",)
    elif notch.y_to_mm < half - 1e-6:
        part = (f"let {lengths.cell(notch.y_to_mm + half)} into the near face",)
    return (
        f"opens to the {notch.opens}",
        *part,
        f"{lengths.cell(notch.width_mm, 2)} wide, {angle}",
        f"{lengths.cell(notch.depth_mm)} deep, {lengths.cell(notch.left_mm)} left",
    )


def usual_size(brace: CarvedBrace, lengths: Lengths = _PLAIN) -> tuple[str, ...] | None:
    """Return the words that most notches of a brace with many have in common, or None if it has few."""
    if len(brace.notches) <= _MANY_NOTCHES:
        return None
    found = Counter(size_words(n, brace.width_mm, lengths) for n in brace.notches if n.kind == "half-lap").most_common(
        1
    )
    return found[0][0] if found and found[0][1] > 1 else None


def feature_words(brace: CarvedBrace, lengths: Lengths = _PLAIN) -> list[tuple[float, str]]:
    """Return the named places of a profile with their heights and their distances from the start."""
    high = next((f.at_mm for f in brace.features if f.kind == "top"), 0.0)
    inner = 1 < high < brace.length_mm - 1 and not mostly_level(brace)
    stations = [f for f in brace.features if f.kind == "station"]
    words = []
    for f in brace.features:
        at = lengths.cell(station_mm(brace, f.at_mm))
        size = f"{lengths.cell(f.height_mm)} at {at}"
        if f.kind == "top" and inner:
            words.append((f.at_mm, f"high {size}"))
        elif f.kind in ("valley", "peak"):
            words.append((f.at_mm, f"{f.kind} {size}"))
        elif f.kind == "land" and inner:
            words.append((f.at_mm, f"full height {'to' if f.at_mm > high else 'from'} {at}"))
        elif f.kind == "station" and len(stations) <= _MOST_STATIONS:
            words.append((f.at_mm, size))
    return words


def _end_block(brace: CarvedBrace, placed: PlacedBrace, which: Which, lengths: Lengths) -> Block:
    x = end_x_mm(brace, which, "near")
    lines: list[Line] = [(0, text) for text in end_lines(brace, placed, which, lengths)]
    return words_block(lines, (x, float(edge_z(brace, x))), flush_right=which == "end")


def end_lines(brace: CarvedBrace, placed: PlacedBrace, which: Which, lengths: Lengths = _PLAIN) -> list[str]:
    """Return how an end is made, how long it is level, and the angle of its face."""
    end, inlet_mm = (brace.start, placed.start.inlet_mm) if which == "start" else (brace.end, placed.end.inlet_mm)
    other = "the lining" if end.meets == "lining" else end.meets
    first = {
        "tucked": f"tucked {lengths.cell(end.reach_mm)} into the lining",
        "butted": f"let {lengths.cell(inlet_mm)} into {other}" if inlet_mm > 0 else f"butts {other}",
        "feathered": "feathered end",
    }.get(end.kind, "free end")
    level = level_to_mm(brace, which)
    at = "" if level is None else lengths.cell(station_mm(brace, level))
    words = "" if level is None else f", level {'to' if which == 'start' else 'from'} {at}"
    return [first, f"{lengths.cell(end.height_mm)} high{words}", face_words(brace, end, which, lengths)]


def level_to_mm(brace: CarvedBrace, which: Which) -> float | None:
    """Return where the level stretch at an end stops: its low flat, or the land of a brace highest there."""
    end, at = (brace.start, 0.0) if which == "start" else (brace.end, brace.length_mm)
    if end.flat_mm > 0:
        return abs(at - end.flat_mm)
    if any(f.kind == "top" and abs(f.at_mm - at) <= 1 for f in brace.features):
        return next((f.at_mm for f in brace.features if f.kind == "land"), None)
    return None


def face_words(brace: CarvedBrace, end: EndCut, which: Which, lengths: Lengths = _PLAIN) -> str:
    """Return the angle of an end face to the brace and which of its edges stands out, and how far."""
    run = brace.width_mm * tan(pi / 2 - radians(end.face_angle_deg))
    if abs(run) < 0.05:
        return "end face square"
    longer = "far" if (run < 0) == (which == "start") else "near"
    angle = min(end.face_angle_deg, 180 - end.face_angle_deg)
    return f"face {one(angle)}°, {longer} edge {lengths.cell(abs(run))} longer"


def section_blocks(brace: CarvedBrace) -> list[Block]:
    """Return the sections with their labels."""
    return [section_block(brace, x) for x in section_places(brace)]


def section_block(brace: CarvedBrace, x_mm: float) -> Block:
    """Return a hatched section, true size, with its place over it."""
    shape = section(brace, x_mm)
    low, high = float(shape[:, 1].min()), float(shape[:, 1].max())
    label = f"section at {station_mm(brace, x_mm):.0f}"
    words_width = text_width_mm(label, TEXT_MM)
    width = max(words_width, brace.width_mm + 1)
    shape = shape + np.array((width / 2, -low))
    words = moved_mark(block([label], 0, 0, TEXT_MM)[0], (width - words_width) / 2, high - low + 0.6)
    marks = (*hatching(shape, _HATCH_MM, "hatch"), Stroke(frozen_points(shape), "edge", closed=True), words)
    size = high - low + 0.6 + block_size([label], TEXT_MM)[1]
    return Block(marks, width, size, (x_mm, level_mm(brace, x_mm)))


def section_marks(brace: CarvedBrace) -> list[Stroke]:
    """Return the planes of the sections through the side view."""
    return [
        polyline([(x, float(edge_z(brace, x))), (x, float(glue_z(brace, x)))], "centre") for x in section_places(brace)
    ]


def bevel_rise_mm(brace: CarvedBrace) -> float:
    """Return how much taller the far side is than the near one, at the belly of the arch."""
    return brace.width_mm * tan(radians(brace.bevel_deg))


def bevel_words(brace: CarvedBrace, near: str, far: str, lengths: Lengths = _PLAIN) -> str:
    """Return the tilt of the glue face across the brace and which of its sides, so named, is the taller."""
    rise = bevel_rise_mm(brace)
    if abs(rise) < _LEAST_BEVEL_MM:
        return "no bevel"
    return f"bevel {one(abs(brace.bevel_deg))}°, {far if rise > 0 else near} {lengths.cell(abs(rise), 2)} taller"
