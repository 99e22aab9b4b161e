"""What a design says of strings, bridge, rim and wood reaches the mechanics, and says where it comes from."""

from __future__ import annotations

import pytest
from support.designs import carved_of, design_of

from braces.app.strength import load_of, setting_of, spread_of
from braces.base.problems import DesignError
from braces.mechanics.analyse import assumptions
from braces.mechanics.instrument import Setting


def test_a_plain_design_takes_what_the_mechanics_take_for_granted() -> None:
    found, own = setting_of(design_of("fieldfare")), Setting()
    assert (found.rim, found.lining_outward, found.lining_in_plane) == (
        own.rim,
        own.lining_outward,
        own.lining_in_plane,
    )
    assert "assumed, not measured" in assumptions(found, load_of(design_of("fieldfare")), carved_of("fieldfare"))[0]


def test_a_stated_rim_bridge_and_string_height_are_used() -> None:
    design = design_of(
        "wren",
        ("[lining]\n", '[lining]\nrim = "lining"\noutward = "55 N/mm3"\nin_plane = "0.8 MPa/mm"\n'),
        ('height = "7 mm" }', 'height = "6 mm", wood = "sugar maple" }'),
    )
    found = setting_of(design)
    assert (found.lining_outward, found.lining_in_plane) == ((55.0,), (0.8,))
    assert (found.bridge_wood, found.bridge_height_mm, found.string_height_mm) == ("sugar maple", 6.0, 9.0)
    assert "as the design says" in assumptions(found, load_of(design), carved_of("wren"))[0]


def test_strings_of_ones_own_pull_as_they_are_given() -> None:
    each = 'each = [ { note = "A4", tension = "52 N" }, { note = "E4", unit_weight = "0.6 g/m" } ]'
    load = load_of(design_of("wren", ('set = "ukulele"', each)))
    # By hand: 0.6e-3 (2 x 0.4318 x 329.6276)^2 = 48.621 N.
    assert load.tensions_n == pytest.approx((52.0, 48.621), abs=1e-3)
    assert load.provenance == "the design's own figures"


def test_without_strings_the_way_out_is_named() -> None:
    with pytest.raises(DesignError, match="set = "):
        load_of(design_of("wren", ('set = "ukulele"\n', "")))


def test_measured_wood_is_told_apart() -> None:
    piece = ("[stock]\n", '[stock."Sitka spruce"]\ndensity = "410 kg/m3"\ne_along = "12.4 GPa"\n\n[stock]\n')
    own = setting_of(design_of("wren", piece)).wood("sitka spruce")
    assert (own.density_kg_m3, own.elastic.e_l_mpa, own.weakest_mark) == (410.0, 12400.0, "measured")


def test_the_spread_takes_the_makers_uncertainty_where_there_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    from types import SimpleNamespace

    import numpy as np

    from braces.mechanics import spread

    asked: list[tuple[float, ...]] = []

    def sampled(made: object, samples: int, ratios: tuple[float, ...]) -> SimpleNamespace:
        asked.append(ratios)
        turns = np.linspace(0.9, 1.1, samples)
        return SimpleNamespace(
            turn_deg=turns, mean_turn_deg=1.0, hertz=turns[:, None] * 200.0, mean_hertz=np.array([200.0])
        )

    monkeypatch.setattr(spread, "family", lambda *_: None)
    monkeypatch.setattr(spread, "spread", sampled)
    own = 'like = "Sitka spruce"\ne_along = "12 GPa"\ne_along_spread = "3 %"\n'
    piece = ("[stock]\n", f"[stock.billet-7]\n{own}\n[stock]\n")
    found = spread_of(carved_of("wren", piece, ('brace_wood = "Sitka spruce"', 'brace_wood = "billet-7"')))
    assert asked == [(spread.E_SPREAD_RATIO, 0.03, spread.DENSITY_SPREAD_RATIO, spread.DENSITY_SPREAD_RATIO)]
    assert [w.source for w in found.woods] == ["handbook, from memory", "measured", *["handbook, from memory"] * 2]
    # The middle nine of ten of an even spread from 0.9 to 1.1.
    assert (found.turn.low_ratio, found.turn.high_ratio) == pytest.approx((0.91, 1.09))
    assert (found.modes[0].low_ratio, found.modes[0].high_ratio) == pytest.approx((0.91, 1.09))
