"""The dome against the air, for real plates."""

from __future__ import annotations

from itertools import pairwise
from math import isinf

import pytest
from support.designs import carved_of

from braces.workshop.humidity import AirSpec, plate_air

PRESETS = ("fieldfare", "dunnock", "goshawk", "redstart", "whimbrel", "wren")


@pytest.mark.parametrize("name", PRESETS)
@pytest.mark.parametrize("plate", ["top", "back"])
def test_damp_rounds_and_dry_flattens_every_plate(name: str, plate: str) -> None:
    air = plate_air(carved_of(name), plate)
    assert [round(r.humidity_fraction, 2) for r in air.rows] == [0.3, 0.35, 0.4, 0.45, 0.5, 0.55, 0.6, 0.65]
    for k in (0, 1):
        bends = [1 / r.radius_mm[k] for r in air.rows]
        assert all(a < b for a, b in pairwise(bends))
    for b in air.braces:
        if not isinf(b.radius_mm):
            assert all(r > b.radius_mm for r in b.sprung_radius_mm)
        narrow, wide = b.rise_per_percent_mm
        assert narrow >= 0
        # More plate pulls harder, up to where its own stiffness holds it back.
        assert wide == pytest.approx(narrow, rel=0.6)


def test_braces_along_the_grain_hardly_move() -> None:
    air = plate_air(carved_of("redstart"), "top")
    across = next(b for b in air.braces if b.brace == "upper transverse")
    along = next(b for b in air.braces if b.brace == "fan-2")
    assert along.rise_per_percent_mm[0] < 0.1 * across.rise_per_percent_mm[0]


def test_flatsawn_moves_more_than_quartersawn() -> None:
    """Tangential over radial: walnut 0.00274 to 0.00190, Wood Handbook table 13-5."""
    carved = carved_of("fieldfare")
    quarter, flat = (plate_air(carved, "back", AirSpec(ring_angle_deg=a)) for a in (90.0, 0.0))
    ratio = flat.braces[0].rise_per_percent_mm[0] / quarter.braces[0].rise_per_percent_mm[0]
    assert ratio == pytest.approx(0.00274 / 0.00190, rel=1e-9)


def test_rows_outside_the_coefficients_range_are_marked() -> None:
    air = plate_air(carved_of("fieldfare"), "top", AirSpec(least_fraction=0.2, most_fraction=0.8, step_fraction=0.1))
    assert [r.outside_range for r in air.rows] == [True, False, False, False, False, False, True]
    assert any("6 to 14 %" in n for n in air.notes)


def test_a_flat_plate_has_no_window() -> None:
    assert plate_air(carved_of("wren"), "back").window_fraction is None


def test_a_wood_without_movement_is_refused() -> None:
    carved = carved_of("fieldfare", ('wood = "black walnut"', 'wood = "African ebony"'))
    with pytest.raises(ValueError, match="african ebony"):
        plate_air(carved, "back")
