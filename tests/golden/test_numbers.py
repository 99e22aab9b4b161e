"""The numbers of every preset, as they were when last looked at.

``pytest tests/golden --record`` writes them anew; look at the difference before you keep it. Lengths may change by
0.002 mm, angles by 0.001 degrees, volumes and masses by 20 ppm: more is a change of the instrument.
"""

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from support.designs import carved_of

from braces.design.load import preset_names
from braces.reports.summary import summary

FOLDER = Path(__file__).parent / "numbers"
ANGLES = {"angle", "bevel", "face_angle", "back_tilt"}
SHARES = {"volume", "mass", "area", "glue_arc_radius", "radius"}  #: told apart by a share of themselves


def numbers(name: str) -> dict[str, Any]:
    """What is compared: the summary without the hash of the text, the outline thinned."""
    table = summary(carved_of(name), "", {})
    table["body"]["outline"] = table["body"]["outline"][::8]
    return dict(json.loads(json.dumps(table)))


def differences(now: Any, then: Any, place: str = "") -> list[str]:
    """Every place where two tables differ by more than is allowed there."""
    key = place.rsplit(".", 1)[-1].split("[")[0]
    if isinstance(then, dict) and isinstance(now, dict):
        keys = [*then, *(k for k in now if k not in then)]
        return [d for k in keys for d in differences(now.get(k), then.get(k), f"{place}.{k}" if place else k)]
    if isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        return [d for i, (a, b) in enumerate(zip(now, then, strict=True)) for d in differences(a, b, f"{place}[{i}]")]
    if isinstance(then, int | float) and isinstance(now, int | float) and not isinstance(then, bool):
        allowed = 1e-3 if key in ANGLES else 2e-5 * abs(then) + 2e-4 if key in SHARES else 2e-3
        return [] if abs(now - then) <= allowed else [f"{place}: {then} -> {now}"]
    return [] if now == then else [f"{place}: {str(then)[:60]} -> {str(now)[:60]}"]


@pytest.mark.parametrize("name", preset_names())
def test_numbers(name: str, request: pytest.FixtureRequest) -> None:
    path = FOLDER / f"{name}.json"
    now = numbers(name)
    if request.config.getoption("--record"):
        path.write_text(json.dumps(now, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")
    assert path.exists(), "look at the instrument, then: pytest tests/golden --record"
    then = json.loads(path.read_text(encoding="utf-8"))
    assert differences(now, then) == []


def test_every_recorded_preset_is_still_there() -> None:
    assert {p.stem for p in FOLDER.glob("*.json")} == set(preset_names())


def test_the_comparison_can_fail() -> None:
    then = numbers("dunnock")
    assert differences(then, then) == []
    for change in (
        lambda t: t["braces"][0].update(length=t["braces"][0]["length"] + 0.003),
        lambda t: t["braces"][1].update(volume=t["braces"][1]["volume"] * 1.0001),
        lambda t: t["braces"][2].update(bevel=t["braces"][2]["bevel"] + 0.002),
        lambda t: t["pockets"].pop(),
        lambda t: t["pockets"][0].update(side="middle"),
        lambda t: t.update(extra=1),
        lambda t: t["body"]["outline"][3].__setitem__(0, 0.0),
        lambda t: t.pop("saddle_y"),
    ):
        now = copy.deepcopy(then)
        change(now)
        assert len(differences(now, then)) == 1
