"""What the shop book says: everything linked is there, numbers come from the design and the mechanics."""

from __future__ import annotations

import numpy as np
import pytest
from support.designs import carved_of

from braces.design.load import preset_names
from braces.design.woods import wood
from braces.mechanics.schedule import schedule
from braces.workshop.bench import bench
from braces.workshop.book.blocks import Book, Chapter, Links, Table, WarnedBefore
from braces.workshop.book.book import shop_book
from braces.workshop.book.lengths import Lengths
from braces.workshop.book.tools import Tools


def book_of(name: str, **more: object) -> Book:
    carved = carved_of(name)
    return shop_book(carved, bench(carved), "A", **more)  # type: ignore[arg-type]


def chapter(book: Book, anchor: str) -> Chapter:
    return next(c for c in book.chapters if c.anchor == anchor)


def table(found: Chapter, section: str, caption: str) -> Table:
    blocks = next(s for s in found.sections if s.anchor == section).blocks
    return next(b for b in blocks if isinstance(b, Table) and b.caption.startswith(caption))


@pytest.mark.parametrize("name", preset_names())
def test_every_link_leads_somewhere_and_every_place_is_named_once(name: str) -> None:
    book = book_of(name)
    anchors = [c.anchor for c in book.chapters] + [s.anchor for c in book.chapters for s in c.sections]
    assert len(set(anchors)) == len(anchors)
    for c in book.chapters:
        for block in c.every_block:
            wanted = [block.anchor] if isinstance(block, WarnedBefore) else []
            wanted += [link.anchor for link in block.pages] if isinstance(block, Links) else []
            assert set(wanted) <= set(anchors)


def test_chapters_follow_the_job() -> None:
    found = [c.anchor for c in book_of("fieldfare", tools=Tools((("gauge", "1", "to see"),), made=True)).chapters]
    wanted = ["job", "stock", "braces", "joints", "glue", "rim", "tools", "cautions"]
    assert [c for c in found if c in wanted] == wanted


def test_only_what_applies() -> None:
    """Dunnock's ladder has no laps."""
    joints = chapter(book_of("dunnock"), "joints")
    assert not any(s.anchor.startswith("laps-top") for s in joints.sections)


def test_a_brace_has_its_stages_from_the_schedule() -> None:
    carved = carved_of("fieldfare")
    brace = carved.braces[0]
    rows = table(chapter(book_of("fieldfare"), "braces"), "brace-x-bass", "Carving in stages").rows
    stages = schedule(brace, wood(brace.wood)).stages
    assert [r[0] for r in rows] == [s.name for s in stages]
    assert [float(r[1]) for r in rows] == pytest.approx([s.mass_g for s in stages], abs=0.051)
    assert sum(float(r[2]) for r in rows[1:]) == pytest.approx(stages[0].mass_g - stages[-1].mass_g, abs=0.16)
    assert [float(r[5]) for r in rows] == pytest.approx([s.tap_hz for s in stages], abs=0.51)


def test_stations_are_the_heights_of_the_carving() -> None:
    brace = carved_of("fieldfare").braces[0]
    found = table(chapter(book_of("fieldfare"), "braces"), "brace-x-bass", "Stations")
    cells = [(float(r[k]), float(r[k + 1])) for r in found.rows for k in (0, 3) if r[k]]
    assert len(cells) == 22  # every 20 mm of 407.9, and the end
    for at, high in cells:
        assert high == pytest.approx(brace.height.at(min(at, brace.length_mm)), abs=0.051)


def test_a_lap_is_told_from_both_sides() -> None:
    carved = carved_of("fieldfare")
    (row,) = table(chapter(book_of("fieldfare"), "joints"), "laps-top", "Half-laps").rows
    over = next(b for b in carved.braces if b.notches and b.notches[0].opens == "plate")
    under = next(b for b in carved.braces if b.notches and b.notches[0].opens == "room")
    assert (row[0], row[3]) == (over.name, under.name)
    # Half of the 16 mm from each; the width of the other and its play over the sine of 98 deg.
    assert float(row[2]) + float(row[5]) == pytest.approx(16.0, abs=0.02)
    assert float(row[1]) == pytest.approx((7.9 + 0.1) / 0.990268, abs=0.006)


