"""Clamps for closing real boxes."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, Point
from support.designs import carved_of

from braces.workshop.clamps import FLAT_RADIUS_MM, ClampSpec, closing_clamps, flat_stretches
from braces.workshop.rim import rim

PRESETS = ("fieldfare", "dunnock", "linnet", "wren")


@pytest.mark.parametrize("name", PRESETS)
@pytest.mark.parametrize("plate", ["top", "back"])
def test_clamps_go_all_the_way_round(name: str, plate: str) -> None:
    carved = carved_of(name)
    made = closing_clamps(carved, rim(carved.placed), plate)
    assert made.count * made.spacing_mm == pytest.approx(carved.placed.outline.perimeter_mm)
    assert made.spacing_mm <= ClampSpec().spacing_mm + 1e-9
    assert made.governs == "bearing"
    assert made.pressure_mpa == pytest.approx(made.safe_n / (made.spacing_mm * made.ledge_mm))


def test_bearing_is_that_of_the_softest_wood() -> None:
    """Basswood linings, 2.6 MPa across the grain (Wood Handbook table 5-3: 2600 kPa): pad x ledge x strength."""
    carved = carved_of("fieldfare")
    made = closing_clamps(carved, rim(carved.placed), "top")
    ledge = 0.080 * 25.4 + 0.25 * 25.4
    assert made.bearing_n == pytest.approx(2.6 * 20.0 * ledge)
    assert made.safe_n == pytest.approx(0.5 * 2.6 * 20.0 * ledge)
    maple = closing_clamps(carved, rim(carved.placed), "top", ClampSpec(lining_wood="sugar maple"))
    assert maple.bearing_n == pytest.approx(2.8 * 20.0 * ledge)  # now the Engelmann top: 2800 kPa, the same table


def test_a_free_rim_stands_less_and_a_taller_one_less_still() -> None:
    carved = carved_of("fieldfare")
    held, free = (closing_clamps(carved, rim(carved.placed), "back", ClampSpec(held=h)) for h in ("in a mould", "free"))
    assert free.governs in ("bowing", "cracking")
    assert free.safe_n < held.safe_n / 3
    assert any("mould" in n for n in free.notes)
    deep = carved_of("fieldfare", ("depth      = { tail = \"104 mm\", neck = \"85 mm\" }",
                                   "depth      = { tail = \"124 mm\", neck = \"105 mm\" }"))  # fmt: skip
    assert closing_clamps(deep, rim(deep.placed), "back").bowing_n < held.bowing_n


def test_an_unlisted_strength_falls_back_to_the_others() -> None:
    carved = carved_of("fieldfare")
    made = closing_clamps(carved, rim(carved.placed), "back", ClampSpec(lining_wood="mahogany", side_wood="khaya"))
    assert made.bearing_n == pytest.approx(7.0 * 20.0 * made.ledge_mm)  # the walnut back alone has a figure


@pytest.mark.parametrize("name", PRESETS)
def test_flat_stretches_are_flat(name: str) -> None:
    """Circles through three points of the outline there, found by arc length: as wide as the limit or wider."""
    carved = carved_of(name)
    line = LineString(carved.placed.outline.point(np.linspace(0, carved.placed.outline.count, 40001)))
    found = flat_stretches(carved)
    assert {s.side for s in found} == {"bass", "treble"}
    hand = 1 if carved.placed.design.handed == "right" else -1
    for stretch in found:
        sign = hand if stretch.side == "treble" else -hand
        middle = (stretch.from_mm + stretch.to_mm) / 2
        at = middle if sign > 0 else line.length - middle
        a, b, c = (np.array(line.interpolate(at + d).coords[0]) for d in (-3.0, 0.0, 3.0))
        assert a[0] * sign > 0
        sagitta = LineString([a, c]).distance(Point(b))
        assert sagitta < 3.0**2 / 2 / FLAT_RADIUS_MM + 1e-3


def test_an_unknown_wood_is_an_error() -> None:
    carved = carved_of("fieldfare")
    with pytest.raises(KeyError):
        closing_clamps(carved, rim(carved.placed), "top", ClampSpec(lining_wood="cheese"))
