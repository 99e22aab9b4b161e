"""Tiles of a plan: few, real, covering all ink, no words cut."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sheet_samples import plan

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Drawing, Label, Stroke, polyline
from braces.sheets.tile_marks import register_points, seam
from braces.sheets.tiling import OVERLAP_MM, letters, tiled
from braces.sheets.windows import crossing, is_whole, stroke_segments, touches, with_labels

SIZES = [(185.0, 254.0), (254.0, 185.0)]
OPPOSITE = {"left": "right", "right": "left", "below": "above", "above": "below"}


def of(*marks, sizes=SIZES):
    drawing = Drawing("plan", "plan", "inside", "plan", marks)
    return drawing, tiled(drawing, sizes, [0] * len(sizes))


def inside(points, box):
    return ((points >= box[:2]) & (points <= box[2:])).all(axis=1)


def dense(drawing, step_mm=0.25):
    """Points along all strokes."""
    found = []
    for x0, y0, x1, y1 in stroke_segments(drawing.strokes):
        t = np.linspace(0, 1, 2 + int(math.hypot(x1 - x0, y1 - y0) / step_mm))[:, None]
        found.append(np.array((x0, y0)) * (1 - t) + np.array((x1, y1)) * t)
    return np.vstack(found)


def check(drawing, layout):
    """What must hold for every layout."""
    points = dense(drawing)
    kept = np.array([inside(points, t.region.kept) for t in layout.tiles])
    assert kept.any(axis=0).all(), "ink on no tile"
    ink = with_labels(stroke_segments(drawing.strokes), layout.labels)
    by_name = {t.name: t for t in layout.tiles}
    assert len(by_name) == len(layout.tiles)
    for tile in layout.tiles:
        assert crossing(ink, tile.region.kept).any(), "an empty tile"
        for side, name in tile.neighbours:
            other = by_name[name]
            assert (OPPOSITE[side], tile.name) in other.neighbours
            assert seam(tile, side) == pytest.approx(np.array(seam(other, OPPOSITE[side])))
            assert register_points(tile, side, ink) == pytest.approx(
                np.array(register_points(other, OPPOSITE[side], ink))
            )
            for point in register_points(tile, side, ink):
                for region in (tile.region, other.region):
                    assert inside(np.array([point]), region.window).all()
    for label in layout.labels:
        assert any(is_whole(label, t.region.window) for t in layout.tiles), label.text
        for tile in layout.tiles:
            if touches(label, tile.region.kept):
                assert is_whole(label, tile.region.window), f"{label.text} is cut on {tile.name}"


@pytest.mark.parametrize("bars", [4, 20])
def test_a_plan_is_covered_and_can_be_put_together(bars):
    drawing = plan(bars)
    check(drawing, tiled(drawing, SIZES, [0, 0]))


def test_a_plan_takes_as_few_sheets_as_its_box_allows():
    """Area cannot decide it, but windows in a row can: ceil((ink - overlap) / (window - overlap)) each way."""
    drawing = plan()
    x0, y0, x1, y1 = drawing.ink
    fewest = min(
        math.prod(math.ceil((d + 2 - OVERLAP_MM) / (s - OVERLAP_MM)) for d, s in ((x1 - x0, w), (y1 - y0, h)))
        for w, h in SIZES
    )
    assert len(tiled(drawing, SIZES, [0, 0]).tiles) <= fewest


def test_what_fits_one_sheet_takes_one():
    drawing, layout = of(polyline([(0, 0), (170, 240)], "cut"))
    assert [t.name for t in layout.tiles] == ["A1"]
    assert layout.tiles[0].neighbours == ()
    check(drawing, layout)


def test_empty_corners_get_no_sheet():
    """An L: three of the four windows of its box hold ink."""
    drawing, layout = of(polyline([(0, 400), (0, 0), (320, 0)], "cut"), sizes=[(200.0, 220.0)])
    assert [t.name for t in layout.tiles] == ["A1", "B1", "B2"]
    check(drawing, layout)


def test_names_read_like_a_page():
    _, layout = of(polyline([(0, 0), (300, 0), (300, 400), (0, 400)], "cut", closed=True), sizes=[(200.0, 220.0)])
    assert [t.name for t in layout.tiles] == ["A1", "A2", "B1", "B2"]
    top_left, top_right, low_left, _ = (t.region.window for t in layout.tiles)
    assert top_left[0] < top_right[0]
    assert top_left[1] > low_left[1]
    assert dict(layout.tiles[0].neighbours) == {"right": "A2", "below": "B1"}


def test_letters_go_on_after_z():
    assert [letters(k) for k in (0, 1, 25, 26, 27, 701, 702)] == ["A", "B", "Z", "AA", "AB", "ZZ", "AAA"]


def test_shares_are_even_rather_than_slivers():
    """400 mm on windows of 254 leave slack: no sheet should get a mere sliver."""
    lines = [polyline([(0, y), (400, y)], "cut") for y in range(0, 100, 10)]
    _, layout = of(*lines, sizes=[(254.0, 185.0)])
    assert len(layout.tiles) == 2
    assert layout.least_share_ratio > 0.35


def test_marks_keep_off_the_ink_where_there_is_room():
    drawing = plan()
    layout = tiled(drawing, SIZES, [0, 0])
    ink = with_labels(stroke_segments(drawing.strokes), layout.labels)
    hits = [
        crossing(ink, (x - 4, y - 4, x + 4, y + 4)).any()
        for tile in layout.tiles
        for side, _ in tile.neighbours
        for x, y in register_points(tile, side, ink)
    ]
    assert not any(hits)


coordinates = st.floats(-300, 300, allow_nan=False).map(lambda v: round(v, 2))


@st.composite
def plans(draw):
    marks = []
    for _ in range(draw(st.integers(1, 6))):
        points = draw(st.lists(st.tuples(coordinates, coordinates), min_size=2, max_size=5))
        marks.append(Stroke(frozen_points(points), "glue", draw(st.booleans())))
    for k in range(draw(st.integers(0, 4))):
        marks.append(
            Label(
                draw(coordinates),
                draw(coordinates),
                f"brace number {k}",
                draw(st.sampled_from([2.5, 3.5])),
                draw(st.sampled_from([0.0, 30.0, -47.0, 90.0])),
                draw(st.sampled_from(["start", "middle", "end"])),
            )
        )
    return Drawing("plan", "plan", "inside", "plan", tuple(marks))


@settings(max_examples=60, deadline=None)
@given(plans(), st.sampled_from([SIZES, [(150.0, 130.0)], [(272.0, 174.0), (400.0, 380.0)]]))
def test_any_plan_is_covered(drawing, sizes):
    check(drawing, tiled(drawing, sizes, [0] * len(sizes)))


def test_the_check_above_can_fail():
    drawing = plan(4)
    layout = tiled(drawing, SIZES, [0, 0])
    short = type(layout)(layout.tiles[:-1], layout.labels, layout.size_index, 0, 0.0)
    with pytest.raises((AssertionError, KeyError)):
        check(drawing, short)


def test_neighbouring_windows_share_the_stated_band():
    layout = tiled(plan(), SIZES, [0, 0])
    for a, b in itertools.combinations(layout.tiles, 2):
        if (("right", b.name)) in a.neighbours:
            assert a.region.window[2] - b.region.window[0] == pytest.approx(OVERLAP_MM)
        if (("below", b.name)) in a.neighbours:
            assert b.region.window[3] - a.region.window[1] == pytest.approx(OVERLAP_MM)


def test_no_seam_runs_along_a_line():
    """Two columns of a symmetric plan would meet at its centre line; the line must not be hidden by the seam."""
    drawing, layout = of(
        polyline([(-190, 0), (190, 0), (190, 150), (-190, 150)], "cut", closed=True),
        polyline([(0, 0), (0, 150)], "centre"),
        sizes=[(254.0, 185.0)],
    )
    assert len(layout.tiles) == 2
    assert abs(seam(layout.tiles[0], "right")[0][0]) > 5.0
    check(drawing, layout)
