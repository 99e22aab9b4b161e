"""The strip and the check bars: what they say, how large, and that nothing lies on anything."""

import itertools

import numpy as np
import pytest

from braces.sheets.check_bars import check_bar
from braces.sheets.drawing import Label, Stroke
from braces.sheets.paper import PAPERS
from braces.sheets.title_strip import SENTENCE, StripWords, frame

WORDS = StripWords(
    "Wren 04",
    "3f9a1c2",
    "plan of the top, tile B2",
    "inside of the top, neck up: treble side on the left · tiles overlap 14 mm",
    "sheet 5 of 14",
    "A4",
)
CASES = [
    (p if upright else p.turned, left) for p in PAPERS.values() for upright in (True, False) for left in (False, True)
]
IDS = [f"{p.name}-{p.width_mm:.0f}-{'left' if left else 'below'}" for p, left in CASES]


@pytest.fixture(params=CASES, ids=IDS)
def laid(request):
    paper, left = request.param
    return paper, frame(paper.width_mm, paper.height_mm, WORDS, left)


def test_says_everything(laid):
    _, page = laid
    text = " ".join(m.text for m in page.marks if isinstance(m, Label))
    for part in ("Wren 04", "3f9a1c2", "tile B2", "treble side on the left", "scale 1:1", "sheet 5 of 14", "A4"):
        assert part in text
    assert SENTENCE in text
    assert text.count("100 mm") == 2
    assert text.count("4 in") == 2


def test_letters_are_large_enough(laid):
    _, page = laid
    assert min(m.height_mm for m in page.marks if isinstance(m, Label)) >= 2.5


def test_nothing_lies_in_the_window_or_off_the_paper(laid):
    paper, page = laid
    x0, y0, x1, y1 = page.window
    assert x1 - x0 > 0.75 * paper.width_mm
    assert y1 - y0 > 0.75 * paper.height_mm
    for mark in page.marks:
        a, b, c, d = mark.ink
        assert c <= x0 or a >= x1 or d <= y0 or b >= y1, mark
        assert min(a, b) > 5.0
        assert c < paper.width_mm - 5.0
        assert d < paper.height_mm - 5.0


def test_words_do_not_lie_on_words_or_lines(laid):
    _, page = laid
    labels = [m for m in page.marks if isinstance(m, Label)]
    strokes = [m for m in page.marks if isinstance(m, Stroke)]
    for a, b in itertools.chain(itertools.combinations(labels, 2), itertools.product(labels, strokes)):
        p, q = a.ink, b.ink
        # Rows may share the room for tails; the letters themselves may not meet.
        apart = max(q[0] - p[2], p[0] - q[2], q[1] - p[3], p[1] - q[3])
        assert apart > -0.35 * a.height_mm, (a, b)


@pytest.mark.parametrize(("axis", "column"), [("across", 0), ("up", 1)])
def test_bar_ends_are_100_mm_and_4_in_apart(axis, column):
    """The inch is 25.4 mm exactly (international yard and pound agreement, 1959; from memory)."""
    ticks = [
        m.points[0, column]
        for m in check_bar(20.0, 30.0, axis)
        if isinstance(m, Stroke)
        and m.points[0, column] == m.points[1, column]
        and np.ptp(m.points) > 0
        and np.ptp(m.points[:, 1 - column]) > 2.0
    ]
    ends = sorted(set(np.round(np.array(ticks) - min(ticks), 9)))
    assert ends == [0.0, 100.0, 4 * 25.4]


def test_long_words_wrap_instead_of_running_out():
    words = StripWords(
        "Nightingale 112, left-handed",
        "3f9a1c2",
        "upper transverse brace and its graft " * 3,
        "seen from the neck " * 9,
        "sheet 5 of 14",
        "A4",
    )
    page = frame(210.0, 297.0, words)
    assert max(m.ink[2] for m in page.marks) <= 210 - 8 + 0.1
    assert page.window[1] > frame(210.0, 297.0, WORDS).window[1]


def test_a_page_too_small_for_the_bars_is_refused():
    with pytest.raises(ValueError, match="check bars"):
        frame(210.0, 120.0, WORDS)
