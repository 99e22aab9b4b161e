"""Single values are set in a design's text; everything else stays as the maker wrote it."""

import difflib
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.designs import text_of

from braces.base.units import length_mm
from braces.design.load import parse, preset_names
from braces.design.rewrite import CannotRewrite, length_text, rewrite


def changed_lines(old: str, new: str) -> list[str]:
    diff = difflib.unified_diff(old.split("\n"), new.split("\n"), lineterm="", n=0)
    return [line for line in diff if line[:1] in "+-" and line[:3] not in ("+++", "---")]


@pytest.mark.parametrize("name", preset_names())
def test_nothing_asked_nothing_changed(name: str) -> None:
    assert rewrite(text_of(name), {}) == text_of(name)


def test_a_height_changes_its_own_line_only_and_comments_stay() -> None:
    text = text_of("fieldfare").replace('height = "16 mm"\nsection', 'height = "16 mm"   # as split\nsection', 1)
    made = rewrite(text, {("top", "braces", 0, "height"): "15.2 mm"})
    assert changed_lines(text, made) == ['-height = "16 mm"   # as split', '+height = "15.2 mm"   # as split']
    assert parse(made).design.top.braces[0].height_mm == 15.2


def test_a_value_in_braces_keeps_its_neighbours() -> None:
    text = text_of("fieldfare")
    made = rewrite(text, {("top", "braces", 0, "profile", "valley", "height"): "7.9 mm"})
    assert [line.replace('"7.9 mm"', '"8.5 mm"')[1:] for line in changed_lines(text, made)[1:]] == [
        changed_lines(text, made)[0][1:]
    ]


def test_line_ends_and_dotted_keys_stay() -> None:
    text = 'a.b = "1 mm"  # x\r\n\r\n[q]\r\nx = [ {a=1}, {a=2} ] # y\r\n'
    made = rewrite(text, {("a", "b"): "2 mm", ("q", "x", 1, "a"): 3})
    assert made == 'a.b = "2 mm"  # x\r\n\r\n[q]\r\nx = [ {a=1}, {a=3} ] # y\r\n'


def test_what_is_missing_is_added_at_the_end_of_its_table() -> None:
    text = '[top]\nbridge = { length = "84 mm" } # glued\n\n[back]\nwood = "x"\n'
    made = rewrite(text, {("top", "bridge", "height"): "9 mm", ("top", "dome", "shape"): "flat", ("n", "m"): 1})
    assert made == (
        '[top]\nbridge = { length = "84 mm", height = "9 mm" } # glued\ndome = { shape = "flat" }\n'
        '\n[back]\nwood = "x"\n\n[n]\nm = 1\n'
    )


@pytest.mark.parametrize(
    "where",
    [("q",), ("q", "x", 5), ("q", "x", 5, "a"), ("q", "x", "b"), ("q", "x", -1), ("q", "n", 0), ("q", "z", "a")],
)
def test_a_path_that_leads_nowhere_is_refused(where: tuple[str | int, ...]) -> None:
    with pytest.raises(CannotRewrite, match=r"q|there is no"):
        rewrite("[q]\nx = [1]\nz = 2\n", {where: 7})


@given(
    st.sampled_from(preset_names()),
    st.integers(0, 3),
    st.sampled_from(["height", "width"]),
    st.floats(2, 50).map(lambda v: f"{v:.2f} mm"),
)
def test_the_standard_parser_reads_the_change_and_nothing_else(name: str, i: int, key: str, value: str) -> None:
    # Independent: tomllib, which shares no code with the library that edits.
    text = text_of(name)
    plate = "top" if i < len(tomllib.loads(text)["top"]["braces"]) else "back"
    i = min(i, len(tomllib.loads(text)[plate]["braces"]) - 1)
    raw = tomllib.loads(text)
    raw[plate]["braces"][i][key] = value
    assert tomllib.loads(rewrite(text, {(plate, "braces", i, key): value})) == raw


@pytest.mark.parametrize(
    ("like", "text"),
    [
        ("8.5 mm", "8.3 mm"),
        ("0.85 cm", "0.83 cm"),
        ("5/16 in", "0.325 in"),
        ('5/16"', '0.325 "'),
        ("1 inch", "0.325 inch"),
        ("0.5 ft", "0.0271 ft"),
        (None, "8.3 mm"),
        ("about 8 mm", "8.3 mm"),
    ],
)
def test_a_length_is_written_in_the_unit_of_the_old_one(like: str | None, text: str) -> None:
    assert length_text(8.26, like) == text
    assert length_mm(text) == pytest.approx(8.26, abs=0.07)  # 0.05 mm, or 0.0025 in = 0.064 mm
