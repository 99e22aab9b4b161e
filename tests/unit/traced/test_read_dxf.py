"""DXF drawings read: every kind of line, blocks, units, and files that are no drawings."""

from __future__ import annotations

from pathlib import Path

import ezdxf
import numpy as np
import pytest
from traced_samples import dxf_bytes

from braces.base.problems import DesignError
from braces.traced.pieces import Pieces
from braces.traced.read_dxf import read_dxf

HALF = Path(__file__).parents[2] / "data" / "outlines" / "wren_half.dxf"


def drawn(units: int = 4) -> ezdxf.document.Drawing:
    return ezdxf.new("R2010", units=units)


def read(document: object, unit: str | None = None) -> Pieces:
    return read_dxf(dxf_bytes(document), "mould.dxf", unit)


def refused(data: bytes, unit: str | None = None) -> str:
    with pytest.raises(DesignError) as caught:
        read_dxf(data, "mould.dxf", unit)
    (problem,) = caught.value.problems
    return f"{problem.code} {problem.found}; {problem.advice}"


def test_hand_written_file_in_inches() -> None:
    read_in = read_dxf(HALF.read_bytes(), HALF.name)
    assert (read_in.unit, read_in.unit_from) == ("in", "the file's header")
    half, centre = sorted(read_in.pieces, key=lambda p: -len(p.points))
    assert half.label == "POLYLINE on layer MOULD"
    assert half.points[-1] == pytest.approx([0, 469.9])  # 18.5 in, exactly 25.4 mm each (ISO 80000-3)
    assert half.points[6] == pytest.approx([6.94 * 25.4, 4.7 * 25.4])
    assert centre.points == pytest.approx(np.array([[0, -25.4], [0, 508]]))


@pytest.mark.parametrize(
    "change",
    [
        lambda t: t.removesuffix("0\nEOF\n"),
        lambda t: "\n" + t,
        lambda t: t.replace("\n", "\r\n"),
        lambda t: t.rstrip("\n"),
        lambda t: "".join(f"  {line}\n" for line in t.splitlines()),
    ],
)
def test_hand_written_file_may_be_untidy(change: object) -> None:
    text = change(HALF.read_text())  # type: ignore[operator]
    assert len(read_dxf(text.encode(), HALF.name).pieces) == 2


def test_arc_lies_within_a_hundredth_of_a_millimetre() -> None:
    document = drawn(units=1)
    document.modelspace().add_arc((1, 2), 9, 30, 200)
    (piece,) = read(document).pieces
    p = (piece.points - np.array([25.4, 50.8])) / 25.4
    assert np.hypot(*p.T) == pytest.approx(9)  # points on the arc itself
    middle = (p[:-1] + p[1:]) / 2
    assert (9 - np.hypot(*middle.T)).max() * 25.4 <= 0.01
    assert np.degrees(np.arctan2(*p[[0, -1]].T[::-1])) == pytest.approx([30, -160])


def test_arc_seen_from_below_is_turned_over() -> None:
    """Entity coordinates with the extrusion (0, 0, -1) have x to the left (DXF reference, object coordinate system)."""
    document = drawn()
    document.modelspace().add_arc((10, 0), 5, 0, 90, dxfattribs={"extrusion": (0, 0, -1)})
    (piece,) = read(document).pieces
    assert piece.points[0] == pytest.approx([-15, 0])
    assert piece.points[-1] == pytest.approx([-10, 5])


