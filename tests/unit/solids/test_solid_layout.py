"""Which cuts a brace has, and which of them can be built without booleans."""

from math import radians, sin

import pytest
from solid_specimens import brace, dome, falling, gabled, inlet, level, notch, scalloped, straight_taper, x_bass

from braces.solids.layout import gap_of, layout_of, line_at


def test_a_square_cut_does_not_lean():
    assert line_at(12.0, 90.0).lean_ratio == 0
    assert line_at(12.0, 90.0).normal == (1.0, 0.0, 0.0)


def test_walls_of_a_lap_stand_apart_as_trigonometry_says():
    """A stick of width w crossing at angle a covers w / sin(a) along a rule (right-angled triangle)."""
    gap = gap_of(notch(250.0, 9.0, angle_deg=65.0, across_mm=8.1))
    assert gap.last.at_mm - gap.first.at_mm == pytest.approx(8.1 / sin(radians(65.0)), abs=1e-12)
    assert gap.first.x(4.0) - gap.first.x(-4.0) == pytest.approx(8.0 * 0.46630766, abs=1e-7)  # cot 65 deg


def test_notches_that_stand_clear_need_no_boolean():
    plan = layout_of(x_bass(notches=[notch(300.0, 9.0), notch(250.0, 9.0), notch(252.0, 6.0, "plate", 115.0)]))
    assert [g.floor_z_mm for g in plan.room] == [9.0, 9.0]
    assert plan.room[0].last.at_mm < plan.room[1].first.at_mm
    assert len(plan.plate) == 1
    assert not plan.tangled


def test_inlets_are_told_by_the_side_that_they_open_to():
    cuts = [inlet(150.0, 5.0, (-4.0, -2.5)), inlet(250.0, 5.0, (1.0, 4.0)), inlet(300.0, 5.0, (-4.0, 4.0))]
    plan = layout_of(x_bass(notches=cuts))
    assert [(i.outer_y_mm, i.inner_y_mm) for i in plan.inlets] == [(-4.0, -2.5), (4.0, 1.0)]
    assert len(plan.plate) == 1  # as wide as the brace: a lap
    assert not plan.tangled


def test_inlets_from_both_sides_may_share_a_place_if_wood_is_left_between():
    apart = [inlet(250.0, 5.0, (-4.0, -0.5)), inlet(251.0, 5.0, (0.5, 4.0))]
    assert len(layout_of(x_bass(notches=apart)).inlets) == 2
    meeting = [inlet(250.0, 5.0, (-4.0, 0.5)), inlet(251.0, 5.0, (0.5, 4.0))]
    assert layout_of(x_bass(notches=meeting)).tangled == tuple(meeting)


@pytest.mark.parametrize(
    "notches",
    [
        pytest.param([notch(250.0, 9.0), notch(252.0, 8.0, angle_deg=115.0)], id="two cross"),
        pytest.param([notch(2.0, 5.0)], id="over an end"),
        pytest.param([notch(-20.0, 5.0)], id="beyond an end"),
        pytest.param([inlet(2.0, 5.0, (-4.0, -2.0))], id="inlet over an end"),
        pytest.param([notch(250.0, 9.0, y=(-4.0, -2.0))], id="part of the width, from the top"),
        pytest.param([inlet(250.0, 5.0, (-2.0, 2.0))], id="a mortise"),
        pytest.param([notch(250.0, 9.0, "plate"), notch(255.0, 8.0)], id="floors that pass one another"),
        pytest.param([notch(165.0, 12.5)], id="floor above the wood"),
        pytest.param([notch(250.0, -0.5, "plate")], id="floor under the glue face"),
    ],
)
def test_tangled_notches_are_told_apart(notches):
    assert layout_of(x_bass(notches=notches)).tangled == tuple(notches)


def test_the_top_breaks_where_the_profile_kinks():
    height = straight_taper(400.0)
    stick = brace(height, falling(height), gabled(12, 3), dome(x_mm=200.0), 400.0)
    assert [c.at_mm for c in layout_of(stick).creases] == pytest.approx([20, 160, 240, 380])


def test_no_crease_where_a_notch_takes_the_kink_away():
    height = straight_taper(400.0)
    cut = notch(160.0, 9.0, angle_deg=90.0)
    stick = brace(height, level(height), gabled(12, 3), dome(x_mm=200.0), 400.0, notches=[cut])
    assert [c.at_mm for c in layout_of(stick).creases] == pytest.approx([20, 240, 380])


def test_a_smooth_profile_has_no_creases():
    height = scalloped(500.0)
    assert layout_of(brace(height, level(height), gabled(8, 8), dome(), 500.0)).creases == ()
