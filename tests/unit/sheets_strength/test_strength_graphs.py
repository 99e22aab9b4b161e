"""Graphs, tables and columns of the strength report."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strength_samples import E_MPA, gains_of, strength_of
from support.designs import carved_of

from braces.mechanics.ranges import limits
from braces.mechanics.values import Bound
from braces.sheets.drawing import Label, Stroke
from braces.sheets.strength_block import Column, in_columns, paragraph, table, table_height_mm
from braces.sheets.strength_graph import graph, shared_scale
from braces.sheets.strength_numbers import groups, span
from braces.sheets.strength_pile import GAP_MM, Pile
from braces.sheets.strength_stiffness import rows_on_pages

BOX = (10.0, 20.0, 110.0, 80.0)


def marks_of(index: int):
    braces = groups(strength_of("fieldfare"), carved_of("fieldfare"))
    return braces[index], graph(braces[index], "right", shared_scale([g.figures for g in braces]), BOX)


def read_stiffness(marks, y):
    """Read a height on a graph off its scale, as a reader does: ten times for each line."""
    ticks = [(m.y_mm + m.height_mm / 2, float(m.text)) for m in marks if isinstance(m, Label) and is_tick(m)]
    at, value = zip(*sorted(ticks), strict=True)
    assert np.diff(np.log10(value)) == pytest.approx(1.0)
    return 10 ** np.interp(y, at, np.log10(value))


def is_tick(mark: Label) -> bool:
    return mark.anchor == "end" and mark.text.replace(".", "").isdigit() and mark.x_mm < BOX[0] + 12


@pytest.mark.parametrize("index", [0, 3, 6])
def test_a_graph_read_off_its_scale_gives_the_stiffness_back(index: int) -> None:
    group, marks = marks_of(index)
    f = group.figures
    strokes = {layer: [m for m in marks if isinstance(m, Stroke) and m.layer == layer] for layer in ("heavy", "edge")}
    for layer, values in (("heavy", f.own_n_mm2), ("edge", f.with_plate_n_mm2)):
        (line,) = strokes[layer]
        x0, x1 = line.points[0, 0], line.points[-1, 0]
        at = (line.points[:, 0] - x0) / (x1 - x0) * f.x_mm[-1]
        assert read_stiffness(marks, line.points[:, 1]) * 1e6 == pytest.approx(np.interp(at, f.x_mm, values), rel=1e-3)
    (blank,) = [m for m in marks if isinstance(m, Stroke) and m.layer == "blank"]
    # E b h3 / 12 of a stick 14 mm high (textbook).
    assert read_stiffness(marks, blank.points[0, 1]) * 1e6 == pytest.approx(E_MPA * group.made.width_mm * 14**3 / 12)


def test_laps_stand_where_they_are() -> None:
    group, marks = marks_of(0)
    assert group.name == "x-bass"
    (lap,) = [m for m in marks if isinstance(m, Stroke) and m.layer == "relief"]
    (own,) = [m for m in marks if isinstance(m, Stroke) and m.layer == "heavy"]
    x0, x1 = own.points[0, 0], own.points[-1, 0]
    notch = group.made.notches[0]
    assert (lap.points[0, 0] - x0) / (x1 - x0) * group.made.length_mm == pytest.approx(notch.at_mm)


def test_pairs_are_one_row_and_others_are_not() -> None:
    carved = carved_of("fieldfare")
    found = groups(strength_of("fieldfare"), carved, gains_of(carved))
    names = [g.name for g in found]
    assert "finger 1, both" in names
    assert "tone bar 1" in names
    assert sum(len(g.names) for g in found) == len(carved.braces)
    assert [g.number for g in found] == list(range(1, len(found) + 1))
    pair = next(g for g in found if g.name == "finger 1, both")
    assert {g.name for g in pair.gains} == set(pair.names)


def test_a_range_takes_off_what_may_be_too_high() -> None:
    b = Bound("mode 1", 0.01, 0.20, "nothing")
    assert limits(100.0, b) == pytest.approx((80.0, 101.0))
    assert limits(-100.0, b) == pytest.approx((-101.0, -80.0))
    assert span(-100.0, b, 0, "mm") == "−101 to −80 mm"
    assert span(1.0, None, 0, "mm") == "bound not measured"


@given(st.integers(1, 60), st.floats(60, 260), st.floats(0, 120))
def test_rows_of_graphs_fit_their_pages(rows: int, room: float, below: float) -> None:
    below = min(below, room - 40)
    counts = rows_on_pages(rows, room, below)
    assert sum(counts) == rows
    assert min(counts) >= 0
    assert all(34.0 * c <= room for c in counts)
    assert 34.0 * counts[-1] <= max(room - below, 0)


@pytest.mark.parametrize("count", [0, 1, 7])
def test_a_table_is_as_high_as_said_and_its_columns_keep_apart(count: int) -> None:
    columns = (Column(("", "brace"), left=True), Column(("mass", "g")), Column(("very long heading", "mm")))
    made = table(columns, [("tone bar", "12.5", "3")] * count, 90.0)
    assert made.height_mm == pytest.approx(table_height_mm(columns, count))
    boxes = [m.ink for m in made.marks]
    assert min(b[1] for b in boxes) >= -made.height_mm - 1e-9
    assert max(b[3] for b in boxes) <= 1e-9
    assert max(b[2] for b in boxes) <= 90.0 + 0.1
    rights = {round(m.ink[2], 6) for m in made.marks if isinstance(m, Label) and m.anchor == "end"}
    assert len(rights) == 2  # numbers are aligned


def test_two_columns_keep_the_order_and_the_room() -> None:
    parts = [paragraph(f"part {k} " + "word " * (5 * k + 1), 60.0) for k in range(6)]
    made = in_columns(parts, 4.0, 128.0, 8.0, 100.0)
    first = [m for m in made.marks if isinstance(m, Label) and m.text.startswith("part")]
    assert [m.text[5] for m in first] == list("012345")
    left, right = [m for m in first if m.x_mm == 0], [m for m in first if m.x_mm == 68]
    assert len(left) + len(right) == 6
    assert right
    assert made.height_mm <= 100.0 + 1e-9
    for column in (left, right):
        assert all(a.y_mm > b.y_mm for a, b in itertools.pairwise(column))


def test_a_long_table_goes_on_over_the_page() -> None:
    columns = (Column(("no.",)), Column(("brace",), left=True))
    pile = Pile((8.0, 30.0, 100.0, 120.0))
    pile.add(paragraph("words", 90.0))
    pile.add_table(columns, [(str(k), f"brace {k}") for k in range(50)])
    pages = pile.marks(last_is_full=False)
    assert len(pages) >= 3
    seen = [m.text for page in pages for m in page if isinstance(m, Label) and m.text.startswith("brace ")]
    assert seen == [f"brace {k}" for k in range(50)]
    for page in pages:
        assert sum(1 for m in page if isinstance(m, Label) and m.text == "brace") == 1  # a heading on each
        assert min(m.ink[1] for m in page) >= 30.0 - 1e-6
        assert max(m.ink[3] for m in page) <= 120.0 + 1e-6
    assert GAP_MM > 0
