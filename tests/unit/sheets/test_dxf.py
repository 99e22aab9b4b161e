"""DXF read back with ezdxf: units, layers, extents, arcs close to the drawing."""

import io
import math

import ezdxf
import numpy as np
import pytest
from ezdxf import bbox
from ezdxf.path import make_path
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString
from sheet_samples import all_drawings, plan, side_view

from braces.sheets.bulges import TOLERANCE_MM, arcs
from braces.sheets.drawing import Drawing, polyline
from braces.sheets.dxf import dxf
from braces.sheets.layers import pen


def read(drawing):
    return ezdxf.read(io.StringIO(dxf(drawing).decode("utf-8")))


@pytest.mark.parametrize("drawing", all_drawings(), ids=lambda d: d.key)
def test_the_file_passes_an_audit_and_is_in_mm(drawing):
    document = read(drawing)
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert document.header["$INSUNITS"] == 4  # DXF reference: 4 = millimetres
    assert document.header["$MEASUREMENT"] == 1  # metric
    assert document.dxfversion == "AC1024"  # R2010


def test_extents_are_those_of_the_strokes():
    drawing = plan()
    lines = read(drawing).modelspace().query("LWPOLYLINE")
    box = bbox.extents(lines)
    points = np.vstack([s.points for s in drawing.strokes])
    assert np.array(box.extmin)[:2] == pytest.approx(points.min(axis=0), abs=TOLERANCE_MM)
    assert np.array(box.extmax)[:2] == pytest.approx(points.max(axis=0), abs=TOLERANCE_MM)


def test_layers_have_upper_case_names_line_types_and_weights():
    drawing = side_view("bar", 240, 15)
    document = read(drawing)
    for name in {m.layer for m in drawing.marks}:
        layer = document.layers.get(pen(name).dxf_name)
        assert layer.dxf.lineweight == round(pen(name).width_mm * 100)
        if pen(name).dashes_mm:
            assert layer.dxf.linetype in document.linetypes
        else:
            assert layer.dxf.linetype.upper() == "CONTINUOUS"
    used = {e.dxf.layer for e in document.modelspace()}
    assert used == {pen(m.layer).dxf_name for m in drawing.marks} | {"CHECK"}


def test_the_check_line_is_100_mm_and_clear_of_the_drawing():
    drawing = side_view("bar", 240, 15)
    lines = read(drawing).modelspace().query("LINE[layer=='CHECK']")
    bar = max(lines, key=lambda e: e.dxf.start.distance(e.dxf.end))
    assert bar.dxf.start.distance(bar.dxf.end) == pytest.approx(100.0, abs=1e-9)
    assert max(e.dxf.start.y for e in lines) < drawing.ink[1] - 2


def test_curves_stay_within_the_tolerance():
    for drawing in (plan(), side_view("bar", 520, 18)):
        entities = list(read(drawing).modelspace().query("LWPOLYLINE"))
        for stroke, entity in zip(drawing.strokes, entities, strict=True):
            ring = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
            back = [(v.x, v.y) for v in make_path(entity).flattening(0.001)]
            assert LineString(ring).hausdorff_distance(LineString(back)) <= TOLERANCE_MM + 0.001


def test_a_body_outline_needs_a_tenth_of_its_points():
    outline = plan().strokes[0]
    assert len(arcs(outline.points, outline.closed)) <= len(outline.points) / 8


def test_a_circle_becomes_a_few_arcs():
    """A bulge is tan(angle / 4) by definition (DXF reference, group code 42)."""
    turn = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    chain = arcs(np.column_stack([50 * np.cos(turn), 50 * np.sin(turn)]), closed=True)
    assert len(chain) <= 4
    assert sum(4 * math.atan(b) for _, _, b in chain) == pytest.approx(2 * math.pi, rel=1e-6)


def test_corners_stay_corners():
    square = np.array([(0, 0), (40, 0), (40, 40), (0, 40)], dtype=float)
    assert arcs(square, closed=True) == [(0, 0, 0), (40, 0, 0), (40, 40, 0), (0, 40, 0)]


coordinates = st.floats(-50, 50, allow_nan=False).map(lambda v: round(v, 1))


@given(st.lists(st.tuples(coordinates, coordinates), min_size=2, max_size=12, unique=True), st.booleans())
def test_any_polyline_stays_within_the_tolerance(points, closed):
    if closed and len(points) < 3:
        closed = False
    drawing = Drawing("k", "t", "f", "plan", (polyline(points, "cut", closed),))
    (entity,) = read(drawing).modelspace().query("LWPOLYLINE")
    ring = [*points, points[0]] if closed else points
    back = [(v.x, v.y) for v in make_path(entity).flattening(0.001)]
    assert LineString(ring).hausdorff_distance(LineString(back)) <= TOLERANCE_MM + 0.001


def test_words_have_their_place_and_height():
    drawing = side_view("bar", 240, 15)
    texts = [e for e in read(drawing).modelspace().query("TEXT") if e.dxf.layer != "CHECK"]
    assert [t.dxf.text for t in texts] == [w.text for w in drawing.labels]
    for text, label in zip(texts, drawing.labels, strict=True):
        assert text.dxf.height == label.height_mm
        _, at, _ = text.get_placement()
        assert (at.x, at.y) == pytest.approx((label.x_mm, label.y_mm))


def test_always_the_same_bytes():
    assert dxf(plan()) == dxf(plan())
