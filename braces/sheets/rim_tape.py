"""The rim strips: paper tapes for the inside of the linings with every pocket on them, true size."""

from __future__ import annotations

import numpy as np

from braces.sheets.drawing import Drawing, Label, Mark, polyline
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
from braces.workshop.tape import Tape, TapePocket


def tape_drawings(tapes: tuple[Tape, Tape], hand: Hand) -> tuple[Drawing, ...]:
    """Return the tape of each side as it is read standing inside the box, the top's edge up."""
    return tuple(_drawing(t, hand) for t in tapes)


def _drawing(tape: Tape, hand: Hand) -> Drawing:
    # Seen from inside with the top up, the treble side of a right-handed body has its tail on the right.
    run = Run(-1 if (tape.side == "treble") == (hand == "right") else 1)
    shift = -float(tape.back_z_mm.min())
    within = (tape.along_mm >= tape.tail_block_mm) & (tape.along_mm <= tape.neck_block_mm)
    along = np.concatenate([[tape.tail_block_mm], tape.along_mm[within], [tape.neck_block_mm]])
    top = np.interp(along, tape.along_mm, tape.top_z_mm) + shift
    back = np.interp(along, tape.along_mm, tape.back_z_mm) + shift
    name = f"rim strip, {tape.side}"
    marks: list[Mark] = [
        run.band(along, back, top, "cut"),
        *run.broken_edge(along, top - tape.lining_height_mm, "hidden", _worded(tape, "top")),
        *run.broken_edge(along, back + tape.lining_height_mm, "hidden", _worded(tape, "back")),
    ]
    for pocket in tape.pockets:
        marks += _pocket(run, tape, pocket, shift)
    marks += _ends(run, tape, shift)
    middle = float(top.min() + back.max()) / 2
    lines = [tape.tail_block_mm, *_lined(tape), tape.neck_block_mm]
    marks += names(run, lines, middle - 1.7, name)
    base = float(back.min())
    every = [a for a in stations(tape.neck_block_mm) if a > tape.tail_block_mm]
    tall = [float(np.subtract(*tape.at(a))) for a in every]
    marks += station_row(run, every, tall, base, ("height", "from tail"))
    low, high = sorted((run.x(tape.tail_block_mm), run.x(tape.neck_block_mm)))
    marks += short_lines(_notes(tape), low, base - 13.0)
    tail = "left" if run.sign > 0 else "right"
    face = f"inside of the {tape.side} linings, seen from inside the box, top up: tail on the {tail}"
    spans = [(min(run.x(p.from_mm), run.x(p.to_mm)), max(run.x(p.from_mm), run.x(p.to_mm))) for p in tape.pockets]
    return Drawing(
        f"rim-strip-{tape.side}", name, face, "strip", tuple(marks), join_windows(marks, low, high, spans)
    )


def _lined(tape: Tape) -> list[float]:
    """Where words stand across the tape, so that the name keeps clear."""
    return sorted(p.from_mm + s * (p.to_mm - p.from_mm) for p in tape.pockets for s in (0.0, 1.0))


def _worded(tape: Tape, plate: str) -> list[tuple[float, float]]:
    """Stretches over which the words of a plate's pockets, and of the ends, run across the lining's line."""
    half = 1.5 * LINE_MM + 0.5
    middles = [(p.from_mm + p.to_mm) / 2 for p in tape.pockets if p.plate == plate]
    return [(m - half, m + half) for m in middles]


def _pocket(run: Run, tape: Tape, pocket: TapePocket, shift: float) -> list[Mark]:
    """The pocket's outline against its edge, its name and sizes reading upwards beside it towards the middle."""
    top = pocket.plate == "top"
    at = np.array([pocket.from_mm, pocket.to_mm])
    edge = np.array([tape.at(float(a))[0 if top else 1] for a in at]) + shift
    floor = edge - pocket.height_mm if top else edge + pocket.height_mm
    marks: list[Mark] = [run.band(at, np.minimum(edge, floor), np.maximum(edge, floor), "cut")]
    words = (
        f"{pocket.number} {pocket.brace}",
        f"{one(pocket.from_mm)} to {one(pocket.to_mm)}",
        f"{one(pocket.height_mm)} high {one(pocket.reach_mm)} deep",
    )
    centre = run.x((pocket.from_mm + pocket.to_mm) / 2)
    first = centre - LINE_MM + (ABOVE_RATIO - BELOW_RATIO) * TEXT_MM / 2
    longest = max(text_width_mm(w, TEXT_MM, bold=k == 0) for k, w in enumerate(words))
    start = float(floor.min()) - longest - 1.5 if top else float(floor.max()) + 1.5
    for k, text in enumerate(words):
        marks.append(Label(first + k * LINE_MM, start, text, TEXT_MM, 90.0, bold=k == 0))
    return marks


def _ends(run: Run, tape: Tape, shift: float) -> list[Mark]:
    marks: list[Mark] = []
    for at, name in ((tape.tail_block_mm, "tail block"), (tape.neck_block_mm, "neck block")):
        top, back = tape.at(at)
        text = f"this end against the {name}: {one(at)} from the tail's centre line"
        if text_width_mm(text, TEXT_MM) > top - back - 4:
            text = f"against the {name}, at {one(at)}"
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
