"""The rim strips: paper tapes for the inside of the linings with every pocket on them, true size."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Floats
from braces.base.units import inch_text
from braces.sheets.drawing import Box, Drawing, Label, Mark, polyline
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.rim_strip import (
    LINE_MM,
    TEXT_MM,
    Run,
    across,
    join_windows,
    names,
    short_lines,
    station_row,
    stations,
    upright,
)
from braces.sheets.words import Hand, one
from braces.workshop.book.lengths import Lengths
from braces.workshop.tape import Tape, TapePocket

_PLAIN = Lengths()
_ASIDE = (0, *(s * k for k in range(1, 9) for s in (1, -1)))  #: lines that words are moved by to find room


def tape_drawings(tapes: tuple[Tape, Tape], hand: Hand, lengths: Lengths = _PLAIN) -> tuple[Drawing, ...]:
    """Return the tape of each side as it is read standing inside the box, the top's edge up."""
    return tuple(_drawing(t, hand, lengths) for t in tapes)


def _drawing(tape: Tape, hand: Hand, lengths: Lengths) -> Drawing:
    # Seen from inside with the top up, the treble side of a right-handed body has its tail on the right.
    run = Run(-1 if (tape.side == "treble") == (hand == "right") else 1)
    shift = -float(tape.back_z_mm.min())
    within = (tape.along_mm >= tape.tail_block_mm) & (tape.along_mm <= tape.neck_block_mm)
    along = np.concatenate([[tape.tail_block_mm], tape.along_mm[within], [tape.neck_block_mm]])
    top = np.interp(along, tape.along_mm, tape.top_z_mm) + shift
    back = np.interp(along, tape.along_mm, tape.back_z_mm) + shift
    name = f"rim strip, {tape.side}"
    marks: list[Mark] = [run.band(along, back, top, "cut")]
    marks += [_pocket(run, tape, p, shift) for p in tape.pockets]
    marks += _ends(run, tape, shift, lengths)
    words = _pocket_words(run, tape, shift, lengths, [m.ink for m in marks if isinstance(m, Label)])
    marks += words
    gaps = [_stretch(run, m.ink) for m in words]
    for line in (top - tape.lining_height_mm, back + tape.lining_height_mm):
        marks += run.broken_edge(along, line, "hidden", _crossed(words, gaps, along, line))
    middle = float(top.min() + back.max()) / 2
    lines = sorted([tape.tail_block_mm, *(e for g in gaps for e in g), tape.neck_block_mm])
    marks += names(run, lines, middle - 1.7, name)
    base = float(back.min())
    every = [a for a in stations(tape.neck_block_mm) if a > tape.tail_block_mm]
    tall = [float(np.subtract(*tape.at(a))) for a in every]
    numbers, under = station_row(run, every, tall, base, lengths)
    marks += numbers
    low, high = sorted((run.x(tape.tail_block_mm), run.x(tape.neck_block_mm)))
    tail = "left" if run.sign > 0 else "right"
    face = f"inside of the {tape.side} linings, seen from inside the box, top up: tail on the {tail}"
    marks += short_lines([f"Seen: {face}.", *_notes(tape)], low, under)
    spans = [(min(run.x(p.from_mm), run.x(p.to_mm)), max(run.x(p.from_mm), run.x(p.to_mm))) for p in tape.pockets]
    return Drawing(f"rim-strip-{tape.side}", name, face, "strip", tuple(marks), join_windows(marks, low, high, spans))


def _stretch(run: Run, ink: Box) -> tuple[float, float]:
    """Lengths along the side between which words stand."""
    return (ink[0], ink[2]) if run.sign > 0 else (-ink[2], -ink[0])


def _crossed(
    words: list[Label], gaps: list[tuple[float, float]], along: Floats, line: Floats
) -> list[tuple[float, float]]:
    """Stretches of a line that words cross, with a little air."""
    out = []
    for label, (a, b) in zip(words, gaps, strict=True):
        level = float(np.interp((a + b) / 2, along, line))
        if label.ink[1] - 1 < level < label.ink[3] + 1:
            out.append((a - 0.5, b + 0.5))
    return out


