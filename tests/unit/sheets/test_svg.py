"""SVG read back with svgelements: sizes in mm, layers, the check line."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest
from sheet_samples import plan, side_view
from svgelements import SVG, Path, Text

from braces.sheets.drawing import Drawing, Label, polyline
from braces.sheets.layers import LAYERS, pen
from braces.sheets.svg import svg

NS = {"s": "http://www.w3.org/2000/svg"}


@pytest.fixture(params=[96.0, 72.0, 25.4], ids=["96 ppi", "72 ppi", "1 per mm"])
def ppi(request):
    return request.param


def first_path(tmp_path, drawing, ppi):
    """Return the points of the first path in mm, read with any number of pixels per inch."""
    file = tmp_path / "drawing.svg"
    file.write_bytes(svg(drawing))
    paths = (e for e in SVG.parse(str(file), ppi=ppi, reify=True).elements() if isinstance(e, Path))
    return np.array([(p.x, p.y) for p in next(paths).as_points()]) * 25.4 / ppi


def test_the_outline_has_its_true_size_and_shape(tmp_path, ppi):
    drawing = plan()
    outline = drawing.strokes[0].points
    read = first_path(tmp_path, drawing, ppi)
    # A path read as lines repeats the point where two lines meet.
    kept = read[np.r_[True, np.abs(np.diff(read, axis=0)).sum(axis=1) > 1e-6]][: len(outline)]
    shape = (kept - kept[0]) * (1, -1)
    assert shape == pytest.approx(outline - outline[0], abs=0.002)


def test_width_and_height_are_mm_and_equal_the_view_box():
    root = ET.fromstring(svg(side_view("bar", 240, 15)))
    _, _, width, height = root.get("viewBox").split()
    assert root.get("width") == f"{width}mm"
    assert root.get("height") == f"{height}mm"


def test_layers_are_groups_with_their_pens():
    drawing = plan()
    root = ET.fromstring(svg(drawing))
    groups = {g.get("id"): g for g in root.findall("s:g", NS)}
    assert set(groups) == {m.layer for m in drawing.marks} | {"check"}
    for name, group in groups.items():
        assert group.get("class") == name
        if name in LAYERS:
            assert float(group.get("stroke-width")) == pen(name).width_mm
            assert (group.get("stroke-dasharray") is not None) == bool(pen(name).dashes_mm)


def test_the_check_line_is_100_mm_and_clear_of_the_drawing(tmp_path):
    drawing = polyline([(0, 0), (30, 0), (30, 10)], "cut")
    root = ET.fromstring(svg(Drawing("k", "t", "f", "plan", (drawing,))))
    group = root.find("s:g[@id='check']", NS)
    paths = [p.get("d") for p in group.findall("s:path", NS)]
    ends = [[tuple(map(float, q.split(","))) for q in d[1:].split(" ")] for d in paths]
    (a, b), *_ = ends
    assert b[0] - a[0] == pytest.approx(100.0)
    cut = root.find("s:g[@id='cut']/s:path", NS).get("d")
    lowest = max(float(q.split(",")[1]) for q in cut[1:].split(" "))
    assert min(y for line in ends for _, y in line) > lowest + 2
    _, _, width, height = map(float, root.get("viewBox").split())
    assert all(0 < x < width and 0 < y < height for line in ends for x, y in line)


def test_words_stand_where_they_should(tmp_path):
    label = Label(12.0, 5.0, "bass ← & treble <→>", 3.5, angle_deg=30.0, anchor="middle", bold=True)
    drawing = Drawing("k", "a & b", "f", "plan", (polyline([(0, 0), (40, 20)], "cut"), label))
    file = tmp_path / "words.svg"
    file.write_bytes(svg(drawing))
    text = [e for e in SVG.parse(str(file), ppi=25.4, reify=False).elements() if isinstance(e, Text)]
    assert text[0].text == label.text
    root = ET.fromstring(svg(drawing))
    element = root.find("s:g[@id='note']/s:text", NS)
    cut = root.find("s:g[@id='cut']/s:path", NS).get("d")
    x0, y0 = map(float, cut[1:].split(" ")[0].split(","))
    assert float(element.get("x")) - x0 == pytest.approx(12.0)
    assert y0 - float(element.get("y")) == pytest.approx(5.0)
    assert element.get("transform").startswith("rotate(-30 ")  # y runs down: anticlockwise is negative


def test_always_the_same_bytes():
    assert svg(plan()) == svg(plan())


def test_no_negative_noughts():
    drawing = Drawing("k", "t", "f", "plan", (polyline([(-0.0001, 0.0001), (10, -0.0)], "cut"),))
    assert b"-0.000" not in svg(drawing)
