"""From text to a design."""

import tomllib
from pathlib import Path

import pytest
from support.designs import TWO, raw_of, text_of, toml_text

from braces.design.load import BadFile, find, load, parse, preset_folder, preset_names, read_text, stick_names
from braces.design.model import Design


def test_a_preset_by_its_name_and_by_its_path() -> None:
    assert find("fieldfare") == preset_folder() / "fieldfare.toml"
    assert load("fieldfare").design == load(str(preset_folder() / "fieldfare.toml")).design


def test_a_file_of_that_name_goes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "fieldfare").write_text("name = 1", encoding="utf-8")
    assert find("fieldfare") == Path("fieldfare")


@pytest.mark.parametrize("name", preset_names())
def test_text_is_kept_as_written(name: str) -> None:
    path = preset_folder() / f"{name}.toml"
    assert load(name).text == path.read_text(encoding="utf-8")
    assert read_text(path) == path.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", TWO)
def test_layout_of_the_text_does_not_matter(name: str) -> None:
    """The same tables, written on one line each, are the same design."""
    rewritten = toml_text(raw_of(name))
    assert tomllib.loads(rewritten) == tomllib.loads(text_of(name))
    assert parse(rewritten).design == parse(text_of(name)).design


def test_a_design_cannot_be_changed() -> None:
    design = load("dunnock").design
    with pytest.raises(ValueError, match="frozen"):
        design.name = "Wren"


def test_inner_names_are_no_keys() -> None:
    """length_mm is how the program calls it; the file says length."""
    with pytest.raises(BadFile) as caught:
        parse(text_of("siskin").replace('length = "470 mm"', 'length_mm = "470 mm"'))
    assert {p.code for p in caught.value.problems} == {"K01", "K02"}


@pytest.mark.parametrize("key", sorted(set(raw_of("siskin")) | set(Design.model_fields)))
def test_every_section_alone(key: str) -> None:
    """A file that holds one section only: every other needed one is missed, and nothing else is said."""
    raw = raw_of("siskin")
    with pytest.raises(BadFile) as caught:
        parse(toml_text({key: raw[key]} if key in raw else {}))
    needed = {name for name, field in Design.model_fields.items() if field.is_required()} - {key if key in raw else ""}
    assert {(p.code, p.where) for p in caught.value.problems} == {("K02", (n,)) for n in needed}


def test_names_of_sticks() -> None:
    names = [n for brace in parse(text_of("siskin")).design.top.braces for n in stick_names(brace)]
    assert names == ["x-bass", "x-treble", "bar", "upper"]


@pytest.mark.parametrize("second", ["Back 1", "back_1", "back--1", "BACK  1", "back 1-"])
def test_names_that_would_make_the_same_file(second: str) -> None:
    with pytest.raises(BadFile) as caught:
        parse(text_of("siskin").replace('name = "back 2"', f'name = "{second}"'))
    assert [p.code for p in caught.value.problems] == ["K04"]


def test_a_key_of_many_parts_in_a_comment_is_harmless() -> None:
    assert parse("# see a.b.c.d, e.f.g ... and so on. Etc. etc.\n" + text_of("siskin")).design.name == "Siskin"
