"""Traced curves against shapes whose length and area are known.

Circle: 2 pi r and pi r^2. Ellipse: perimeter 4 a E(1 - b^2 / a^2), the complete elliptic integral of the second kind
(DLMF 19.9.9) by scipy.special.ellipe; area pi a b. Superellipse |x/a|^n + |y/b|^n = 1: area
4 a b G(1 + 1/n)^2 / G(1 + 2/n) (Dirichlet's integral, DLMF 5.14.2), length by adaptive quadrature. Stadium: 2 pi r
+ 2 l and pi r^2 + 2 r l. (DLMF numbers from memory.)

A curve that stays within d of another has an area within d times the length of it, and (for small d) a length within
2 pi d of a convex one (Cauchy's formula for the length of a convex curve). The deviation stated by the trace is that d,
to which the flattening of the drawing adds 0.01 mm.
"""

from __future__ import annotations

import io
from math import gamma, pi

import ezdxf
import numpy as np
import pytest
import shapely
from scipy.integrate import quad
from scipy.special import ellipe
from support.designs import placed_of

from braces.sheets.drawing import Drawing, Stroke
from braces.sheets.dxf import dxf
from braces.sheets.svg import svg
from braces.traced.trace import Traced, TraceOptions, trace

FLATTENED_MM = 0.01


def csv(p: np.ndarray) -> bytes:
    return ("x_mm,y_mm\n" + "\n".join(f"{x!r},{y!r}" for x, y in p.tolist())).encode()


def check(traced: Traced, perimeter_mm: float, area_mm2: float) -> None:
    d = traced.greatest_deviation_mm + FLATTENED_MM
    assert d < 0.12
    assert traced.path.perimeter_mm == pytest.approx(perimeter_mm, abs=2 * pi * d)
    assert traced.path.area_mm2() == pytest.approx(area_mm2, abs=d * perimeter_mm)


@pytest.mark.parametrize("count", [24, 60, 400])
def test_circle(count: int) -> None:
    a = 2 * np.pi * np.arange(count) / count
    traced = trace(csv(150 * np.column_stack([np.cos(a) + 3, np.sin(a) - 1])), "circle.csv")
    check(traced, 300 * pi, 22500 * pi)
    assert traced.places.length_mm == pytest.approx(300, abs=0.05)
    assert np.hypot(*(traced.curve - [0, 150]).T) == pytest.approx(150, abs=0.05)
    assert [n.code for n in traced.notes] == ["T13"]  # no end of a circle is the wider one


@pytest.mark.parametrize(("a_mm", "b_mm"), [(240.0, 170.0), (250.0, 120.0)])
def test_ellipse_drawn_as_one_in_inches(a_mm: float, b_mm: float) -> None:
    document = ezdxf.new("R2010", units=1)
    document.modelspace().add_ellipse((4, 5), major_axis=(0, a_mm / 25.4), ratio=b_mm / a_mm)
    out = io.StringIO()
    document.write(out)
    traced = trace(out.getvalue().encode(), "ellipse.dxf", TraceOptions(within_mm=0.02))
    check(traced, 4 * a_mm * float(ellipe(1 - (b_mm / a_mm) ** 2)), pi * a_mm * b_mm)
    assert traced.places.length_mm == pytest.approx(2 * a_mm, abs=0.06)
    assert traced.places.lower_bout.width_mm == pytest.approx(2 * b_mm, abs=0.06)
    assert traced.places.lower_bout.at_mm == pytest.approx(a_mm, abs=0.5)


def test_superellipse() -> None:
    a_mm, b_mm, n = 150.0, 220.0, 2.6
    t = 2 * np.pi * np.arange(900) / 900
    c, s = np.cos(t), np.sin(t)
    p = np.column_stack([a_mm * np.sign(c) * np.abs(c) ** (2 / n), b_mm * np.sign(s) * np.abs(s) ** (2 / n)])

    def y(x: float) -> float:
        return b_mm * (1 - (x / a_mm) ** n) ** (1 / n)

    # A quarter as two graphs that meet where both slopes are moderate.
    x0 = a_mm * 0.5 ** (1 / n)

    def by_x(x: float) -> float:
        slope = (b_mm / a_mm) * (x / a_mm) ** (n - 1) * (1 - (x / a_mm) ** n) ** (1 / n - 1)
        return float(np.hypot(1, slope))

    def by_y(v: float) -> float:
        slope = (a_mm / b_mm) * (v / b_mm) ** (n - 1) * (1 - (v / b_mm) ** n) ** (1 / n - 1)
        return float(np.hypot(1, slope))

    length = 4 * (quad(by_x, 0, x0)[0] + quad(by_y, 0, y(x0))[0])
    area = 4 * a_mm * b_mm * gamma(1 + 1 / n) ** 2 / gamma(1 + 2 / n)
    check(trace(csv(p), "superellipse.csv", TraceOptions(within_mm=0.05)), length, area)


