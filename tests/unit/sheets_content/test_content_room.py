"""No words on words, none across a cut line, all large enough to read."""

from __future__ import annotations

import pytest
from content_samples import LEFT, collisions, drawings_of

from braces.design.load import preset_names
from braces.sheets.drawing import Drawing, Label, polyline

EVERY = [*((name,) for name in preset_names()), ("fieldfare", LEFT)]


@pytest.mark.parametrize("which", EVERY, ids=lambda w: " ".join([w[0], *("left-handed" for _ in w[1:])]))
def test_words_keep_clear_of_words_and_of_cut_lines(which):
    found = {d.key: c for d in drawings_of(*which) if (c := collisions(d))}
    assert not found


@pytest.mark.parametrize("which", EVERY, ids=lambda w: " ".join([w[0], *("left-handed" for _ in w[1:])]))
def test_lettering_is_at_least_2_5_mm_high(which):
    # ISO 3098-1 gives 2.5 mm as one of the nominal sizes (from memory).
    assert min(label.height_mm for d in drawings_of(*which) for label in d.labels) >= 2.5


def test_the_check_itself_finds_overlaps():
    near = (Label(0, 0, "one"), Label(2, 1, "two"), polyline([(-5, 1), (15, 1)], "cut"))
    assert len(collisions(Drawing("a", "a", "", "strip", near))) == 3
    inside = (Label(0, 0, "a long line of words", 5.0), Label(8, 1.2, "i", 2.5))
    assert len(collisions(Drawing("a", "a", "", "strip", inside))) == 1


@pytest.mark.parametrize("name", ["fieldfare", "dunnock", "whimbrel"])
def test_side_views_stay_low_enough_to_nest(name):
    for drawing in drawings_of(name):
        if drawing.kind == "strip":
            assert drawing.ink[3] - drawing.ink[1] < 90, drawing.key
