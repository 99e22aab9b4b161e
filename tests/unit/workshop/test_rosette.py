"""The rosette's channel: every part of it is cut, and nothing outside."""

from __future__ import annotations

from itertools import pairwise

import pytest
from support.designs import placed_of

from braces.workshop.habits import rosette_notes
from braces.workshop.rosette import RosetteSpec, rosette_cut


@pytest.mark.parametrize("cutter", [3.0, 6.0, 16.0])
def test_circles_cover_the_channel(cutter: float) -> None:
    cut = rosette_cut(placed_of("fieldfare"), RosetteSpec(cutter_mm=cutter))
    assert cut is not None
    assert (cut.inner_radius_mm, cut.outer_radius_mm) == (49.0 + 4.0, 49.0 + 20.0)
    swept = sorted((c - cutter / 2, c + cutter / 2) for c in cut.circles_mm)
    assert swept[0][0] == pytest.approx(cut.inner_radius_mm)
    assert swept[-1][1] == pytest.approx(cut.outer_radius_mm)
    assert all(b[0] < a[1] for a, b in pairwise(swept))


def test_passes_are_even_and_not_too_deep() -> None:
    cut = rosette_cut(placed_of("fieldfare"), RosetteSpec(depth_mm=1.8, pass_mm=0.6))
    assert cut is not None
    assert cut.depths_mm == pytest.approx((0.6, 1.2, 1.8))


def test_what_does_not_fit_is_refused() -> None:
    placed = placed_of("fieldfare")
    with pytest.raises(ValueError, match="no room"):
        rosette_cut(placed, RosetteSpec(land_mm=18.0))
    with pytest.raises(ValueError, match="through the top"):
        rosette_cut(placed, RosetteSpec(depth_mm=3.0))
    assert rosette_cut(placed_of("fieldfare", (', rosette = "20 mm"', ""))) is None


def test_a_thin_floor_is_noted() -> None:
    """1.5 mm into a top of 1.9 mm leaves a fifth; into 2.8 mm it leaves nearly half."""
    assert rosette_notes(1.5, 0.110 * 25.4) == ()
    (note,) = rosette_notes(1.5, 1.9)
    assert "0.40 mm of 1.90 mm" in note
