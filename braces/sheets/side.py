"""The side view of a brace, true size, to stick to the stock."""

from __future__ import annotations

from braces.carved.values import Carved, CarvedBrace
from braces.placed.values import PlacedBrace
from braces.sheets.caps import cap_facts, cap_lines, cap_side_strokes, caps_on
from braces.sheets.drawing import Drawing, Mark, Stroke
from braces.sheets.place_labels import Room
from braces.sheets.side_bands import RISE_MM, Band, band, settled
from braces.sheets.side_callouts import callouts, section_blocks, section_marks
from braces.sheets.side_marks import chip_marks, glue_words, grain_marks, station_marks, title_marks
from braces.sheets.side_shape import (
    blank_box,
    lap_strokes,
    notch_span_mm,
    profile_strokes,
    relief_strokes,
)
from braces.sheets.unrolled import near_side
from braces.sheets.words import brace_face, key_of
from braces.workshop.book.lengths import Lengths

_PLAIN = Lengths()
_NARROWEST_MM = 104.0
_CLEAR_OF_JOIN_MM = 12.0
_WORDS_OF_JOIN_MM = 8.0


def brace_drawing(brace: CarvedBrace, carved: Carved, lengths: Lengths = _PLAIN) -> Drawing:
    """Return the side view of a brace of ``carved``: X to the right, room up, Z = 0 at y = 0.

    A curved one is drawn as its near side lies when it is laid flat.
    """
    brace = near_side(brace)
    hand = carved.placed.design.handed
    placed, caps = _placed(brace, carved), caps_on(brace, carved)
    strokes = [*_strokes(brace), *cap_side_strokes(brace, caps)]
    x0, z0, x1, z1 = blank_box(brace)
    spare = max(0.0, _NARROWEST_MM - (x1 - x0)) / 2
    base = z1 + RISE_MM + 0.6
    words = band(callouts(brace, placed, cap_lines(brace, caps), lengths), x0 - spare, x1 + spare, base)
    low, high = min(x0 - spare, *(b[0] for b in words.boxes)), max(x1 + spare, *(b[2] for b in words.boxes))
    sections = settled(section_blocks(brace), words.boxes, low, high, base)
    stations, under = station_marks(brace, min(z0, 0.0), lengths)
    room = Room([*(s for s in strokes if s.layer != "blank"), *(m for m in words.marks if isinstance(m, Stroke))])
    marks: list[Mark] = [*strokes, *words.marks, *sections.marks, *stations]
    marks += glue_words(brace, room)
    marks += title_marks(brace, hand, low, high, max(words.top_mm, sections.top_mm))
    facts = cap_facts(caps, lengths)
    chips = chip_marks(brace, hand, placed.spec.cap_strip, low, high, under, facts, lengths)
    marks += chips
    marks += grain_marks(brace, room, chips, high)
    face = brace_face(brace, hand)
    return Drawing(
        f"brace-{key_of(brace.name)}", brace.name, face, "strip", tuple(marks), join_windows(brace, words, sections)
    )


def _strokes(brace: CarvedBrace) -> list[Stroke]:
    laps = (s for n in brace.notches for s in lap_strokes(brace, n))
    return [*profile_strokes(brace), *relief_strokes(brace), *laps, *section_marks(brace)]


def _placed(brace: CarvedBrace, carved: Carved) -> PlacedBrace:
    plate = carved.placed.top if brace.plate == "top" else carved.placed.back
    return next(b for b in plate.braces if b.name == brace.name)


def join_windows(brace: CarvedBrace, words: Band, sections: Band) -> tuple[tuple[float, float], ...]:
    """Return where the template may be cut: 12 mm clear of laps, peaks, valleys, kerfs, ends and sections.

    Words with leaders are kept clear of too, if that leaves any place at all.
    """
    clear = _CLEAR_OF_JOIN_MM
    keep = [(f.at_mm, f.at_mm) for f in brace.features if f.kind in ("top", "valley", "peak")]
    keep += [(c.at_mm, c.at_mm) for c in brace.relief_cuts]
    keep += [notch_span_mm(brace, n, face) for n in brace.notches for face in ("near", "far")]
    keep += [(-clear, clear), (brace.length_mm - clear, brace.length_mm + clear)]
    keep += [(b[0], b[2]) for b in sections.boxes]
    taken = [(a - clear, b + clear) for a, b in keep]
    worded = [(b[0] - _WORDS_OF_JOIN_MM, b[2] + _WORDS_OF_JOIN_MM) for b in words.boxes]
    return _gaps([*taken, *worded], 0.0, brace.length_mm) or _gaps(taken, 0.0, brace.length_mm)


def _gaps(taken: list[tuple[float, float]], low: float, high: float) -> tuple[tuple[float, float], ...]:
    """What the intervals leave of [low, high], at least 1 mm long."""
    gaps, at = [], low
    for a, b in [*sorted(taken), (high, high)]:
        if a - at >= 1.0:
            gaps.append((at, a))
        at = max(at, b)
    return tuple(gaps)
