"""The one typeface of every sheet, and how much room its words take."""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path

from braces.sheets.truetype import TrueType, read_truetype

#: What an SVG asks for; the outlines themselves are only embedded in the PDF.
FAMILY = "IBM Plex Sans"
#: Typed for a diameter: the typeface has no U+2300.
DIAMETER = "\u00d8"
#: Room above the baseline and below it, in letter heights (ascenders and tails included).
ABOVE_RATIO, BELOW_RATIO = 1.12, 0.34
_ROUNDING_MM = 1e-9
_FOLDER = Path(__file__).parent / "fonts"


@cache
def font(bold: bool = False) -> TrueType:
    """Return the regular or the bold cut of the bundled typeface."""
    return read_truetype((_FOLDER / f"IBMPlexSans-{'Bold' if bold else 'Regular'}.ttf").read_bytes())


def em_mm(height_mm: float, bold: bool = False) -> float:
    """Return the type size in mm whose capitals are ``height_mm`` high."""
    face = font(bold)
    return height_mm * face.units_per_em / face.cap_height


def glyphs(text: str, bold: bool = False) -> tuple[int, ...]:
    """Return the glyph numbers of ``text``; a character the typeface lacks becomes its empty box, glyph 0."""
    table = font(bold).glyph_of
    return tuple(table.get(ord(c), 0) for c in text)


def lacking(text: str) -> str:
    """Return the characters of ``text`` that would be printed as an empty box, each once, in order."""
    table = font().glyph_of
    return "".join(dict.fromkeys(c for c in text if ord(c) not in table))


@lru_cache(maxsize=4096)
def text_width_mm(text: str, height_mm: float = 2.5, bold: bool = False) -> float:
    """Return the width in mm of ``text`` set with capitals ``height_mm`` high."""
    face = font(bold)
    units = sum(face.advances[g] for g in glyphs(text, bold))
    return units * height_mm / face.cap_height


def wrapped(text: str, width_mm: float, height_mm: float = 2.5, bold: bool = False) -> tuple[str, ...]:
    """Return ``text`` broken between words into lines of at most ``width_mm`` (a longer word stays whole)."""
    lines: list[str] = []
    blank, so_far = text_width_mm(" ", height_mm, bold), 0.0
    for word in text.split():
        own = text_width_mm(word, height_mm, bold)  # the typeface is set without kerning: widths add up
        if lines and so_far + blank + own <= width_mm + _ROUNDING_MM:
            lines[-1] += f" {word}"
            so_far += blank + own
        else:
            lines.append(word)
            so_far = own
    return tuple(lines)
