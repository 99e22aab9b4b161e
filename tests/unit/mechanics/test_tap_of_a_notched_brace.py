"""A shallow notch lowers the note of a free brace a little: less stiffness, hardly less mass (Rayleigh)."""

from dataclasses import replace

import pytest
from support.designs import carved_of

from braces.design.woods import wood
from braces.mechanics.brace_figures import tap_hz

NOTCHED = [b for name in ("dunnock", "redstart") for b in carved_of(name).back.braces]


@pytest.mark.parametrize("brace", NOTCHED, ids=lambda b: f"{b.name} {b.length_mm:.0f}")
def test_a_strip_notch_lowers_the_note_a_little(brace):
    assert brace.notches
    whole = tap_hz(replace(brace, notches=()), wood(brace.wood))
    cut = tap_hz(brace, wood(brace.wood))
    assert 0.85 * whole < cut < whole
