"""Sheets of curved braces: the side laid flat, the bending form, the plan. Lengths by shapely and plane geometry."""

from math import asin

import numpy as np
import pytest
from shapely import LineString
from support.curved import BENT_ROD, BOW, ROD, lapped, with_braces
from support.designs import carved_of

from braces.carved.values import Carved, CarvedBrace
from braces.placed.footprint import corners, footprint
from braces.placed.values import PlacedBrace
from braces.sheets.content import drawings
from braces.sheets.drawing import Drawing, Stroke
from braces.sheets.form import form_drawing
from braces.sheets.plan import plan_drawing
from braces.sheets.side import brace_drawing
from braces.sheets.side_shape import notch_span_mm
from braces.sheets.unrolled import near_side


def named(carved: Carved, name: str) -> CarvedBrace:
    return next(b for b in carved.braces if b.name == name)


CURLEW = carved_of("curlew")


def sides(placed: PlacedBrace) -> tuple[LineString, LineString]:
    """Right and left side of a footprint, as one looks along the plan."""
    plan, ends = footprint(placed), corners(placed)
    last = int(np.argmin(np.hypot(*(plan - ends[1]).T)))
    return LineString(plan[: last + 1]), LineString(plan[last + 1 :])


def cut(drawing: Drawing) -> list[Stroke]:
    return [s for s in drawing.strokes if s.layer == "cut"]


@pytest.mark.parametrize("plate", ["bow", "rod"])
def test_the_side_view_is_as_long_as_the_side(plate: str) -> None:
    """Along the near face, between the end faces: the length of that side of the footprint, measured by shapely."""
    carved = lapped(BENT_ROD, "bow")
    b = named(carved, plate)
    (outline,) = [s for s in cut(brace_drawing(b, carved)) if s.closed]
    long = float(np.ptp(outline.points[:, 0]))
    placed = next(p for p in carved.placed.back.braces if p.name == plate)
    right, left = (s.length for s in sides(placed))
    # A back is seen from inside as the plan lies: Y < 0 is the right side of the way.
    assert long == pytest.approx(right, abs=2e-3)
    assert abs(left - right) > 1.0


def test_on_a_top_the_near_side_is_the_other_one() -> None:
    b = named(CURLEW, "upper bow")
    (outline,) = [s for s in cut(brace_drawing(b, CURLEW)) if s.closed]
    placed = next(p for p in CURLEW.placed.top.braces if p.name == "upper bow")
    assert float(np.ptp(outline.points[:, 0])) == pytest.approx(sides(placed)[1].length, abs=2e-3)


def test_stations_are_those_of_the_centre_line() -> None:
    b = named(CURLEW, "upper bow")
    drawing = brace_drawing(b, CURLEW)
    said = {a.text: a for a in drawing.labels if a.layer == "dim" and not a.bold}
    heights = [a for a in drawing.labels if a.layer == "dim" and a.bold]
    ratio = (b.radius_mm + 6) / b.radius_mm  # the near side is the outside of this bend
    for s in (20.0, 100.0, 240.0):
        at = said[f"{s:.0f}"]
        assert at.x_mm == pytest.approx(s * ratio, rel=1e-9)
        over = min(heights, key=lambda a: abs(a.x_mm - at.x_mm))
        assert float(over.text) == pytest.approx(b.height.at(s), abs=0.051)


def test_lap_walls_on_the_near_face_are_where_the_other_brace_meets_it() -> None:
    carved = lapped(ROD, "rod")
    b, rod = named(carved, "bow"), next(p for p in carved.placed.back.braces if p.name == "rod")
    flat = near_side(b)
    a, z = notch_span_mm(flat, next(n for n in flat.notches if n.with_ == "rod"), "near")
    near, _ = sides(next(p for p in carved.placed.back.braces if p.name == "bow"))
    walls = LineString(rod.course.point(np.array([-50.0, rod.length_mm + 50.0]))).buffer(9.1 / 2, cap_style="flat")
    inside = near.intersection(walls)
    assert z - a == pytest.approx(inside.length, abs=1e-3)


