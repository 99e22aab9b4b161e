"""Inches beside mm on every sheet: there, right to 1/64, and without words running into each other."""

from __future__ import annotations

import itertools
import re
from fractions import Fraction
from functools import cache

import pytest
from shapely.geometry import Polygon
from support.designs import carved_of

from braces.app.workshop import deck_drawings, rim_drawings
from braces.sheets.content import drawings
from braces.sheets.drawing import Drawing
from braces.workshop.bench import BenchSpec, bench
from braces.workshop.props import PropSpec

NAMES = ("fieldfare", "wren", "dunnock")
BESIDE = re.compile(r"(?<![\d.])(\d+(?:\.\d+)?) \((\d+ \d+/\d+|\d+/\d+|\d+)\)")


@cache
def sheets(name: str, inches: bool = True) -> tuple[Drawing, ...]:
    carved = carved_of(name)
    work = bench(carved, BenchSpec(props=(PropSpec(0.0, 45.0),) if name == "fieldfare" else ()))
    return (*drawings(carved, inches), *rim_drawings(carved, work, inches), *deck_drawings(carved, work, inches))


def inches_of(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split()))


@pytest.mark.parametrize("name", NAMES)
def test_inches_are_those_of_the_mm(name: str) -> None:
    """1 in = 25.4 mm (ISO 80000-3); half of 1/64 in, and what the printed decimals leave off."""
    count = 0
    for drawing in sheets(name):
        for label in drawing.labels:
            for mm, inch in BESIDE.findall(label.text):
                decimals = len(mm.partition(".")[2])
                assert inches_of(inch) * 25.4 == pytest.approx(float(mm), abs=25.4 / 128 + 0.51 * 10.0**-decimals), (
                    label.text
                )
                count += 1
    assert count > 60


@pytest.mark.parametrize("name", NAMES)
def test_words_with_inches_keep_apart(name: str) -> None:
    for drawing in sheets(name):
        rooms = [(w, Polygon(w.corners).buffer(-0.05)) for w in drawing.labels]
        for (a, ra), (b, rb) in itertools.combinations(rooms, 2):
            assert not ra.intersects(rb), f"{drawing.key}: {a.text!r} on {b.text!r}"


def test_every_sheet_with_sizes_has_them_and_none_without_asking() -> None:
    for drawing in sheets("fieldfare"):
        words = " ".join(w.text for w in drawing.labels)
        if drawing.key.startswith(("plan", "brace", "rim-side", "rosette", "props", "deck")):
            assert BESIDE.search(words), drawing.key
        elif drawing.key.startswith(("rim-strip", "strip")):
            assert re.search(r"\d/\d+ in", words), drawing.key
    for drawing in sheets("fieldfare", inches=False):
        for label in drawing.labels:
            assert not re.search(r"\d/(2|4|8|16|32|64)\b", label.text), label.text
