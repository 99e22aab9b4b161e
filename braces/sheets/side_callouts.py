"""What is said at the places of a side view: ends, laps, kerfs, high and low places, sections."""

from __future__ import annotations

from math import pi, radians, tan

import numpy as np

from braces.base.arrays import frozen_points
from braces.carved.values import CarvedBrace, EndCut, Notch
from braces.sheets.drawing import Label, Mark, Stroke, moved_mark, polyline
from braces.sheets.lettering import BELOW_RATIO, text_width_mm
from braces.sheets.place_labels import PITCH_RATIO, block, block_size
from braces.sheets.plan_view import circle
from braces.sheets.side_bands import Block
from braces.sheets.side_sections import section, section_places
from braces.sheets.side_shape import Which, blank_box, edge_z, end_x_mm, glue_z, notch_span_mm
from braces.sheets.spans import hatching
from braces.sheets.words import one, two

TEXT_MM = 2.5
RING_MM = 1.85
RING_ROOM_MM = 4.6  #: a ringed number and the blank after it
_HATCH_MM = 1.4
_SAME_PLACE_MM = 2.0
_MOST_STATIONS = 6
Line = tuple[int, str]  #: the number of a step, 0 for none, and words


def step_numbers(brace: CarvedBrace) -> dict[str, int]:
    """Return the order of work: the steps that this brace has, numbered from 1."""
    steps = ["glue", *(["notch"] if brace.notches else []), *(["relief"] if brace.relief_cuts else []), "carve"]
    return {step: i for i, step in enumerate(steps, 1)}


def ringed(number: int, x_mm: float, y_mm: float) -> tuple[Mark, ...]:
    """Return a bold number in a ring; (x, y) is the left end of the line of words it begins."""
    middle = (x_mm + RING_MM, y_mm + TEXT_MM / 2)
    return (circle(middle, RING_MM, "note", 36),
            Label(middle[0], y_mm, str(number), TEXT_MM, anchor="middle", bold=True))


def words_block(lines: list[Line], at: tuple[float, float], flush_right: bool = False) -> Block:
    """Return a block of lines about a place."""
    widths = [text_width_mm(text, TEXT_MM) + (RING_ROOM_MM if step else 0.0) for step, text in lines]
    width, height = max(widths), block_size(["x"] * len(lines), TEXT_MM)[1]
    marks: list[Mark] = []
    for i, ((step, text), own) in enumerate(zip(lines, widths, strict=True)):
        y = BELOW_RATIO * TEXT_MM + (len(lines) - 1 - i) * PITCH_RATIO * TEXT_MM
        x = width - own if flush_right else 0.0
        if step:
            marks += ringed(step, x, y)
        marks.append(Label(x + (RING_ROOM_MM if step else 0.0), y, text, TEXT_MM))
    return Block(tuple(marks), width, height, at)


def callouts(brace: CarvedBrace) -> list[Block]:
    """Return the words above a side view, each with the place it is about."""
    steps = step_numbers(brace)
    said: list[tuple[float, list[Line]]] = []

    def say(x: float, lines: list[Line]) -> None:
        for at, before in said:
            if abs(at - x) < _SAME_PLACE_MM:
                before.extend(lines)
                return
        said.append((x, lines))

    for x, text in feature_words(brace):
        say(_near_notch(brace, x), [(0, text)])
    for notch in brace.notches:
        say(sum(notch_span_mm(brace, notch, "near")) / 2, notch_lines(notch, steps["notch"]))
    for cut in brace.relief_cuts:
        say(cut.at_mm, [(steps["relief"], f"saw {one(cut.depth_mm)} deep, {one(cut.left_mm)} left")])
    for hollow in brace.hollows:
        say(hollow.at_mm, [(0, f"hollow radius {hollow.radius_mm:.0f}")])
    made = [words_block(lines, (x, _level(brace, x))) for x, lines in said]
    ends = [_end_block(brace, "start"), _end_block(brace, "end")]
    return [ends[0], *made, ends[1]]


def _near_notch(brace: CarvedBrace, x: float) -> float:
    """``x``, or the middle of the notch on the near face that it lies in: they share one block of words."""
    for notch in brace.notches:
        a, b = notch_span_mm(brace, notch, "near")
        if a <= x <= b:
            return (a + b) / 2
    return x


def _level(brace: CarvedBrace, x: float) -> float:
    """Where a leader from above ends: the carved edge, a kerf's top, or the floor of a notch that opens upwards."""
    if any(abs(c.at_mm - x) < _SAME_PLACE_MM for c in brace.relief_cuts):
        return blank_box(brace)[3]
    for notch in brace.notches:
        a, b = notch_span_mm(brace, notch, "near")
        if notch.opens == "room" and a <= x <= b:
            return notch.floor_z_mm
    return float(edge_z(brace, x))


