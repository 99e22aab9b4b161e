"""From a drawing of one's own mould to a braced guitar: trace, name the outline in a design, make."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import numpy as np
import pytest
from support.command import run_here
from support.designs import DATA, edited, placed_of, text_of

from braces.app.study import study


def design_on(folder: Path, outline: str, handed: str = "right") -> Path:
    """The test instrument on an outline of its own, written into ``folder``."""
    text = text_of("siskin")
    bouts = re.search(r"^length\s*=.*\n(?:(?:lower_bout|waist|upper_bout).*\n)+", text, re.M)
    assert bouts is not None
    text = edited(text, (bouts[0], f'outline = "{outline}"\n'), ('handed = "right"', f'handed = "{handed}"'))
    file = folder / "own.toml"
    file.write_text(text, encoding="utf-8")
    return file


def lopsided(folder: Path) -> Path:
    """A CSV of the test instrument's outline with its treble upper bout drawn in by up to 22 mm."""
    points = placed_of("siskin").outline.dense(60)
    x, y = points.T
    t = np.clip((y - 300) / 120, 0, 1)
    moved = np.where(x > 0, x * (1 - 0.18 * t * t * (3 - 2 * t)), x)
    rows = "\n".join(f"{a:.4f},{b:.4f}" for a, b in zip(moved, y, strict=True))
    file = folder / "lopsided.csv"
    file.write_text(f"x_mm,y_mm\n{rows}\n", encoding="utf-8")
    return file


def test_a_half_drawn_by_hand_in_inches_becomes_a_braced_guitar(tmp_path: Path) -> None:
    shutil.copy(DATA / "outlines" / "wren_half.dxf", tmp_path)
    traced = run_here("trace", str(tmp_path / "wren_half.dxf"))
    assert traced.code == 0, traced.text
    assert "inches" in traced.text
    assert "mirrored" in traced.text
    assert b"<svg" in (tmp_path / "wren_half.outline.svg").read_bytes()[:200]
    design = design_on(tmp_path, "wren_half.outline.toml")
    made = run_here("make", str(design), "--out", str(tmp_path / "out"), "--only", "summary,drawings,templates,solids")
    assert made.code == 0, made.text
    summary = json.loads((tmp_path / "out" / "own" / "summary.json").read_text(encoding="utf-8"))
    # The drawing's axis runs over 18.5 in; 1 in = 25.4 mm exactly (ISO 80000-3).
    assert summary["body"]["length"] == pytest.approx(18.5 * 25.4, abs=0.01)
    across = [p for p in summary["pockets"] if p["brace"] == "back 1"]
    assert across[0]["along_rim"] == pytest.approx(across[1]["along_rim"], abs=0.01)


@pytest.mark.parametrize("handed", ["right", "left"])
def test_a_lopsided_body_keeps_its_sides_apart(tmp_path: Path, handed: str) -> None:
    csv = lopsided(tmp_path)
    assert run_here("trace", str(csv)).code == 0
    found = study(str(design_on(tmp_path, "lopsided.outline.toml", handed)))
    assert found.sound, found.problems
    carved = found.carved
    assert carved is not None
    sign = 1 if handed == "right" else -1
    upper = {p.side: p for p in carved.back.pockets if p.brace == "back 1"}
    # back 1 lies where the treble side was drawn in: its treble end is nearer the centre line, on either hand.
    reach = {side: abs(p.corners[1][0]) for side, p in upper.items()}
    assert reach["treble"] < reach["bass"] - 8
    assert sign * upper["treble"].corners[1][0] > 0
    # Each side is measured by itself: the lengths from the tail differ, and agree with the lining's own arc.
    lining = carved.placed.back.lining
    ends = {side: p.along_rim_mm for side, p in upper.items()}
    assert abs(ends["treble"] - ends["bass"]) > 1
    for side, pocket in upper.items():
        right = (side == "treble") == (handed == "right")
        dense = lining.point(
            np.linspace(0, lining.count / 2, 20001) if right else np.linspace(lining.count, lining.count / 2, 20001)
        )
        middle = (np.array(pocket.corners[0]) + np.array(pocket.corners[3])) / 2
        steps = np.append(0, np.cumsum(np.linalg.norm(np.diff(dense, axis=0), axis=1)))
        nearest = steps[np.argmin(np.linalg.norm(dense - middle, axis=1))]
        assert nearest == pytest.approx(pocket.along_rim_mm, abs=0.1)


@pytest.mark.parametrize("name", ["../secret.toml", "/etc/hosts", "missing.toml", "C:evil.toml"])
def test_an_outline_elsewhere_is_refused(tmp_path: Path, name: str) -> None:
    found = study(str(design_on(tmp_path, name)))
    assert not found.sound
    assert [p.code for p in found.problems] == ["F01"]
    assert found.problems[0].where == ("body", "outline")


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    (tmp_path / "outline.toml").write_text("outline = 1\n", encoding="utf-8")
    (inside / "outline.toml").symlink_to(tmp_path / "outline.toml")
    assert [p.code for p in study(str(design_on(inside, "outline.toml"))).problems] == ["F01"]


def test_bouts_beside_an_outline_are_told(tmp_path: Path) -> None:
    shutil.copy(DATA / "outlines" / "wren_half.dxf", tmp_path)
    run_here("trace", str(tmp_path / "wren_half.dxf"))
    file = design_on(tmp_path, "wren_half.outline.toml")
    text = file.read_text(encoding="utf-8").replace("[body]\n", '[body]\nlength = "470 mm"\n', 1)
    file.write_text(text, encoding="utf-8")
    assert [(p.code, p.where) for p in study(str(file)).problems] == [("K01", ("body", "length"))]
