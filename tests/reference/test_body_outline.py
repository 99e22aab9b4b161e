"""The body outline and the curves it is made of.

Sources: dense search for extremes; shapely's area and length; scipy.integrate.quad and scipy.special.ellipe (perimeter
of an ellipse 4 a E(e^2)); Steiner's formulas for parallel curves (perimeter less 2 pi d, area less d P - pi d^2).
"""

from math import pi

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ellipe
from shapely.geometry import Polygon
from support.designs import TWO, placed_of

from braces.curves.hits import line_hits
from braces.curves.path import Path
from braces.curves.polynomial import quintic_pieces
from braces.curves.ring import circle as ring_circle


@pytest.mark.parametrize("name", TWO)
def test_widths_and_places_are_extremes(name: str) -> None:
    """Searched at every 0.01 mm or closer: the widest and narrowest places are as asked within 0.01 mm."""
    placed = placed_of(name)
    body = placed.design.body
    points = placed.outline.dense(20000)
    right = points[points[:, 0] >= 0]
    lower = right[right[:, 1] < body.waist.at_mm]
    upper = right[right[:, 1] > body.waist.at_mm]
    between = right[(right[:, 1] > body.lower_bout.at_mm) & (right[:, 1] < body.upper_bout.at_mm)]
    for found, bout in (
        (lower[np.argmax(lower[:, 0])], body.lower_bout),
        (between[np.argmin(between[:, 0])], body.waist),
        (upper[np.argmax(upper[:, 0])], body.upper_bout),
    ):
        assert 2 * found[0] == pytest.approx(bout.width_mm, abs=0.01)
        assert found[1] == pytest.approx(
            bout.at_mm, abs=0.05
        )  # flat there: the place is known less well than the width
    assert points[:, 1].min() == pytest.approx(0.0, abs=0.01)
    assert points[:, 1].max() == pytest.approx(body.length_mm, abs=0.01)


@pytest.mark.parametrize("name", TWO)
def test_outline_turns_upright_exactly_at_its_bouts(name: str) -> None:
    outline = placed_of(name).outline
    body = placed_of(name).design.body
    for u, bout in ((1.0, body.lower_bout), (2.0, body.waist), (3.0, body.upper_bout)):
        assert outline.point(u) == pytest.approx([bout.width_mm / 2, bout.at_mm], abs=1e-9)
        assert outline.tangent(u)[0] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("name", TWO)
def test_area_and_perimeter_by_shapely(name: str) -> None:
    """A polygon of 16 000 points is short by less than 1e-6 of its size."""
    outline = placed_of(name).outline
    polygon = Polygon(outline.dense(2000))
    assert polygon.is_valid
    assert polygon.exterior.is_ccw
    assert outline.area_mm2() == pytest.approx(polygon.area, rel=1e-6)
    assert outline.perimeter_mm == pytest.approx(polygon.length, rel=1e-6)


@pytest.mark.parametrize("name", TWO)
def test_perimeter_by_quadrature_of_differences(name: str) -> None:
    outline = placed_of(name).outline
    h = 1e-6

    def speed(u: float) -> float:
        return float(np.linalg.norm(outline.point(u + h) - outline.point(u - h)) / (2 * h))

    total = sum(
        quad(speed, k + 1e-5, k + 1 - 1e-5, epsabs=1e-7)[0] + 2e-5 * speed(k + 0.5) for k in range(outline.count)
    )
    assert outline.perimeter_mm == pytest.approx(total, rel=1e-5)


@pytest.mark.parametrize("name", TWO)
def test_curvature_does_not_jump(name: str) -> None:
    """At every joint, from circles through three points on either side, by which no derivative of ours is used."""
    outline = placed_of(name).outline
    for joint in range(outline.count):
        before, after = (bend(outline, joint + s * 0.02, 0.01) for s in (-1, 1))
        nearer = [bend(outline, joint + s * 0.01, 0.005) for s in (-1, 1)]
        jump, half_jump = abs(after - before), abs(nearer[1] - nearer[0])
        assert half_jump < 0.65 * jump + 1e-7  # falls with the step: a slope, not a jump
        assert outline.curvature(joint - 1e-9) == pytest.approx(float(outline.curvature(joint + 1e-9)), abs=1e-9)


