"""Studies, names of folders, and the registry of products."""

from pathlib import Path

import pytest
from support.designs import text_of

from braces.app.begin import CannotBegin, begin, preset_rows
from braces.app.make import UnknownProduct, product_list
from braces.app.products import PRODUCTS, Job, brace_files
from braces.app.study import file_stem, follow, study


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("Fieldfare", "fieldfare"),
        ("my bird 2", "my-bird-2"),
        ("../../x", "x"),
        ("a--b__c", "a-b-c"),
        ("", "design"),
        ("鳥", "design"),
        ("...", "design"),
        ("con", "con"),
        ("É-1", "1"),
        ("x" * 300, "x" * 300),
    ],
)
def test_file_stems_are_plain(name: str, stem: str) -> None:
    assert file_stem(name) == stem


def test_hash_follows_the_text_and_not_its_line_ends() -> None:
    text = text_of("siskin")
    first = follow("a.toml", text).revision_hash
    assert len(first) == 8
    assert follow("b.toml", text).revision_hash == first
    assert follow("a.toml", text.replace("\n", "\r\n")).revision_hash == first
    assert follow("a.toml", text.replace('"15 mm"', '"15.1 mm"')).revision_hash != first


def test_study_of_what_cannot_be_read(tmp_path: Path) -> None:
    found = study(str(tmp_path / "nothing.toml"))
    assert not found.sound
    assert found.carved is None
    assert [p.code for p in found.problems] == ["F01"]
    with pytest.raises(ValueError, match="sound"):
        Job(found, "a4")


def test_what_is_wrong_twice_is_told_once() -> None:
    """Both sticks of a pair run over the hole; the same words about one entry are said once."""
    problems = follow("x.toml", text_of("siskin").replace("32 mm below", "2 mm below")).problems
    assert len(problems) == len(set(problems))


def test_keys_of_products_differ() -> None:
    keys = [p.key for p in PRODUCTS]
    assert len(set(keys)) == len(keys)
    assert all(p.title for p in PRODUCTS)


def test_products_come_in_the_order_of_the_registry() -> None:
    plain = study("fieldfare")
    usual = tuple(p for p in PRODUCTS if not p.asked)
    assert product_list(None, plain) == usual
    assert product_list([], plain) == usual
    named = product_list([" tables , summary", "tables"], plain)
    assert [p.key for p in named] == [p.key for p in PRODUCTS if p.key in ("summary", "tables")]
    with pytest.raises(UnknownProduct, match="There are:"):
        product_list(["summary", "songs"], plain)


def test_no_two_braces_share_a_file() -> None:
    carved = study("fieldfare").carved
    assert carved is not None
    files = [f for some in brace_files(carved).values() for f in some]
    assert len(set(files)) == len(files)
    assert all(f == f.lower() and f.isascii() for f in files)


def test_begin_does_not_touch_what_is_there(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    begin(file, "dunnock")
    before = file.read_bytes()
    with pytest.raises(CannotBegin, match="exists already"):
        begin(file, "fieldfare")
    assert file.read_bytes() == before


def test_presets_are_told_in_a_line_each() -> None:
    assert all(name and line and "\n" not in line for name, line in preset_rows())


def test_a_section_asks_for_its_product() -> None:
    asking = follow("x.toml", text_of("siskin") + '\n[tools]\nmake = ["dome-gauge"]\n')
    assert "tools" in [p.key for p in product_list(None, asking)]