@pytest.mark.parametrize("bulge", [0.1, 0.5, 1.0, 2.0, -0.5])
def test_bulge_is_the_tangent_of_a_quarter_of_the_turn(bulge: float) -> None:
    document = drawn()
    document.modelspace().add_lwpolyline([(0, 0, bulge), (200, 0, 0), (200, 100, 0)], format="xyb")
    (piece,) = read(document).pieces
    turn = 4 * np.arctan(abs(bulge))
    radius = 100 / np.sin(turn / 2)  # chord 200 = 2 r sin(turn / 2)
    arc = piece.points[:-1]
    length = np.hypot(*np.diff(arc, axis=0).T).sum()
    assert length == pytest.approx(abs(radius) * turn, rel=2e-4)
    # A bulge to the right of travel along +x lies below; its depth is bulge times half the chord.
    depth = arc[:, 1].min() if bulge > 0 else arc[:, 1].max()
    assert depth == pytest.approx(-bulge * 100, abs=0.01)


def test_old_polyline_with_bulges_is_read_like_a_new_one() -> None:
    rows = [(0, 0, 0.4), (200, 0, -0.2), (200, 100, 0)]
    old, new = ezdxf.new("R12"), drawn()
    old.modelspace().add_polyline2d(rows, format="xyb", close=True)
    new.modelspace().add_lwpolyline(rows, format="xyb", close=True)
    (a,), (b,) = read(old, "mm").pieces, read(new).pieces
    assert a.closed
    assert b.closed
    assert a.points == pytest.approx(b.points)


def test_spline_agrees_with_the_drawing_librarys_own_points() -> None:
    document = drawn()
    fit = [(0, 0, 0), (120, 40, 0), (160, 150, 0), (90, 240, 0), (130, 330, 0)]
    spline = document.modelspace().add_spline(fit)
    (piece,) = read(document).pieces
    theirs = np.array([(p.x, p.y) for p in spline.flattening(0.0005, segments=64)])
    gap = np.linalg.norm(theirs[:, None] - piece.points[None], axis=2)
    assert gap.min(axis=0).max() < 0.6  # their points stand about 1 mm apart; ours lie between them
    a, d = theirs[:-1], np.diff(theirs, axis=0)
    w = piece.points[:, None] - a
    t = np.clip((w * d).sum(2) / (d * d).sum(1), 0, 1)
    assert np.linalg.norm(w - t[..., None] * d, axis=2).min(axis=1).max() < 0.001


def test_closed_spline_goes_all_round() -> None:
    """At a knot a uniform cubic B-spline is (P0 + 4 P1 + P2) / 6 of its poles (textbook, e.g. The NURBS Book)."""
    poles = np.array([(0.0, 0), (200, 10), (260, 150), (180, 300), (150, 480), (-150, 480), (-180, 300), (-220, 120)])
    document = drawn()
    document.modelspace().add_spline().set_closed([(x, y, 0) for x, y in poles])
    (piece,) = read(document).pieces
    assert piece.closed
    knots = (np.roll(poles, 1, axis=0) + 4 * poles + np.roll(poles, -1, axis=0)) / 6
    assert np.linalg.norm(knots[:, None] - piece.points, axis=2).min(axis=1) == pytest.approx(0, abs=1e-9)


def test_blocks_are_taken_apart_with_their_scale_and_turn() -> None:
    document = drawn(units=1)
    inner = document.blocks.new("HOLE")
    inner.add_circle((0, 0), 1)
    outer = document.blocks.new("ROSETTE")
    outer.add_blockref("HOLE", (1, 0), dxfattribs={"xscale": 2, "yscale": 2})
    document.modelspace().add_blockref("ROSETTE", (10, 5), dxfattribs={"rotation": 90})
    (piece,) = read(document).pieces
    centre = piece.points.mean(axis=0) / 25.4
    assert centre == pytest.approx([10, 6], abs=1e-6)
    assert np.hypot(*(piece.points / 25.4 - centre).T) == pytest.approx(2, abs=1e-6)


def test_block_stretched_unevenly_makes_a_circle_an_ellipse() -> None:
    document = drawn()
    document.blocks.new("HOLE").add_circle((0, 0), 10)
    document.modelspace().add_blockref("HOLE", (0, 0), dxfattribs={"xscale": 3, "yscale": 1})
    (piece,) = read(document).pieces
    assert (piece.points[:, 0] / 30) ** 2 + (piece.points[:, 1] / 10) ** 2 == pytest.approx(1, abs=1e-9)


