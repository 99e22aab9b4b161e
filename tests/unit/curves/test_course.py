"""Courses: places along and beside a line or an arc. Checked against shapely's buffers and plain trigonometry."""

from math import hypot, inf, pi

import numpy as np
import pytest
from shapely import LineString, Polygon

from braces.curves.course import Course, between, cut_station, meetings

ARCS = [
    between((10.0, 20.0), (260.0, 60.0), 180.0),
    between((10.0, 20.0), (260.0, 60.0), -400.0),
    between((10.0, 20.0), (-60.0, -90.0)),
]


@pytest.mark.parametrize("course", ARCS)
def test_it_runs_from_end_to_end(course: Course) -> None:
    line = LineString(course.point(np.linspace(0, course.length_mm, 4001)))
    assert course.length_mm == pytest.approx(line.length, rel=1e-7)
    assert course.at(0.0) == pytest.approx((10.0, 20.0))


def test_the_rise_of_an_arc() -> None:
    """Chord c and rise h of a circle: r = (c^2 / 4 + h^2) / 2 h (plane geometry)."""
    chord, rise = 200.0, 30.0
    arc = between((0.0, 0.0), (chord, 0.0), (chord**2 / 4 + rise**2) / (2 * rise))
    assert arc.at(arc.length_mm / 2) == pytest.approx((100.0, -30.0))  # turning left, it bows to the right


@pytest.mark.parametrize("course", ARCS)
def test_places_and_back(course: Course) -> None:
    rng = np.random.default_rng(3)
    s, y = rng.uniform(0, course.length_mm, 50), rng.uniform(-20, 20, 50)
    found = course.project(course.point(s, y))
    assert np.abs(found[0] - s).max() < 1e-9
    assert np.abs(found[1] - y).max() < 1e-9
    ahead = (course.point(s + 1e-4) - course.point(s - 1e-4)) / 2e-4
    assert np.abs(ahead - course.tangent(s)).max() < 1e-6


@pytest.mark.parametrize("course", ARCS)
def test_the_strip_is_shapelys_buffer(course: Course) -> None:
    line = LineString(course.point(np.linspace(0, course.length_mm, 3001)))
    wide = line.buffer(5.0, cap_style="flat")
    strip = Polygon(course.strip((0.0, 0.0), (course.length_mm, course.length_mm), 5.0))
    assert strip.is_valid
    assert strip.exterior.is_ccw
    assert strip.symmetric_difference(wide).area < 2e-3 * course.length_mm * 2


@pytest.mark.parametrize("course", ARCS)
def test_lines_meet_parallels(course: Course) -> None:
    point, direction = course.at(course.length_mm / 3, 2.0), (0.6, 0.8)
    for y in (-7.0, 0.0, 3.0):
        for t in course.line_meets(point, direction, y):
            there = (point[0] + t * direction[0], point[1] + t * direction[1])
            assert course.where(there)[1] == pytest.approx(y, abs=1e-9)
    assert len(course.line_meets(point, direction)) == (1 if course.is_straight else 2)


def test_a_line_far_off_meets_no_arc() -> None:
    assert ARCS[0].line_meets((0.0, 5000.0), (1.0, 0.0)) == ()


def test_all_kinds_of_meetings() -> None:
    for a in ARCS[:2]:
        across = between((100.0, -80.0), (120.0, 160.0))
        bent = between((100.0, -80.0), (120.0, 160.0), 500.0)
        for b in (across, bent):
            met = list(meetings(a, b))
            lines = [LineString(c.point(np.linspace(0, c.length_mm, 20001))) for c in (a, b)]
            crossing = lines[0].intersection(lines[1])
            assert len(met) == 1
            assert a.at(met[0][0]) == pytest.approx((crossing.x, crossing.y), abs=1e-3)
            assert b.at(met[0][1]) == pytest.approx(a.at(met[0][0]), abs=1e-9)
    assert list(meetings(ARCS[0], between((0.0, 500.0), (300.0, 500.0)))) == []


def test_two_meetings_are_both_found() -> None:
    arc = between((-100.0, 0.0), (100.0, 0.0), 200.0)
    assert len(list(meetings(arc, between((-99.0, -10.0), (99.0, -10.0))))) == 2


def test_a_cut_on_a_straight_course_is_its_cotangent() -> None:
    assert cut_station(0.4, 5.0) == pytest.approx(2.0)
    assert cut_station(0.4, 5.0, inf, 3.0) == pytest.approx(2.0 + 3.0 * hypot(1, 0.4))
    assert cut_station(0.4, 5.0, 1e9, 3.0) == pytest.approx(2.0 + 3.0 * hypot(1, 0.4), abs=1e-6)


def test_what_cannot_be_an_arc() -> None:
    for far in ((300.0, 0.0), (0.0, 0.0)):
        with pytest.raises(ValueError, match="no such arc"):
            between((0.0, 0.0), far, 100.0)
    with pytest.raises(ValueError, match="centre"):
        _ = ARCS[2].centre
    assert ARCS[0].centre == pytest.approx(ARCS[0].at(0.0, 180.0))
    assert Course((0.0, 0.0), (1.0, 0.0), pi * 50, 50.0).at(pi * 50) == pytest.approx((0.0, 100.0))
