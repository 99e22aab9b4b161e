"""Modes are paired by their shapes, on bodies of any size."""

import numpy as np
import pytest

from braces.base.arrays import frozen_floats
from braces.mechanics.pairing import paired_modes
from braces.mechanics.values import Mode, PlateStrength, Shape

PATTERNS = (lambda x, y: np.ones_like(x * y), lambda x, y: x + 0 * y, lambda x, y: y + 0 * x, lambda x, y: x * y)


def plate(order, wide=400.0, long=500.0, count=40, patterns=PATTERNS):
    x, y = np.linspace(-1, 1, count), np.linspace(-1, 1, count + 7)
    modes = []
    for k, i in enumerate(order):
        value = patterns[i](x[:, None], y[None, :])
        value[0, 0] = np.nan
        modes.append(Mode(100.0 * (k + 1), Shape(frozen_floats(wide * x / 2), frozen_floats(long * y / 2), value)))
    return PlateStrength("top", "lining", 1.0, 1.0, tuple(modes), None, None, None, (), 1, 5.0)


def test_swapped_modes_find_each_other_whatever_the_size_and_sign():
    found = paired_modes(plate((0, 1, 2, 3)), plate((0, 2, 1, 3), wide=226.0, long=302.0, count=25))
    assert [(p.first, p.second) for p in found] == [(1, 1), (2, 3), (3, 2), (4, 4)]
    assert all(p.alike_ratio == pytest.approx(1.0, abs=0.01) for p in found)
    turned = plate((0, 1, 2, 3), patterns=tuple(lambda x, y, f=f: -f(x, y) for f in PATTERNS))
    assert all(p.first == p.second for p in paired_modes(plate((0, 1, 2, 3)), turned))


def test_a_mode_without_its_like_stands_alone():
    found = paired_modes(plate((0, 1, 3)), plate((0, 1, 2)))
    # x y and y share nothing over the plan (orthogonal), so their assurance is nought.
    assert [(p.first, p.second) for p in found] == [(1, 1), (2, 2), (3, None)]
    assert found[2].alike_ratio < 0.01
    assert paired_modes(plate(()), plate((0,))) == ()
