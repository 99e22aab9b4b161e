"""Readings of the bench become a section that a design takes; what cannot be measured so is refused."""

from __future__ import annotations

from math import pi, sqrt

import pytest
from support.command import run_here
from support.designs import text_of

from braces.app.stock import CALIPER, RULE, TAP, reading, stock_section, tapped
from braces.base.problems import DesignError
from braces.design.load import parse
from braces.design.own_woods import wood_of
from braces.design.woods import wood

STICK = ("--name", "billet 7", "--like", "Sitka spruce")


def test_a_reading_says_its_own_uncertainty_or_gets_that_of_the_tool() -> None:
    assert reading("length", "400 mm +- 0.2 mm", RULE) == (400.0, 0.2)
    assert reading("length", "16 in ± 0.01 in", RULE) == pytest.approx((406.4, 0.254))
    assert reading("length", "400 mm+/-0.3", RULE) == (400.0, 0.3)
    assert reading("width", "8 mm", CALIPER) == (8.0, 0.05)
    assert reading("frequency", "400 Hz", TAP) == pytest.approx((400.0, sqrt(2.0**2 + 0.5**2)))


@pytest.mark.parametrize("words", ["400", "long", "-3 mm", "0 mm", "400 mm +- much", "400 mm +- 2 Hz"])
def test_a_reading_that_is_none_is_refused(words: str) -> None:
    with pytest.raises(DesignError, match="--length"):
        reading("length", words, RULE)


def test_a_bent_stick_gives_a_section_that_a_design_takes() -> None:
    # E = P l^3 / (4 b h^3 d) (Wood Handbook table 9-1): 9.80665 N, 400 mm, 8 x 15 mm, 0.46 mm gives 12.63 GPa, and
    # 1 + 1.2 (E/G) (h/l)^2 = 1.0264 with the table's E/G = 1/0.064 of Sitka spruce takes the shear off.
    args = ("--span", "400 mm", "--load", "1 kg", "--deflection", "0.46 mm", "--width", "8 mm", "--height", "15 mm")
    ran = run_here("stock", "bend", *STICK, *args)
    assert ran.code == 0
    section = ran.out[ran.out.index("[stock.") :]
    text = text_of("wren").replace('brace_wood = "Sitka spruce"', 'brace_wood = "billet 7"') + "\n" + section
    own = wood_of(parse(text).design, "billet 7")
    plain = 9.80665 * 400**3 / (4 * 8 * 15**3 * 0.46)
    assert own.elastic.e_l_mpa == pytest.approx(plain * (1 + 1.2 / 0.064 * (15 / 400) ** 2), abs=5)
    assert own.elastic.provenance == "measured"
    assert max(map(len, ran.out.splitlines())) <= 100


def test_a_tapped_bar_gives_back_the_modulus_its_tone_was_made_from() -> None:
    # Euler's free bar, root 4.7300 (textbook); so slender that shear moves the tone by less than a thousandth.
    e, rho, length, b, h = 11000.0, 420.0, 900.0, 10.0, 6.0
    hertz = 4.730040745**2 / (2 * pi * length**2) * sqrt(e * h**2 / 12 / (rho * 1e-12))
    mass = rho * length * b * h * 1e-6
    words = {
        "frequency": f"{hertz:.4f} Hz",
        "length": "900 mm",
        "width": "10 mm",
        "height": "6 mm",
        "mass": f"{mass:.3f} g",
    }
    found = tapped(words, wood("sitka spruce"))
    assert found.e_along_mpa == pytest.approx(e, rel=2e-3)
    assert found.density_kg_m3 == pytest.approx(rho, rel=1e-4)
    assert 'density = "420 kg/m3"' in stock_section("a", "sitka spruce", found, "tap")


def test_three_taps_of_a_plate_say_all_that_a_plate_needs() -> None:
    args = ("--twist", "48 Hz", "--along", "62 Hz", "--across", "95 Hz", "--length", "550 mm", "--width", "215 mm")
    ran = run_here("stock", "plate", *STICK, *args, "--thickness", "3.4 mm", "--mass", "165 g")
    assert ran.code == 0
    for key in ("density", "e_along", "e_across", "shear"):
        assert f"\n{key} = " in ran.out


@pytest.mark.parametrize(
    ("args", "code"),
    [
        (("--span", "400", "--load", "1 kg", "--deflection", "1 mm", "--width", "8 mm", "--height", "15 mm"), "M02"),
        (("--span", "50 mm", "--load", "1 kg", "--deflection", "1 mm", "--width", "8 mm", "--height", "15 mm"), "M02"),
    ],
)
def test_a_bend_that_cannot_be_told_from_shear_is_refused(args: tuple[str, ...], code: str) -> None:
    ran = run_here("stock", "bend", *STICK, *args)
    assert ran.code == 2
    assert ran.err.startswith(f"{code}  braces stock")


def test_an_unknown_wood_names_those_that_are_alike() -> None:
    args = ("--span", "400 mm", "--load", "1 kg", "--deflection", "1 mm", "--width", "8 mm", "--height", "15 mm")
    ran = run_here("stock", "bend", "--name", "a", "--like", "spruce", *args)
    assert ran.code == 2
    assert "sitka spruce" in ran.err
