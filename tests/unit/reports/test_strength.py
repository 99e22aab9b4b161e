"""The strength report as numbers and as tables for a terminal."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from support.designs import carved_of

from braces.base.arrays import frozen_floats
from braces.mechanics.analyse import analyse
from braces.mechanics.brace_figures import BraceFigures, LapLeft, WeakPlace
from braces.mechanics.ranges import extreme
from braces.mechanics.strings import StringLoad
from braces.mechanics.values import Bound, BraceStress, Mode, PlateStrength, Shape, Strength
from braces.reports.strength import mechanics_summary, strength_tables
from braces.sheets.paper import paper
from braces.sheets.strength_pages import strength_pdf

E_MPA, WIDE, HIGH = 10_000.0, 8.0, 12.0
INERTIA = WIDE * HIGH**3 / 12


def brace(name: str, weak: WeakPlace | None = None) -> BraceFigures:
    """A bar 8 x 12 x 95 mm of even section."""
    x = np.array([0.0, 50.0, 95.0])

    def even(value: float) -> np.ndarray:
        return frozen_floats(np.full(3, value))

    return BraceFigures(
        name, "sitka spruce", frozen_floats(x), even(HIGH), even(WIDE * HIGH), even(HIGH / 2), even(INERTIA),
        even(E_MPA * INERTIA), even(2 * E_MPA * INERTIA), even(1.0), 4 * E_MPA * INERTIA, 60.0, 4.0, 9.0, 0.123456789,
        1234.5678, 1500.0, (LapLeft(40.0, "other", "half-lap", 0.5, 0.125),), weak, "memory",
    )  # fmt: skip


def shape() -> Shape:
    value = np.array([[np.nan, 0.1, -0.25], [0.4, 0.0, np.nan]])
    return Shape(frozen_floats([10.0, 20.0]), frozen_floats([1.0, 2.0, 3.0]), value)


@pytest.fixture
def strength() -> Strength:
    stress = BraceStress("bar a", frozen_floats([0.0]), frozen_floats([1.0]), 9.0, 12.5, 45.0, 0.2)
    top = PlateStrength(
        "top",
        "lining",
        180.0,
        40.0,
        (Mode(200.0, shape()), Mode(300.0, shape())),
        0.5,
        0.1,
        shape(),
        (stress,),
        999,
        5.0,
    )
    back = replace(
        top, name="back", modes=top.modes[:1], bridge_turn_deg=None, bridge_rise_mm=None, deflection=None, stresses=()
    )
    bounds = (
        Bound("mode 1", 0.01, 0.02, "one"),
        Bound("bridge turn", 0.04, 0.0, "two"),
        Bound("deflection", 0.1, 0.1, "x"),
    )
    weak = WeakPlace(33.0, 5e6, 0.25)
    return Strength(
        StringLoad("light", ("E4", "E2"), (70.0, 80.0), 640.0, 12.0, "memory"),
        (brace("bar a", weak), brace("bar b")), top, back, bounds,
        ("one thing", "another"), (("sitka spruce", "text"),),
    )  # fmt: skip


def leaves(value: Any, path: str = "") -> list[tuple[str, Any]]:
    if isinstance(value, dict):
        return [pair for k, v in value.items() for pair in leaves(v, f"{path}.{k}" if path else k)]
    if isinstance(value, list):
        return [pair for v in value for pair in leaves(v, f"{path}[]")]
    return [(path, value)]


def test_solved_numbers_stand_beside_their_range(strength: Strength) -> None:
    top = mechanics_summary(strength)["plates"]["top"]
    # May be 1 % too low and 2 % too high; 4 % and nothing; 10 % both ways. Modes from 2 on have no bound here.
    assert top["modes"][0] == {"number": 1, "frequency_hz": {"value": 200.0, "low": 196.0, "high": 202.0}}
    assert top["modes"][1]["frequency_hz"] == {"value": 300.0, "low": None, "high": None}
    assert top["bridge_turn_deg"] == {"value": 0.5, "low": 0.5, "high": 0.52}
    assert top["most_outward_mm"] == {"value": 0.4, "low": 0.36, "high": 0.44, "at": [20.0, 1.0]}
    assert top["most_inward_mm"] == {"value": -0.25, "low": -0.275, "high": -0.225, "at": [10.0, 3.0]}


def test_a_plate_without_load_has_none(strength: Strength) -> None:
    back = mechanics_summary(strength)["plates"]["back"]
    for key in ("bridge_turn_deg", "bridge_rise_mm", "most_outward_mm", "most_inward_mm"):
        assert back[key] is None


def test_braces_in_the_summary(strength: Strength) -> None:
    first, second = mechanics_summary(strength)["braces"]
    assert first["weakest"] == {"at_mm": 33.0, "with_plate_n_mm2": 5e6, "own_of_blank_ratio": 0.25}
    assert second["weakest"] is None
    assert first["stress"]["used_fraction"] == 0.2
    assert second["stress"] is None
    assert [s["at_mm"] for s in first["stations"]] == [*(10.0 * k for k in range(10)), 95.0]
    for s in first["stations"]:
        # b h3 / 12 of a rectangle (textbook).
        assert s["inertia_mm4"] == pytest.approx(8 * 12**3 / 12)
        assert s["own_n_mm2"] == pytest.approx(10_000 * 8 * 12**3 / 12)
    assert first["tap_hz"] == 1234.6
    assert first["bench_deflection_mm"] == 0.12346


def test_every_number_says_its_unit(strength: Strength) -> None:
    units = ("_mm", "_mm2", "_mm4", "_n", "_n_mm", "_n_mm2", "_mpa", "_g", "_hz", "_deg", "_ratio", "_fraction")
    plain = {"number", "unknowns"}
    for path, value in leaves(mechanics_summary(strength)):
        if isinstance(value, (int, float)):
            *above, last = path.replace("[]", "").split(".")
            key = above[-1] if last in ("value", "low", "high", "at") else last
            assert key.endswith(units) or key in plain, path


def test_the_summary_is_plain_json_and_always_the_same(strength: Strength) -> None:
    text = json.dumps(mechanics_summary(strength), allow_nan=False)
    assert text == json.dumps(mechanics_summary(strength), allow_nan=False)
    assert json.loads(text)["strings"]["total_n"] == 150.0
    assert json.loads(text)["strings"]["torque_n_mm"] == 1800.0
    assert "not a promise" in json.loads(text)["statement"]


def test_tables_fit_a_terminal_and_say_everything(strength: Strength) -> None:
    text = strength_tables(strength)
    assert all(len(line) <= 100 and line == line.rstrip() for line in text.splitlines())
    rows = [line.split() for line in text.splitlines()]
    assert ["bar", "a", "4.0", "9.0", "33", "11.52", "46.08", "25.0", "0.12", "1235", "20.0"] in rows
    assert ["bar", "b", "4.0", "9.0", "-", "-", "46.08", "-", "0.12", "1235", "-"] in rows
    assert ["1", "200", "196", "to", "202", "200", "196", "to", "202"] in rows
    assert ["2", "300", "not", "measured"] in rows
    assert ["bridge", "turns", "towards", "the", "neck", "0.50", "deg", "0.50", "to", "0.52", "deg"] in rows
    for words in ("A model, not a promise: bring a new top up to pitch slowly.", "- another", "- sitka spruce: text"):
        assert words in text.splitlines()
    assert "1.80 N m" in text


def test_long_names_and_many_words_still_fit(strength: Strength) -> None:
    long = replace(strength.braces[0], name="a brace whose name a maker has made very long indeed")
    bare = replace(strength, braces=(long,), bounds=(), assumptions=("words " * 60,))
    text = strength_tables(bare)
    assert all(len(line) <= 100 for line in text.splitlines())
    assert "No bound was measured" in text
    assert " to " not in "".join(line for line in text.splitlines() if line.startswith(" 1"))


def test_extremes_skip_what_is_off_the_plate() -> None:
    assert extreme(shape(), 1) == (0.4, 20.0, 1.0)
    assert extreme(shape(), -1) == (-0.25, 10.0, 3.0)


@pytest.mark.slow
def test_a_real_analysis_goes_all_the_way() -> None:
    """The smallest preset: figures agree between the summary, the tables and the pages."""
    carved = carved_of("wren")
    strength = analyse(carved)
    table = mechanics_summary(strength)
    json.dumps(table, allow_nan=False)
    assert [b["name"] for b in table["braces"]] == [b.name for b in carved.braces]
    for b, made in zip(table["braces"], carved.braces, strict=True):
        assert b["mass_g"] == pytest.approx(made.mass_g, rel=1e-3)
        assert b["mass_g"] < b["blank_mass_g"]
    modes = table["plates"]["top"]["modes"]
    assert [m["number"] for m in modes] == list(range(1, 11))
    for m in modes:
        assert m["frequency_hz"]["low"] <= m["frequency_hz"]["value"] <= m["frequency_hz"]["high"]
    text = strength_tables(strength)
    assert all(len(line) <= 100 for line in text.splitlines())
    assert f"{modes[0]['frequency_hz']['value']:.0f}" in text
    assert strength_pdf(strength, carved, paper("a4"), "Wren", "A").startswith(b"%PDF")
