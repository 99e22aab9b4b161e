"""What a side stands under a clamp, against the textbook's column solved numerically.

Sources: Euler's load (textbook); the column with an off-centre push, EI y'' + P (y + e) = 0, solved by scipy.
"""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from braces.workshop.clamps import bowing_push_n, cracking_push_n

E_MPA, WIDE, THICK, FREE = 900.0, 44.0, 2.0, 62.0
EI = E_MPA * WIDE * THICK**3 / 12


def test_bowing_is_eulers_load() -> None:
    assert bowing_push_n(E_MPA, WIDE, THICK, FREE) == pytest.approx(pi**2 * EI / FREE**2, rel=1e-12)
    # Twice as thick: eight times; twice as high: a quarter.
    assert bowing_push_n(E_MPA, WIDE, 2 * THICK, FREE) == pytest.approx(8 * bowing_push_n(E_MPA, WIDE, THICK, FREE))
    assert bowing_push_n(E_MPA, WIDE, THICK, 2 * FREE) == pytest.approx(bowing_push_n(E_MPA, WIDE, THICK, FREE) / 4)


@pytest.mark.parametrize("offset", [0.5, 2.0, 3.5])
def test_cracking_stress_of_an_off_centre_column(offset: float) -> None:
    """At the push found, the numerically bent column is stretched by just the given tension."""
    bowing = bowing_push_n(E_MPA, WIDE, THICK, FREE)
    push = cracking_push_n(bowing, WIDE, THICK, offset, 3.0)
    assert 0 < push < bowing
    x = np.linspace(0, FREE, 101)

    def bend(_: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], -push / EI * (y[0] + offset)])

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0], b[0]])

    solved = solve_bvp(bend, ends, x, np.zeros((2, 101)), tol=1e-9, max_nodes=20000)
    assert solved.success
    moment = push * (float(solved.sol(FREE / 2)[0]) + offset)
    tension = moment * 6 / (WIDE * THICK**2) - push / (WIDE * THICK)
    assert tension == pytest.approx(3.0, rel=1e-5)


def test_a_centred_push_only_bows() -> None:
    bowing = bowing_push_n(E_MPA, WIDE, THICK, FREE)
    assert cracking_push_n(bowing, WIDE, THICK, 0.0, 3.0) == bowing
