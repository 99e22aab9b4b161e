"""The commands as a maker types them."""

import csv
import json
import os
import re
from io import StringIO
from pathlib import Path

import pytest
from support.command import run, run_here
from support.designs import ROOT, TWO, text_of

from braces.app.products import PRODUCTS
from braces.base.problems import known_codes
from braces.design.load import preset_names

LIGHT = "summary,tables"  #: products that need neither CAD nor PDF


def snapshot(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_help_names_every_command() -> None:
    done = run("--help")
    assert done.code == 0
    for command in ("make", "check", "show", "new", "presets", "reference"):
        assert re.search(rf"^.*\b{command}\b", done.out, flags=re.M)


def test_no_arguments_show_the_help() -> None:
    done = run()
    assert "make" in done.text
    assert done.code in (0, 2)


def test_unknown_command_is_the_callers_mistake() -> None:
    assert run("mkae", "fieldfare").code == 2


@pytest.mark.parametrize("name", preset_names())
def test_every_preset_is_sound(name: str) -> None:
    done = run_here("check", name)
    assert done.code == 0, done.text
    assert re.search(r"\d+ braces", done.text)


def test_presets_are_listed_with_what_they_are() -> None:
    done = run_here("presets")
    assert done.code == 0
    rows = done.out.splitlines()
    assert [r.split()[0] for r in rows if not r.startswith(" ")] == list(preset_names())
    assert all(len(r) <= 100 for r in rows)
    assert all(len(r.split()) > 4 for r in rows if not r.startswith(" "))


@pytest.mark.parametrize("name", TWO)
def test_show(name: str) -> None:
    done = run_here("show", name)
    assert done.code == 0
    assert all(len(line) <= 100 for line in done.out.splitlines())
    for words in ("Top: braces", "Back: braces", "pockets", "Cut list"):
        assert words in done.out


def test_make_writes_the_products_asked_for(tmp_path: Path) -> None:
    done = run_here("make", "fieldfare", "--out", tmp_path, "--only", LIGHT)
    assert done.code == 0, done.text
    assert set(snapshot(tmp_path / "fieldfare")) >= {"summary.json", "cutlist.csv", "stations.csv"}
    assert "3 files" in done.out
    table = json.loads((tmp_path / "fieldfare" / "summary.json").read_text(encoding="utf-8"))
    assert table["design"]["name"] == "Fieldfare"


def test_only_may_be_repeated_or_listed(tmp_path: Path) -> None:
    listed = run_here("make", "dunnock", "--out", tmp_path / "a", "--only", "tables,summary")
    repeated = run_here("make", "dunnock", "--out", tmp_path / "b", "--only", "summary", "--only", "tables")
    assert listed.code == repeated.code == 0
    assert snapshot(tmp_path / "a") == snapshot(tmp_path / "b")


@pytest.mark.parametrize("product", ["summery", "", "everything", "../x"])
def test_unknown_product(product: str, tmp_path: Path) -> None:
    done = run_here("make", "fieldfare", "--out", tmp_path / "out", "--only", product)
    if product:
        assert done.code == 2
        assert "There is no product" in done.err
        assert all(p.key in done.err for p in PRODUCTS)
        assert not (tmp_path / "out").exists()
    if product == "summery":
        assert 'Did you mean "summary"?' in done.err


def test_inches_beside_mm(tmp_path: Path) -> None:
    done = run_here("make", "wren", "--out", tmp_path, "--only", "drawings,book", "--inches")
    assert done.code == 0, done.text
    plan = (tmp_path / "wren" / "drawings" / "plan-top.svg").read_text(encoding="utf-8")
    assert re.search(r"\(\d+ \d+/\d+\) long", plan)
    assert " in)" in (tmp_path / "wren" / "shop-book.html").read_text(encoding="utf-8")


def test_unknown_paper() -> None:
    done = run_here("make", "fieldfare", "--paper", "papyrus")
    assert done.code == 2


@pytest.mark.parametrize("name", TWO)
def test_second_run_writes_the_same_bytes(name: str, tmp_path: Path) -> None:
    """In two processes with different hash seeds and different places."""
    runs = []
    for seed, place in (("1", "a"), ("2", "b/c")):
        done = run("make", name, "--out", tmp_path / place, "--only", LIGHT, PYTHONHASHSEED=seed, TZ="UTC-9")
        assert done.code == 0, done.text
        runs.append(snapshot(tmp_path / place))
    assert runs[0] == runs[1]


def test_nothing_of_this_machine_is_written(tmp_path: Path) -> None:
    run_here("make", "fieldfare", "--out", tmp_path, "--only", LIGHT)
    for name, data in snapshot(tmp_path).items():
        for word in (str(tmp_path), str(ROOT), os.sep + "home" + os.sep):
            assert word.encode() not in data, name


def test_cut_list_and_stations_are_tables(tmp_path: Path) -> None:
    run_here("make", "fieldfare", "--out", tmp_path, "--only", "tables,summary")
    folder = tmp_path / "fieldfare"
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    cut = list(csv.DictReader(StringIO((folder / "cutlist.csv").read_text(encoding="utf-8"))))
    blanks = {r["piece"]: r for r in cut}
    stations = list(csv.DictReader(StringIO((folder / "stations.csv").read_text(encoding="utf-8"))))
    for brace in summary["braces"]:
        row = blanks[brace["name"]]
        for key in ("length", "width", "height"):
            assert float(row[f"{key}_mm"]) == pytest.approx(brace["blank"][key], abs=0.051)
        mine = [s for s in stations if s["brace"] == brace["name"] and s["plate"] == brace["plate"]]
        assert [float(s["at_mm"]) for s in mine] == pytest.approx([s["at"] for s in brace["stations"]], abs=0.0051)
        assert [float(s["height_mm"]) for s in mine] == pytest.approx(
            [s["height"] for s in brace["stations"]], abs=0.0051
        )
        gaps = [b["at"] - a["at"] for a, b in zip(brace["stations"], brace["stations"][1:], strict=False)]
        assert all(g == pytest.approx(10.0, abs=1e-4) for g in gaps[:-1])
        assert 0 < gaps[-1] <= 10.0001
        assert brace["stations"][-1]["at"] == pytest.approx(brace["length"], abs=1e-4)


@pytest.mark.parametrize("topic", ["fields", "problems", "summary", "bench", "C01", "c01"])
def test_reference(topic: str) -> None:
    done = run_here("reference", topic)
    assert done.code == 0
    assert len(done.out) > 50
    assert all(len(line) <= 100 for line in done.out.splitlines())


def test_reference_knows_every_code_and_every_field() -> None:
    from braces.design.fields import all_parts, key_of
    from braces.design.model import Design

    assert all(f"  {code}" in run_here("reference", "problems").out for code in known_codes())
    told = run_here("reference", "fields").out
    for part in all_parts(Design):
        for name, field in part.model_fields.items():
            assert re.search(rf"^  {re.escape(key_of(name, field))}\b", told, flags=re.M), f"{part.__name__}.{name}"


def test_reference_to_nothing() -> None:
    done = run_here("reference", "unicorns")
    assert done.code == 2
    assert "fields, problems, summary" in done.err


def test_new_begins_a_design_that_is_sound(tmp_path: Path) -> None:
    file = tmp_path / "my-first_bird.toml"
    assert run_here("new", file, "--like", "dunnock").code == 0
    text = file.read_text(encoding="utf-8")
    assert 'name = "My first bird"' in text
    assert text.splitlines()[3:] == text_of("dunnock").splitlines()[3:]
    assert run_here("check", file).code == 0


def test_new_never_overwrites(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("precious", encoding="utf-8")
    done = run_here("new", file, "--like", "dunnock")
    assert done.code == 2
    assert file.read_text(encoding="utf-8") == "precious"
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "elsewhere.toml")
    assert run_here("new", link, "--like", "dunnock").code == 2
    assert not (tmp_path / "elsewhere.toml").exists()


@pytest.mark.parametrize(
    ("file", "like", "words"),
    [
        ("a.toml", "dodo", "dunnock"),
        ("a.txt", "dunnock", "a.toml"),
        ("no/where/a.toml", "dunnock", "cannot be written"),
    ],
)
def test_new_says_why_not(file: str, like: str, words: str, tmp_path: Path) -> None:
    done = run_here("new", tmp_path / file, "--like", like)
    assert done.code == 2
    assert words in done.err
    assert not (tmp_path / file).exists()


@pytest.mark.parametrize("stem", ['quo"te', "back\\slash", "tab\there", "---", "bird\udcff", "x" * 120])
def test_new_with_an_odd_file_name(stem: str, tmp_path: Path) -> None:
    file = tmp_path / f"{stem}.toml"
    done = run("new", file, "--like", "dunnock")
    assert done.code == 0, done.text
    assert run("check", file).code == 0


def test_a_fault_of_ours_is_told_in_one_line() -> None:
    """Exit code 1, no traceback; whatever the error holds is made plain."""
    from subprocess import run as process
    from sys import executable

    broken = (
        "import braces.cli.designs as d\nfrom braces.cli.main import run\n"
        "def bad(_): raise RuntimeError('oh\\x1b[31m no')\nd.study = bad\nrun()\n"
    )
    done = process([executable, "-c", broken, "check", "fieldfare"], capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stderr.startswith("braces failed: RuntimeError: oh?[31m no")
    assert "Traceback" not in done.stderr
    assert "\x1b" not in done.stderr


def test_summary_follows_a_left_handed_instrument(tmp_path: Path) -> None:
    for hand in ("right", "left"):
        file = tmp_path / f"{hand}.toml"
        file.write_text(text_of("fieldfare").replace('handed = "right"', f'handed = "{hand}"'), encoding="utf-8")
        assert run_here("make", file, "--out", tmp_path / "out", "--only", "summary").code == 0
    right, left = (
        json.loads((tmp_path / "out" / hand / "summary.json").read_text(encoding="utf-8")) for hand in ("right", "left")
    )
    assert right["body"] == left["body"]  # the outline is its own mirror image
    for a, b in zip(right["braces"], left["braces"], strict=True):
        assert (b["name"], b["start"]) == (a["name"], pytest.approx([-a["start"][0], a["start"][1]], abs=2e-4))
        assert b["volume"] == pytest.approx(a["volume"], rel=1e-6)
