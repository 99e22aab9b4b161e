"""Tables, stations, cut list and summary."""

import csv
import json
from math import isfinite
from typing import Any

import numpy as np
import pytest
from support.designs import carved_of

from braces.reports.csv_files import cutlist_csv, stations_csv
from braces.reports.reference import UnknownTopic, reference_text
from braces.reports.show import tables
from braces.reports.summary import VERSION, summary
from braces.workshop.cutlist import cut_list
from braces.workshop.stations import stations

NAMES = ("fieldfare", "dunnock", "siskin")


@pytest.mark.parametrize("name", NAMES)
def test_stations_every_ten_millimetres_and_at_the_end(name: str) -> None:
    for b in carved_of(name).braces:
        row = stations(b)
        at = [s.at_mm for s in row]
        assert at[:-1] == pytest.approx(list(np.arange(len(row) - 1) * 10.0))
        assert at[-1] == pytest.approx(b.length_mm)
        for s in row:
            assert s.height_mm == pytest.approx(b.height.at(s.at_mm))
            assert 0 <= s.land_mm <= b.width_mm
        assert row[0].land_mm == b.width_mm  # square where it is tucked or butted
    with_land = next(b for b in carved_of("fieldfare").braces if b.name == "x-treble")
    assert {s.land_mm for s in stations(with_land)} == {7.9, 2.0}


def test_stations_may_be_closer() -> None:
    b = carved_of("siskin").braces[0]
    assert len(stations(b, 1.0)) == int(np.ceil(b.length_mm)) + 1


@pytest.mark.parametrize("name", NAMES)
def test_cut_list_names_every_piece_once(name: str) -> None:
    carved = carved_of(name)
    pieces = [(p.plate, p.piece) for p in cut_list(carved)]
    assert len(set(pieces)) == len(pieces)
    assert {(b.plate, b.name) for b in carved.braces} <= set(pieces)
    assert all(min(p.size_mm) > 0 and p.count == 1 for p in cut_list(carved))
    strips = [p for p in cut_list(carved) if p.piece.startswith("centre strip")]
    assert len(strips) == len(carved.back.strip_pieces)


@pytest.mark.parametrize("name", NAMES)
def test_csv_files_are_plain_tables(name: str) -> None:
    for data in (cutlist_csv(carved_of(name)), stations_csv(carved_of(name))):
        rows = data.decode().splitlines()
        assert b"\r" not in data
        assert data.endswith(b"\n")
        assert len({len(r) for r in csv.reader(rows)}) == 1
        assert rows[0] == rows[0].lower()


@pytest.mark.parametrize("name", NAMES)
def test_tables_for_a_terminal(name: str) -> None:
    text = tables(carved_of(name))
    assert all(len(line) <= 100 and line == line.rstrip() and line.isprintable() for line in text.splitlines())
    for b in carved_of(name).braces:
        assert b.name in text


def numbers(value: Any) -> list[float]:
    if isinstance(value, dict):
        return [n for v in value.values() for n in numbers(v)]
    if isinstance(value, list):
        return [n for v in value for n in numbers(v)]
    return [value] if isinstance(value, float) else []


@pytest.mark.parametrize("name", NAMES)
def test_summary_is_plain_json(name: str) -> None:
    table = summary(carved_of(name), "12345678", {})
    assert json.loads(json.dumps(table, allow_nan=False)) == table
    assert table["version"] == VERSION
    assert all(isfinite(n) and str(n) != "-0.0" and round(n, 4) == n for n in numbers(table))


def test_summary_has_no_number_where_there_is_none() -> None:
    flat = carved_of("siskin", ('dome = { radius = "28 ft", apex = "at the saddle" }', 'dome = { shape = "flat" }'))
    table = summary(flat, "", {})
    assert table["plates"]["top"]["dome_radius"] is None
    assert table["plates"]["top"]["inner_radius"] is None
    assert all(b["glue_arc_radius"] is None for b in table["braces"] if b["plate"] == "top")


@pytest.mark.parametrize("name", NAMES)
def test_summary_agrees_with_itself(name: str) -> None:
    table = summary(carved_of(name), "", {})
    outline = np.array(table["body"]["outline"])
    x, y = outline.T
    area = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2  # shoelace
    # 192 chords of a circle fall short by (2 pi / 192)^2 / 6 = 1.8e-4; a waisted outline by twice that.
    assert 0 < 1 - area / table["body"]["area"] < 4e-4
    by_name = {(b["plate"], b["name"]): b for b in table["braces"]}
    for b in table["braces"]:
        assert np.hypot(*np.subtract(b["end"], b["start"])) == pytest.approx(b["length"], abs=2e-4)
    for joint in table["joints"]:
        if joint["kind"] == "half-lap":
            assert len(joint["cuts"]) == 2
            assert {c["opens"] for c in joint["cuts"]} == {"plate", "room"}
        for cut in joint["cuts"]:
            owner = by_name[joint["plate"], cut["brace"]]
            at = np.array(owner["start"]) + cut["from_start"] / owner["length"] * np.subtract(
                owner["end"], owner["start"]
            )
            assert at == pytest.approx(joint["at"], abs=1e-3)
    for pocket in table["pockets"]:
        assert (pocket["plate"], pocket["brace"]) in by_name


@pytest.mark.parametrize("topic", ["fields", "problems", "summary"])
def test_reference_is_the_same_at_every_call(topic: str) -> None:
    assert reference_text(topic) == reference_text(topic)


def test_reference_writes_shares_as_the_file_does() -> None:
    assert "20 % to 80 %; 50 % if not given" in " ".join(reference_text("fields").split())


def test_reference_to_nothing() -> None:
    with pytest.raises(UnknownTopic):
        reference_text("C99")
