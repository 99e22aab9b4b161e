"""Carving to a target: the plan is checked by a full solution from scratch."""

import numpy as np
import pytest

from braces.mechanics.analyse import solve_plate, solved_again
from braces.mechanics.braced_plate import Mesh
from braces.mechanics.carve_to import carve_to_turn, fade
from braces.mechanics.instrument import Setting
from braces.mechanics.sensitivity import lifted, turn_deg
from braces.mechanics.strings import string_load, string_sets

COARSE = Mesh(step_mm=14.0, detail_mm=10.0, element_mm=40.0)
LOAD = string_load(string_sets()["light"], 628.65)


@pytest.fixture(scope="module")
def start(dunnock):
    return solve_plate(dunnock, "top", Setting(), LOAD, COARSE)


@pytest.mark.parametrize("factor", [0.93, 1.1])
def test_the_target_is_met_and_the_weight_goes_the_right_way(dunnock, start, factor):
    target = factor * turn_deg(start)
    plan = carve_to_turn(dunnock, target, LOAD, mesh=COARSE)
    assert plan.reached
    assert plan.before_deg == pytest.approx(turn_deg(start))
    bars = start.system.bound.plate.bars
    moved = tuple(lifted(b, c.change_mm * fade(b)) for b, c in zip(bars, plan.changes, strict=True))
    assert turn_deg(solved_again(start, moved)) == pytest.approx(target, rel=0.005)
    assert np.sign(plan.mass_change_g) == np.sign(1 - factor)
    assert all(-3 <= c.change_mm <= 2 for c in plan.changes)


def test_limits_and_fixed_braces_hold(dunnock, start):
    names = [b.name for b in start.system.bound.plate.bars]
    plan = carve_to_turn(dunnock, 0.2 * turn_deg(start), LOAD, limits_mm=(-0.5, 0.5), fixed=(names[0],), mesh=COARSE)
    assert not plan.reached
    assert plan.changes[0].change_mm == 0
    assert {c.change_mm for c in plan.changes} <= {0.0, 0.5}
    assert max(abs(c.change_mm) for c in plan.changes) == pytest.approx(0.5)
    with pytest.raises(ValueError, match="limits"):
        carve_to_turn(dunnock, -1.0, LOAD, mesh=COARSE)
