"""Drafts: steps, undo, merging; every text to the byte."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.designs import text_of

from braces.design.rewrite import rewrite
from braces.web import draft as drafts
from braces.web.draft import (
    as_saved,
    begin,
    changes_since_saved,
    clashes,
    edited,
    merged,
    redone,
    undone,
)
from braces.web.keep import CannotSave, DraftFile, draft_file, save, save_new

TEXT = text_of("fieldfare")
VALLEY = ("top", "braces", 0, "profile", "valley", "height")
PEAK = ("top", "braces", 0, "profile", "peak", "height")
OFFSET = ("top", "braces", 0, "offset")


def test_one_gesture_is_one_step() -> None:
    draft = begin(TEXT)
    for tenth in range(80, 70, -1):
        draft = edited(draft, {VALLEY: f"{tenth / 10} mm"}, "hand")
    assert len(draft.done) == 1
    assert draft.text == rewrite(TEXT, {VALLEY: "7.1 mm"})
    assert undone(draft).text == TEXT
    assert redone(undone(draft)).text == draft.text


def test_a_gesture_that_comes_back_leaves_nothing() -> None:
    draft = edited(begin(TEXT), {VALLEY: "8 mm"}, "hand")
    back = edited(draft, {VALLEY: "8.5 mm"}, "hand")
    assert back.text == TEXT
    assert not back.done
    assert not back.unsaved


def test_a_new_step_ends_what_could_be_done_again() -> None:
    draft = undone(edited(begin(TEXT), {VALLEY: "8 mm"}, ""))
    assert not edited(draft, {PEAK: "12 mm"}, "").undone


def test_the_oldest_steps_go_but_the_text_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(drafts, "MOST_STEPS", 5)
    draft = begin(TEXT)
    for k in range(12):
        draft = edited(draft, {VALLEY: f"{k / 10} mm"}, "")
    assert len(draft.done) == 5
    assert draft.text == rewrite(TEXT, {VALLEY: "1.1 mm"})


@settings(max_examples=12)
@given(
    st.lists(
        st.tuples(
            st.sampled_from([VALLEY, PEAK, OFFSET, ("name",)]),
            st.integers(1, 400),
            st.sampled_from(["mm", "in", '"', "\\", "\ue0000\ue001", "“"]),
        ),
        min_size=1,
        max_size=6,
    )
)
def test_a_draft_is_the_text_rewritten_and_undone_it_is_the_text(steps: list[tuple[tuple[str, ...], int, str]]) -> None:
    draft, text = begin(TEXT), TEXT
    for where, number, unit in steps:
        draft = edited(draft, {where: f"{number / 10} {unit}"}, "")
        text = rewrite(text, {where: f"{number / 10} {unit}"})
    assert draft.text == text
    for _ in steps:
        draft = undone(draft)
    assert draft.text == TEXT


def test_changes_in_other_places_merge_and_those_in_the_same_clash() -> None:
    draft = edited(edited(begin(TEXT), {VALLEY: "8 mm"}, ""), {PEAK: "12 mm"}, "")
    disk = rewrite(TEXT, {PEAK: "11 mm", ("body", "side"): "2 mm"})
    assert [c.where for c in clashes(draft, disk)] == [PEAK]
    assert merged(draft, disk, keep_mine=True).text == rewrite(disk, {VALLEY: "8 mm", PEAK: "12 mm"})
    assert merged(draft, disk, keep_mine=False).text == rewrite(disk, {VALLEY: "8 mm"})
    assert not clashes(draft, rewrite(TEXT, {PEAK: "12 mm"}))


def test_what_was_saved_is_no_change() -> None:
    draft = as_saved(edited(begin(TEXT), {VALLEY: "8 mm"}, ""))
    assert not draft.unsaved
    assert not changes_since_saved(draft)
    assert changes_since_saved(undone(draft)) == {}
    assert undone(draft).unsaved


def test_a_draft_is_found_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    kept = draft_file(tmp_path / "wren.toml")
    draft = edited(edited(begin(TEXT), {VALLEY: "8 mm"}, "a"), {PEAK: "12 mm"}, "b")
    kept.keep(draft)
    assert kept.found() == draft
    assert kept.path.stat().st_mode & 0o077 == 0
    kept.keep(as_saved(draft))
    assert kept.found() is None


BROKEN = ("", "[]", "{", '{"version": 1}', '{"version": 2}', '{"version": 1, "saved": 1, "base": "", "steps": []}')


@pytest.mark.parametrize("text", BROKEN)
def test_a_broken_draft_is_none(tmp_path: Path, text: str) -> None:
    (tmp_path / "d.json").write_text(text)
    assert DraftFile(tmp_path / "d.json").found() is None


def test_a_file_is_replaced_whole_and_keeps_its_marks(tmp_path: Path) -> None:
    real, link = tmp_path / "real.toml", tmp_path / "link.toml"
    real.write_bytes(b"\xef\xbb\xbfname = 1\r\n")
    real.chmod(0o640)
    link.symlink_to(real)
    save(link, "name = 2\r\n", "name = 1\r\n")
    assert real.read_bytes() == b"\xef\xbb\xbfname = 2\r\n"
    assert link.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    with pytest.raises(CannotSave, match="changed by someone else"):
        save(link, "name = 3\r\n", "name = 1\r\n")
    with pytest.raises(CannotSave, match="there already"):
        save_new(real, "")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["link.toml", "real.toml"]