def test_the_form_is_two_arcs() -> None:
    """Circles fitted to the form's heavy lines: the bend, half the width to either side."""
    b = named(CURLEW, "upper bow")
    drawing = form_drawing(b, CURLEW)
    arcs = [s for s in cut(drawing) if len(s.points) > 2]
    radii = []
    for arc in arcs:
        p = arc.points
        fit = np.linalg.lstsq(np.column_stack([2 * p, np.ones(len(p))]), np.sum(p**2, axis=1), rcond=None)[0]
        radii.append(float(np.sqrt(fit[2] + fit[0] ** 2 + fit[1] ** 2)))
        step = np.hypot(*np.diff(p, axis=0).T).max()
        assert step**2 / 8 / radii[-1] < 1.01e-3
    assert sorted(radii) == pytest.approx([b.radius_mm - 6, b.radius_mm + 6], rel=1e-6)
    centre = next(s for s in drawing.strokes if s.layer == "centre")
    spare = b.blank.length_mm / (1 + 6 / b.radius_mm) - b.length_mm
    assert LineString(centre.points).length == pytest.approx(b.length_mm + spare, rel=1e-5)
    chord = float(b.course.at(b.length_mm)[0])
    assert 2 * b.radius_mm * asin(chord / 2 / b.radius_mm) == pytest.approx(b.length_mm, rel=1e-9)
    assert any(f"chord {chord:.1f}" == a.text for a in drawing.labels)


def test_every_curved_brace_has_a_form_and_no_straight_one() -> None:
    keys = [d.key for d in drawings(lapped(BENT_ROD, "rod"))]
    assert [k for k in keys if k.startswith("form-")] == ["form-bow", "form-rod"]
    assert not any(d.key.startswith("form-") for d in drawings(carved_of("dunnock")))


def test_the_plan_follows_the_arc() -> None:
    drawing = plan_drawing(CURLEW, "top")
    placed = next(p for p in CURLEW.placed.top.braces if p.name == "upper bow")
    seen = footprint(placed) * (-1, 1)
    assert any(s.points.shape == seen.shape and np.abs(s.points - seen).max() < 1e-9 for s in cut(drawing))
    words = [a.text for a in drawing.labels if a.text.startswith("upper bow")]
    assert words == [f"upper bow · {placed.length_mm:.1f} long · radius {abs(placed.radius_mm):.1f}"]


def test_where_another_passes_over_it_the_line_is_dashed_in_one_piece() -> None:
    carved = lapped(ROD, "rod")
    hidden = [s for s in plan_drawing(carved, "back").strokes if s.layer == "hidden" and len(s.points) > 3]
    lap = next(c for c in carved.placed.back.crossings)
    near = [s for s in hidden if np.hypot(*(s.points - lap.at).T).min() < 8 and len(s.points) < 30]
    assert len(near) == 2


def test_a_left_handed_one_is_bent_the_other_way() -> None:
    """It starts on the bass side all the same, so treble stays on the right; the form bows down instead of up."""
    right, left = with_braces(BOW), with_braces(BOW, handed="left")
    forms = [form_drawing(named(c, "bow"), c) for c in (right, left)]
    assert all(f.face.endswith("treble end on the right") for f in forms)
    tops = [next(s for s in f.strokes if s.layer == "centre").points for f in forms]
    assert tops[0][:, 1].max() == pytest.approx(-tops[1][:, 1].min(), abs=1e-6)


def test_the_glue_face_says_the_same_as_the_order_of_work() -> None:
    """A curved brace is fitted in the dish, not arched: the words in the wood tell of no other first step."""
    for name, first in (("upper bow", "fit"), ("x-bass", "arch")):
        said = [label.text for label in brace_drawing(named(CURLEW, name), CURLEW).labels]
        assert f"glue face: {first} first" in said
        assert any(text.startswith(f"{first} the glue face") for text in said), said
