"""Drawings byte for byte. ``pytest tests/golden --record`` writes them anew; look at them before you keep them.

A record names every mark: labels in full; strokes by layer, ends and box, with a digest of all their points.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from support.designs import carved_of

from braces.sheets.content import drawings
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, moved_mark

FOLDER = Path(__file__).parent / "drawings"
SETS = {
    "fieldfare": ("fieldfare",),
    "dunnock": ("dunnock",),
    "whimbrel": ("whimbrel",),
    "fieldfare-left-handed": ("fieldfare", ('handed = "right"', 'handed = "left"')),
}


def mm(value: float) -> str:
    """Three decimals. A hair is added so that a value half way between two does not fall by its last bit."""
    text = f"{value + 1.7e-7:.3f}"
    return "0.000" if text == "-0.000" else text


def mark_text(mark: Mark) -> str:
    if isinstance(mark, Label):
        numbers = " ".join(map(mm, (mark.x_mm, mark.y_mm, mark.height_mm, mark.angle_deg)))
        step = f"({mark.step}) " if mark.step else ""
        return f"label {mark.layer} {numbers} {mark.anchor} {'bold' if mark.bold else 'plain'} {step}{mark.text}"
    points = "\n".join(f"{mm(x)} {mm(y)}" for x, y in mark.points)
    digest = hashlib.sha256(points.encode()).hexdigest()[:16]
    ends = " ".join(map(mm, (*mark.points[0], *mark.points[-1])))
    box = " ".join(map(mm, mark.ink))
    closed = "closed" if mark.closed else "open"
    return f"stroke {mark.layer} {closed} {len(mark.points)} points, ends {ends}, box {box}, {digest}"


def drawing_text(drawing: Drawing) -> str:
    windows = " ".join(f"{mm(a)}:{mm(b)}" for a, b in drawing.join_windows)
    head = [drawing.key, drawing.title, drawing.face, drawing.kind, f"joins {windows}"]
    return "\n".join([*head, *map(mark_text, drawing.marks), ""])


def record_text(made: tuple[Drawing, ...]) -> str:
    return "\n".join(map(drawing_text, made))


@cache
def made_of(which: str) -> tuple[Drawing, ...]:
    return drawings(carved_of(*SETS[which]))


@pytest.mark.parametrize("which", SETS)
def test_drawings_are_as_recorded(which, request):
    path = FOLDER / f"{which}.txt"
    text = record_text(made_of(which))
    if request.config.getoption("--record"):
        FOLDER.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert text.splitlines() == path.read_text(encoding="utf-8").splitlines()


def test_drawings_come_out_the_same_twice():
    again = drawings(carved_of(*SETS["fieldfare"]))
    assert record_text(again) == record_text(made_of("fieldfare"))


@pytest.mark.parametrize("what", ["a point", "a word", "a place", "a layer", "the order"])
def test_the_record_notices(what):
    drawing = made_of("fieldfare")[2]
    marks = list(drawing.marks)
    label = next(i for i, m in enumerate(marks) if isinstance(m, Label))
    stroke = next(i for i, m in enumerate(marks) if isinstance(m, Stroke) and len(m.points) > 50)
    if what == "a point":
        points = marks[stroke].points.copy()
        points[20, 1] += 0.002
        marks[stroke] = Stroke(points, marks[stroke].layer, marks[stroke].closed)
    elif what == "a word":
        marks[label] = replace(marks[label], text=marks[label].text + "s")
    elif what == "a place":
        marks[label] = moved_mark(marks[label], 0.0, 0.002)
    elif what == "a layer":
        marks[stroke] = Stroke(marks[stroke].points, "edge", marks[stroke].closed)
    else:
        marks.reverse()
    assert drawing_text(replace(drawing, marks=tuple(marks))) != drawing_text(drawing)
