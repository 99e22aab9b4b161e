"""SVG drawings read: shapes, transforms, real units, and files that play tricks."""

from __future__ import annotations

import numpy as np
import pytest
from traced_samples import svg

from braces.base.problems import DesignError
from braces.traced.read_svg import read_svg

MM = 'width="600mm" height="600mm" viewBox="0 0 600 600"'


def refused(data: bytes, unit: str | None = None) -> str:
    with pytest.raises(DesignError) as caught:
        read_svg(data, "mould.svg", unit)
    (problem,) = caught.value.problems
    return f"{problem.code} {problem.found}; {problem.advice}"


def ends(data: bytes, unit: str | None = None) -> np.ndarray:
    (piece,) = read_svg(data, "mould.svg", unit).pieces
    return piece.points


LINE = '<path d="M 10 20 L 110 20 L 110 70"/>'


@pytest.mark.parametrize(
    ("attributes", "mm_per_unit"),
    [
        ('width="600mm" height="600mm" viewBox="0 0 600 600"', 1.0),
        ('width="60cm" viewBox="0 0 1200 1200"', 0.5),
        ('width="20in" height="20in" viewBox="0 0 2000 2000"', 0.254),
        ('height="20in" viewBox="7 9 2000 2000"', 0.254),
        (
            'width="20in" height="20in"',
            25.4 / 96,
        ),  # without a viewBox a user unit is a px: 96 to the inch (CSS 2.1, 4.3.2)
        ('width="720pt" height="720pt" viewBox="0 0 720 720"', 25.4 / 72),
        (
            'width="100mm" height="300mm" viewBox="0 0 200 200"',
            0.5,
        ),  # fitted evenly: preserveAspectRatio is xMidYMid meet
    ],
)
def test_real_units(attributes: str, mm_per_unit: float) -> None:
    p = ends(svg(LINE, attributes))
    assert p[1] - p[0] == pytest.approx([100 * mm_per_unit, 0], rel=1e-9)
    assert p[2] - p[1] == pytest.approx([0, -50 * mm_per_unit], rel=1e-9)  # y is turned up


def test_drawing_stretched_on_purpose() -> None:
    p = ends(svg(LINE, 'width="100mm" height="300mm" viewBox="0 0 200 200" preserveAspectRatio="none"'))
    assert p[1] - p[0] == pytest.approx([50, 0])
    assert p[2] - p[1] == pytest.approx([0, -75])


@pytest.mark.parametrize(
    "attributes",
    ["", 'width="600" height="600" viewBox="0 0 600 600"', 'width="100%"', 'width="600px" viewBox="0 0 600 600"'],
)
def test_size_without_a_real_unit_is_asked_for(attributes: str) -> None:
    text = refused(svg('<rect width="380" height="480"/>', attributes))
    assert text.startswith("T03")
    assert "380 × 480 mm" in text
    assert "only mm makes sense" in text


def test_unit_asked_for_is_that_of_a_user_unit() -> None:
    p = ends(svg(LINE, 'viewBox="0 0 600 600"'), "in")
    assert p[1] - p[0] == pytest.approx([2540, 0])


def test_nested_transforms_and_a_skewed_circle() -> None:
    """Each transform is one matrix of the SVG standard (SVG 1.1, 7.4 to 7.6), multiplied out here by hand."""
    data = svg(
        '<g transform="translate(5,6) rotate(25)"><g transform="skewX(30)">'
        '<circle cx="30" cy="20" r="60" transform="scale(1,-2)"/></g></g>'
    )
    c, s, t = np.cos(np.radians(25)), np.sin(np.radians(25)), np.tan(np.radians(30))
    matrix = np.array([[c, -s], [s, c]]) @ np.array([[1, t], [0, 1]]) @ np.diag([1, -2])
    centre = matrix @ [30, 20] + [5, 6]
    p = ends(data) * [1, -1] - centre
    assert np.hypot(*(np.linalg.inv(matrix) @ p.T)) == pytest.approx(60, abs=1e-6)
    middle = (p + np.roll(p, -1, axis=0)) / 2
    inside = 60 - np.hypot(*(np.linalg.inv(matrix) @ middle.T))
    assert inside.max() * np.linalg.norm(matrix, 2) < 0.02


