"""The reader of the typeface against reportlab's own reader of TrueType files, and its licence."""

import struct
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

import braces.sheets.lettering as lettering
from braces.sheets.lettering import DIAMETER, em_mm, font, glyphs, lacking, text_width_mm, wrapped
from braces.sheets.truetype import subset

FONTS = Path(lettering.__file__).parent / "fonts"
NEEDED = "×°½¼¾←→↑↓√−–—±≥≤·“”’²³µ" + DIAMETER


@pytest.fixture(scope="module", params=[False, True], ids=["regular", "bold"])
def cut(request):
    name = "Bold" if request.param else "Regular"
    return request.param, TTFont(f"Plex{name}", str(FONTS / f"IBMPlexSans-{name}.ttf"))


@pytest.mark.parametrize("text", ["Upper transverse brace 12.5", NEEDED, "bass ← → treble", "ÄÖÜ éàç ñ ø å"])
def test_width_agrees_with_another_reader(cut, text):
    bold, other = cut
    points = other.stringWidth(text, 1000)
    assert text_width_mm(text, 2.5, bold) == pytest.approx(points / 1000 * em_mm(2.5, bold), rel=1e-9)


def test_every_letter_agrees_with_another_reader(cut):
    bold, other = cut
    # reportlab sets a no-break space as a plain space, on purpose.
    table = {c: g for c, g in font(bold).glyph_of.items() if c != 0xA0}
    assert len(table) > 800
    assert {c: other.face.charToGlyph[c] for c in table} == table


def test_capitals_are_as_high_as_asked(cut):
    """The OS/2 table says how high capitals are: 698 of 1000 units, so 2.5 mm letters are set at 3.58 mm."""
    bold, _ = cut
    assert em_mm(2.5, bold) == pytest.approx(2.5 / 0.698)


def test_a_letter_the_typeface_lacks_becomes_a_box_and_can_be_asked_for():
    assert glyphs("⌀5")[0] == 0
    assert lacking("桜 brace ⌀⌀") == "桜⌀"
    assert lacking("side views, neck → tail · read this “first” " + NEEDED) == ""


@given(st.sets(st.sampled_from(sorted(font().glyph_of.values())), min_size=1, max_size=30))
def test_a_subset_keeps_numbers_widths_and_outlines(wanted):
    whole = font()
    data = subset(whole, wanted)
    count = struct.unpack_from(">H", data, 4)[0]
    tables = {}
    for k in range(count):
        tag, _, offset, length = struct.unpack_from(">4sLLL", data, 12 + 16 * k)
        tables[tag.decode()] = data[offset : offset + length]
    old = struct.unpack(f">{len(whole.tables['loca']) // 2}H", whole.tables["loca"])
    new = struct.unpack(f">{len(tables['loca']) // 4}L", tables["loca"])
    assert len(new) == len(old)
    assert tables["hmtx"] == whole.tables["hmtx"]
    for glyph in wanted:
        before = whole.tables["glyf"][2 * old[glyph] : 2 * old[glyph + 1]]
        after = tables["glyf"][new[glyph] : new[glyph + 1]]
        assert after[: len(before)] == before
        assert not after[len(before) :].strip(b"\0")
    # The whole file sums to the constant of the OpenType specification, section "head".
    padded = data + b"\0" * (-len(data) % 4)
    assert sum(struct.unpack(f">{len(padded) // 4}L", padded)) & 0xFFFFFFFF == 0xB1B0AFBA


def test_subset_brings_the_parts_of_a_composite_letter():
    whole = font()
    alone, both = subset(whole, [whole.glyph_of[ord("ä")]]), subset(whole, whole.glyph_of.values())
    assert len(subset(whole, [])) < len(alone) < len(both)


def test_wrapping_keeps_words_and_width():
    text = "inside of the top, neck up: treble side on the left"
    lines = wrapped(text, 40.0)
    assert " ".join(lines) == text
    assert len(lines) > 1
    assert all(text_width_mm(line) <= 40.0 for line in lines)


def test_the_licence_is_with_the_font_and_all_is_small():
    assert "SIL OPEN FONT LICENSE Version 1.1" in (FONTS / "LICENSE-IBMPlexSans.txt").read_text(encoding="utf-8")
    assert sum(p.stat().st_size for p in FONTS.iterdir()) < 600_000
