"""Long strips in parts: where they are cut, that nothing is lost, and what the comb shows."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sheet_samples import side_view
from support.designs import carved_of

from braces.design.load import preset_names
from braces.sheets.content import drawings
from braces.sheets.drawing import Drawing, Label, Stroke, inked, polyline
from braces.sheets.join_marks import OVERLAP_MM, SLIP_MM
from braces.sheets.joins import join_places, pieces
from braces.sheets.tiling import letters


def names():
    return (letters(k) for k in itertools.count())


def strip(length, windows=(), *more):
    body = polyline([(0, 0), (length, 0), (length, 15), (0, 15)], "cut", closed=True)
    return Drawing("brace", "brace", "side", "strip", (body, *more), windows)


def test_a_short_strip_stays_whole():
    (piece,) = pieces(side_view("bar", 240, 15), 272.0, names())
    assert piece.joins == ()


@settings(deadline=None)
@given(st.floats(90, 900), st.floats(120, 400))
def test_parts_cover_the_strip_and_fit(length, width):
    drawing = strip(length)
    parts = pieces(drawing, width, names())
    assert all(p.window[2] - p.window[0] <= width + 1e-6 for p in parts)
    assert parts[0].window[0] == drawing.ink[0]
    assert parts[-1].window[2] == drawing.ink[2]
    for a, b in itertools.pairwise(parts):
        assert a.window[2] - b.window[0] == pytest.approx(OVERLAP_MM)
    # No fewer parts could do: n parts of this width reach n w - (n - 1) overlaps.
    n = len(parts) - 1
    assert n == 0 or n * width - (n - 1) * OVERLAP_MM < drawing.ink[2] - drawing.ink[0]


def test_joins_lie_in_the_join_windows():
    windows = ((120.0, 150.0), (300.0, 340.0))
    cuts = join_places(strip(500, windows), 200.0)
    assert len(cuts) >= 2
    assert all(any(a <= c <= b for a, b in windows) for c in cuts)


def test_an_even_join_is_preferred():
    (cut,) = join_places(strip(400, ((150.0, 260.0),)), 260.0)
    assert cut == pytest.approx(200.0, abs=1.0)


def test_a_strip_without_fitting_join_windows_is_still_printed():
    cuts = join_places(strip(500, ((5.0, 6.0),)), 272.0)
    assert len(cuts) == 1


def test_no_words_are_lost_or_cut():
    drawing = side_view("treble leg", 520, 18)
    parts = pieces(drawing, 272.0, names())
    for label in drawing.labels:
        shown = [m for p in parts for m in p.marks if isinstance(m, Label) and m.text == label.text]
        assert shown
    for part in parts:
        for mark in part.marks:
            if isinstance(mark, Label):
                assert part.box[0] <= mark.ink[0]
                assert mark.ink[2] <= part.box[2]


def test_every_part_names_the_brace_and_its_joins():
    parts = pieces(side_view("treble leg", 520, 18), 272.0, names())
    assert [p.joins for p in parts] == [("A",), ("A", "B"), ("B",)]
    for part in parts:
        text = [m.text for m in part.marks if isinstance(m, Label)]
        for join in part.joins:
            assert any(f"join {join}" in t and "treble leg" in t for t in text)


def test_a_long_name_does_not_run_into_itself():
    parts = pieces(side_view("treble leg of the X, second version, for the smaller body", 520, 18), 190.0, names())
    for part in parts:
        ends = sorted(m.ink for m in part.marks if isinstance(m, Label) and m.layer == "sheet")
        assert all(a[2] < b[0] for a, b in itertools.pairwise(ends))
        assert len(ends) == len(part.joins)


def test_both_parts_carry_the_same_marks_at_the_seam():
    first, second = pieces(strip(400, ((150.0, 260.0),)), 260.0, names())
    strokes = [[m.points.tolist() for m in p.marks if not isinstance(m, Label)] for p in (first, second)]
    assert strokes[0] == strokes[1]
    assert len(strokes[0]) > 10


def test_a_slip_brings_the_next_pair_of_lines_end_to_end():
    """The vernier principle: n lines at pitch p against pitch p + s coincide one line on for every slip s."""
    (first, _) = pieces(strip(400, ((150.0, 260.0),)), 260.0, names())
    (cut,) = join_places(strip(400, ((150.0, 260.0),)), 260.0)
    level = [m.points for m in first.marks if not isinstance(m, Label) and m.points[0, 1] == m.points[1, 1]]
    left = np.sort([p[0, 1] for p in level if p[1, 0] == cut])
    right = np.sort([p[0, 1] for p in level if p[0, 0] == cut])
    assert len(left) == len(right) == 5
    assert int(np.abs(left - right).argmin()) == 2
    assert left[2] == right[2] == pytest.approx(7.5)
    for slip, pair in ((SLIP_MM, 1), (-SLIP_MM, 3), (2 * SLIP_MM, 0)):
        off = np.abs(left - (right + slip))
        assert int(off.argmin()) == pair
        assert off[pair] < 1e-9


def test_words_that_fit_no_part_are_refused():
    long = Label(200, 20, "x" * 200, 3.5, anchor="middle")
    with pytest.raises(ValueError, match="no part"):
        pieces(strip(600, (), long), 150.0, names())


def test_a_join_keeps_off_words_where_it_can():
    label = Label(200.0, 20.0, "lap for the treble leg", 2.5, anchor="middle")
    drawing = strip(400, ((150.0, 260.0),), label)
    (cut,) = join_places(drawing, 260.0)
    assert not label.ink[0] < cut < label.ink[2]


def test_a_ringed_number_stays_with_its_words():
    """A join in the middle of them moves both: ring, number and words lie on one part, as far apart as before."""
    words = Label(250.0, -8.0, "carve to the heavy line", step=3)
    parts = pieces(strip(500, ((260.0, 262.0),), words), 280.0, names())
    shown = [(p, m) for p in parts for m in p.marks if isinstance(m, Label) and m.step]
    assert len(shown) == 1
    part, label = shown[0]
    assert label.x_mm != words.x_mm
    ring, number, text = inked([label])
    assert part.window[0] <= ring.ink[0] < ring.ink[2] < text.ink[0]
    assert text.ink[2] <= part.window[2]
    assert number.text == "3"
    assert ring.ink[0] < number.ink[0] < number.ink[2] < ring.ink[2]
    assert text.x_mm - number.x_mm == pytest.approx((4.6 - 1.85) * 2.5 / 2.5, abs=0.01)
    assert label.ink[0] == pytest.approx(ring.ink[0], abs=0.2)
    assert label.ink[2] == pytest.approx(text.ink[2])


@pytest.mark.parametrize("angle_deg", [0.0, 30.0, 90.0])
@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_a_ringed_label_keeps_within_its_room(angle_deg, anchor):
    label = Label(10.0, 20.0, "cut the lap", 2.5, angle_deg, anchor, step=2)
    ring, number, text = inked([label])
    low, high = label.corners.min(axis=0) - 0.5, label.corners.max(axis=0) + 0.5
    for mark in (ring, number, text):
        assert np.all(low <= mark.ink[:2])
        assert np.all(mark.ink[2:] <= high)


@pytest.mark.parametrize("name", preset_names())
def test_words_of_joined_parts_lie_on_no_trim_line_and_on_no_other_words(name):
    """On both usual papers, upright and lying."""
    for drawing in (d for d in drawings(carved_of(name)) if d.kind == "strip"):
        for width in (178.0, 262.0):
            for part in pieces(drawing, width, names()):
                lines = [m for m in part.marks if isinstance(m, Stroke) and m.layer == "trim"]
                words = [m.ink for m in part.marks if isinstance(m, Label)]
                for line in lines:
                    (x, low), (_, high) = line.points
                    through = [w for w in words if w[0] < x < w[2] and w[1] < high and low < w[3]]
                    assert not through, (drawing.key, width, through)
                for a, b in itertools.combinations(words, 2):
                    deep = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
                    assert min(deep) < 0.05, (drawing.key, width, a, b)


def test_a_part_does_not_show_words_that_its_join_covers():
    """Words wholly beyond the trim line belong to the other part; on this one they would be half hidden."""
    words = Label(251.0, 5.0, "5", 2.5)
    parts = pieces(strip(500, ((250.0, 250.2),), words), 280.0, names())
    shown = [p for p in parts for m in p.marks if isinstance(m, Label) and m.text == "5"]
    assert len(shown) == 1
    assert shown[0] is parts[1]
