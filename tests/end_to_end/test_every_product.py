"""Every preset makes every product; files are whole, named in the summary, and the same on a second run."""

from __future__ import annotations

import json
from pathlib import Path

import ezdxf
import pikepdf
import pytest
from support.command import run_here
from support.designs import text_of

from braces.design.load import preset_names

PRESETS = preset_names()


def made(folder: Path, preset: str, *only: str) -> Path:
    words = ["--only", ",".join(only)] if only else []
    done = run_here("make", preset, "--out", folder, *words)
    assert done.code == 0, done.text
    return folder / preset


@pytest.mark.parametrize("preset", PRESETS)
def test_make(preset: str, tmp_path: Path) -> None:
    folder = made(tmp_path, preset)
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    for brace in summary["braces"]:
        for name in brace["files"]:
            assert (folder / name).stat().st_size > 1000, name
    assert len(list(folder.glob("solids/plate-*.step"))) == 2
    for file in folder.glob("*.pdf"):
        with pikepdf.open(file) as pdf:
            assert len(pdf.pages) >= len(summary["braces"]) // 6
            assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
    for file in folder.glob("drawings/*.dxf"):
        document = ezdxf.readfile(file)
        assert document.header["$INSUNITS"] == 4  # millimetres, DXF reference
        assert not document.audit().errors


@pytest.mark.parametrize("preset", PRESETS)
def test_rim_and_book(preset: str, tmp_path: Path) -> None:
    folder = made(tmp_path, preset, "rim", "deck", "book")
    assert json.loads((folder / "bench.json").read_text(encoding="utf-8"))["problems"] == []
    with pikepdf.open(folder / "deck-full.pdf") as pdf:
        assert len(pdf.pages) == 2
    with pikepdf.open(folder / "rim-a4.pdf") as pdf:
        assert len(pdf.pages) > 4
    book = (folder / "shop-book.html").read_text(encoding="utf-8")
    assert len(book) < 5_000_000
    assert "<script" not in book
    assert (folder / "shop-book.pdf").stat().st_size < 5_000_000
    with pikepdf.open(folder / "shop-book.pdf") as pdf:
        assert len(pdf.pages) > 8
    assert "http://" not in book.replace("http://www.w3.org", "").replace("http://www.inkscape.org", "")
    for brace in json.loads((made(tmp_path, preset, "summary") / "summary.json").read_text(encoding="utf-8"))["braces"]:
        assert brace["name"] in book


def test_the_same_bytes_twice(tmp_path: Path) -> None:
    first = made(tmp_path / "a", "dunnock", "drawings", "templates", "solids", "rim", "deck", "book")
    again = made(tmp_path / "b", "dunnock", "drawings", "templates", "solids", "rim", "deck", "book")
    files = sorted(p.relative_to(first) for p in first.rglob("*") if p.is_file())
    assert len(files) > 40
    for file in files:
        assert (first / file).read_bytes() == (again / file).read_bytes(), file


def test_strength_needs_to_know_the_strings(tmp_path: Path) -> None:
    silent = tmp_path / "silent.toml"
    silent.write_text("".join(line for line in text_of("wren").splitlines(True) if not line.startswith("set = ")))
    done = run_here("make", silent, "--out", tmp_path, "--only", "strength")
    assert done.code == 2
    assert "K02" in done.err
    assert not (tmp_path / "silent").exists()


@pytest.mark.slow
def test_strength(tmp_path: Path) -> None:
    folder = made(tmp_path, "dunnock", "strength")
    mechanics = json.loads((folder / "summary.json").read_text(encoding="utf-8"))["mechanics"]
    assert mechanics["bounds"]
    with pikepdf.open(folder / "strength.pdf") as pdf:
        assert len(pdf.pages) >= 3


@pytest.mark.slow
def test_tools(tmp_path: Path) -> None:
    folder = made(tmp_path, "wren", "tools")
    rows = json.loads((folder / "summary.json").read_text(encoding="utf-8"))["tools"]
    assert len(rows) >= 20
    for row in rows:
        for name in row["files"]:
            assert (folder / "solids" / "tools" / name).stat().st_size > 500, name
    with pikepdf.open(folder / "tools.pdf") as pdf:
        stock = sum(not row["printed"] for row in rows)  # bars share a page
        assert len(rows) - stock + 2 <= len(pdf.pages) <= len(rows) - stock + 3
