"""Hidden lines and hatching against shapely."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from braces.sheets.spans import hatching, inside_span, split_line

DIAMOND = np.array([(0.0, -5.0), (8.0, 0.0), (0.0, 5.0), (-8.0, 0.0)])


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(("a", "b"), [((-20, 1), (20, 2)), ((-20, -4), (20, -4)), ((0, 0), (3, 30)), ((-1, 0), (1, 1))])
def test_the_part_inside_a_convex_polygon(a, b, turned):
    polygon = DIAMOND[::-1] if turned else DIAMOND
    low, high = inside_span(a, b, polygon)
    assert (high - low) * LineString([a, b]).length == pytest.approx(
        LineString([a, b]).intersection(Polygon(DIAMOND)).length
    )


def test_a_line_that_misses_has_no_part_inside():
    assert inside_span((-20, 9), (20, 9), DIAMOND) is None
    assert inside_span((-20, 9), (20, 30), DIAMOND) is None


def test_a_line_under_two_covers_is_drawn_once_all_along():
    covers = [DIAMOND + np.array((x, 0)) for x in (0, 5, 40)]
    parts = split_line((-30, 0), (60, 0), covers, "cut")
    assert [p.layer for p in parts] == ["cut", "hidden", "hidden", "cut", "hidden", "cut"]
    assert sum(LineString(p.points).length for p in parts) == pytest.approx(90)
    hidden = sum(LineString(p.points).length for p in parts if p.layer == "hidden")
    assert hidden == pytest.approx(21 + 16)


def test_hatching_stays_inside_and_is_evenly_spaced():
    lines = hatching(DIAMOND, 1.4, "note")
    inside = Polygon(DIAMOND).buffer(1e-9)
    assert all(inside.contains(LineString(s.points)) for s in lines)
    offsets = sorted(float(s.points[0, 1] - s.points[0, 0]) / 2**0.5 for s in lines)
    assert np.diff(offsets) == pytest.approx(1.4)
    assert len(lines) == pytest.approx(
        Polygon(DIAMOND).area / 1.4 / np.mean([LineString(s.points).length for s in lines]), abs=1.5
    )
