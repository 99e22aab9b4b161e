"""From a drawing of one's own mould to a braced guitar: trace, name the outline in a design, make."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
from math import pi, radians
from pathlib import Path

import numpy as np
import pytest
import shapely
from support.command import run_here
from support.designs import DATA, ROOT, edited, placed_of, text_of

from braces.app.study import study
from braces.carved.values import Carved
from braces.placed.values import PlacedPlate
from braces.solids.plate import PlateShape, plate_solid
from braces.solids.step import step_bytes
from braces.workshop.rim import rim
from braces.workshop.tape import tapes


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


def readme_commands() -> list[list[str]]:
    """The words after "braces" of each command that README.md gives for a mould of one's own."""
    section = (ROOT / "README.md").read_text(encoding="utf-8").split("### On your own mould", 1)[1]
    block = re.search(r"```sh\n(.*?)```", section, re.S)
    assert block is not None
    return [shlex.split(line)[1:] for line in block[1].splitlines()]


def test_the_three_commands_of_the_readme_make_a_braced_guitar(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """From half an outline typed by hand in inches, two lines and four arcs tangent to each other.

    Length and area are closed forms of the arcs, 1 in = 25.4 mm exactly (ISO 80000-3): the angles of the two reverse
    joints are 46.02 and 28.96 degrees, as the file says.
    """
    commands = readme_commands()
    assert [words[0] for words in commands] == ["trace", "new", "make"]
    shutil.copy(DATA / "outlines" / "robin_half.dxf", tmp_path / commands[0][1])
    monkeypatch.chdir(tmp_path)
    for words in commands:
        done = run_here(*words)
        assert done.code == 0, done.text
    made = tmp_path / "out" / "siskin"
    summary = json.loads((made / "summary.json").read_text(encoding="utf-8"))
    turn = radians(46.02), radians(46.02 + 28.96), radians(90 + 28.96)
    half = 3 + 4.5 * pi / 2 + 5 * turn[0] + 4 * turn[1] + 4 * turn[2] + 1.75
    assert summary["body"]["perimeter"] == pytest.approx(2 * half * 25.4, rel=2e-4)
    off = re.search(
        r'greatest_deviation = "([\d.]+) mm"', (tmp_path / "mould.outline.toml").read_text(encoding="utf-8")
    )
    assert off is not None
    assert float(off[1]) < 0.1
    assert summary["body"]["length"] == pytest.approx(18.849 * 25.4, abs=float(off[1]))
    # Green's theorem on the pieces: half the sum of x dy - y dx over lines and arcs of centre c and radius r.
    pieces = [(3.0, 4.5, 4.5, -pi / 2, 0.0), (2.5, 4.5, 5.0, 0.0, turn[0])]
    pieces += [(8.75, 10.976, -4.0, turn[0], turn[0] - turn[1]), (1.75, 14.849, 4.0, turn[0] - turn[1], pi / 2)]
    area = 1.75 * 18.849 / 2
    for x, y, r, a, b in pieces:
        area += (r * (x * (np.sin(b) - np.sin(a)) - y * (np.cos(b) - np.cos(a))) + r * r * (b - a)) / 2
    assert summary["body"]["area"] == pytest.approx(2 * area * 25.4**2, rel=2e-4)
    names = {p.name for p in (made / "solids").iterdir()}
    assert {"plate-top.step", "plate-back.step", "brace-x-bass.step", "brace-tone-bar-1.step"} <= names
    assert (made / "templates-a4.pdf").read_bytes()[:5] == b"%PDF-"
    assert len(summary["pockets"]) == 18


def test_a_new_design_takes_an_outline_beside_it_only(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(DATA / "outlines" / "wren_half.dxf", tmp_path)
    run_here("trace", "wren_half.dxf")
    missing = run_here("new", "a.toml", "--like", "fieldfare", "--outline", "nothing.outline.toml")
    assert (missing.code, os.path.exists("a.toml")) == (2, False)
    os.mkdir("below")
    elsewhere = run_here("new", "below/a.toml", "--like", "fieldfare", "--outline", "wren_half.outline.toml")
    assert (elsewhere.code, os.path.exists("below/a.toml")) == (2, False)
    assert "beside" in elsewhere.err
    shutil.move("wren_half.outline.toml", "below/")
    assert run_here("new", "a.toml", "--like", "dunnock", "--outline", "below/wren_half.outline.toml").code == 0
    assert 'outline = "below/wren_half.outline.toml"' in Path("a.toml").read_text(encoding="utf-8")
    assert study("a.toml").sound


@pytest.fixture(scope="module", params=["right", "left"])
def horned(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Carved:
    """The test instrument on a body with a sharp horn and a true corner at the neck."""
    folder = tmp_path_factory.mktemp("horned")
    shutil.copy(DATA / "outlines" / "redpoll_cutaway.svg", folder)
    assert run_here("trace", str(folder / "redpoll_cutaway.svg")).code == 0
    found = study(str(design_on(folder, "redpoll_cutaway.outline.toml", request.param)))
    assert found.sound, found.problems
    assert found.carved is not None
    return found.carved


def inset(plate: PlacedPlate, by_mm: float) -> shapely.Polygon:
    """What lies further in than ``by_mm``: shapely's own buffer of the outline."""
    return shapely.Polygon(plate.outline.dense(400)).buffer(-by_mm, join_style="round", quad_segs=64)


def test_the_lining_of_a_horned_body_is_a_true_inset(horned: Carved) -> None:
    for plate in horned.placed.plates:
        assert len(plate.outline.corners) == 2
        lining = shapely.Polygon(plate.lining.dense(200))
        asked = inset(plate, horned.placed.design.body.side_mm + horned.placed.design.lining.thickness_mm)
        assert lining.is_valid
        assert shapely.hausdorff_distance(lining.exterior, asked.exterior) < 0.02
        assert plate.lining.perimeter_mm == pytest.approx(asked.length, rel=1e-5)
        assert plate.lining.area_mm2() == pytest.approx(asked.area, rel=1e-5)


def test_rim_lengths_of_a_horned_body(horned: Carved) -> None:
    """Outside, middle and inside of both sides together are the rings of shapely's buffers."""
    plate, thick = horned.placed.top, horned.placed.design.body.side_mm
    made = rim(horned.placed)
    for by, lengths in (
        (0.0, [s.outside_mm for s in made.sides]),
        (thick / 2, [s.length_mm for s in made.sides]),
        (thick, [s.inside_mm for s in made.sides]),
    ):
        assert sum(lengths) == pytest.approx(inset(plate, by).length, rel=1e-5)
    corners = [m for m in made.side("treble").marks if m.kind == "corner"]
    assert [m.kind for m in made.side("bass").marks].count("corner") == 0
    assert [m.mitre_deg for m in corners] == pytest.approx([63.2, 36.8], abs=0.1)  # half of the corners' turns
    # The middle of the side's thickness to each corner: along the ring of the buffer to where it turns. Both lie less
    # than half way round from the tail.
    ring = inset(plate, thick / 2).exterior
    tail = ring.project(shapely.Point(0.0, thick / 2))
    turning = plate.outline.corners if horned.placed.design.handed == "right" else plate.outline.corners[::-1]
    for mark, u in zip(corners, turning, strict=True):
        along = ring.project(shapely.Point(plate.outline.point(float(u)))) - tail
        assert min(along % ring.length, -along % ring.length) == pytest.approx(mark.along_mm, abs=0.2)


def test_the_plates_of_a_horned_body_keep_its_corners(horned: Carved) -> None:
    """The solids' own corner points stand where the outline turns, on both faces: read from the STEP file's text."""
    placed = horned.placed
    for name, plate, facing in (("top", placed.top, -1), ("back", placed.back, 1)):
        corners = tuple(40 * i for i in plate.outline.corners)
        faces = plate.dome.outer, plate.dome.inner
        data = step_bytes(plate_solid(PlateShape(name, facing, plate.outline.dense(40), *faces, None, corners)), name)
        points = re.findall(rb"CARTESIAN_POINT\('',\(([^,]+),([^,]+),([^)]+)\)\)", data)
        found = np.array(points, dtype=float)
        for u in plate.outline.corners:
            x, y = plate.outline.point(float(u))
            at = found[np.hypot(found[:, 0] - facing * x, found[:, 1] - y) < 1e-3]
            assert np.ptp(at[:, 2]) == pytest.approx(plate.spec.thickness_mm, rel=0.01), name


def test_pockets_and_tapes_of_a_horned_body(horned: Carved) -> None:
    """Each pocket's middle, measured along shapely's ring from the tail up its own side."""
    body, hand = horned.placed.design.body, 1 if horned.placed.design.handed == "right" else -1
    by = body.side_mm + horned.placed.design.lining.thickness_mm
    for plate, wood in zip(horned.placed.plates, horned.plates, strict=True):
        ring = inset(plate, by).exterior
        tail = ring.project(shapely.Point(0.0, by))
        for pocket in wood.pockets:
            middle = (np.array(pocket.corners[0]) + np.array(pocket.corners[3])) / 2
            right = (pocket.side == "treble") == (hand > 0)
            run = ring.project(shapely.Point(middle)) - tail
            # shapely's rings run clockwise: growing lengths go up the left side.
            run = run % ring.length if shapely.is_ccw(ring) == right else -run % ring.length
            assert run == pytest.approx(pocket.along_rim_mm, abs=0.15), (plate.name, pocket.brace, pocket.side)
    upper = {p.side: p for p in horned.top.pockets if p.brace == "upper"}
    assert upper["treble"].along_rim_mm - upper["bass"].along_rim_mm > 40  # round the horn and back
    for tape in tapes(horned):
        assert np.all(np.diff(tape.along_mm) >= 0)
        assert tape.along_mm[-1] == pytest.approx(
            horned.placed.top.lining.length(0.0, horned.placed.top.lining.count / 2)
            if (tape.side == "treble") == (hand > 0)
            else horned.placed.top.lining.length(horned.placed.top.lining.count / 2, horned.placed.top.lining.count),
            abs=1e-6,
        )
        assert {p.number for p in tape.pockets if p.plate == "top"} == {
            p.number for p in horned.top.pockets if p.side == tape.side
        }
