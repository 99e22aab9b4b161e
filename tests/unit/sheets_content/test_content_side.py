"""The side view of a brace against the wood it is to become."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from content_samples import NAMES, SETS, axes, drawing_of, drawings_of
from shapely.geometry import LineString, Polygon
from support.designs import carved_of

from braces.placed.footprint import footprint
from braces.sheets.side_bands import spread
from braces.sheets.side_callouts import bevel_words, end_lines, face_words, size_words
from braces.sheets.side_sections import section, section_places
from braces.sheets.side_shape import blank_box, end_x_mm, notch_span_mm
from braces.sheets.words import key_of

MORE = (*SETS, ("whimbrel",), ("goshawk",))


def braces(which):
    carved = carved_of(*which)
    placed = {b.name: b for p in carved.placed.plates for b in p.braces}
    return [(b, placed[b.name], drawing_of(which, f"brace-{key_of(b.name)}")) for b in carved.braces]


def cut_of(drawing) -> Polygon:
    (stroke,) = [s for s in drawing.strokes if s.layer == "cut"]
    assert stroke.closed
    return Polygon(stroke.points)


@pytest.mark.parametrize("which", MORE)
def test_the_cut_line_is_one_simple_closed_line(which):
    for _, _, drawing in braces(which):
        assert cut_of(drawing).is_valid, drawing.key
        assert Polygon(cut_of(drawing).exterior).exterior.is_ccw


@pytest.mark.parametrize("which", MORE)
def test_ends_stand_where_the_corners_of_the_footprint_do(which):
    # The corners of the plan, measured along the brace: near side (Y < 0) and far side.
    for brace, placed, _ in braces(which):
        x, y, _ = axes(brace)
        rel = np.column_stack([footprint(placed) - placed.start.at, np.zeros(4)])
        along, across = rel @ x, rel @ y
        for face, side in (("near", across < 0), ("far", across > 0)):
            assert end_x_mm(brace, "start", face) == pytest.approx(along[side].min(), abs=1e-6)
            assert end_x_mm(brace, "end", face) == pytest.approx(along[side].max(), abs=1e-6)


@pytest.mark.parametrize("which", MORE)
def test_lap_walls_stand_where_the_other_brace_passes(which):
    # In plan: the line of a face of this brace, met by the two sides of the other brace, clearance half on each.
    for brace, placed, _ in braces(which):
        others = {b.name: b for p in carved_of(*which).placed.plates for b in p.braces}
        x, y, _ = axes(brace)
        for notch in (n for n in brace.notches if n.kind == "half-lap"):
            other = others[notch.with_]
            g = np.array(other.heading)
            side = np.array([-g[1], g[0]])
            for face, sign in (("near", -1), ("far", 1)):
                origin = np.array(placed.start.at) + sign * brace.width_mm / 2 * y[:2]
                walls = sorted(
                    float((np.array(other.start.at) + s * notch.across_mm / 2 * side - origin) @ side / (x[:2] @ side))
                    for s in (-1, 1)
                )
                assert notch_span_mm(brace, notch, face) == pytest.approx(walls, abs=1e-6)


@pytest.mark.parametrize("which", MORE)
def test_heights_written_at_the_stations_are_those_of_the_cut_line(which):
    for brace, _, drawing in braces(which):
        cut = cut_of(drawing)
        heights = [a for a in drawing.labels if a.layer == "dim" and a.bold and a.text != "height"]
        free = 0
        for label in heights:
            spans = [notch_span_mm(brace, n, "near") for n in brace.notches]
            if any(a - 0.1 <= label.x_mm <= b + 0.1 for a, b in spans):
                continue
            line = cut.intersection(LineString([(label.x_mm, -50), (label.x_mm, 80)]))
            if line.is_empty:
                continue  # an oblique end: the near face has not begun yet
            free += 1
            assert float(label.text) == pytest.approx(line.length, abs=0.06), (brace.name, label.x_mm)
        assert free >= 2


@pytest.mark.parametrize("which", MORE)
def test_the_cut_line_follows_the_curves_between_its_points(which):
    # Chords within 0.01 mm, as drawings promise.
    for brace, _, drawing in braces(which):
        points = next(s for s in drawing.strokes if s.layer == "cut").points
        middles = (points + np.roll(points, -1, axis=0)) / 2
        level = np.abs(np.roll(points, -1, axis=0) - points)[:, 0] > 1e-6
        glue = brace.glue.z(middles[:, 0], 0.0)
        off = [np.abs(middles[:, 1] - z) for z in (glue, glue + brace.height(middles[:, 0]))]
        off += [np.abs(middles[:, 1] - n.floor_z_mm) for n in brace.notches]
        assert np.min(off, axis=0)[level].max() < 0.01, brace.name


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_stations_stand_every_20_mm_from_the_start(which):
    for brace, _, drawing in braces(which):
        words = [a for a in drawing.labels if a.layer == "dim" and not a.bold and a.text != "from start"]
        assert [a.x_mm for a in words] == pytest.approx([float(a.text) for a in words], abs=0.06)
        assert {f"{20 * k}" for k in range(int(brace.length_mm // 20) + 1)} <= {a.text for a in words}


@pytest.mark.parametrize("which", MORE)
def test_sections_have_the_area_of_the_brace_there(which):
    # A parabolic cap takes a third of its box (Archimedes), a gable (b + land) / 2 of it less the box; shape.integral
    # is checked against those elsewhere. Here: b h - drop x integral, to the bow of the glue face, b^3 / 24 r.
    for brace, _, _ in braces(which):
        for x in section_places(brace):
            area = Polygon(section(brace, x)).area
            b, r = brace.width_mm, brace.glue_arc_radius_mm
            want = b * brace.height.at(x) - brace.drop.at(x) * brace.shape.integral()
            assert area == pytest.approx(want, abs=b**3 / (24 * r) + 0.005 * want)


@pytest.mark.parametrize("which", MORE)
def test_sections_keep_clear_of_notches_and_of_oblique_ends(which):
    for brace, _, _ in braces(which):
        for x in section_places(brace):
            assert max(end_x_mm(brace, "start", f) for f in ("near", "far")) <= x + 1e-9
            assert x - 1e-9 <= min(end_x_mm(brace, "end", f) for f in ("near", "far"))
            for n in brace.notches:
                for face in ("near", "far"):
                    a, b = notch_span_mm(brace, n, face)
                    assert not a < x < b, brace.name


@pytest.mark.parametrize("which", MORE)
def test_the_finished_brace_lies_inside_its_blank(which):
    for brace, _, drawing in braces(which):
        x0, z0, x1, z1 = blank_box(brace)
        a, c, b, d = cut_of(drawing).bounds
        assert x0 <= a
        assert b <= x1
        assert z0 - 2e-3 <= c  # the blank is rounded out from samples of the glue face
        assert d < z1
        assert (x1 - x0, z1 - z0) == pytest.approx((brace.blank.length_mm, brace.blank.height_mm))


def test_relief_cuts_end_where_they_say():
    for brace, _, drawing in braces(("fieldfare",)):
        kerfs = [s for s in drawing.strokes if s.layer == "relief"]
        assert len(kerfs) == len(brace.relief_cuts)
        for kerf, cut in zip(kerfs, brace.relief_cuts, strict=True):
            assert kerf.points[0, 1] - kerf.points[1, 1] == pytest.approx(cut.depth_mm)
            left = kerf.points[1, 1] - brace.glue.at(cut.at_mm, 0.0)
            assert left == pytest.approx(cut.left_mm, abs=0.01)


def test_which_edge_of_an_oblique_end_is_longer():
    for brace, placed, _ in braces(("fieldfare",)):
        for which, end in (("start", brace.start), ("end", brace.end)):
            near, far = end_x_mm(brace, which, "near"), end_x_mm(brace, which, "far")
            words = face_words(brace, end, which)
            if abs(near - far) < 0.05:
                assert words == "end face square"
                continue
            outwards = -1 if which == "start" else 1
            longer = "near" if (near - far) * outwards > 0 else "far"
            assert f"{longer} edge {abs(near - far):.1f} longer" in words
            assert words in end_lines(brace, placed, which)


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_the_side_that_is_said_to_be_taller_is(which):
    # The carved edge is level across, so the side whose glue line lies lower is the taller one.
    for brace, _, _ in braces(which):
        belly = np.linspace(0, brace.length_mm, 201)
        at = float(belly[int(np.argmin(brace.glue.z(belly, 0.0)))])
        near, far = (brace.glue.at(at, s * brace.width_mm / 2) for s in (-1, 1))
        words = bevel_words(brace, "near side", "far side")
        if abs(near - far) < 0.004:
            assert words == "no bevel"
        elif abs(near - far) > 0.006:
            assert f"{'far' if far < near else 'near'} side {abs(near - far):.2f} taller" in words


def test_a_housing_says_which_face_it_is_let_into():
    brace = next(b for b in carved_of("whimbrel").braces if b.name == "x-treble")
    housing = next(n for n in brace.notches if n.kind == "inlet")
    face = "near" if housing.y_to_mm < brace.width_mm / 2 else "far"
    assert any(f"let 1.5 into the {face} face" in line for line in size_words(housing, brace.width_mm))
    drawing = drawing_of(("whimbrel",), "brace-x-treble")
    solid = [s for s in drawing.strokes if s.layer == "lap"]
    dashed = [s for s in drawing.strokes if s.layer == "lap-far"]
    laps = sum(n.kind != "inlet" for n in brace.notches)
    assert (len(solid), len(dashed)) == ((laps + 1, laps) if face == "near" else (laps, laps + 1))


@pytest.mark.parametrize("which", MORE)
def test_joins_keep_clear_of_what_matters(which):
    for brace, _, drawing in braces(which):
        tall = [f.at_mm for f in brace.features if f.kind in ("top", "valley", "peak")]
        places = [*tall, *(c.at_mm for c in brace.relief_cuts)]
        spans = [notch_span_mm(brace, n, face) for n in brace.notches for face in ("near", "far")]
        for a, b in drawing.join_windows:
            assert all(not a - 12 + 1e-6 < p < b + 12 - 1e-6 for p in places)
            assert all(hi + 12 <= a + 1e-6 or b <= lo - 12 + 1e-6 for lo, hi in spans)
        assert all(b <= c for (_, b), (c, _) in pairwise(drawing.join_windows))


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_a_strip_too_long_for_a_sheet_can_be_joined(which):
    # A4 across leaves about 265 mm.
    for drawing in drawings_of(*which):
        if drawing.kind == "strip" and drawing.ink[2] - drawing.ink[0] > 265:
            assert drawing.join_windows, drawing.key


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_a_long_template_bears_its_name_at_both_ends_and_in_the_middle(which):
    for brace, _, drawing in braces(which):
        names = sorted(a.x_mm for a in drawing.labels if a.text == brace.name and a.bold)
        assert len(names) == (3 if brace.length_mm > 350 else 2 if brace.length_mm > 150 else 1)


def test_intervals_are_spread_without_overlap_and_no_further_than_needed():
    # Two of width 10 that both want to start at 20 part evenly; one that is free stays.
    assert spread([20, 20, 60], [10, 10, 10], 0, 100) == pytest.approx([15, 25, 60])
    assert spread([-5, 95], [10, 10], 0, 100) == pytest.approx([0, 90])
    lefts = spread([50, 10, 52, 51], [7, 9, 11, 5], 0, 200)
    widths = [7, 9, 11, 5]
    assert all(a + w <= b + 1e-9 for (a, w), b in zip(zip(lefts, widths, strict=True), lefts[1:], strict=False))
