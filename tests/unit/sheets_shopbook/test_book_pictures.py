"""Pictures of the book: clipped as shapely clips, at the scale they tell, sections at true size."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from support.designs import carved_of

from braces.app.workshop import bench_of, rim_drawings
from braces.base.arrays import frozen_points
from braces.placed.footprint import footprint
from braces.sheets.drawing import Label, Stroke, union
from braces.sheets.shopbook.bench import deck_picture, strip_picture
from braces.sheets.shopbook.cut_out import cut_out, cut_out_size_mm
from braces.sheets.shopbook.picture import clipped, round_ratio
from braces.sheets.shopbook.plates import PLATE_ASIDE_MM, plate_picture, whole_size_mm
from braces.sheets.shopbook.side_view import side_picture
from braces.sheets.side_sections import section, section_places
from braces.sheets.strength_plan import Plate

BOX = (0.0, 0.0, 10.0, 6.0)
#: Off the box's edges: whether a chord along an edge is inside is a matter of taste.
off_edge = st.integers(-150, 250).map(lambda k: 0.1 * k + 0.037)
points = st.lists(st.tuples(off_edge, off_edge), min_size=3, max_size=25, unique=True)


@settings(max_examples=150, deadline=None)
@given(points, st.booleans())
def test_clipping_keeps_what_shapely_keeps(xy: list[tuple[float, float]], closed: bool) -> None:
    stroke = Stroke(frozen_points(xy), "edge", closed)
    line = shapely.LineString([*xy, xy[0]] if closed else xy)
    kept = clipped(stroke, BOX)
    ours = sum(shapely.LineString([*s.points, s.points[0]] if s.closed else s.points).length for s in kept)
    # Each chord by itself, since a union of crossing chords would count what they share once.
    corners = list(line.coords)
    theirs = sum(
        shapely.LineString(pair).intersection(shapely.box(*BOX)).length
        for pair in pairwise(corners)
        if pair[0] != pair[1]
    )
    assert ours == pytest.approx(theirs, abs=1e-6)
    for s in kept:
        assert s.points.min(axis=0) == pytest.approx(np.maximum(s.points.min(axis=0), BOX[:2]), abs=1e-9)
        assert s.points.max(axis=0) == pytest.approx(np.minimum(s.points.max(axis=0), BOX[2:]), abs=1e-9)


@given(st.floats(0.01, 5.0))
def test_a_scale_is_told_as_it_is(ratio: float) -> None:
    rounded = round_ratio(ratio)
    assert rounded <= min(ratio, 1.0) + 1e-9
    assert float(f"{1 / rounded:.1f}") == pytest.approx(1 / rounded, rel=1e-9)


@pytest.mark.parametrize("name", ["fieldfare", "goshawk", "wren"])
def test_side_views_fit_and_are_at_their_scale(name: str) -> None:
    carved = carved_of(name)
    for brace in carved.braces[:6]:
        for width in (186.0, 130.0):
            made = side_picture(brace, carved, width)
            assert made.size_mm[0] <= width + 1e-6
            glue = max((s for s in made.drawing.strokes if s.layer == "glue"), key=lambda s: np.ptp(s.points[:, 0]))
            near = brace.length_at(-brace.width_mm / 2)
            assert np.ptp(glue.points[:, 0]) == pytest.approx(near * made.scale_ratio, abs=1e-6)


def test_sections_are_true_size() -> None:
    carved = carved_of("fieldfare")
    brace = carved.braces[0]
    made = side_picture(brace, carved, 186.0)
    wanted = [np.ptp(section(brace, x), axis=0) for x in section_places(brace)]
    outlines = [np.ptp(s.points, axis=0) for s in made.drawing.strokes if s.closed and s.layer == "edge"]
    for size in wanted:
        assert any(np.allclose(size, o, atol=1e-9) for o in outlines)
    assert made.scale_ratio < 0.5


@pytest.mark.parametrize("name", ["fieldfare", "redstart"])
def test_words_of_a_side_view_keep_apart(name: str) -> None:
    carved = carved_of(name)
    for brace in carved.braces:
        labels = [a for a in side_picture(brace, carved, 186.0).drawing.labels if a.angle_deg == 0]
        for k, a in enumerate(labels):
            for b in labels[:k]:
                x = min(a.ink[2], b.ink[2]) - max(a.ink[0], b.ink[0])
                y = min(a.ink[3], b.ink[3]) - max(a.ink[1], b.ink[1])
                assert x < 0.2 or y < 0.2, (brace.name, a.text, b.text)


def test_a_cut_out_shows_the_whole_brace_heavy_at_its_scale() -> None:
    carved = carved_of("fieldfare")
    plate = Plate(carved, "back")
    for placed in plate.braces:
        made = cut_out(plate, placed.name, 88.5, 90.0)
        assert made.size_mm == pytest.approx(cut_out_size_mm(plate, placed.name, 88.5, 90.0), abs=0.5)
        heavy = union(*(s.ink for s in made.drawing.strokes if s.layer == "cut"))
        size = np.ptp(footprint(placed), axis=0) * made.scale_ratio
        assert heavy[2] - heavy[0] == pytest.approx(size[0], abs=0.6)  # and the pen
        assert {"start", "end"} <= {a.text for a in made.drawing.labels}


def test_the_number_of_a_cut_out_is_the_distance_from_the_neck() -> None:
    carved = carved_of("fieldfare")
    plate = Plate(carved, "top")
    said = [a.text for a in cut_out(plate, "upper transverse", 186.0, 100.0).drawing.labels]
    told = float(next(re.findall(r"([\d.]+) from neck", t) for t in said if "from neck" in t)[0])
    placed = next(b for b in plate.braces if b.name == "upper transverse")
    assert told == pytest.approx(482.0 - placed.start.at[1], abs=0.06)  # it runs square to the centre line


def test_a_plate_takes_the_room_it_says() -> None:
    carved = carved_of("fieldfare")
    plate = Plate(carved, "top")
    made = plate_picture(plate, 88.5, 120.0)
    wide, high = whole_size_mm(plate, 88.5, 120.0, PLATE_ASIDE_MM)
    assert made.size_mm[0] <= wide <= 88.5 + 1e-6
    assert made.size_mm[1] <= high <= 120.0 + 0.5


def test_bars_are_numbered_each_once() -> None:
    carved = carved_of("fieldfare")
    work = bench_of(carved)
    for bars in work.bars:
        made = deck_picture(Plate(carved, bars.plate), bars, 88.5, 120.0)
        numbers = [int(a.text) for a in made.drawing.labels]
        assert len(numbers) == len(set(numbers))
        assert set(numbers) <= {p.number for p in bars.places}
        assert len(numbers) >= 0.95 * len(bars.places)


def test_strips_are_made_small_with_their_places() -> None:
    carved = carved_of("fieldfare")
    drawings = {d.key: d for d in rim_drawings(carved, bench_of(carved))}
    side = strip_picture(drawings["rim-side"], 186.0)
    assert side.size_mm[0] <= 186.0 + 1e-6
    assert any(a.text.startswith("waist ") for a in side.drawing.labels)
    tape = strip_picture(drawings["rim-strip-bass"], 186.0)
    assert sorted(int(a.text) for a in tape.drawing.labels if isinstance(a, Label)) == [5, 6, 6, 7, 7, 8, 8, 9, 10]
