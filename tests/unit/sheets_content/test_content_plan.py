"""The plan of a plate against the layout it shows."""

from __future__ import annotations

import re

import numpy as np
import pytest
from content_samples import NAMES, SETS, drawing_of, shape
from shapely.geometry import LinearRing, LineString, Point, Polygon
from support.designs import carved_of

from braces.placed.footprint import footprint
from braces.sheets.plan_view import plan_view
from braces.sheets.plan_words import butt_distance, end_sayings, neck_sayings


def plans(which):
    carved = carved_of(*which)
    return [
        (p, drawing_of(which, f"plan-{p.name}"), pose)
        for p, pose in zip(carved.placed.plates, (carved.placed.top_pose, carved.placed.back_pose), strict=True)
    ]


def outline_of(plan) -> Polygon:
    return Polygon(
        max((s for s in plan.strokes if s.layer == "cut" and s.closed), key=lambda s: np.ptp(s.points)).points
    )


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_footprints_lie_where_the_inside_view_puts_them(which):
    # The top's pose turns the inside view into body axes (u = -x); its inverse must give the drawing.
    placed, plan, pose = plans(which)[0]
    back = pose.inverse()
    drawn = np.vstack([s.points for s in plan.strokes if s.layer == "cut"])
    for brace in placed.braces:
        corners = footprint(brace)
        seen = back(np.column_stack([corners, np.zeros(4)]))[:, :2]
        for corner in seen:
            assert np.hypot(*(drawn - corner).T).min() < 1e-9, brace.name


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_the_back_is_not_mirrored(which):
    placed, plan, _ = plans(which)[1]
    drawn = np.vstack([s.points for s in plan.strokes if s.layer == "cut"])
    for brace in placed.braces:
        assert all(np.hypot(*(drawn - c).T).min() < 1e-9 for c in footprint(brace))


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_words_are_never_mirrored_or_upside_down(which):
    for _, plan, _ in plans(which):
        assert all(-90 < label.angle_deg <= 90 for label in plan.labels)


def test_the_brace_over_a_lap_is_whole_and_the_other_dashed_under_it():
    # In a half-lap the stick that is cut from its glue face goes on last, over the other (common practice).
    placed, plan, _ = plans(("fieldfare",))[0]
    (crossing,) = placed.crossings
    by_name = {b.name: b for b in placed.braces}
    over, under = (Polygon(footprint(by_name[n]) * (-1, 1)) for n in (crossing.opens_to_plate, crossing.opens_to_room))
    whole = [s for s in plan.strokes if s.layer == "cut" and s.closed and Polygon(s.points).equals_exact(over, 1e-6)]
    assert len(whole) == 1
    hidden = [shape(s) for s in plan.strokes if s.layer == "hidden" and over.buffer(1e-6).contains(shape(s))]
    want = under.exterior.intersection(over)
    assert sum(h.length for h in hidden) == pytest.approx(want.length, abs=1e-6)
    inside = [
        shape(s)
        for s in plan.strokes
        if s.layer == "cut"
        and under.exterior.buffer(1e-6).contains(shape(s))
        and shape(s).intersection(over.buffer(-1e-6)).length > 0
    ]
    assert not inside


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_distances_from_the_neck_are_those_of_the_drawing(which):
    carved = carved_of(*which)
    for plate, plan, _ in plans(which):
        neck = outline_of(plan).exterior.intersection(LineString([(0, 100), (0, 1000)])).y
        for saying in neck_sayings(plan_view(carved, plate.name)):
            told = float(re.search(r"([\d.]+) from neck", saying.plain)[1])
            assert told == pytest.approx(neck - saying.at[1], abs=0.06)
            on = [
                b
                for b in plate.braces
                if Polygon(footprint(b) * (-1 if plate.name == "top" else 1, 1)).contains(Point(saying.at))
            ]
            assert on, saying


def test_butts_are_told_as_the_design_gives_them():
    # The design file of this preset: tone bar 1 begins 136 mm past the crossing, finger 2 112 mm.
    view = plan_view(carved_of("fieldfare"), "top")
    by_name = {b.name: b for b in view.placed.braces}
    assert butt_distance(view, by_name["tone bar 1"], by_name["x-treble"])[1] == "136.0 from lap"
    assert butt_distance(view, by_name["finger 2-bass"], by_name["x-bass"])[1] == "112.0 from lap"


def test_free_ends_are_told_from_both_rules():
    view = plan_view(carved_of("fieldfare"), "top")
    end = next(b for b in view.placed.braces if b.name == "tone bar 1").end
    (saying,) = [s for s in end_sayings(view) if "tone bar 1 ends" in s.plain]
    off, neck = map(float, re.findall(r"([\d.]+) (?:off|from)", saying.plain))
    assert (off, neck) == pytest.approx((abs(end.at[0]), view.neck_y_mm - end.at[1]), abs=0.06)


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_pocket_numbers_stand_outside_beside_their_pockets(which):
    carved = carved_of(*which)
    for plate in carved.plates:
        plan = drawing_of(which, f"plan-{plate.name}")
        body = outline_of(plan)
        flip = -1 if plate.name == "top" else 1
        rings = [s for s in plan.strokes if s.layer == "note" and len(s.points) == 48]
        centres = [s.points.mean(axis=0) for s in rings]
        assert len(centres) == len(plate.pockets)
        for label in (a for a in plan.labels if a.bold and a.text.isdigit()):
            pocket = plate.pockets[int(label.text) - 1]
            middle = np.mean(pocket.corners, axis=0) * (flip, 1)
            at = min(centres, key=lambda c: np.hypot(c[0] - label.x_mm, c[1] - label.y_mm - 1.5))
            assert not body.contains(Point(at))
            nearest = min(plate.pockets, key=lambda p: np.hypot(*(np.mean(p.corners, axis=0) * (flip, 1) - at)))
            assert nearest.number == pocket.number
            assert np.hypot(*(at - middle)) < 30


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_the_table_of_pockets_gives_their_numbers(which):
    carved = carved_of(*which)
    for plate in carved.plates:
        texts = [label.text for label in drawing_of(which, f"plan-{plate.name}").labels]
        for pocket in plate.pockets:
            assert f"{pocket.along_rim_mm:.1f}" in texts
            assert f"{pocket.width_mm:.1f}" in texts


def test_strip_pieces_carry_number_and_length():
    texts = " ".join(label.text for label in drawing_of(("fieldfare",), "plan-back").labels)
    for piece in carved_of("fieldfare").back.strip_pieces:
        assert f"{piece.number} · {piece.length_mm:.1f}" in texts


@pytest.mark.parametrize("which", [("fieldfare",), ("curlew",), ("wren",)])
def test_chords_of_the_rim_stay_within_a_hundredth(which):
    # The middle of every chord against the true curve, sampled densely.
    for plate, plan, _ in plans(which):
        flip = -1 if plate.name == "top" else 1
        for path, layer in ((plate.outline, "cut"), (plate.lining, "edge")):
            true = LinearRing(path.dense(600) * (flip, 1))
            drawn = max((s.points for s in plan.strokes if s.layer == layer and s.closed), key=np.ptp)
            middles = (drawn + np.roll(drawn, -1, axis=0)) / 2
            assert max(true.distance(Point(m)) for m in middles) < 0.01
