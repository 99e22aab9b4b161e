"""Pieces on pages: in order, none over another, headings with what they head, columns of even length."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from braces.sheets.shopbook.flow import BETWEEN_MM, Flow, column_width_mm, height_mm
from braces.sheets.shopbook.pieces import Piece, caution, checks, paragraph
from braces.sheets.shopbook.setting import ranges
from braces.sheets.shopbook.tables import table_pieces
from braces.sheets.strength_block import Block
from braces.workshop.book.blocks import Table

WINDOW = (10.0, 20.0, 200.0, 280.0)
WIDE = WINDOW[2] - WINDOW[0]


def blank(height_mm: float, wide: bool = False, keep_next: bool = False, gap_mm: float = 2.0) -> Piece:
    return Piece(height_mm, lambda: Block((), 0.0, height_mm), gap_mm, wide, keep_next)


def laid(pieces: list[Piece]) -> Flow:
    flow = Flow(WINDOW)
    flow.lay(pieces)
    return flow


some_pieces = st.lists(
    st.builds(blank, st.floats(2.0, 90.0), st.booleans(), st.booleans(), st.floats(0.0, 8.0)), min_size=1, max_size=40
)


@settings(max_examples=60, deadline=None)
@given(some_pieces)
def test_every_piece_once_in_order_inside_and_clear_of_the_others(pieces: list[Piece]) -> None:
    flow = laid(pieces)
    found = [s for page in flow.pages for s in page]
    assert [s.piece for s in found] == pieces
    for page in flow.pages:
        for k, s in enumerate(page):
            assert s.y_mm <= WINDOW[3] + 1e-6
            assert s.y_mm - s.piece.height_mm >= WINDOW[1] - 1e-6
            for t in page[:k]:
                apart = t.y_mm - t.piece.height_mm >= s.y_mm - 1e-6 or s.y_mm - s.piece.height_mm >= t.y_mm - 1e-6
                beside = t.x_mm != s.x_mm and not (t.piece.wide or s.piece.wide)
                assert apart or beside


def test_two_columns_come_out_even() -> None:
    flow = laid([blank(10.0, gap_mm=0.0) for _ in range(10)])
    left = [s for s in flow.pages[0] if s.x_mm == WINDOW[0]]
    assert len(left) == 5
    assert flow.used_mm == pytest.approx(50.0, abs=0.2)  # half of 10 times 10 mm, to the last halving


def test_a_heading_goes_with_what_it_heads() -> None:
    filled = [blank(60.0, wide=True, gap_mm=0.0) for _ in range(4)]  # 240 of 260 mm
    flow = laid([*filled, blank(8.0, wide=True, keep_next=True), blank(30.0, wide=True)])
    assert len(flow.pages) == 2
    assert [s.piece.height_mm for s in flow.pages[1]] == [8.0, 30.0]


def test_a_heading_in_a_column_goes_to_the_next_with_what_it_heads() -> None:
    pieces = [blank(120.0), blank(5.0, keep_next=True), blank(120.0)]
    flow = laid(pieces)
    places = [s.x_mm for s in flow.pages[0]]
    assert places == [WINDOW[0], *[WINDOW[0] + column_width_mm(WINDOW) + BETWEEN_MM] * 2]


def test_the_head_of_a_table_stands_above_every_part_of_it() -> None:
    rows = tuple((f"row {k}", str(k)) for k in range(150))
    pieces = table_pieces(Table("numbers", ("name", "count"), rows, 1), column_width_mm(WINDOW), False)
    flow = laid(list(pieces))
    assert len(flow.pages) > 1
    tops = [max((s for s in page if s.x_mm == x), key=lambda s: s.y_mm) for page in flow.pages for x in columns(page)]
    assert len(tops) >= 3
    assert all(top.piece is pieces[0] for top in tops)
    set_rows = [s.piece for page in flow.pages for s in page if s.piece is not pieces[0]]
    assert set_rows == list(pieces[1:])


def columns(page: list) -> list[float]:
    return sorted({s.x_mm for s in page})


def test_a_paragraph_leaves_no_line_alone() -> None:
    text = " ".join(f"word{k}" for k in range(120))
    pieces = paragraph(text, 80.0)
    assert len(pieces) > 5
    one = pieces[1].height_mm
    assert pieces[0].height_mm > 2 * one  # two lines and the gap between them
    assert pieces[-1].height_mm > 2 * one
    words = " ".join(label.text for p in pieces for label in p.make().marks)
    assert words == text


def test_a_caution_begins_bold_and_says_all() -> None:
    text = "Keep both hands behind the edge, and the work held, and your mind on it, whatever else goes on around you."
    block = caution(text, 60.0).make()
    labels = [m for m in block.marks if hasattr(m, "text")]
    assert labels[0].text == "Caution"
    assert labels[0].bold
    assert " ".join(label.text for label in labels[1:]) == text
    assert all(label.ink[2] <= 60.0 for label in labels)


def test_each_check_has_a_box() -> None:
    pieces = checks(("first thing", "second thing"), 80.0)
    boxes = [m for p in pieces for m in p.make().marks if not hasattr(m, "text")]
    assert len(boxes) == 2
    assert all(b.closed for b in boxes)


def test_what_does_not_fit_on_a_page_has_no_height() -> None:
    assert height_mm([blank(100.0, wide=True), blank(100.0, wide=True)], WINDOW) == pytest.approx(202.0)
    assert height_mm([blank(140.0, wide=True)] * 2, WINDOW) is None


def test_a_picture_shrinks_at_the_foot_of_a_page() -> None:
    small = blank(60.0)
    large = Piece(110.0, lambda: Block((), 0.0, 110.0), 2.0, smaller=(small,))
    flow = laid([blank(180.0, wide=True), large, blank(70.0), blank(60.0)])
    assert [s.piece for s in flow.pages[0]][1] is small


def test_page_numbers_are_drawn_together() -> None:
    assert ranges([3]) == "3"
    assert ranges([5, 4]) == "4, 5"
    assert ranges([1, 2, 3, 7, 7, 9, 10, 11]) == "1 to 3, 7, 9 to 11"
