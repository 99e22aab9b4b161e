"""Go-bars: lengths from the stack, push and bow.

Sources: Euler's column with hinged ends, P = pi^2 E I / L^2; second moments b h^3 / 12 and pi d^4 / 64 (any text on
the strength of materials); numbers worked out by hand beside each value.
"""

from dataclasses import replace
from math import pi

import pytest
from support.designs import carved_of
from support.tool_parts import SETTINGS, part, parts_of

from braces.app.tool_deck import seated_bars
from braces.solids.tools.bodies import body
from braces.solids.tools.gobars import bar_mpa, bar_places, go_bars, inertia_mm4, standing
from braces.solids.tools.registry import tool_parts


def test_push_of_a_slat_and_of_a_rod():
    """18 x 6 mm: I = 324 mm4; white ash 12.0 GPa (Wood Handbook table 5-3); a bar that hardly bows pushes with Euler's
    load, pi^2 * 12000 * 324 / 600^2 = 106.59 N. Rod 6 mm: I = 63.617 mm4."""
    assert inertia_mm4(SETTINGS) == pytest.approx(324.0)
    assert bar_mpa(SETTINGS) == 12000
    assert standing(600.0, 599.99, SETTINGS).push_n == pytest.approx(106.59, abs=0.01)
    assert inertia_mm4(replace(SETTINGS, bar_shape="rod")) == pytest.approx(63.617, abs=5e-4)


def test_bars_of_another_material():
    """Push goes with the modulus; that of glass fibre is in the data file with its source."""
    rods = replace(SETTINGS, bar_material="Glass  fibre")
    ratio = standing(580.0, 572.0, rods).push_n / standing(580.0, 572.0, SETTINGS).push_n
    assert ratio == pytest.approx(40000 / 12000)


def test_pages_of_bars_and_the_deck_s_plan_say_the_same():
    carved = carved_of("fieldfare")
    seated = seated_bars(carved, carved.top, SETTINGS)
    assert seated is not None
    pushes = {p.length_mm: dict(p_.dimensions)["push N"] for p in seated.places for p_ in parts_of("fieldfare")
              if p_.name == f"go-bar-{p.length_mm:.0f}"}  # fmt: skip
    for place in seated.places:
        assert place.bar.push_n == pytest.approx(pushes[place.length_mm], rel=0.01)
        assert place.stack_mm + place.gap_mm == pytest.approx(SETTINGS.deck_mm)
    assert [p.number for p in seated.places] == list(range(1, len(seated.places) + 1))


def test_a_bar_fills_the_room_under_the_deck():
    """Dish, plate and brace up to the caul's back, two cup floors of 2.4 mm and 0.5 mm under the cone; 8 mm over."""
    carved = carved_of("fieldfare")
    braces = {b.name: b for b in carved.braces}
    places = bar_places(carved, SETTINGS)
    assert {p.brace for p in places} == set(braces)
    for place in places:
        b = braces[place.brace]
        caul = next(p for p in parts_of("fieldfare") if p.name.startswith("clamping") and place.brace in p.serves)
        back = caul.home.shift[2]
        assert place.room_mm == pytest.approx(600.0 - b.glue_depth_mm - back - 0.5 - 4.8)
        assert abs(place.length_mm - place.room_mm - 8.0) <= 1.0
        along = (place.x_mm - b.origin_xy_mm[0]) * b.heading_xy[0] + (place.y_mm - b.origin_xy_mm[1]) * b.heading_xy[1]
        assert 0 < along < b.length_mm


def test_counts_of_bars_and_cups():
    carved = carved_of("fieldfare")
    places = bar_places(carved, SETTINGS)
    parts = [p for p in parts_of("fieldfare") if p.name.startswith("go-bar-") and "cup" not in p.name]
    assert sum(p.count for p in parts) == len(places)
    assert not any(p.printed for p in parts)
    assert part("go-bar-cup-caul").count == max(sum(p.plate == w for p in places) for w in ("top", "back"))


def test_the_cone_of_a_cup_bears_in_a_seat():
    """Both at 45 degrees: the cup set on the flat of the caul bites, half a millimetre higher it touches nothing."""
    caul = part("clamping-caul-back-back-4-1")
    cup = part("go-bar-cup-caul")
    seat = dict(caul.dimensions)["seat 1 mm"]
    one = body(caul.pieces[0].vertices, caul.pieces[0].faces)
    tip = body(cup.pieces[0].vertices, cup.pieces[0].faces).translate((seat, 0.0, -14.4))  # its shoulder on the flat
    assert (one ^ tip).volume() > 1.0
    assert (one ^ tip.translate((0, 0, -0.501))).volume() == pytest.approx(0, abs=1e-6)
    assert (one ^ tip.translate((0, 0, -0.49))).volume() > 1e-3


def test_rods_are_round():
    rods = go_bars(carved_of("dunnock"), replace(SETTINGS, bar_shape="rod", bar_thickness_mm=5.0))
    rod = rods[0]
    length = dict(rod.dimensions)["length mm"]
    assert rod.volume_mm3 == pytest.approx(pi * 2.5**2 * length, rel=0.02)
    assert rod.pieces[0].size_mm == pytest.approx((length, 5.0, 5.0), abs=0.05)


def test_a_plate_without_room_for_a_caul_has_no_bars():
    made = list(tool_parts(carved_of("wren"), SETTINGS, ("go-bar",)))
    assert all(p.count > 0 for p in made)
