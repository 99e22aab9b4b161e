"""The job in order: only what the design has, every number from it, cautions where they belong."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from support.designs import carved_of

from braces.app.workshop import deck_drawings, rim_drawings
from braces.sheets.content import drawings
from braces.workshop.bench import Bench, BenchSpec, GlueSpec, bench
from braces.workshop.cautions import caution, trade_cautions, woods_used
from braces.workshop.clamps import ClampSpec
from braces.workshop.go_bars import BarSpec, DeckSpec
from braces.workshop.order import Step, length_words, steps
from braces.workshop.props import PropSpec
from braces.workshop.rim import FlatBout, RimSpec
from braces.workshop.rosette import RosetteSpec

PRESETS = ("fieldfare", "dunnock", "curlew", "goshawk", "linnet", "redstart", "whimbrel", "wren")


def job(name: str, spec: BenchSpec | None = None, inches: bool = False) -> tuple[Bench, tuple[Step, ...]]:
    carved = carved_of(name)
    made = bench(carved, spec)
    return made, steps(carved, made, inches)


def titled(found: tuple[Step, ...], title: str) -> Step:
    return next(s for s in found if s.title == title)


@pytest.mark.parametrize("name", PRESETS)
def test_steps_are_numbered_and_their_drawings_exist(name: str) -> None:
    carved = carved_of(name)
    made, found = job(name)
    assert made.problems == ()
    assert [s.number for s in found] == list(range(1, len(found) + 1))
    assert len({s.title for s in found}) == len(found)
    assert made.rim is not None
    shown = (*drawings(carved), *rim_drawings(carved, made), *deck_drawings(carved, made))
    keys = {d.key for d in shown}
    for step in found:
        assert set(step.drawings) <= keys
        assert step.text.endswith(".")
        assert step.checks
        assert "nan" not in step.text
        assert "None" not in step.text
        assert not re.search(r"-0 (mm|deg)", step.text)


def test_only_steps_that_apply() -> None:
    _, plain = job("fieldfare")
    titles = [s.title for s in plain]
    assert "Rosette and soundhole" in titles
    assert "Laps and notches of the top" in titles
    assert "Laps and notches of the back" not in titles  # ladder braces, and a strip cut at each
    assert "Strip and patches of the back" in titles
    assert "Props" not in titles
    assert "Laps and notches of the top" not in [s.title for s in job("dunnock")[1]]
    with_props = [s.title for s in job("fieldfare", BenchSpec(props=(PropSpec(100.0, 380.0),)))[1]]
    assert with_props.index("Props") < with_props.index("Close the box: top") < with_props.index("Take the props out")


def test_order_of_the_work() -> None:
    titles = [s.title for s in job("fieldfare")[1]]
    row = [
        "Stock", "Join and thickness the top", "Rosette and soundhole", "Brace blanks of the top",
        "Laps and notches of the top", "Glue the braces to the top", "Carve the braces of the top", "Saw the sides",
        "Bend the sides", "Blocks and linings", "Sand the rim to its domes", "Pockets in the linings", "Dry fit",
        "Close the box: top", "Close the box: back", "Bindings and purflings", "Before the strings",
    ]  # fmt: skip
    assert sorted(row, key=titles.index) == row


def test_measurements_are_the_designs() -> None:
    made, found = job("fieldfare")
    assert made.rim is not None
    side = made.rim.sides[0]
    text = titled(found, "Saw the sides").text
    assert f"{side.length_mm:.1f} mm long" in text
    assert "98.8 mm to 79.8 mm high" in text
    assert "2.03 mm" in text  # 0.080 in
    glue = titled(found, "Glue the braces to the top").text
    assert ", ".join(carved_of("fieldfare").top.order) in glue
    assert f"{made.bars[0].bar_length_mm:.0f} mm long" in glue
    assert "half-lap over x-bass" in titled(found, "Laps and notches of the top").text
    assert "half-lap under x-treble" in titled(found, "Laps and notches of the top").text
    assert "147 mm from the neck end" in titled(found, "Rosette and soundhole").text


def test_inches_stand_beside_mm() -> None:
    assert length_words(25.4, inches=True) == "25.4 mm (1 in)"
    text = titled(job("fieldfare", inches=True)[1], "Saw the sides").text
    assert "2.03 mm (5/64 in)" in text
    assert "in)" not in titled(job("fieldfare")[1], "Saw the sides").text


def test_times_are_the_glue_makers_or_left_to_fill_in() -> None:
    plain = titled(job("fieldfare")[1], "Glue the braces to the top").text
    assert "open ____ min" in plain
    own = titled(job("fieldfare", BenchSpec(glue=GlueSpec("hide glue", True, 2, 240)))[1], "Glue the braces to the top")
    assert "open 2 min, clamped 240 min" in own.text
    assert "hot_glue" in [c.key for c in own.cautions]


def test_cautions_stand_where_they_belong() -> None:
    _, found = job("fieldfare")
    for title, key in (
        ("Glue the braces to the top", "eyes"), ("Stock", "dust"), ("Bend the sides", "heat"),
        ("Close the box: top", "clamps"), ("Before the strings", "tension"), ("Carve the braces of the top", "edge"),
    ):  # fmt: skip
        assert key in [c.key for c in titled(found, title).cautions]
    assert "eyes" not in [c.key for c in titled(found, "Dry fit").cautions]


def test_trade_listed_woods_are_named_with_a_date() -> None:
    assert trade_cautions(carved_of("fieldfare")) == ()
    listed = trade_cautions(carved_of("goshawk"))
    assert [c.key for c in listed] == ["rosewood"]
    assert "indian rosewood" in woods_used(carved_of("goshawk"))
    for c in listed:
        assert re.search(r"As published in .* 20\d\d: check the current listing", c.text)
    with pytest.raises(KeyError):
        caution("dragons")


def test_what_cannot_be_worked_out_is_said_and_left_out() -> None:
    spec = BenchSpec(
        rim=RimSpec(flat_bout=FlatBout(900.0)),
        deck=DeckSpec(bars=BarSpec("cheese")),
        rosette=RosetteSpec(depth_mm=9.0),
        clamps=ClampSpec(lining_wood="cheese"),
        props=(PropSpec(900.0, 0.0),),
    )
    made, found = job("fieldfare", spec)
    assert made.rim is None
    assert made.bars == ()
    assert [p.split(":")[0] for p in made.problems] == [
        "rim", "rim strip", "rosette", "go-bars, top", "go-bars, back", "prop 1",
    ]  # fmt: skip
    titles = [s.title for s in found]
    assert "Saw the sides" not in titles
    assert "Soundhole" in titles
    assert "Close the box: top" in titles


def test_clamped_plates_need_no_deck() -> None:
    made, found = job("fieldfare", replace(BenchSpec(), method="clamps"))
    assert made.bars == ()
    text = titled(found, "Glue the braces to the top").text
    assert "In the deck" not in text
    assert "cauls and clamps" in text


@pytest.mark.parametrize("name", ["whimbrel", "goshawk", "fieldfare"])
def test_caps_are_glued_after_carving_where_there_are_any(name: str) -> None:
    _, found = job(name)
    titles = [s.title for s in found]
    carved = carved_of(name)
    capped = [
        p.name
        for p, at in zip(carved.plates, carved.placed.plates, strict=True)
        if p.caps or any(b.spec.cap_strip for b in at.braces)
    ]
    assert capped == {"whimbrel": ["top"], "goshawk": ["top"], "fieldfare": []}[name]
    assert [t for t in titles if t.startswith("Caps")] == [f"Caps of the {p}" for p in capped]
    for plate in capped:
        assert titles.index(f"Caps of the {plate}") == titles.index(f"Carve the braces of the {plate}") + 1
