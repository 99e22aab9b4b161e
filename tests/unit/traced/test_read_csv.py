"""Measured points read: headers, separators, units, and lines that hold no point."""

from __future__ import annotations

import numpy as np
import pytest
from traced_samples import body, csv

from braces.base.problems import DesignError
from braces.traced.pieces import Pieces
from braces.traced.read_csv import read_csv

ROWS = [(0.0, 0.0), (50.0, 5.5), (90.0, 30.0), (110.0, 70.0), (90.0, 110.0), (50.0, 130.0), (20.0, 140.0), (0.0, 141.0)]


def read(text: str, unit: str | None = None) -> Pieces:
    return read_csv(text.encode(), "points.csv", unit)


def refused(data: bytes | str, unit: str | None = None) -> str:
    with pytest.raises(DesignError) as caught:
        read_csv(data.encode() if isinstance(data, str) else data, "points.csv", unit)
    (problem,) = caught.value.problems
    return f"{problem.code} {problem.found}; {problem.advice}"


def rows(separator: str = ",", decimal: str = ".") -> str:
    return "\n".join(separator.join(f"{v}".replace(".", decimal) for v in row) for row in ROWS)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("x_mm,y_mm\n" + rows(), 1),
        ("x (in), y (in)\n" + rows(), 25.4),
        ("X_IN;Y_IN\n" + rows(";", ","), 25.4),
        ("# read off the plywood\n\nx_cm\ty_cm\n" + rows("\t"), 10),
        ("x_mm y_mm\n" + rows(" "), 1),
        ('\ufeff"x_mm","y_mm"\r\n' + rows().replace("\n", "\r\n"), 1),
        ("x_mm,y_mm\n" + rows() + "\n\n# the end\n", 1),
    ],
)
def test_headers_separators_and_units(text: str, mm: float) -> None:
    (piece,) = read(text).pieces
    assert piece.points == pytest.approx(np.array(ROWS) * mm)
    assert not piece.closed


def test_columns_are_found_by_name() -> None:
    text = "n,y_mm,x_mm,note\n" + "\n".join(f"{i},{y},{x},ok" for i, (x, y) in enumerate(ROWS))
    assert read(text).pieces[0].points == pytest.approx(np.array(ROWS))


def test_an_empty_line_begins_another_piece() -> None:
    text = "x_mm,y_mm\n" + rows() + "\n\n" + rows()
    assert [len(p.points) for p in read(text).pieces] == [8, 8]


def test_points_that_come_round_are_closed() -> None:
    assert read_csv(csv(body(60)), "points.csv").pieces[0].closed
    repeated = np.concatenate([body(60), body(60)[:1]])
    (piece,) = read_csv(csv(repeated), "points.csv").pieces
    assert piece.closed
    assert len(piece.points) == 60


@pytest.mark.parametrize("header", ["x,y\n", ""])
def test_unknown_unit_is_asked_for(header: str) -> None:
    text = refused(header + rows())
    assert text.startswith("T03")
    assert "110 × 141 mm (4 21/64 × 5 35/64 in)" in text
    assert read(header + rows(), "in").pieces[0].points[1] == pytest.approx([1270, 139.7])


@pytest.mark.parametrize(
    ("data", "code"),
    [
        ("", "T04"),
        ("x_mm,y_mm\n", "T04"),
        ("x_mm,y_mm\n1,2\n3,4\n", "T04"),
        (b"\xff\xff", "T06"),
        ("x_mm,y_in\n" + rows(), "T06"),
        ("x_parsec,y_parsec\n" + rows(), "T16"),
        ("name,size\n" + rows(), "T06"),
        ("x_mm,y_mm\n" + rows() + "\nnan,3\n", "T06"),
        ("x_mm,y_mm\n" + rows() + "\n1\n", "T06"),
        ("x_mm,y_mm\n" + rows() + "\n1e400,3\n", "T06"),
        ("x_mm,y_mm\n" + rows() + "\n1e9,3\n", "T17"),
        ("x_" + " " * 5000 + "mm,y_mm\n" + rows(), "T06"),
    ],
)
def test_what_is_no_list_of_points_is_refused(data: str | bytes, code: str) -> None:
    assert refused(data).startswith(code)


def test_bad_lines_are_named() -> None:
    lines = ["x_mm,y_mm", *rows().split("\n")]
    lines[3], lines[6] = "ninety,30", "50"
    assert 'line 4, 7: "ninety,30"' in refused("\n".join(lines))


def test_too_many_lines_are_refused_at_once() -> None:
    assert refused("x_mm,y_mm\n" + "1,1\n" * 500_000).startswith("T02")
