"""The words that say which face is seen, held against the geometry itself."""

from __future__ import annotations

import re

import numpy as np
import pytest
from content_samples import LEFT, NAMES, SETS, axes, drawing_of, drawings_of, named_direction, treble
from support.designs import carved_of

from braces.sheets.words import dome_words, end_words, key_of, one, plan_face, two

FACE = re.compile(r"seen from its (\w+) side: (\w+) end on the right, glue face down")
#: Layouts with legs across, along and at all angles, on both plates.
MORE = (*SETS, ("whimbrel",), ("whimbrel", LEFT), ("redstart",), ("goshawk",))


@pytest.mark.parametrize("which", MORE)
def test_a_viewer_on_the_named_side_has_the_named_end_on_the_right(which):
    # Right-hand rule: for a viewer who looks along d with up u, the right hand points along d x u.
    carved = carved_of(*which)
    for brace in carved.braces:
        near, end = FACE.fullmatch(drawing_of(which, f"brace-{key_of(brace.name)}").face).groups()
        x, y, z = axes(brace)
        looking = y  # the near face is that of Y < 0
        assert np.dot(named_direction(near, carved), -looking) > 0.6, brace.name
        right_hand = np.cross(looking, z)
        assert np.allclose(right_hand, x)
        assert np.dot(named_direction(end, carved), right_hand) > 0.6, brace.name


@pytest.mark.parametrize("which", MORE)
def test_every_word_at_an_arrow_names_a_side_that_the_end_points_to(which):
    carved = carved_of(*which)
    for brace in carved.braces:
        for at_end, sign in ((True, 1), (False, -1)):
            words = end_words(brace, carved.placed.design.handed, at_end).split(" and ")
            leans = [sign * float(np.dot(named_direction(w, carved), axes(brace)[0])) for w in words]
            assert all(lean > 0.34 for lean in leans), (brace.name, words)  # sine of 20 degrees
            assert leans == sorted(leans, reverse=True)


def test_known_views_in_words():
    # Worked out by hand at the bench: the top lies face down with the neck away from you, treble on your left.
    # Looking from the neck end along the body, the treble end of a brace across it is on your right.
    top = drawing_of(("fieldfare",), "brace-upper-transverse")
    assert top.face == "seen from its neck side: treble end on the right, glue face down"
    # The back lies the same way with treble on your right: from the tail end the treble end is on the right.
    back = drawing_of(("fieldfare",), "brace-back-1")
    assert back.face == "seen from its tail side: treble end on the right, glue face down"


@pytest.mark.parametrize("plate", ["top", "back"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_plan_says_where_treble_is(plate, hand):
    # u points right in the drawing. Seen from inside with the neck up, w towards the eye: u = v x w.
    towards_eye = np.array([0, 0, -1.0 if plate == "top" else 1.0])
    u = np.cross(np.array([0, 1.0, 0]), towards_eye)
    treble_x = np.array([1.0 if hand == "right" else -1.0, 0, 0])
    where = "right" if np.dot(u, treble_x) > 0 else "left"
    assert plan_face(plate, hand) == f"inside of the {plate}, neck up: treble side on the {where}"


@pytest.mark.parametrize("which", SETS, ids=NAMES)
def test_bass_and_treble_stand_on_their_own_sides(which):
    carved = carved_of(*which)
    for plate in carved.plates:
        plan = drawing_of(which, f"plan-{plate.name}")
        eye = np.array([0, 0, -1.0 if plate.name == "top" else 1.0])
        u = np.cross(np.array([0, 1.0, 0]), eye)
        at = {label.text: label.x_mm for label in plan.labels if label.text in ("BASS", "TREBLE")}
        assert np.sign(at["TREBLE"]) == np.sign(np.dot(u, treble(carved)))
        assert at["TREBLE"] * at["BASS"] < 0


def test_names_become_file_stems():
    keys = [d.key for d in drawings_of("fieldfare")]
    assert keys[:2] == ["plan-top", "plan-back"]
    assert keys[2:5] == ["brace-x-bass", "brace-x-treble", "brace-tone-bar-1"]
    assert len(set(keys)) == len(keys) == 2 + len(carved_of("fieldfare").braces)


def test_numbers_and_domes():
    assert (one(-0.04), one(8.25), two(-0.001), two(8.078)) == ("0.0", "8.2", "0.00", "8.08")
    carved = carved_of("fieldfare")
    # 1 ft = 304.8 mm exactly (ISO 80000-3).
    assert dome_words(carved.placed.top.dome) == f"dome 28 ft = {28 * 304.8:.0f} mm"
