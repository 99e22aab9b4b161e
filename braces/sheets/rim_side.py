"""The bent sides unrolled, true size: what to saw before the rim goes into the dish."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np

from braces.sheets.drawing import Drawing, Label, Mark, Stroke
from braces.sheets.lettering import ABOVE_RATIO, text_width_mm
from braces.sheets.rim_strip import (
    NAME_MM,
    TEXT_MM,
    Run,
    across,
    between,
    join_windows,
    names,
    short_lines,
    station_row,
    stations,
    upright,
)
from braces.sheets.words import Hand, one
from braces.workshop.book.lengths import Lengths
from braces.workshop.rim import Rim, Side, SideMark

_PLAIN = Lengths()
_OVER_MM = 2.0
_SAME_MM = 1.0  #: places nearer to each other than this are one
_WORDS_APART_MM = 4.2  #: words at lines nearer to each other than this stand one above the other
_LEVEL = "level: parallel to the mould's flat"


def side_drawings(rim: Rim, hand: Hand, lengths: Lengths = _PLAIN) -> tuple[Drawing, ...]:
    """Return the template of the sides: one if bass and treble are alike, else both, each seen from outside."""
    if rim.alike:
        return (_drawing(rim, rim.side("treble"), hand, lengths, both=True),)
    return tuple(_drawing(rim, s, hand, lengths, both=False) for s in rim.sides)


def _drawing(rim: Rim, side: Side, hand: Hand, lengths: Lengths, both: bool) -> Drawing:
    run = Run(1 if (side.name == "treble") == (hand == "right") else -1)
    name = "side, bass and treble" if both else f"side, {side.name}"
    shift = -float(side.back_z_mm.min())
    top, back = side.top_z_mm + shift, side.back_z_mm + shift
    spare, level = rim.spec.sanding_mm, shift + float(side.top_z_mm.min() + side.back_z_mm.max()) / 2
    lining = rim.lining_height_mm
    words = _places(run, side, shift, lining, lengths)
    marks: list[Mark] = [
        run.band(side.along_mm, back - spare, top + spare, "cut"),
        run.edge(side.along_mm, top, "glue"),
        run.edge(side.along_mm, back, "glue"),
        run.edge(side.along_mm, top - lining, "hidden"),
        run.edge(side.along_mm, back + lining, "hidden"),
        *_level_line(run, side.length_mm, level, words),
    ]
    marks += words
    every = stations(side.length_mm)
    tall = [float(np.interp(a, side.along_mm, side.height_mm)) for a in every]
    base = float((back - spare).min())
    numbers, under = station_row(run, every, tall, base, lengths)
    marks += numbers
    lines = [m.along_mm for m in side.marks]
    marks += names(run, lines, level + 2.2, name)
    room = between(lines, max(text_width_mm(_LEVEL, TEXT_MM), text_width_mm(name, NAME_MM, bold=True)))
    marks += [Label(run.x(at), level - 5.2, _LEVEL, TEXT_MM, anchor="middle") for at in room]
    turn = "; turn it over for the other side" if both else ""
    tail = "left" if run.sign > 0 else "right"
    face = f"outside of the {side.name} side, top up: tail on the {tail}{turn}"
    marks += _notes(rim, side, run, under, lengths, both, face)
    low, high = min(run.x(0.0), run.x(side.length_mm)), max(run.x(0.0), run.x(side.length_mm))
    key = "rim-side" if both else f"rim-side-{side.name}"
    return Drawing(key, name, face, "strip", tuple(marks), join_windows(marks, low, high))


def _level_line(run: Run, length_mm: float, level: float, words: list[Mark]) -> list[Stroke]:
    """The level line, broken where words that read upwards cross it."""
    crossed = [w.ink for w in words if isinstance(w, Label) and w.ink[1] - 1 < level < w.ink[3] + 1]
    gaps = [(min(a * run.sign, b * run.sign) - 0.5, max(a * run.sign, b * run.sign) + 0.5) for a, _, b, _ in crossed]
    along = np.array([-_OVER_MM, length_mm + _OVER_MM])
    return run.broken_edge(along, np.full(2, level), "centre", gaps)


def _places(run: Run, side: Side, shift: float, lining: float, lengths: Lengths) -> list[Mark]:
    marks: list[Mark] = []
    level, before = -inf, -inf  #: where the words before end, and how far along they stand
    for same in _together(side.marks):
        mark, names = same[0], " and ".join(m.kind for m in same)
        low, high = mark.back_z_mm + shift, mark.top_z_mm + shift
        marks.append(across(run, mark.along_mm, low, high))
        foot = low + lining + 2.0
        if mark.along_mm - before < _WORDS_APART_MM:
            foot = max(foot, level + 3.0)
        words = upright(run, mark.along_mm, foot, f"{names} {lengths.cell(mark.height_mm)}")
        if mark.kind == ("tail" if run.sign > 0 else "neck end"):
            # The words stand left of their line: here they would fall off the wood.
            words = replace(words, x_mm=run.x(mark.along_mm) + ABOVE_RATIO * TEXT_MM + 0.9)
        marks.append(words)
        level, before = words.ink[3], mark.along_mm
    return marks


def _together(marks: tuple[SideMark, ...]) -> list[list[SideMark]]:
    """Marks in groups that are one and the same place."""
    groups: list[list[SideMark]] = []
    for mark in marks:
        if groups and mark.along_mm - groups[-1][-1].along_mm < _SAME_MM:
            groups[-1].append(mark)
        else:
            groups.append([mark])
    return groups


def _notes(rim: Rim, side: Side, run: Run, under: float, lengths: Lengths, both: bool, face: str) -> list[Mark]:
    """Words under the stations: what the lines are and what is measured."""
    lines = [
        f"Seen: {face}.",
        f"Cut line: {lengths.cell(rim.spec.sanding_mm)} over the glue edge on both edges, left for sanding in the "
        "dish. Fine line inside it: glue edge.",
        f"Length {lengths.cell(side.length_mm)} along the middle of the side's thickness; outside of the bent side "
        f"{lengths.cell(side.outside_mm)}, inside {lengths.cell(side.inside_mm)}.",
        "Heights: upright, between the inner faces of top and back over the outside of the side; its inner edge is up "
        f"to {lengths.cell(side.inner_higher_mm)} higher.",
        "Leave both ends over-long until the joints are fitted. Dashed: linings.",
    ]
    for mark in side.marks:
        if mark.kind == "corner":
            lines.append(
                f"A true corner {lengths.cell(mark.along_mm)} from the tail is not bent: the side is two pieces that "
                f"meet there in a mitre, each sawn {one(mark.mitre_deg)}° off square; leave both over-long."
            )
    if not both:
        lines.append(f"Bass and treble differ by up to {lengths.cell(rim.differ_mm)}: mark which is which.")
    left = min(run.x(0.0), run.x(side.length_mm))
    return short_lines(lines, left, under)