@pytest.mark.parametrize("sweep", [0, 1])
@pytest.mark.parametrize("large", [0, 1])
def test_elliptical_arc_of_a_path(sweep: int, large: int) -> None:
    p = ends(svg(f'<path d="M 100 100 A 80 50 0 {large} {sweep} 180 100"/>')) * [1, -1]
    assert p[0] == pytest.approx([100, 100])
    assert p[-1] == pytest.approx([180, 100])
    # SVG 1.1, F.6.5: the centre lies on the + side, here further down, where the two flags differ.
    rise = np.sqrt(1 - 0.25) * 50  # both ends half of rx from the middle: the centre is sqrt(1 - 1/4) ry away
    centre = np.array([140, 100 + (rise if large != sweep else -rise)])
    assert ((p - centre) / [80, 50]) ** 2 @ [1, 1] == pytest.approx(1, abs=1e-9)
    length = np.hypot(*np.diff(p, axis=0).T).sum()
    assert (length > 120) == bool(large)


def test_curves_of_a_path_lie_on_their_polynomials() -> None:
    cubic = ends(svg('<path d="M 0 0 C 100 0 200 300 50 400"/>')) * [1, -1]
    t = np.linspace(0, 1, 20001)[:, None]
    exact = 3 * t * (1 - t) ** 2 * [100, 0] + 3 * t**2 * (1 - t) * [200, 300] + t**3 * [50, 400]
    assert max(np.linalg.norm(exact - q, axis=1).min() for q in cubic) < 0.02  # they stand up to 0.03 mm apart
    middle = (cubic[:-1] + cubic[1:]) / 2
    assert max(np.linalg.norm(exact - q, axis=1).min() for q in middle) < 0.02
    quadratic = ends(svg('<path d="M 0 0 Q 100 0 100 200"/>')) * [1, -1]
    x, y = quadratic.T
    share = np.sqrt(y / 200)  # y = 200 t^2, x = 100 t (2 - t)
    assert x == pytest.approx(100 * share * (2 - share), abs=1e-6)


def test_reuse_and_several_loops_in_one_path() -> None:
    data = svg(
        '<defs><path id="a" d="M 0 0 h 10 v 10 z m 20 0 h 10 v 10 z"/></defs>'
        '<use xlink:href="#a" x="100"/><use href="#a"/>'
    )
    pieces = read_svg(data, "mould.svg").pieces
    assert [p.closed for p in pieces] == [True] * 4
    assert sorted(float(p.points[0, 0]) for p in pieces) == pytest.approx([0, 20, 100, 120])


def test_what_is_no_line_or_hidden_is_said() -> None:
    body = (
        '<path d="M0 0 L 9 9"/><text>Wren</text><image width="3" height="3"/><path d="M 5 5"/>'
        '<path d="M1 1 L 2 2" style="display:none"/>'
    )
    read = read_svg(svg(body), "mould.svg")
    assert len(read.pieces) == 1
    assert read.passed_over == ("1 hidden", "1 image", "1 path without a line", "1 text")


LEVELS = "".join(f'<g id="g{i}">' + f'<use xlink:href="#g{i - 1}"/>' * 10 + "</g>" for i in range(1, 9))
BOMB = f'<defs><g id="g0"><path d="M0 0 L1 1"/></g>{LEVELS}</defs><use xlink:href="#g8"/>'


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "T06"),
        (b"<svg", "T06"),
        (b"<html/>", "T06"),
        (b"\xff\xfe<\x00s\x00", "T06"),
        (svg(""), "T04"),
        (b'<!DOCTYPE svg [<!ENTITY a "aaaa">]>' + svg(LINE), "T05"),
        (b"<!doctype svg SYSTEM 'file:///etc/hostname'>" + svg(LINE), "T05"),
        (svg(BOMB), "T02"),
        (svg('<g id="a"><use href="#a"/></g>'), "T05"),
        (svg("<g>" * 5000 + "</g>" * 5000), "T05"),
        (svg('<path d="M nan 0 L 1 1"/>'), "T06"),
        (svg(LINE.replace("10 20", "1e300 3")), "T17"),
        (svg('<circle r="1e300"/>'), "T17"),
        (svg('<g transform="scale(1e200)"><circle r="5"/></g>'), "T17"),
    ],
)
def test_tricks_and_damage_are_refused(data: bytes, code: str) -> None:
    assert refused(data).startswith(code)
