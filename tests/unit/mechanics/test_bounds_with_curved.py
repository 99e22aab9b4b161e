"""The bounds were measured with one curved bar only: where a brace is curved, every printout says so."""

import json

import pypdfium2
import pytest
from support.curved import BOW, with_braces

from braces.mechanics.analyse import FINE, QUICK, analyse, bounds
from braces.reports.strength import mechanics_summary, strength_tables
from braces.sheets.paper import paper
from braces.sheets.strength_pages import strength_pdf

WORDS = "one curved bar"


@pytest.fixture(scope="module")
def curved():
    return with_braces(BOW)


@pytest.fixture(scope="module")
def strength(curved):
    return analyse(curved, mesh=QUICK)


def test_each_bound_says_how_little_was_measured_with_curved_bars(strength):
    plain = bounds(QUICK.step_mm)
    assert [b.measured_on.startswith(p.measured_on) for b, p in zip(strength.bounds, plain, strict=True)] == [True] * 4
    assert all(WORDS in b.measured_on for b in strength.bounds)
    assert [(b.low_ratio, b.high_ratio) for b in strength.bounds] == [(p.low_ratio, p.high_ratio) for p in plain]


def test_the_fine_grid_promises_less_with_a_curved_brace():
    # As measured against solid elements (table in DEVELOPERS.md): mode 1 by 1.01 %, the others by 0.65 % too low.
    straight, curved = bounds(FINE.step_mm), bounds(FINE.step_mm, with_curved=True)
    assert [b.low_ratio for b in curved] == [0.015, 0.010, *(b.low_ratio for b in straight[2:])]
    assert [b.high_ratio for b in curved] == [b.high_ratio for b in straight]


def test_what_is_assumed_of_a_curved_brace_is_said_by_name(strength):
    (said,) = [a for a in strength.assumptions if a.startswith("bow:")]
    assert WORDS in said
    assert "without glue lines or locked-in stress" in said


def test_straight_braces_alone_need_no_such_words():
    straight = analyse(with_braces(), mesh=QUICK)
    assert straight.bounds == bounds(QUICK.step_mm)
    assert not any(WORDS in text for text in (*straight.assumptions, *(b.measured_on for b in straight.bounds)))


def test_it_stands_in_the_numbers_in_the_terminal_and_on_the_sheet(strength, curved):
    assert WORDS in json.dumps(mechanics_summary(strength)["bounds"])
    shown = " ".join(strength_tables(strength).split())
    assert shown.count(WORDS) == len(strength.bounds) + 1
    pages = pypdfium2.PdfDocument(strength_pdf(strength, curved, paper("a4"), "Siskin", "A 00000000"))
    printed = " ".join("".join(p.get_textpage().get_text_range() for p in pages).split())
    assert printed.count(WORDS) == len(strength.bounds) + 1
