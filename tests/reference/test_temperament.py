"""Where the saddle line lies.

Sources: equal temperament, fret n at L (1 - 2^(-n/12)) from the nut, fractions worked out apart from this program to
six places; a saddle set back by a few mm as compensation, and 12 or 14 frets clear of the body: common practice.
"""

import pytest
from support.designs import placed_of

from braces.placed.anchors import neck_to_saddle_mm

#: Share of the scale between nut and fret n.
FRETS = {
    1: 0.056126, 2: 0.109101, 3: 0.159104, 5: 0.250846, 7: 0.33258, 12: 0.5, 14: 0.554551, 15: 0.579552, 17: 0.625423,
    19: 0.66629, 20: 0.68502, 24: 0.75,
}  # fmt: skip


@pytest.mark.parametrize("fret", FRETS)
def test_neck_joint_to_saddle(fret: int) -> None:
    assert neck_to_saddle_mm(1000.0, fret, 0.0) == pytest.approx(1000 * (1 - FRETS[fret]), abs=1e-3)
    assert neck_to_saddle_mm(1000.0, fret, 2.5) == pytest.approx(1002.5 - 1000 * FRETS[fret], abs=1e-3)


def test_octave_halves_the_string() -> None:
    assert neck_to_saddle_mm(25.4 * 25.5, 12, 0.0) == pytest.approx(25.4 * 25.5 / 2, rel=1e-15)


def test_fieldfare() -> None:
    """25.4 in, 14 frets clear of a 482 mm body, 2.5 mm of compensation."""
    scale = 25.4 * 25.4
    assert placed_of("fieldfare").saddle_y_mm == pytest.approx(482 - scale * (1 - FRETS[14]) - 2.5, abs=1e-3)


def test_dunnock() -> None:
    """24 3/4 in, 12 frets clear of a 476 mm body, 2 mm of compensation."""
    assert placed_of("dunnock").saddle_y_mm == pytest.approx(476 - 24.75 * 25.4 / 2 - 2, abs=1e-9)
