"""Every way in which a design file can be wrong: one example each gives exactly its code, on the right line."""

from pathlib import Path

import pytest
from support.command import run_here
from support.designs import BAD, edited, text_of

from braces.app.study import study
from braces.base.problems import known_codes

MARK = b"# <-- this line"
FILES = sorted(BAD.glob("*.toml"))
#: Codes that a maker should know of and that do not stop the work.
WARNINGS = frozenset({"L13", "L14", "L15", "L16", "C06", "C08", "J06", "J07", "J08", "B07", "S06"})


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_bad_file_gives_its_code_and_no_other(path: Path) -> None:
    marked = {n for n, line in enumerate(path.read_bytes().split(b"\n"), 1) if MARK in line}
    found = study(str(path))
    assert {p.code for p in found.problems} == {path.name[:3]}, [str(p) for p in found.problems]
    assert {found.line(p) for p in found.problems} == (marked or {None})
    assert all(p.fatal != (p.code in WARNINGS) for p in found.problems)


@pytest.mark.parametrize("path", [p for p in FILES if p.name[:3] in WARNINGS], ids=lambda p: p.stem)
def test_warnings_do_not_stop_the_work(path: Path, tmp_path: Path) -> None:
    done = run_here("make", path, "--out", tmp_path / "out", "--only", "summary")
    assert done.code == 0, done.text
    assert done.err.startswith(path.name[:3])
    assert "(a warning)" in " ".join(done.err.split())
    assert len(list((tmp_path / "out").rglob("summary.json"))) == 1
    assert run_here("check", path).code == 0


@pytest.mark.parametrize("path", [p for p in FILES if p.name[:3] not in WARNINGS], ids=lambda p: p.stem)
def test_what_the_maker_is_told(path: Path, tmp_path: Path) -> None:
    done = run_here("make", path, "--out", tmp_path / "out")
    assert done.code == 2
    assert not (tmp_path / "out").exists()
    assert done.out == ""
    lines = done.err.splitlines()
    assert lines[0].startswith(path.name[:3])
    assert any(line.strip().startswith("found  ") for line in lines)
    assert any(line.strip().startswith("write  ") for line in lines)
    assert all(len(line) <= 100 or " " not in line.strip() for line in lines)
    assert "nothing was written" in lines[-1]
    for jargon in ("Traceback", "pydantic", "ValidationError", "tuple", "dict", "NoneType", "None", "input should"):
        assert jargon not in done.err


def test_the_file_they_were_all_made_from_is_sound(tmp_path: Path) -> None:
    sound = tmp_path / "siskin.toml"
    sound.write_text(text_of("siskin"), encoding="utf-8")
    done = run_here("check", sound)
    assert done.code == 0, done.text
    assert "no problems" in done.out


def test_all_problems_of_a_file_at_once(tmp_path: Path) -> None:
    path = tmp_path / "many.toml"
    text = edited(
        text_of("siskin"),
        ('length = "470 mm"', "length = 470"),
        ("frets_clear", "frets_free"),
        ('wood = "sitka spruce"', 'wood = "sitka spruce"\nsoundhoole = 3'),
        ('law = "scalloped"', 'law = "scaloped"'),
        ('angle = "62 deg"', 'angle = "620 deg"'),
    )
    path.write_text(text, encoding="utf-8")
    done = run_here("check", path)
    assert done.code == 2
    codes = [line[:3] for line in done.err.splitlines() if line[:3] in known_codes()]
    assert sorted(codes) == ["K01", "K01", "K02", "V01", "V03", "V04"]
    numbers = [int(line.split(", line ")[1].split()[0]) for line in done.err.splitlines() if ", line " in line]
    assert numbers == sorted(numbers)
    for word in ('did you mean "frets_clear"?', 'did you mean "scalloped"?', "6 problems"):
        assert word in done.err


def test_layout_problems_of_both_plates_at_once(tmp_path: Path) -> None:
    path = tmp_path / "both.toml"
    path.write_text(
        edited(
            text_of("siskin"),
            ('at = "34 mm above the soundhole"', 'at = "2 mm above the soundhole"'),
            ('at = "110 mm from the tail"', 'at = "2 mm from the tail"'),
        ),
        encoding="utf-8",
    )
    done = run_here("check", path)
    assert {line[:3] for line in done.err.splitlines()} >= {"L01", "L02"}


#: What a maker gets wrong, and words that the advice must hold.
ADVICE = {
    ('name = "Siskin"', "name = 3"): ["text in double quotes"],
    ("frets_clear = 13", "frets_clear = 99"): ["5 to 24"],
    ("frets_clear = 13", "frets_clear = 13.5"): ["whole number"],
    ('width = "8 mm"', 'width = "8"'): ["no unit", '"6.5 mm"'],
    ('thickness = "2.7 mm"', 'thickness = "2,7 mm"'): ["point"],
    ('lower_bout = { width = "350 mm", at = "128 mm" }', 'lower_bout = "350 mm"'): ["table"],
    ('lap = { opens_to_plate = "x-treble" }', 'lap = { opens_to_plate = "x-treble", share = "95 %" }'): [
        "20 % to 80 %"
    ],
    ('angle = "96 deg"', 'angle = "170 deg"'): ["30 deg to 150 deg"],
    ('at = "34 mm above the soundhole"', 'at = "34 mm from the soundhole"'): [
        "below the soundhole",
        "above the soundhole",
    ],
    ('wood = "mahogany"', 'wood = "walnut"'): ["black walnut"],
    ('wood = "mahogany"', 'wood = "plastic"'): ["sitka spruce", "black walnut"],
    ('section = { law = "rounded" }', "section = { }"): ['"square"', '"gabled"', '"rounded"'],
    ('at = "34 mm above the soundhole"', 'at = "34 mm above the sondhole"'): ["such as"],
    ('name = "bar"', 'name = "bar/1"'): ["letters, digits"],
}


@pytest.mark.parametrize("change", ADVICE, ids=lambda c: c[1][:40])
def test_advice(change: tuple[str, str], tmp_path: Path) -> None:
    path = tmp_path / "wrong.toml"
    path.write_text(edited(text_of("siskin"), change), encoding="utf-8")
    done = run_here("check", path)
    assert done.code == 2
    told = " ".join(done.err.split())
    for words in ADVICE[change]:
        assert words in told, told
