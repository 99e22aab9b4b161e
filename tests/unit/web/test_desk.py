"""Handles on every preset, refusals, forms; the desk without a browser."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.designs import text_of

from braces.design.load import preset_names
from braces.design.rewrite import read_at
from braces.web.desk import Desk, Looking, Refusal
from braces.web.forms import SECTIONS, form, limits_at
from braces.web.handles import Drag
from braces.web.views import form_table, sheet, sheets, view


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def desk_of(name: str, folder: Path) -> Desk:
    path = folder / f"{name}.toml"
    path.write_text(text_of(name), encoding="utf-8")
    return Desk(path, folder / "out")


def all_handles(desk: Desk):
    for plate in ("top", "back"):
        for handle in desk.handles(Looking(plate), "plan"):
            yield Looking(plate), "plan", handle
    assert desk.carved is not None
    for brace in desk.carved.braces:
        looking = Looking(brace.plate, brace.name)
        for handle in desk.handles(looking, "side"):
            yield looking, "side", handle


def values(desk: Desk):
    """Every value of the text by its place."""
    return {where: read_at(desk.raw, where) for where in leaves(desk.raw)}


def nudged(desk: Desk, looking: Looking, picture: str, key: str) -> str:
    """Nudge a handle; return why it would not move."""
    try:
        desk.nudge(looking, picture, key, (0.0, -1.0), 0.1)
        if not desk.draft.unsaved:
            desk.nudge(looking, picture, key, (1.0, 0.0), 0.1)
    except Refusal as refusal:
        return str(refusal)
    return ""


#: Between them these use every rule by which a brace lies.
RULES = ("fieldfare", "goshawk", "redstart", "whimbrel")


@pytest.mark.parametrize("name", RULES)
def test_every_handle_moves_or_says_why_and_changes_only_values(name: str, tmp_path: Path) -> None:
    desk = desk_of(name, tmp_path)
    before = values(desk)
    handles = list(all_handles(desk))
    assert len({(looking, picture, h.key) for looking, picture, h in handles}) == len(handles)
    moved, seen = 0, set()
    for looking, picture, handle in handles:
        if handle.drag is None:
            assert handle.why
            continue
        if (kind := (picture, handle.where[3:], handle.key.rsplit("/", 1)[-1])) in seen:
            continue  # the same field of another brace
        seen.add(kind)
        why = nudged(desk, looking, picture, handle.key)
        now = values(desk)
        changed = {w for w in now.keys() | before.keys() if now.get(w) != before.get(w)}
        assert changed or why, handle.key
        assert len(changed) <= 4
        assert len({w[:3] for w in changed}) <= 1, "all of one entry of the file"
        assert desk.study.sound
        moved += bool(changed)
        desk.undo()
        assert desk.draft.text == desk.draft.saved
    assert moved >= 0.8 * len(seen)


def test_a_handle_dragged_to_where_it_is_changes_nothing(tmp_path: Path) -> None:
    desk = desk_of("fieldfare", tmp_path)
    for _looking, _picture, handle in all_handles(desk):
        if handle.drag is not None:
            for where, value in handle.drag(Drag(handle.at, fine=True)).items():
                assert read_at(desk.raw, where) in (None, value), handle.key


def test_a_dragged_station_lands_where_the_hand_is(tmp_path: Path) -> None:
    desk = desk_of("fieldfare", tmp_path)
    looking = Looking("top", "x-treble")
    handle = next(h for h in desk.handles(looking, "side") if h.key == "peak/end")
    to = (handle.at[0] + 9.0, handle.at[1] + 1.0)
    desk.drag(looking, "side", "peak/end", Drag(to, fine=True), "hand")
    again = next(h for h in desk.handles(looking, "side") if h.key == "peak/end")
    assert again.at[0] == pytest.approx(to[0], abs=0.6)  # half a per cent of the leg
    assert again.at[1] == pytest.approx(to[1], abs=0.06)


def test_an_end_dragged_on_the_plan_follows_the_hand(tmp_path: Path) -> None:
    desk = desk_of("fieldfare", tmp_path)
    for key, to in (("x-bass/foot", (181.0, 105.0)), ("tone bar 1/end", (105.0, 33.0)), ("back 1/treble", (0, 0))):
        looking = Looking("back" if key.startswith("back") else "top")
        handle = next(h for h in desk.handles(looking, "plan") if h.key == key)
        to = to if to != (0, 0) else (handle.at[0], handle.at[1] + 6.0)
        desk.drag(looking, "plan", key, Drag(to, fine=True), key)
        again = next(h for h in desk.handles(looking, "plan") if h.key == key)
        before = ((handle.at[0] - to[0]) ** 2 + (handle.at[1] - to[1]) ** 2) ** 0.5
        after = ((again.at[0] - to[0]) ** 2 + (again.at[1] - to[1]) ** 2) ** 0.5
        assert after < 0.5 * before


@pytest.mark.parametrize("name", preset_names())
def test_forms_show_every_value_of_the_file(name: str, tmp_path: Path) -> None:
    desk = desk_of(name, tmp_path)
    places = [*SECTIONS, *((p, "braces", i) for p in ("top", "back") for i in range(len(desk.raw[p]["braces"])))]
    shown = {row.where for where in places for row in form(desk.raw, where)}
    written = set(leaves(desk.raw))
    assert written <= shown
    assert all(row.help for row in form(desk.raw, ("top", "braces", 0)) if row.kind != "fixed")


def leaves(value, where=()):
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*where, key))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for i, inner in enumerate(value):
            yield from leaves(inner, (*where, i))
    else:
        yield where


def test_limits_are_those_of_the_field(tmp_path: Path) -> None:
    desk = desk_of("fieldfare", tmp_path)
    assert limits_at(desk.raw, ("top", "braces", 0, "width")) == (1.0, 60.0)
    assert limits_at(desk.raw, ("body", "side")) == (0.8, 6.0)


def test_a_bare_number_takes_the_unit_that_stands_there(tmp_path: Path) -> None:
    desk = desk_of("fieldfare", tmp_path)
    desk.write(("top", "braces", 0, "height"), "15.5")
    assert desk.raw["top"]["braces"][0]["height"] == "15.5 mm"
    desk.write(("body", "side"), "0.085")
    assert desk.raw["body"]["side"] == "0.085 in"
    desk.write(("strings", "frets_clear"), "12")
    assert desk.raw["strings"]["frets_clear"] == 12
    with pytest.raises(Refusal, match="whole number"):
        desk.write(("strings", "frets_clear"), "a dozen")


def test_a_broken_design_shows_its_last_good_state(tmp_path: Path) -> None:
    desk = desk_of("fieldfare", tmp_path)
    desk.write(("top", "braces", 0, "crossing"), "at the moon")
    made = view(desk, Looking("top", "x-bass"))
    assert made["state"]["problems"][0]["where"] == ["top", "braces", 0, "crossing"]
    assert made["state"]["current"] is False
    assert made["plan"]["braces"]
    assert made["plan"]["handles"] == []
    desk.undo()
    assert view(desk, Looking("top", "x-bass"))["state"]["current"] is True


def test_a_file_that_is_no_design_yet_can_be_mended(tmp_path: Path) -> None:
    path = tmp_path / "wren.toml"
    path.write_text(text_of("wren").replace('name = "Wren"', 'name = ""'), encoding="utf-8")
    desk = Desk(path, tmp_path)
    assert view(desk, Looking())["plan"] is None
    desk.write(("name",), "Wren")
    assert view(desk, Looking())["plan"] is not None


def test_every_drawing_can_be_looked_at(tmp_path: Path) -> None:
    desk = desk_of("dunnock", tmp_path)
    for row in sheets(desk):
        assert sheet(desk, row["key"]).startswith(b"<?xml")
    assert sheet(desk, "../x") == b""


def test_sticks_of_one_entry_are_named(tmp_path: Path) -> None:
    desk = desk_of("fieldfare", tmp_path)
    assert form_table(desk, ("top", "braces", 0))["sticks"] == ["x-bass", "x-treble"]
    assert form_table(desk, ("top", "braces", 99))["rows"] == []
