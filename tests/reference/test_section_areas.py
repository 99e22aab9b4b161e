"""Areas and centroids of brace sections.

Sources: handbook formulas (trapezoid and parabolic segment, re-derived by integration) with check values for b = 8 mm,
h = 15 mm; shapely's polygon area and centroid; scipy.integrate.quad.
"""

import numpy as np
import pytest
from scipy.integrate import quad
from shapely.geometry import Polygon
from support.designs import TWO, carved_of

from braces.carved.values import CarvedBrace
from braces.curves.section import Shape, gabled, rounded

B_MM, H_MM = 8.0, 15.0


def section(shape: Shape, height_mm: float, drop_mm: float, points: int = 4001) -> Polygon:
    """The cross-section as a polygon, straight along the base."""
    y = np.unique(np.concatenate([np.linspace(shape.y_mm[0], shape.y_mm[-1], points), shape.y_mm]))
    top = height_mm - drop_mm * shape(y)
    return Polygon([*zip(y, top, strict=True), (shape.y_mm[-1], 0.0), (shape.y_mm[0], 0.0)])


def test_trapezoid() -> None:
    """A = (a + b) h / 2, centroid h (b + 2a) / (3 (a + b)); 8 / 4 / 15 mm gives 90 mm2 and 6.6667 mm."""
    polygon = section(gabled(B_MM, 4.0), H_MM, H_MM)
    assert polygon.area == pytest.approx(90.0, rel=1e-9)
    assert polygon.centroid.y == pytest.approx(6.6667, abs=5e-5)
    assert B_MM * H_MM - H_MM * gabled(B_MM, 4.0).integral() == pytest.approx(90.0, rel=1e-12)


def test_triangle() -> None:
    """A = b h / 2, centroid h / 3."""
    polygon = section(gabled(B_MM, 0.0), H_MM, H_MM)
    assert polygon.area == pytest.approx(60.0, rel=1e-9)
    assert polygon.centroid.y == pytest.approx(5.0, rel=1e-9)


def test_parabolic_segment() -> None:
    """A = 2 b h / 3, centroid 2 h / 5; 8 x 15 mm gives 80 mm2 and 6 mm. The chain of 4000 chords is 5e-8 short."""
    polygon = section(rounded(B_MM), H_MM, H_MM)
    assert polygon.area == pytest.approx(80.0, rel=1e-6)
    assert polygon.centroid.y == pytest.approx(6.0, rel=1e-6)
    assert B_MM * H_MM - H_MM * rounded(B_MM).integral() == pytest.approx(80.0, rel=1e-12)


def test_rectangle() -> None:
    """A = b h, centroid h / 2."""
    polygon = section(gabled(B_MM, B_MM), H_MM, 0.0)
    assert polygon.area == pytest.approx(120.0, rel=1e-12)
    assert polygon.centroid.y == pytest.approx(7.5, rel=1e-12)


def test_gabled_is_a_rectangle_under_a_trapezoid() -> None:
    """Land 2 mm, shoulder 5 mm on 8 x 15 mm: 8 x 10 + (8 + 2) / 2 x 5 = 105 mm2."""
    assert section(gabled(B_MM, 2.0), H_MM, 5.0).area == pytest.approx(105.0, rel=1e-12)


@pytest.mark.parametrize(
    "shape", [gabled(8, 8), gabled(8, 3), gabled(8, 0), rounded(8)], ids=["square", "land", "peak", "round"]
)
def test_integral_of_a_shape_by_quadrature(shape: Shape) -> None:
    inner = list(shape.y_mm[1:-1]) or None
    area, error = quad(lambda y: float(shape(y)), float(shape.y_mm[0]), float(shape.y_mm[-1]), points=inner)
    assert shape.integral() == pytest.approx(area, abs=max(1e-10, 10 * error))


BRACES = [(name, b.name) for name in TWO for b in carved_of(name).braces]


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_sections_of_finished_braces(design: str, name: str) -> None:
    """Along a brace, the area that stiffness and volume rest on is the area of the drawn section."""
    b: CarvedBrace = next(b for b in carved_of(design).braces if b.name == name)
    for x in np.linspace(0, b.length_mm, 7):
        height, drop = b.height.at(x), b.drop.at(x)
        polygon = section(b.shape, height, drop, 2001)
        assert polygon.is_valid
        assert b.width_mm * height - drop * b.shape.integral() == pytest.approx(polygon.area, rel=1e-6)
        assert polygon.centroid.y <= height / 2 + 1e-9  # never top-heavy
