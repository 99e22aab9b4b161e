"""Props in real bodies: lengths, bevels, and what is said when one cannot stand or come out."""

from __future__ import annotations

from math import degrees

import numpy as np
import pytest
from shapely.geometry import Point, Polygon
from support.designs import carved_of, placed_of

from braces.placed.footprint import footprint
from braces.workshop.inside import bench_to_body, space_of
from braces.workshop.props import PropSpec, fit_prop
from braces.workshop.space import rod_round


def test_length_and_bevels_from_the_spheres() -> None:
    """Both faces are spheres: heights by Pythagoras, slopes from their centres' places."""
    placed = placed_of("fieldfare")
    top, back = placed.top.dome, placed.back.dome
    centre = placed.back_pose(np.array([0.0, back.apex_y_mm, back.radius_mm]))
    x, y = 100.0, 380.0
    up = np.sqrt(top.inner_radius_mm**2 - x**2 - (y - top.apex_y_mm) ** 2)
    down = np.sqrt(back.inner_radius_mm**2 - x**2 - (y - centre[1]) ** 2)
    fit = fit_prop(carved_of("fieldfare"), PropSpec(x, y), advise=False)
    assert fit.length_mm == pytest.approx(up - top.radius_mm - centre[2] + down, abs=1e-9)
    expected = (-x / up, -(y - top.apex_y_mm) / up), (x / down, (y - centre[1]) / down)
    for found, slopes in zip((fit.top_bevel_deg, fit.back_bevel_deg), expected, strict=True):
        assert found == pytest.approx([degrees(np.arctan(s)) for s in slopes], abs=1e-6)


def test_a_prop_that_comes_out_needs_no_advice() -> None:
    fit = fit_prop(carved_of("fieldfare"), PropSpec(100.0, 380.0))
    assert fit.blocked_by == ""
    assert fit.way is not None
    assert fit.way.found
    assert fit.least_freed_mm == 3.0
    assert fit.better_place is None
    assert "drawn out" in fit.advice
    assert fit.way.poses[0].lean_deg == 0.0
    assert fit.way.least_clearance_mm > 0


@pytest.mark.parametrize(
    ("x", "y", "name"), [(9.0, 60.0, "centre strip"), (60.0, 110.0, "tone bar 2"), (110.0, 180.0, "finger 2-treble")]
)
def test_a_taken_place_is_named_and_another_found(x: float, y: float, name: str) -> None:
    carved = carved_of("fieldfare")
    fit = fit_prop(carved, PropSpec(x, y))
    assert fit.blocked_by == name
    assert fit.way is None
    assert fit.better_place is not None
    moved = fit_prop(carved, PropSpec(*fit.better_place), advise=False)
    assert moved.way is not None
    assert moved.way.found


def test_a_prop_on_a_strip_is_shorter_by_the_strip() -> None:
    """The strip is 2.4 mm thick, square to a back that slopes there: a little more, upright."""
    carved = carved_of("fieldfare")
    bare = carved_of(
        "fieldfare",
        (', width = "18 mm", thickness = "2.4 mm", at_braces', ', width = "18 mm", thickness = "0.5 mm", at_braces'),
    )
    fit, thin = (fit_prop(c, PropSpec(0.0, 60.0), advise=False) for c in (carved, bare))
    assert (fit.on_back, fit.on_top) == ("centre strip", "")
    assert thin.length_mm - fit.length_mm == pytest.approx(1.9 / np.cos(np.radians(fit.back_bevel_deg[1])), abs=1e-6)
    assert fit.way is not None
    assert fit.way.found
    half = fit_prop(carved, PropSpec(0.0, 45.0, 16.0, 16.0), advise=False)
    assert half.blocked_by == "centre strip"  # wider than the strip: it would stand half on it


def test_a_thick_prop_has_to_be_freed_more() -> None:
    fit = fit_prop(carved_of("fieldfare"), PropSpec(-60.0, 260.0, 20.0, 20.0, freed_by_mm=1.0))
    assert fit.way is not None
    assert not fit.way.found
    assert fit.least_freed_mm is not None
    assert fit.least_freed_mm > 1.0
    assert f"{fit.least_freed_mm:.0f} mm shorter" in fit.advice


def test_places_outside_and_boxes_without_a_hole_are_refused() -> None:
    with pytest.raises(ValueError, match="outside the linings"):
        fit_prop(carved_of("fieldfare"), PropSpec(180.0, 400.0))
    carved = carved_of("fieldfare")
    from dataclasses import replace

    shut = replace(carved, placed=replace(carved.placed, soundhole_y_mm=None))
    with pytest.raises(ValueError, match="without a soundhole"):
        fit_prop(shut, PropSpec(100.0, 380.0))


@pytest.mark.parametrize("name", ["fieldfare", "linnet", "redstart"])
def test_boxes_stand_over_the_plans_footprints(name: str) -> None:
    carved = carved_of(name)
    placed, space = carved.placed, space_of(carved)
    for plate, wooden in zip(placed.plates, carved.plates, strict=True):
        for spec, brace in zip(plate.braces, wooden.braces, strict=True):
            pose = bench_to_body(brace, placed)
            along = np.array([[x, 0.0, 0.0] for x in (0.0, brace.length_mm / 2, brace.length_mm)])
            body = pose(along)
            plan = Polygon(footprint(spec)).buffer(0.5)
            if plate.name == "top":  # the back's plan is its own, a little longer than the body's
                assert all(plan.contains(Point(p[:2])) for p in body)
            inside = pose(np.array([[brace.length_mm / 2, 0.0, float(brace.height(brace.length_mm / 2)) / 2]]))
            boxes = next(b for b in space.obstacles if b.name == brace.name)
            assert boxes.clearance(inside)[0] == 0.0
            way = (pose(np.array([0.0, 0.0, 1.0])) - pose(np.zeros(3)))[2]
            assert (way < 0) == (plate.name == "top")  # into the room is down from the top


def test_patches_leave_the_soundhole_open() -> None:
    text = (
        'soundhole = { diameter = "98 mm", centre = "147 mm from the neck", rosette = "20 mm" }',
        'soundhole = { diameter = "98 mm", centre = "147 mm from the neck", rosette = "20 mm" }\n'
        'patches = [ { name = "ring", wood = "sugar maple", thickness = "2 mm", shape = "ring", width = "6 mm" } ]',
    )
    space = space_of(carved_of("fieldfare", text))
    ring = next(b for b in space.obstacles if b.name == "ring")
    (x, y), r = space.hole_at, space.hole_radius_mm
    turn = np.linspace(0, 2 * np.pi, 60)
    rim = np.column_stack([x + (r - 1.6) * np.cos(turn), y + (r - 1.6) * np.sin(turn), np.full(60, -4.0)])
    wood = np.column_stack([x + (r + 3.5) * np.cos(turn), y + (r + 3.5) * np.sin(turn), np.full(60, -4.0)])
    assert ring.clearance(rim).min() > 0.0
    assert ring.clearance(wood).max() < 1.0


def test_a_rod_goes_round_its_corners() -> None:
    assert rod_round(90.0, 12.0, 9.0).radius_mm == 7.5
