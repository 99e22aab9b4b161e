"""Every preset gives its strength report, on the quick grid; numbers carry ranges and the plain statement."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from support.command import run_here

from braces.app import strength
from braces.design.load import preset_names
from braces.mechanics.analyse import QUICK
from braces.reports.reference import summary_keys

#: One design has its spread worked out too: it takes as long as all the rest.
WITH_SPREAD = "wren"


@pytest.mark.slow
@pytest.mark.parametrize("preset", preset_names())
def test_strength(preset: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(strength, "mesh_of", lambda carved: QUICK)
    if preset != WITH_SPREAD:
        monkeypatch.setattr(strength, "spread_of", lambda carved: None)
    ran = run_here("make", preset, "--only", "strength", "--out", tmp_path)
    assert ran.code == 0, ran.err
    with pikepdf.open(tmp_path / preset / "strength.pdf") as pdf:
        assert len(pdf.pages) >= 6
    found: dict[str, Any] = json.loads((tmp_path / preset / "summary.json").read_text(encoding="utf-8"))["mechanics"]
    assert found["statement"] == "A model, not a promise: bring a new top up to pitch slowly."
    top = found["plates"]["top"]
    assert len(top["modes"]) == 10
    for number in (top["bridge_turn_deg"], top["bridge_rise_mm"], *(m["frequency_hz"] for m in top["modes"])):
        assert number["low"] <= number["value"] <= number["high"]
    assert 0.05 < top["bridge_turn_deg"]["value"] < 4  # common practice: a degree or two is much, none is a wall
    assert {s["name"] for s in found["schedule"]} == {b["name"] for b in found["braces"]}
    assert (found["spread"] is not None) == (preset == WITH_SPREAD)
    documented = {
        key.split("mechanics.")[1].split(".")[0].split("[")[0] for key in summary_keys() if "mechanics." in key
    }
    assert documented == set(found)
