"""Rectangles on shelves: nothing overlaps, nothing sticks out, few sheets."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from braces.sheets.nesting import packed

sides = st.floats(5, 180, allow_nan=False)


def boxes(sizes, spots):
    return [(s.page, s.x_mm, s.y_mm, s.x_mm + w, s.y_mm + h) for (w, h), s in zip(sizes, spots, strict=True)]


@given(st.lists(st.tuples(sides, st.floats(5, 90)), max_size=25), st.floats(180, 300), st.floats(90, 260))
def test_nothing_overlaps_and_all_is_inside(sizes, width, height):
    gap = 5.0
    found = boxes(sizes, packed(sizes, width, height, gap))
    for _, x0, y0, x1, y1 in found:
        assert x0 >= -1e-9
        assert y0 >= -1e-9
        assert x1 <= width + 1e-9
        assert y1 <= height + 1e-9
    for a, b in itertools.combinations(found, 2):
        if a[0] == b[0]:
            apart = max(b[1] - a[3], a[1] - b[3], b[2] - a[4], a[2] - b[4])
            assert apart >= gap - 1e-9
    assert {f[0] for f in found} == set(range(len({f[0] for f in found})))


def test_keeps_reading_order():
    sizes = [(80.0, 20.0)] * 7
    spots = packed(sizes, 180.0, 60.0, 5.0)
    assert [(s.page, -s.y_mm, s.x_mm) for s in spots] == sorted((s.page, -s.y_mm, s.x_mm) for s in spots)


def test_looks_back_if_that_saves_a_sheet():
    """Wide and narrow in turns: in strict order every wide one would waste a shelf."""
    sizes = [(170.0, 20.0), (60.0, 20.0)] * 4
    spots = packed(sizes, 180.0, 120.0, 5.0)
    assert max(s.page for s in spots) + 1 == math.ceil((4 * 20 + 2 * 20 + 5 * 5) / 120)


@pytest.mark.parametrize("size", [(200.0, 10.0), (10.0, 200.0)])
def test_too_large_is_refused(size):
    with pytest.raises(ValueError, match="does not fit"):
        packed([size], 180.0, 120.0, 5.0)


def test_nothing_takes_no_sheet():
    assert packed([], 180.0, 120.0, 5.0) == ()
