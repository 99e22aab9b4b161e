"""The patch over an X on paper: full size on the plan and on both side views, with its size, wood and grain."""

import numpy as np
import pytest
import shapely
from support.designs import carved_of

from braces.sheets.plan import plan_drawing
from braces.sheets.side import brace_drawing


def loops(drawing):
    return [shapely.Polygon(s.points) for s in drawing.strokes if s.closed and s.layer == "edge" and len(s.points) > 3]


def words(drawing):
    return [label.text for label in drawing.labels]


def test_its_outline_is_on_the_plan():
    carved = carved_of("whimbrel")
    drawing = plan_drawing(carved, "top")
    (cap,) = carved.top.caps
    seen = shapely.Polygon(cap.corners * (-1, 1))  # a top from inside: treble on the left
    assert any(loop.symmetric_difference(seen).area < 1e-6 for loop in loops(drawing))
    assert "cap 40.0 × 8.0 × 1.5 Sitka spruce" in words(drawing)
    assert "on top, grain along x-bass" in words(drawing)


@pytest.mark.parametrize(("name", "long"), [("x-bass", 40.0), ("x-treble", 8.0 / np.sin(np.radians(79)))])
def test_it_lies_on_the_edge_of_both_side_views(name, long):
    """Across the other brace it is as long as its width over the sine of the angle: the X stands at 101 degrees."""
    carved = carved_of("whimbrel")
    brace = next(b for b in carved.top.braces if b.name == name)
    drawing = brace_drawing(brace, carved)
    lap = next(n for n in brace.notches if n.kind == "half-lap")
    near = [
        p for p in loops(drawing) if abs(p.centroid.x - lap.at_mm) < 0.1 and p.bounds[3] > brace.height.at(lap.at_mm)
    ]
    (cap,) = near
    assert cap.bounds[2] - cap.bounds[0] == pytest.approx(long, abs=1e-3)
    assert cap.area == pytest.approx(long * 1.5, rel=1e-3)
    assert "cap on top" in words(drawing)
    assert "cap 40.0 × 8.0 × 1.5 Sitka spruce, glued over the lap, grain along x-bass" in words(drawing)


def test_a_pattern_without_one_shows_none():
    carved = carved_of("fieldfare")
    assert not any("cap " in w for d in (plan_drawing(carved, "top"),) for w in words(d))
