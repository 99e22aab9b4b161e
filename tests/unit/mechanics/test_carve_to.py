"""The least change that reaches an aim: against another optimiser, and on beams whose answer is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from braces.mechanics.carve_to import carve_to, least_change


@given(
    st.lists(st.floats(-2, 2).filter(lambda v: abs(v) > 0.1), min_size=1, max_size=6),
    st.floats(-1, 1),
)
def test_without_limits_it_is_the_least_norm_solution(slope: list[float], wanted: float) -> None:
    # Independent: numpy's pseudo-inverse (Moore-Penrose).
    s, far = np.array(slope), np.full(len(slope), 100.0)
    assert least_change(s, wanted, -far, far) == pytest.approx(np.linalg.pinv(s[None]) @ [wanted], abs=1e-9)


def test_with_limits_it_is_what_a_general_optimiser_finds() -> None:
    # Independent: scipy's SLSQP on the same problem.
    s = np.array([-0.30, -0.20, -0.05, 0.10])
    low, high = np.array([-3.0, -0.4, -3.0, -3.0]), np.array([2.0, 2.0, 2.0, 0.1])
    found = least_change(s, 0.7, low, high)
    other = minimize(
        lambda x: x @ x,
        np.zeros(4),
        jac=lambda x: 2 * x,
        bounds=list(zip(low, high, strict=True)),
        constraints={"type": "eq", "fun": lambda x: s @ x - 0.7, "jac": lambda x: s},
        method="SLSQP",
        options={"ftol": 1e-14},
    )
    assert found == pytest.approx(other.x, abs=1e-5)
    assert found[1] == low[1]


def test_what_cannot_be_reached_ends_at_the_limits() -> None:
    found = least_change(np.array([-1.0, 0.5]), 100.0, np.array([-2.0, -1.0]), np.array([3.0, 4.0]))
    assert found.tolist() == [-2.0, 4.0]
    assert least_change(np.zeros(2), 1.0, -np.ones(2), np.ones(2)).tolist() == [0.0, 0.0]
    # One that does a hundredth of the other is left alone.
    assert least_change(np.array([-1.0, 0.01]), 5.0, -np.ones(2), np.ones(2)).tolist() == [-1.0, 0.0]


def sag(h: np.ndarray) -> tuple[float, np.ndarray]:
    """Two cantilevers in a row, their tips' sags added: P l^3 / (3 E b h^3 / 12) each, as any handbook has it."""
    each = np.array([4000.0, 500.0])
    return float((each / h**3).sum()), -3 * each / h**4


@pytest.mark.parametrize("aim", [3.0, 4.5, 6.5])
def test_a_curved_problem_is_followed_to_its_aim(aim: float) -> None:
    start = np.array([10.0, 8.0])
    made: list[np.ndarray] = []

    def attempt(h: np.ndarray) -> tuple[float, np.ndarray]:
        made.append(h)
        return sag(h)

    found = carve_to(aim, start, (start - 4, start + 4), attempt, 1e-4 * aim, start)
    assert found.met
    assert sag(found.heights_mm)[0] == pytest.approx(aim, rel=1e-4)
    assert len(made) < 8
    # Lagrange: at the least change, every change is the same multiple of its slope.
    ratio = (found.heights_mm - start) / found.trial[1]
    assert ratio[0] == pytest.approx(ratio[1], rel=0.02)


def test_heights_that_cannot_be_made_are_backed_away_from() -> None:
    start = np.array([10.0, 8.0])
    found = carve_to(9.0, start, (start - 4, start + 4), lambda h: None if h[0] < 8 else sag(h), 1e-3, start)
    assert not found.met
    assert 8 <= found.heights_mm[0] < 9
    with pytest.raises(ValueError, match="begin"):
        carve_to(9.0, start, (start, start), lambda h: None, 1e-3, start)
