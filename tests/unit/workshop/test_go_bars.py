"""Bars on the braces of real plates: heights of stacks from the geometry, sums, and what is refused."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from support.designs import carved_of

from braces.design.woods import wood
from braces.workshop.elastica import bent_bar
from braces.workshop.go_bars import BarSpec, DeckSpec, plate_bars, published_pressure

PRESETS = ("fieldfare", "dunnock", "goshawk", "redstart", "wren")


@pytest.mark.parametrize("name", PRESETS)
@pytest.mark.parametrize("plate", ["top", "back"])
def test_every_brace_is_pressed_along_its_whole_length(name: str, plate: str) -> None:
    carved = carved_of(name)
    wooden = carved.top if plate == "top" else carved.back
    bars = plate_bars(carved, plate)
    assert [b.brace for b in bars.braces] == list(wooden.order)
    assert [p.number for p in bars.places] == list(range(1, len(bars.places) + 1))
    for row in bars.braces:
        brace = next(b for b in wooden.braces if b.name == row.brace)
        assert len(row.places) * row.spacing_mm == pytest.approx(brace.length_mm)
        assert len(row.places) >= 2
        assert all(0 < p.along_mm < brace.length_mm for p in row.places)
        assert row.push_n == pytest.approx(sum(p.bar.push_n for p in row.places))
        for p in row.places:
            for n in brace.notches:
                if n.opens == "room":
                    assert abs(p.along_mm - n.at_mm) > n.width_mm / 2
    assert bars.push_n == pytest.approx(sum(p.bar.push_n for p in bars.places))


def test_stack_of_a_blank_by_pythagoras() -> None:
    """Rise of the sphere to the brace's belly, plate, blank and caul."""
    carved = carved_of("fieldfare")
    spec = DeckSpec()
    bars = plate_bars(carved, "back", spec)
    dome = carved.placed.back.dome
    brace = next(b for b in carved.back.braces if b.name == "back 2")
    y = brace.origin_xy_mm[1] - dome.apex_y_mm
    # A ladder brace: its belly is on the centre line; the inner face is a sphere of R - t about the dish's centre.
    belly = dome.radius_mm - sqrt((dome.radius_mm - dome.thickness_mm) ** 2 - y**2)
    half = brace.width_mm / 2
    lowest = min(
        dome.radius_mm - sqrt((dome.radius_mm - dome.thickness_mm) ** 2 - (y + s * half) ** 2) for s in (-1, 1)
    )
    expected = lowest + brace.blank.height_mm + spec.caul_mm
    assert belly >= lowest
    for place in next(b for b in bars.braces if b.brace == "back 2").places:
        assert place.stack_mm == pytest.approx(expected, abs=1e-6)
        assert place.gap_mm == pytest.approx(spec.deck_mm - expected, abs=1e-6)


def test_carved_braces_leave_more_room() -> None:
    carved = carved_of("fieldfare")
    blanks, done = (plate_bars(carved, "top", DeckSpec(glued=g)) for g in ("as blanks", "carved"))
    for a, b in zip(blanks.places, done.places, strict=True):
        assert b.gap_mm > a.gap_mm
        brace = next(x for x in carved.top.braces if x.name == b.brace)
        height = float(brace.height(np.array(b.along_mm)))
        top = 600.0 - b.gap_mm - 6.0 - brace.glue_depth_mm - float(brace.glue.z(b.along_mm, 0.0))
        assert top == pytest.approx(height, abs=1e-9)


def test_places_lie_on_the_brace_in_plan() -> None:
    carved = carved_of("fieldfare")
    for place in plate_bars(carved, "top").places:
        brace = next(b for b in carved.placed.top.braces if b.name == place.brace)
        a, b = np.array(brace.start.at), np.array(brace.end.at)
        at = a + (b - a) * place.along_mm / brace.length_mm
        assert place.at == pytest.approx(tuple(at), abs=1e-9)


def test_a_given_length_is_kept_and_pushes_as_the_elastica_says() -> None:
    carved = carved_of("fieldfare")
    spec = DeckSpec(bars=BarSpec("white ash", "slat", 5.0, 12.0, 590.0))
    bars = plate_bars(carved, "back", spec)
    assert bars.bar_length_mm == 590.0
    stiffness = 12000.0 * 12.0 * 5.0**3 / 12  # white ash: Wood Handbook table 5-3, 12 000 MPa
    first = bars.places[0]
    assert first.bar.push_n == pytest.approx(bent_bar(590.0, first.gap_mm, stiffness).push_n, rel=1e-12)
    most = max(p.bar.moment_n_mm for p in bars.places)
    assert bars.stress_fraction == pytest.approx(most / (12.0 * 5.0**2 / 6) / 103.0)  # 103 MPa, the same table


def test_round_bars_have_a_round_section() -> None:
    carved = carved_of("fieldfare")
    bars = plate_bars(carved, "back", DeckSpec(bars=BarSpec("glass fibre", "rod", 4.0, length_mm=580.0)))
    first = bars.places[0]
    expected = bent_bar(580.0, first.gap_mm, 40000 * pi * 4.0**4 / 64).push_n
    assert first.bar.push_n == pytest.approx(expected, rel=1e-12)
    assert bars.provenance == "memory"


def test_closer_bars_press_harder() -> None:
    carved = carved_of("fieldfare")
    wide, close = (plate_bars(carved, "top", DeckSpec(spacing_mm=s)) for s in (60.0, 30.0))
    assert len(close.places) > 1.7 * len(wide.places)
    assert close.braces[0].pressure_mpa > 1.7 * wide.braces[0].pressure_mpa


def test_published_pressure_goes_by_the_softer_wood() -> None:
    """A glue maker's figures: softwood 100 to 150 lb/in2, hardwood 175 to 250 (text)."""
    psi = 0.00689476
    soft = published_pressure(wood("Engelmann spruce"), wood("black walnut"))
    hard = published_pressure(wood("sugar maple"), wood("white ash"))
    assert (soft.low_mpa, soft.high_mpa) == pytest.approx((100 * psi, 150 * psi), abs=0.005)
    assert (hard.low_mpa, hard.high_mpa) == pytest.approx((175 * psi, 250 * psi), abs=0.005)


def test_notes_say_what_is_off() -> None:
    carved = carved_of("fieldfare")
    assert any("less pressure" in n for n in plate_bars(carved, "top").notes)
    strong = DeckSpec(bars=BarSpec("white ash", "slat", 16.0, 40.0))
    notes = plate_bars(carved, "top", strong).notes
    assert any("more pressure" in n for n in notes)
    thick = DeckSpec(bars=BarSpec("sitka spruce", "rod", 14.0), over_mm=30.0)
    assert any("strength" in n for n in plate_bars(carved, "top", thick).notes)


@pytest.mark.parametrize(
    ("spec", "match"),
    [
        (DeckSpec(deck_mm=20.0), "no room"),
        (DeckSpec(bars=BarSpec(length_mm=500.0)), "does not bow"),
        (DeckSpec(bars=BarSpec("cheese")), "cheese"),
        (DeckSpec(bars=BarSpec(length_mm=1500.0)), "leans more"),
    ],
)
def test_what_cannot_stand_is_refused(spec: DeckSpec, match: str) -> None:
    with pytest.raises(ValueError, match=match):
        plate_bars(carved_of("fieldfare"), "top", spec)


def test_a_plate_without_braces_has_nothing_to_press() -> None:
    carved = carved_of("fieldfare")
    bare = replace(carved, back=replace(carved.back, braces=(), order=()))
    with pytest.raises(ValueError, match="no braces"):
        plate_bars(bare, "back")