def bend(path: Path, u: float, step: float) -> float:
    """1 / radius of the circle through three points, positive to the left."""
    a, b, c = (path.point(u + k * step) for k in (-1, 0, 1))
    cross = (b - a)[0] * (c - b)[1] - (b - a)[1] * (c - b)[0]
    return float(2 * cross / (np.linalg.norm(b - a) * np.linalg.norm(c - b) * np.linalg.norm(c - a)))


@pytest.mark.parametrize("name", TWO)
def test_left_and_right_are_mirror_images(name: str) -> None:
    outline = placed_of(name).outline
    u = np.linspace(0, 4, 401)[1:-1]
    assert outline.point(8 - u) == pytest.approx(outline.point(u) * [-1, 1], abs=1e-9)


def ellipse(a: float, b: float, pieces: int = 48) -> Path:
    """An ellipse as quintics with exact points and derivatives at their ends."""
    t = 2 * pi * np.arange(pieces + 1) / pieces
    step = 2 * pi / pieces
    at = np.column_stack([a * np.cos(t), b * np.sin(t)])
    first = np.column_stack([-a * np.sin(t), b * np.cos(t)]) * step
    return Path(quintic_pieces(at, first, -at * step**2))


@pytest.mark.parametrize(("a", "b"), [(100.0, 100.0), (200.0, 150.0), (240.0, 60.0)])
def test_ellipses(a: float, b: float) -> None:
    path = ellipse(a, b)
    assert path.perimeter_mm == pytest.approx(4 * a * ellipe(1 - (b / a) ** 2), rel=1e-8)
    assert path.area_mm2() == pytest.approx(pi * a * b, rel=1e-8)
    assert path.length(0.0, path.count / 4) == pytest.approx(a * ellipe(1 - (b / a) ** 2), rel=1e-8)
    assert float(path.curvature(0.0)) == pytest.approx(a / b**2, rel=1e-6)  # at the end of the long axis


@pytest.mark.parametrize("inset", [2.0, 15.0, -8.0])
def test_parallel_curves(inset: float) -> None:
    """Steiner: a convex curve of length P and area A has d further in P - 2 pi d and A - d P + pi d^2."""
    path = ellipse(200.0, 150.0)
    inner = path.inside(inset)
    assert inner.perimeter_mm == pytest.approx(path.perimeter_mm - 2 * pi * inset, rel=1e-8)
    assert inner.area_mm2() == pytest.approx(path.area_mm2() - inset * path.perimeter_mm + pi * inset**2, rel=1e-8)


@pytest.mark.parametrize("name", TWO)
def test_lining_by_shapely_buffer(name: str) -> None:
    """The lining's inner face lies side + lining inside the outline, as shapely's negative buffer has it."""
    placed = placed_of(name)
    inset = placed.design.body.side_mm + placed.design.lining.thickness_mm
    shrunk = Polygon(placed.outline.dense(1000)).buffer(-inset, quad_segs=64)
    lining = Polygon(placed.top.lining.dense(1000))
    assert lining.symmetric_difference(shrunk).area < 0.5  # mm2 of some 140 000
    assert placed.top.lining.area_mm2() == pytest.approx(shrunk.area, rel=1e-5)


def test_line_through_a_circle() -> None:
    """A chord at distance 60 from the centre of a circle of radius 100 runs from -80 to 80."""
    hits = line_hits(ellipse(100.0, 100.0), (0.0, 60.0), (1.0, 0.0))
    assert [h.t_mm for h in hits] == pytest.approx([-80.0, 80.0], abs=1e-6)


@pytest.mark.parametrize("radius", [5.0, 250.0])
def test_ring_of_cubics_is_a_circle(radius: float) -> None:
    """True to 1e-8 of its radius, area pi r^2."""
    ring = ring_circle(3.0, -4.0, radius)
    s = np.linspace(0, float(ring.s_mm[-1]), 5001)
    at, _ = ring.at(s)
    assert np.max(np.abs(np.hypot(at[:, 0] - 3, at[:, 1] + 4) - radius)) < 1e-7 * radius
    assert ring.integral(lambda x, y: np.ones_like(x)) == pytest.approx(pi * radius**2, rel=1e-7)