def notch_lines(notch: Notch, step: int) -> list[Line]:
    """Return what a notch is and its sizes."""
    what = {"half-lap": "lap for", "strip": "notch over the", "inlet": "housing for"}.get(notch.kind, f"{notch.kind}:")
    return [
        (step, f"{what} {notch.with_}"),
        (0, f"opens to the {notch.opens}"),
        (0, f"{two(notch.width_mm)} wide, {one(notch.angle_deg)}°"),
        (0, f"{one(notch.depth_mm)} deep, {one(notch.left_mm)} left"),
    ]


def feature_words(brace: CarvedBrace) -> list[tuple[float, str]]:
    """Return the named places of a profile with their heights and their distances from the start."""
    high = next((f.at_mm for f in brace.features if f.kind == "top"), 0.0)
    stations = [f for f in brace.features if f.kind == "station"]
    words = []
    for f in brace.features:
        size = f"{one(f.height_mm)} at {one(f.at_mm)}"
        if f.kind == "top" and 1 < f.at_mm < brace.length_mm - 1:
            words.append((f.at_mm, f"high {size}"))
        elif f.kind in ("valley", "peak"):
            words.append((f.at_mm, f"{f.kind} {size}"))
        elif f.kind == "land":
            words.append((f.at_mm, f"full height {'to' if f.at_mm > high else 'from'} {one(f.at_mm)}"))
        elif f.kind == "station" and len(stations) <= _MOST_STATIONS:
            words.append((f.at_mm, size))
    return words


def _end_block(brace: CarvedBrace, which: Which) -> Block:
    x = end_x_mm(brace, which, "near")
    lines: list[Line] = [(0, text) for text in end_lines(brace, which)]
    return words_block(lines, (x, float(edge_z(brace, x))), flush_right=which == "end")


def end_lines(brace: CarvedBrace, which: Which) -> list[str]:
    """Return how an end is made, how long it is level, and the angle of its face."""
    end = brace.start if which == "start" else brace.end
    height = f"{one(end.height_mm)} high"
    first = {
        "tucked": f"tucked {one(end.reach_mm)} into the lining",
        "butted": f"butts {'the lining' if end.meets == 'lining' else end.meets}",
        "feathered": "feathered end",
    }.get(end.kind, "free end")
    if end.flat_mm > 0:
        edge = f"to {one(end.flat_mm)}" if which == "start" else f"from {one(brace.length_mm - end.flat_mm)}"
        height += f", level {edge}"
    return [first, height, face_words(brace, end, which)]


def face_words(brace: CarvedBrace, end: EndCut, which: Which) -> str:
    """Return the angle of an end face to the brace and which of its edges stands out, and how far."""
    run = brace.width_mm * tan(pi / 2 - radians(end.face_angle_deg))
    if abs(run) < 0.05:
        return "end face square"
    longer = "far" if (run < 0) == (which == "start") else "near"
    angle = min(end.face_angle_deg, 180 - end.face_angle_deg)
    return f"face {one(angle)}°, {longer} edge {one(abs(run))} longer"


def section_blocks(brace: CarvedBrace) -> list[Block]:
    """Return the sections with their labels."""
    return [section_block(brace, x) for x in section_places(brace)]


def section_block(brace: CarvedBrace, x_mm: float) -> Block:
    """Return a hatched section, true size, with its place over it."""
    shape = section(brace, x_mm)
    low, high = float(shape[:, 1].min()), float(shape[:, 1].max())
    label = f"section at {x_mm:.0f}"
    width = max(text_width_mm(label, TEXT_MM), brace.width_mm + 1)
    shape = shape + (width / 2, -low)
    words = moved_mark(block([label], 0, 0, TEXT_MM)[0], (width - text_width_mm(label, TEXT_MM)) / 2, high - low + 0.6)
    marks: tuple[Mark, ...] = (*hatching(shape, _HATCH_MM, "note"), Stroke(frozen_points(shape), "edge", closed=True),
                               words)
    size = high - low + 0.6 + block_size([label], TEXT_MM)[1]
    return Block(marks, width, size, (x_mm, _level(brace, x_mm)))


def section_marks(brace: CarvedBrace) -> list[Stroke]:
    """Return the planes of the sections through the side view."""
    return [polyline([(x, float(edge_z(brace, x))), (x, float(glue_z(brace, x)))], "centre") for x in section_places(brace)]


def bevel_rise_mm(brace: CarvedBrace) -> float:
    """Return how much taller the far side is than the near one."""
    return float(brace.width_mm * np.tan(radians(brace.bevel_deg)))
