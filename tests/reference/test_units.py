"""Units of length.

Source: ISO 80000-3 and the international yard and pound agreement of 1959: 1 in = 25.4 mm and 1 ft = 304.8 mm exactly.
"""

import pytest

from braces.base.units import MM_PER_UNIT, angle_deg, inch_text, length_mm, share

EXACT = {
    "1 in": 25.4,
    "1 ft": 304.8,
    "28 ft": 8534.4,
    "15 ft": 4572.0,
    "5/16 in": 7.9375,
    "1 1/4 in": 31.75,
    "0.110 in": 2.794,
    "1/64 in": 0.396875,
    "3/8 in": 9.525,
    "6.5 mm": 6.5,
    "2 cm": 20.0,
    "4.5 m": 4500.0,
    '5/16"': 7.9375,
    "5/16″": 7.9375,
    "28'": 8534.4,
    "28′": 8534.4,
    "2 inches": 50.8,
    "1 foot": 304.8,
    ".5 mm": 0.5,
    "5. mm": 5.0,
    "-3 mm": -3.0,
    "+3 mm": 3.0,
    "6.5\u00a0mm": 6.5,  # the unbreakable blank that word processors put in
    "6.5 MM": 6.5,
}


@pytest.mark.parametrize("text", EXACT)
def test_lengths(text: str) -> None:
    assert length_mm(text) == pytest.approx(EXACT[text], rel=1e-15)


def test_inch_is_exact() -> None:
    assert MM_PER_UNIT["in"] == 25.4
    assert MM_PER_UNIT["ft"] == pytest.approx(12 * 25.4, rel=1e-15)


def test_angles_and_shares() -> None:
    assert angle_deg("98 deg") == 98.0
    assert angle_deg("7.5°") == 7.5
    assert share("38 %") == 0.38
    assert share("12.5%") == 0.125


#: Inches as a rule shows them, worked out by hand: mm -> nearest 64th.
RULED = {
    25.4: "1",
    31.75: "1 1/4",
    7.9375: "5/16",
    0.0: "0",
    0.1: "0",
    0.2: "1/64",
    -31.75: "-1 1/4",
    12.6: "1/2",
    304.8: "12",
}


@pytest.mark.parametrize("mm", RULED)
def test_inches_as_ruled(mm: float) -> None:
    assert inch_text(mm) == RULED[mm]