def test_stadium_of_bulges_and_straights() -> None:
    r, straight = 4.0, 8.0  # inches
    document = ezdxf.new("R2010", units=1)
    points = [(r, 0, 0.0), (r, straight, 1.0), (-r, straight, 0.0), (-r, 0, 1.0)]  # a bulge of 1 is half a circle
    document.modelspace().add_lwpolyline(points, format="xyb", close=True)
    out = io.StringIO()
    document.write(out)
    traced = trace(out.getvalue().encode(), "stadium.dxf")
    mm = 25.4
    check(traced, (2 * pi * r + 2 * straight) * mm, (pi * r * r + 2 * r * straight) * mm * mm)
    assert traced.outline.corners == ()
    # The sides stay straight: half way up they are no further out than the deviation stated.
    level = np.abs(traced.curve[:, 1] - (r + straight / 2) * mm) < 30
    assert np.abs(traced.curve[level, 0]) == pytest.approx(r * mm, abs=traced.greatest_deviation_mm + FLATTENED_MM)


@pytest.mark.parametrize("symmetry", ["keep", "symmetrise"])
def test_circle_with_two_tangents_to_a_point(symmetry: str) -> None:
    """Tangents from a distance h are sqrt(h^2 - r^2) long and touch where cos a = r / h; they meet at 180 - 2 a."""
    r, h = 150.0, 380.0
    a, tangent = np.arccos(r / h), np.sqrt(h * h - r * r)
    t = np.linspace(np.pi / 2 + a, 5 * np.pi / 2 - a, 300)
    p = np.concatenate([r * np.column_stack([np.cos(t), np.sin(t)]), [[0, h]]])
    traced = trace(csv(p @ np.array([[0.8, 0.6], [-0.6, 0.8]])), "drop.csv", TraceOptions(symmetry=symmetry))  # type: ignore[arg-type]
    check(traced, 2 * tangent + r * (2 * pi - 2 * a), r * tangent + r * r * (pi - a))
    (corner,) = traced.outline.corners
    assert traced.outline.points[corner] == pytest.approx([0, r + h], abs=0.1)
    arrive, leave = traced.outline.headings_deg[corner]
    assert (leave - arrive) % 360 == pytest.approx(np.degrees(2 * a), abs=0.5)


def test_rational_spline_is_a_circle() -> None:
    """The nine-pole rational quadratic circle (Piegl and Tiller, The NURBS Book, section 7.5; from memory)."""
    r, w = 140.0, 2**-0.5
    poles = [(r, 0), (r, r), (0, r), (-r, r), (-r, 0), (-r, -r), (0, -r), (r, -r), (r, 0)]
    document = ezdxf.new("R2010", units=4)
    document.modelspace().add_rational_spline(
        [(x, y, 0) for x, y in poles], [1, w, 1, w, 1, w, 1, w, 1], degree=2, knots=[0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    )
    out = io.StringIO()
    document.write(out)
    traced = trace(out.getvalue().encode(), "nurbs.dxf")
    assert np.hypot(*(traced.points - [0, r]).T) == pytest.approx(r, abs=0.05)
    check(traced, 2 * pi * r, pi * r * r)


@pytest.mark.parametrize("name", ["fieldfare", "wren"])
@pytest.mark.parametrize("kind", ["dxf", "svg"])
def test_an_outline_written_by_us_is_read_back_as_itself(name: str, kind: str) -> None:
    """Out through our sinks, in through ezdxf and svgelements, traced: the same curve within the stated deviation."""
    outline = placed_of(name).outline
    drawing = Drawing("outline", name, "front", "plan", (Stroke(outline.dense(60), "cut", closed=True),))
    data = dxf(drawing) if kind == "dxf" else svg(drawing)
    traced = trace(data, f"outline.{kind}", TraceOptions(layer="cut" if kind == "dxf" else None))
    ring = shapely.LinearRing(outline.dense(400))
    off = max(ring.distance(shapely.Point(p)) for p in traced.curve)
    assert off < traced.greatest_deviation_mm + 0.02 + 0.01  # the sinks' own tolerances: arcs, and chords
    check(traced, outline.perimeter_mm, outline.area_mm2())
