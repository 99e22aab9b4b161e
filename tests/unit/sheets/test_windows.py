"""What shows through a rectangle, against shapely; words that would be cut."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from braces.sheets.drawing import Label
from braces.sheets.windows import Region, crossing, is_whole, settled, touches

whole_numbers = st.integers(-12, 12)
points = st.tuples(whole_numbers, whole_numbers)


@given(st.lists(st.tuples(points, points), min_size=1, max_size=12), points, st.integers(1, 9), st.integers(1, 9))
def test_crossing_agrees_with_shapely(ends, corner, width, height):
    ends = [(a, b) for a, b in ends if a != b] or [((0, 0), (1, 0))]
    segments = np.array([(*a, *b) for a, b in ends], dtype=float)
    window = (corner[0], corner[1], corner[0] + width, corner[1] + height)
    found = crossing(segments, window)
    # Whole numbers: touching is exact in both.
    assert found.tolist() == [box(*window).intersects(LineString(e)) for e in ends]


LEFT = Region((0, 0, 107, 100), (0, 0, 100, 100))
RIGHT = Region((93, 0, 200, 100), (100, 0, 200, 100))


def words(x, text="treble leg of the X", **more):
    return Label(x, 50.0, text, 2.5, **more)


def test_words_that_no_edge_cuts_stay():
    labels = (words(10), words(150), Label(97.0, 50.0, "A", 2.5))
    assert settled(labels, (LEFT, RIGHT)) == labels


@pytest.mark.parametrize("angle", [0.0, 37.0, -20.0, 90.0])
@pytest.mark.parametrize("x", [85.0, 95.0, 99.0])
def test_words_across_the_seam_slide_along_their_baseline(x, angle):
    label = words(x, angle_deg=angle)
    (slid,) = settled([label], (LEFT, RIGHT))
    shown = [r for r in (LEFT, RIGHT) if touches(slid, r.kept)]
    assert shown
    assert all(is_whole(slid, r.window) for r in shown)
    moved = np.array((slid.x_mm - label.x_mm, slid.y_mm - label.y_mm))
    across = np.array((-np.sin(np.radians(angle)), np.cos(np.radians(angle))))
    assert abs(moved @ across) < 1e-9


def test_words_slide_away_from_other_words():
    label, other = words(85), words(62)
    slid, stayed = settled([label, other], (LEFT, RIGHT))
    assert stayed == other
    assert slid.ink[0] >= other.ink[2] or slid.ink[2] <= other.ink[0]