def test_what_is_no_line_is_said() -> None:
    document = drawn()
    document.modelspace().add_line((0, 0), (1, 1))
    document.modelspace().add_text("Wren", height=5)
    document.modelspace().add_point((3, 3))
    assert read(document).passed_over == ("1 POINT on layer 0", "1 TEXT on layer 0")


#: DXF reference, HEADER section, $INSUNITS; millimetres in each by ISO 80000-3 and the international yard.
@pytest.mark.parametrize(
    ("code", "mm"),
    [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0), (9, 0.0254), (10, 914.4), (13, 0.001), (14, 100.0)],
)
def test_header_units(code: int, mm: float) -> None:
    document = drawn(units=code)
    document.modelspace().add_line((0, 0), (3 / mm, 4 / mm))
    (piece,) = read(document).pieces
    assert np.hypot(*(piece.points[1] - piece.points[0])) == pytest.approx(5, rel=1e-12)


def test_unit_asked_for_overrides_the_header_and_says_so() -> None:
    document = drawn(units=4)
    document.modelspace().add_line((0, 0), (1, 0))
    asked = read(document, "in")
    assert asked.pieces[0].points[1] == pytest.approx([25.4, 0])
    assert asked.unit_from == "asked for; the header says mm"


def test_unknown_unit_is_asked_for_with_both_sizes() -> None:
    document = drawn(units=0)
    document.modelspace().add_lwpolyline([(0, 0), (15.5, 0), (15.5, 19.5)])
    text = refused(dxf_bytes(document))
    assert text.startswith("T03")
    assert "15.5 × 19.5 mm" in text
    assert "393.7 × 495.3 mm (15 1/2 × 19 1/2 in)" in text
    assert "only in makes sense" in text


def test_old_file_without_a_unit_is_not_taken_for_metres() -> None:
    text = HALF.read_text().replace("9\n$INSUNITS\n70\n1\n", "")
    assert "the header names no unit" in refused(text.encode())


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "T06"),
        (b"hello", "T06"),
        (b"0\nSECTION\n", "T06"),
        (bytes(range(256)), "T06"),
        (b"AC1032\x00\x00", "T01"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00", "T01"),
        (b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "T04"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\n1e9\n20\n0\n11\n2\n21\n0\n0\nENDSEC\n0\nEOF\n", "T17"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nnan\n20\n0\n11\n2\n21\n0\n0\nENDSEC\n0\nEOF\n", "T17"),
    ],
)
def test_what_is_no_drawing_is_refused(data: bytes, code: str) -> None:
    assert refused(data, "mm").startswith(code)


def test_blocks_within_blocks_cannot_run_away() -> None:
    document = drawn()
    document.blocks.new("B0").add_line((0, 0), (1, 1))
    for k in range(1, 9):
        block = document.blocks.new(f"B{k}")
        for _ in range(10):
            block.add_blockref(f"B{k - 1}", (0, 0))
    document.modelspace().add_blockref("B8", (0, 0))
    assert refused(dxf_bytes(document)).startswith("T02")


def test_a_block_that_shows_itself_is_refused() -> None:
    document = drawn()
    block = document.blocks.new("B")
    block.add_line((0, 0), (1, 1))
    block.add_blockref("B", (0, 0))
    document.modelspace().add_blockref("B", (0, 0))
    assert refused(dxf_bytes(document)).startswith("T05")


def test_array_of_a_block_cannot_run_away() -> None:
    document = drawn()
    document.blocks.new("B").add_line((0, 0), (1, 1))
    document.modelspace().add_blockref(
        "B", (0, 0), dxfattribs={"row_count": 3000, "column_count": 3000, "row_spacing": 5, "column_spacing": 5}
    )
    assert refused(dxf_bytes(document)).startswith("T02")
