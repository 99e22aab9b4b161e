"""Two designs side by side, on a coarse grid; one differs from the other by what a text says."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support.command import run_here
from support.designs import edited, text_of

from braces.app import strength
from braces.mechanics.braced_plate import Mesh

COARSE = Mesh(step_mm=16.0, detail_mm=8.0, element_mm=30.0)


@pytest.fixture(scope="module")
def ran(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = tmp_path_factory.mktemp("compare")
    one, other = folder / "one.toml", folder / "other.toml"
    one.write_text(text_of("wren"), encoding="utf-8")
    # 1.9 mm is the same as 0.19 cm: no difference. The name differs, and a fan brace is higher.
    changes = (('name = "Wren"', 'name = "Wren two"'), ('thickness = "1.9 mm"', 'thickness = "0.19 cm"'))
    higher = ('width = "5 mm"\nheight = "4.5 mm"', 'width = "5 mm"\nheight = "5.5 mm"')
    other.write_text(edited(text_of("wren"), *changes, higher), encoding="utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(strength, "mesh_of", lambda carved: COARSE)
        table, numbers = run_here("compare", one, other), run_here("compare", one, other, "--json")
    assert (table.code, numbers.code) == (0, 0), table.err + numbers.err
    return {"table": table.out, "json": numbers.out}


def test_the_differences_are_what_was_changed(ran: dict[str, str]) -> None:
    found = json.loads(ran["json"])["differences"]
    assert found == [
        {"field": "name", "values": ["Wren", "Wren two"]},
        {"field": "top.braces[fan].height", "values": ["4.5 mm", "5.5 mm"]},
    ]


def test_higher_fans_are_heavier_stiffer_and_higher_in_pitch(ran: dict[str, str]) -> None:
    numbers = json.loads(ran["json"])
    what = {row["what"]: [v and v["value"] for v in row["values"]] for row in numbers["movement"]}
    assert what["top's braces"][1] > what["top's braces"][0]
    assert what["bridge turns"][1] < what["bridge turns"][0]
    assert what["back, braced"][1] == what["back, braced"][0]
    assert numbers["modes"]["back"][0]["alike_ratio"] == pytest.approx(1.0)
    first = numbers["modes"]["top"][0]
    assert first["numbers"] == [1, 1]
    assert first["frequencies_hz"][1] > first["frequencies_hz"][0]


def test_the_tables_fit_a_terminal(ran: dict[str, str]) -> None:
    lines = ran["table"].splitlines()
    assert max(map(len, lines)) <= 100
    for words in ("not a promise", "Wren two", "Modes of the back", "4.5 mm", "fan-2"):
        assert any(words in line for line in lines), words


def test_a_design_without_strings_is_told_so(tmp_path: Path) -> None:
    bare = tmp_path / "bare.toml"
    bare.write_text(edited(text_of("wren"), ('set = "ukulele"\n', "")), encoding="utf-8")
    ran = run_here("compare", "wren", bare)
    assert ran.code == 2
    assert ran.err.startswith(f"K02  {bare}, line")