def _pocket(run: Run, tape: Tape, pocket: TapePocket, shift: float) -> Mark:
    """The pocket's outline against its edge."""
    at = np.array([pocket.from_mm, pocket.to_mm])
    edge, floor = _levels(tape, pocket, shift)
    return run.band(at, np.minimum(edge, floor), np.maximum(edge, floor), "cut")


def _levels(tape: Tape, pocket: TapePocket, shift: float) -> tuple[Floats, Floats]:
    """Heights of a pocket's edge and of its floor at both its ends."""
    top = pocket.plate == "top"
    edge = np.array([tape.at(a)[0 if top else 1] for a in (pocket.from_mm, pocket.to_mm)]) + shift
    return edge, edge - pocket.height_mm if top else edge + pocket.height_mm


def _pocket_words(run: Run, tape: Tape, shift: float, lengths: Lengths, taken: list[Box]) -> list[Label]:
    """Name and sizes of each pocket, reading upwards from its floor to the middle, moved aside where others stand."""
    out: list[Label] = []
    for pocket in tape.pockets:
        _, floor = _levels(tape, pocket, shift)
        words = [
            f"{pocket.number} {pocket.brace}",
            f"{one(pocket.from_mm)} to {one(pocket.to_mm)}",
            f"{one(pocket.height_mm)} high {one(pocket.reach_mm)} deep",
        ]
        if lengths.inches:
            words.insert(2, f"({inch_text(pocket.from_mm)} to {inch_text(pocket.to_mm)} in)")
            words.append(f"({inch_text(pocket.height_mm)} and {inch_text(pocket.reach_mm)} in)")
        longest = max(text_width_mm(w, TEXT_MM, bold=k == 0) for k, w in enumerate(words))
        start = float(floor.min()) - longest - 1.5 if pocket.plate == "top" else float(floor.max()) + 1.5
        first = (
            run.x((pocket.from_mm + pocket.to_mm) / 2)
            - (len(words) - 1) / 2 * LINE_MM
            + (ABOVE_RATIO - BELOW_RATIO) * TEXT_MM / 2
        )
        for step in _ASIDE:
            labels = [
                Label(first + (k + step) * LINE_MM, start, text, TEXT_MM, 90.0, bold=k == 0)
                for k, text in enumerate(words)
            ]
            if not any(_touch(label.ink, box) for label in labels for box in taken):
                break
        out += labels
        taken = [*taken, *(label.ink for label in labels)]
    return out


def _touch(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _ends(run: Run, tape: Tape, shift: float, lengths: Lengths) -> list[Mark]:
    marks: list[Mark] = []
    for at, name in ((tape.tail_block_mm, "tail block"), (tape.neck_block_mm, "neck block")):
        top, back = tape.at(at)
        text = f"this end against the {name}: {lengths.cell(at)} from the tail's centre line"
        if text_width_mm(text, TEXT_MM) > top - back - 4:
            text = f"against the {name}, at {lengths.cell(at)}"
        right = (name == "neck block") == (run.sign > 0)
        if right:
            marks.append(upright(run, at, back + shift + 2.0, text))
        else:
            x = run.x(at) + ABOVE_RATIO * TEXT_MM + 0.9
            marks.append(Label(x, back + shift + 2.0, text, TEXT_MM, 90.0))
    if tape.tail_block_mm > 0:
        top, back = tape.at(0.0)
        marks.append(across(run, 0.0, back + shift, top + shift))
        marks.append(polyline([(run.x(0.0), back + shift + 6), (run.x(tape.tail_block_mm), back + shift + 6)], "dim"))
    return marks


def _notes(tape: Tape) -> list[str]:
    return [
        "Cut along the outline, set the tail end against the block and press the strip to the linings; "
        "its edges are the inner faces of top and back.",
        "Lengths run along the face of the linings from the centre line at the tail (long-dashed). "
        "Dashed: lower edges of the linings.",
        f"{len(tape.pockets)} pockets, numbered as on the plans; knife their outlines through the paper.",
    ]