def test_ends_are_where_the_plan_has_them() -> None:
    carved = carved_of("fieldfare")
    blocks = next(s for s in chapter(book_of("fieldfare"), "braces").sections if s.anchor == "brace-back-1").blocks
    sizes = dict(next(b for b in blocks if isinstance(b, Table)).rows)
    pockets = {p.end: p for p in carved.back.pockets if p.brace == "back 1"}
    assert f"pocket {pockets['start'].number}" in sizes["start"]
    assert "to the bass" in sizes["start"]
    assert "to the treble" in sizes["end"]


def test_inches_stand_beside_mm_in_every_table_of_lengths() -> None:
    """25.4 mm to the inch; 1/64 in is 0.397 mm."""
    book = book_of("fieldfare", inches=True)
    found = table(chapter(book, "braces"), "brace-x-bass", "Stations")
    assert found.caption.endswith("mm (in)")
    for row in found.rows:
        mm, inch = row[1].rstrip(")").split(" (")
        whole = sum(eval_fraction(part) for part in inch.split())
        assert whole * 25.4 == pytest.approx(float(mm), abs=0.2 + 0.05)


def eval_fraction(text: str) -> float:
    over, _, under = text.partition("/")
    return float(over) / float(under or 1)


def test_numbers_of_a_column_have_the_same_decimals() -> None:
    cell = Lengths().cell
    assert [cell(v) for v in (2.0, 12.34, -0.01)] == ["2.0", "12.3", "0.0"]


def test_a_table_refuses_a_row_that_does_not_fit() -> None:
    with pytest.raises(ValueError, match="rows that do not fit"):
        Table("stock", ("a", "b"), (("1",),))


def test_numbers_of_the_mechanics_stand_beside_their_ranges() -> None:
    """Bounds of +10 % and -20 %: a number of 100 lies between 80 and 110."""
    from braces.mechanics.ranges import formula_bounds
    from braces.mechanics.strings import string_load, string_sets
    from braces.mechanics.values import Bound, Mode, PlateStrength, Shape, Strength
    from braces.workshop.book.numbers import numbers_chapter

    shape = Shape(*(np.zeros(k) for k in (1, 1)), np.array([[-0.25]]))
    modes = (Mode(100.0, shape), Mode(200.0, shape))
    plates = [PlateStrength(n, "lining", 150.0, 50.0, modes, 1.0, 0.1, shape, (), 10, 5.0) for n in ("top", "back")]
    bounds = (Bound("mode 1", 0.1, 0.2, "a trial"), Bound("bridge turn", 0.0, 0.5, "a trial"))
    load = string_load(string_sets()["light"], 645.0, 12.0)
    made = numbers_chapter(Strength(load, (), *plates, bounds, ("rim: guessed", "air: none"), (("spruce", "text"),)))
    rows = {
        r[0]: r[1:] for b in made.every_block if isinstance(b, Table) and b.caption == "Solved numbers" for r in b.rows
    }
    assert rows["top, mode 1"] == ("100 Hz", "80 to 110 Hz")
    assert rows["top, mode 2"] == ("200 Hz", "not measured")
    assert rows["bridge turns"] == ("1.00°", "0.50 to 1.00°")
    assert rows["top, mass"][0] == "200 g, braces 50 g of it"
    told = next(b for b in made.every_block if isinstance(b, Table) and b.head[-1] == "measured on")
    assert len(told.rows) == 2 + len(formula_bounds())
    assert told.rows[0] == ("mode 1", "10.0 %", "20.0 %", "a trial")
