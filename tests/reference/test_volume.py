"""Volumes and masses of finished braces.

Sources: scipy.integrate.dblquad over the plan, which knows nothing of our quadrature; closed forms of prisms; mass as
volume times density.
"""

from itertools import pairwise
from math import radians, tan

import numpy as np
import pytest
from scipy.integrate import dblquad, quad
from support.designs import carved_of

from braces.carved.solidity import volume_mm3
from braces.carved.values import CarvedBrace
from braces.curves.hermite import from_knots
from braces.curves.section import gabled, rounded
from braces.curves.surface import Surface


def brace(design: str, name: str) -> CarvedBrace:
    return next(b for b in carved_of(design).braces if b.name == name)


def skews(b: CarvedBrace) -> tuple[float, float]:
    start, end = (1 / tan(radians(e.face_angle_deg)) for e in (b.start, b.end))
    return start, end


def wood_over(b: CarvedBrace, x: float, y: float) -> float:
    """Height of wood over one place, notches taken out."""
    low = b.glue.at(x, y)
    high = b.glue.at(x, 0.0) + b.height.at(x) - b.drop.at(x) * float(b.shape(y))
    for n in b.notches:
        middle = n.at_mm + y / tan(radians(n.angle_deg))
        if abs(x - middle) < n.width_mm / 2 and n.y_from_mm < y < n.y_to_mm:
            low, high = (max(low, n.floor_z_mm), high) if n.opens == "plate" else (low, min(high, n.floor_z_mm))
    return max(high - low, 0.0)


@pytest.mark.parametrize(
    ("design", "name"), [("fieldfare", "finger 1-treble"), ("fieldfare", "tone bar 2"), ("dunnock", "ladder 4")]
)
def test_braces_without_notches_by_dblquad(design: str, name: str) -> None:
    b = brace(design, name)
    assert not b.notches
    start, end = skews(b)
    half = b.width_mm / 2
    volume = 0.0
    for low, high in zip(b.shape.y_mm, b.shape.y_mm[1:], strict=False):
        volume += dblquad(
            lambda x, y: wood_over(b, x, y), low, high, lambda y: start * y, lambda y: b.length_mm + end * y,
            epsabs=0.02, epsrel=1e-6,
        )[0]  # fmt: skip
    assert half > 0
    assert b.volume_mm3 == pytest.approx(volume, rel=2e-5)


@pytest.mark.parametrize(
    ("design", "name"), [("fieldfare", "x-treble"), ("fieldfare", "x-bass"), ("dunnock", "back 2")]
)
def test_braces_with_notches_by_nested_quadrature(design: str, name: str) -> None:
    """Lines along the brace at 21 Gauss places across every strip, each by scipy's adaptive rule between the walls."""
    b = brace(design, name)
    assert b.notches
    start, end = skews(b)
    place, weight = np.polynomial.legendre.leggauss(5)
    volume = 0.0
    for low, high in zip(b.shape.y_mm, b.shape.y_mm[1:], strict=False):
        for t, w in zip(place, weight, strict=True):
            y = float((low + high) / 2 + (high - low) / 2 * t)
            walls = [n.at_mm + y / tan(radians(n.angle_deg)) + s * n.width_mm / 2 for n in b.notches for s in (-1, 1)]
            cuts = sorted([start * y, *walls, b.length_mm + end * y])
            line = sum(quad(lambda x, y=y: wood_over(b, x, y), p + 1e-9, q - 1e-9, limit=400, epsabs=5e-3)[0]
                       for p, q in pairwise(cuts))  # fmt: skip
            volume += w * (high - low) / 2 * line
    assert b.volume_mm3 == pytest.approx(volume, rel=1e-5)


FLAT = Surface("plane", float("inf"), 0.0, 0.0, 0.0)
LEVEL = from_knots([-5.0, 405.0], [12.0, 12.0])


def test_a_plain_stick() -> None:
    """400 x 8 x 12 mm; oblique end faces through the same two points change nothing on a level stick."""
    none = from_knots([-5.0, 405.0], [0.0, 0.0])
    for a, b in ((0.0, 0.0), (0.4, -0.3)):
        assert volume_mm3(FLAT, LEVEL, none, gabled(8, 8), 400.0, a, b, ()) == pytest.approx(38400.0, rel=1e-12)


def test_a_stick_with_a_parabolic_cap() -> None:
    """8 mm of side under a cap 4 mm high: 400 x (8 x 8 + 2/3 x 8 x 4)."""
    drop = from_knots([-5.0, 405.0], [4.0, 4.0])
    expected = 400 * (64 + 2 / 3 * 32)
    assert volume_mm3(FLAT, LEVEL, drop, rounded(8), 400.0, 0.0, 0.0, ()) == pytest.approx(expected, rel=1e-12)


def test_a_wedge() -> None:
    """A straight taper from 12 to 0: half of the block."""
    wedge = from_knots([0.0, 400.0], [12.0, 0.0], [-0.03, -0.03])
    none = from_knots([0.0, 400.0], [0.0, 0.0])
    assert volume_mm3(FLAT, wedge, none, gabled(8, 8), 400.0, 0.0, 0.0, ()) == pytest.approx(19200.0, rel=1e-12)


@pytest.mark.parametrize("design", ["fieldfare", "dunnock"])
def test_mass_is_volume_times_density(design: str) -> None:
    """Engelmann spruce 392 kg/m3 and red spruce 448 kg/m3 at 12 %: 1000 x 0.35 x 1.12 and 1000 x 0.40 x 1.12.

    Source: USDA Wood Handbook, table 5-3 (specific gravity) and eq. 4-14.
    """
    density = {"fieldfare": 392.0, "dunnock": 448.0}[design]
    for b in carved_of(design).braces:
        assert b.density_kg_m3 == pytest.approx(density, rel=1e-12)
        assert b.mass_g == pytest.approx(b.volume_mm3 / 1e9 * density * 1000, rel=1e-12)
        blank = b.blank.length_mm * b.blank.width_mm * b.blank.height_mm
        assert 0.25 * blank < b.volume_mm3 < blank
