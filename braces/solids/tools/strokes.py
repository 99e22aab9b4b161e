"""Letters of single strokes, on a grid 4 wide and 6 high, for a groove that a nozzle can leave open."""

from __future__ import annotations

import unicodedata

Place = tuple[float, float]
Line = tuple[Place, ...]

_ADVANCE = 5.6  #: grid widths from letter to letter
_LEADING = 9.0  #: grid heights from line to line
_CAPITAL = 6.0

_DRAWN = {
    "A": "00 04 26 44 40/02 42",
    "B": "00 06 36 45 44 33 03/33 42 41 30 00",
    "C": "45 36 16 05 01 10 30 41",
    "D": "00 06 26 44 42 20 00",
    "E": "40 00 06 46/03 33",
    "F": "00 06 46/03 33",
    "G": "45 36 16 05 01 10 30 41 43 23",
    "H": "00 06/40 46/03 43",
    "I": "10 30/20 26/16 36",
    "J": "46 41 30 10 01",
    "K": "00 06/46 02/13 40",
    "L": "06 00 40",
    "M": "00 06 23 46 40",
    "N": "00 06 40 46",
    "O": "10 01 05 16 36 45 41 30 10",
    "P": "00 06 36 45 44 33 03",
    "Q": "10 01 05 16 36 45 41 30 10/22 40",
    "R": "00 06 36 45 44 33 03/23 40",
    "S": "45 36 16 05 04 13 33 42 41 30 10 01",
    "T": "06 46/26 20",
    "U": "06 01 10 30 41 46",
    "V": "06 20 46",
    "W": "06 10 23 30 46",
    "X": "00 46/06 40",
    "Y": "06 23 46/23 20",
    "Z": "06 46 00 40",
    "0": "20 11 15 26 35 31 20",  # narrow and open: an 8 must not be taken for it
    "1": "04 26 20/00 40",
    "2": "05 16 36 45 44 00 40",
    "3": "05 16 36 45 44 33 42 41 30 10 01/13 33",
    "4": "30 36 02 42",
    "5": "46 06 04 34 43 41 30 10 01",
    "6": "36 16 04 01 10 30 41 42 33 03",
    "7": "06 46 20",
    "8": "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
    "9": "10 30 42 45 36 16 05 04 13 43",
    "-": "13 33",
    "+": "13 33/22 24",
    "/": "00 46",
    ".": "20 20",
    "=": "02 42/04 44",
    "<": "36 03 30",
    ">": "16 43 10",
    " ": "",
}
_GLYPHS: dict[str, tuple[Line, ...]] = {
    letter: tuple(tuple((float(p[0]), float(p[1])) for p in line.split()) for line in drawn.split("/") if line)
    for letter, drawn in _DRAWN.items()
}


def plain(text: str) -> str:
    """Return a text in the letters there are: capitals, accents dropped, anything unknown as a dash."""
    flat = "".join(c for c in unicodedata.normalize("NFKD", text.upper()) if not unicodedata.combining(c))
    return "".join(c if c in _GLYPHS or c == "\n" else "-" for c in flat)


def text_size_mm(text: str, height_mm: float) -> tuple[float, float]:
    """Return width and height of a text whose capitals are ``height_mm`` high; lines are parted by newlines."""
    lines = plain(text).split("\n")
    scale = height_mm / _CAPITAL
    wide = max(len(line) for line in lines) * _ADVANCE - (_ADVANCE - 4.0)
    return max(wide, 0.0) * scale, (_CAPITAL + _LEADING * (len(lines) - 1)) * scale


def text_lines(text: str, height_mm: float) -> tuple[Line, ...]:
    """Return the strokes of a text in mm, its middle at (0, 0)."""
    scale = height_mm / _CAPITAL
    rows = plain(text).split("\n")
    _, high = text_size_mm(text, height_mm)
    found: list[Line] = []
    for k, row in enumerate(rows):
        wide, _ = text_size_mm(row, height_mm)
        x0, y0 = -wide / 2, high / 2 - height_mm - k * _LEADING * scale
        for i, letter in enumerate(row):
            dx = x0 + i * _ADVANCE * scale
            found += [tuple((dx + x * scale, y0 + y * scale) for x, y in line) for line in _GLYPHS[letter]]
    return tuple(found)
