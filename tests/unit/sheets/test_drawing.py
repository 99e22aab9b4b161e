"""Drawings as data: boxes, moving, and what is refused."""

import numpy as np
import pytest
from sheet_samples import plan, side_view

from braces.sheets.drawing import Drawing, Label, Stroke, moved, polyline
from braces.sheets.lettering import text_width_mm


def test_ink_holds_every_point_and_every_corner_of_the_words():
    drawing = plan()
    x0, y0, x1, y1 = drawing.ink
    points = np.vstack([*(s.points for s in drawing.strokes), *(w.corners for w in drawing.labels)])
    assert (points >= (x0, y0)).all()
    assert (points <= (x1, y1)).all()
    # ... and is not larger than the widest pen allows.
    assert np.abs(points.min(axis=0) - (x0, y0)).max() <= 0.25
    assert np.abs(points.max(axis=0) - (x1, y1)).max() <= 0.25


@pytest.mark.parametrize(("anchor", "left"), [("start", 0.0), ("middle", -0.5), ("end", -1.0)])
def test_anchor_places_the_words(anchor, left):
    label = Label(10.0, 20.0, "treble", 3.5, anchor=anchor)
    width = text_width_mm("treble", 3.5)
    assert label.ink[0] == pytest.approx(10 + left * width)
    assert label.ink[2] == pytest.approx(10 + (left + 1) * width)


def test_turned_words_run_along_their_angle():
    label = Label(5.0, 5.0, "neck", 2.5, angle_deg=90.0)
    a, b = label.corners[0], label.corners[1]
    assert b - a == pytest.approx((0.0, label.width_mm))
    assert label.corners[3][0] < a[0]  # the tops of the letters lie to the left


def test_moved_shifts_marks_and_join_windows():
    drawing = side_view("bar", 300.0, 15.0)
    away = moved(drawing, 7.0, -3.0)
    assert away.ink == pytest.approx(np.array(drawing.ink) + np.array((7, -3, 7, -3)))
    assert away.join_windows[0] == pytest.approx(np.array(drawing.join_windows[0]) + 7)


@pytest.mark.parametrize(
    "make",
    [
        lambda: polyline([(0, 0), (1, 1)], "no such layer"),
        lambda: polyline([(0, 0)], "cut"),
        lambda: polyline([(0, 0), (1, float("nan"))], "cut"),
        lambda: Label(0, 0, "x", layer="no such layer"),
        lambda: Label(0, 0, "x", height_mm=0.0),
        lambda: Label(float("inf"), 0, "x"),
        lambda: Label(0, 0, "x", anchor="left"),
        lambda: Drawing("k", "t", "f", "plan", ()),
        lambda: Drawing("k", "t", "f", "elevation", (polyline([(0, 0), (1, 1)], "cut"),)),
        lambda: Drawing("k", "t", "f", "strip", (polyline([(0, 0), (1, 1)], "cut"),), ((5.0, 5.0),)),
    ],
)
def test_nonsense_is_refused(make):
    with pytest.raises(ValueError):
        make()


def test_points_are_frozen():
    stroke = Stroke(np.array([(0.0, 0.0), (1.0, 0.0)]), "cut")
    with pytest.raises(ValueError):
        stroke.points[0, 0] = 9.0
