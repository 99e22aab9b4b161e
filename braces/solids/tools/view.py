"""A part as line drawings: from above, from the front, from its left end, at a slant, and on the printer's bed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, radians, sin

import numpy as np

from braces.base.arrays import Array, Points
from braces.solids.tools.bodies import Mark, set_text
from braces.solids.tools.hidden import Gaze, Skin, drawn_edges, skin_of, visible
from braces.solids.tools.part import Part
from braces.solids.tools.strokes import Line, Place, text_lines

Lines = tuple[Points, ...]

_WORDS_OUT_MM = 0.3  #: words are drawn so far before their plane: a face that leans a little does not hide them
_POINT_MM = 0.3  #: what a point is drawn as
_S2, _S3, _S6 = 2**-0.5, 3**-0.5, 6**-0.5
ABOVE = Gaze((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
FRONT = Gaze((1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0))
UNDER = Gaze((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))
LEFT = Gaze((0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0))
SLANT = Gaze((_S2, _S2, 0.0), (-_S6, _S6, 2 * _S6), (_S3, -_S3, _S3))


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One picture in mm, y up: edges, and the strokes of engraved words."""

    edges: Lines
    words: Lines = ()


@dataclass(frozen=True, slots=True, eq=False)
class Views:
    """All pictures of a part; the first three are true to size, at a slant the three axes are shortened alike."""

    above: View
    front: View
    left: View | None  #: None where it shows nothing new
    under: View | None  #: the same
    slant: View
    bed: View | None  #: its first piece on the bed, at the same slant; None if it is not printed


def views_of(part: Part, bed_mm: tuple[float, float, float]) -> Views:
    """Return the pictures of a part."""
    skin = skin_of(*part.picture)
    up, front, under = (_word_edges([m for m in part.marks if m.face == face]) for face in ("up", "front", "under"))
    slant = _view(skin, SLANT, np.concatenate([up, front]))
    return Views(
        _view(skin, ABOVE, up),
        _view(skin, FRONT, front),
        _view(skin, LEFT, None) if part.has_end_view else None,
        _view(skin, UNDER, under) if part.has_under_view else None,
        slant,
        _on_bed(part, bed_mm) if part.printed else None,
    )


def _view(skin: Skin, gaze: Gaze, words: Array | None) -> View:
    seen = gaze.seen(skin.vertices)
    corners = seen[skin.faces]
    edges = seen[drawn_edges(skin, gaze)]
    if words is None or not len(words):
        return View(chained(visible(edges, corners)))
    letters = gaze.seen(words.reshape(-1, 3)).reshape(-1, 2, 3)
    return View(chained(visible(edges, corners)), chained(visible(letters, corners)))


def _on_bed(part: Part, bed_mm: tuple[float, float, float]) -> View:
    """Return the first piece in the middle of the bed, with the bed's border."""
    x, y, _ = bed_mm
    vertices, faces = part.first_piece
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    turned = (high - low)[0] > x or (high - low)[1] > y
    if turned:
        vertices = vertices[:, [1, 0, 2]] * [-1.0, 1.0, 1.0]
        low, high = vertices.min(axis=0), vertices.max(axis=0)
    vertices = vertices + np.array([(x - low[0] - high[0]) / 2, (y - low[1] - high[1]) / 2, -low[2]])
    border = np.array([(0, 0, 0), (x, 0, 0), (x, y, 0), (0, y, 0), (0, 0, 0)], dtype=float)
    seen = SLANT.seen(vertices)
    edges = np.concatenate(
        [
            seen[drawn_edges(skin_of(vertices, faces), SLANT)],
            SLANT.seen(border)[np.array([[0, 1], [1, 2], [2, 3], [3, 4]])],
        ]
    )
    return View(chained(visible(edges, seen[faces])))


def _word_edges(marks: Sequence[Mark]) -> Array:
    """Return the strokes of engraved words as edges (n, 2, 3)."""
    found: list[Array] = []
    for mark in marks:
        text, height = set_text(mark)
        pieces = [p for line in text_lines(text, height) for p in _strokes(line)] if height else []
        if not pieces:
            continue
        x, y = np.array(pieces).reshape(-1, 2).T
        c, s = cos(radians(mark.turn_deg)), sin(radians(mark.turn_deg))
        x, y, out = c * x - s * y, s * x + c * y, np.full(len(x), _WORDS_OUT_MM)
        lying = {"up": (x, y, out), "under": (x, -y, -out), "front": (x, -out, y)}[mark.face]
        found.append((np.stack(lying, axis=1) + np.array(mark.at)).reshape(-1, 2, 3))
    return np.concatenate(found) if found else np.zeros((0, 2, 3))


def _strokes(line: Line) -> Iterator[tuple[Place, Place]]:
    if len(line) == 2 and line[0] == line[1]:  # a point
        yield line[0], (line[0][0] + _POINT_MM, line[0][1])
    else:
        yield from pairwise(line)


def chained(pieces: Array) -> Lines:
    """Return pieces (n, 2, 2) joined where one ends and a single other begins, so that a curve is one line."""
    keys = _ends(pieces)
    ends: dict[tuple[int, int], list[int]] = {}
    for k, (a, b) in enumerate(keys):
        ends.setdefault(a, []).append(k)
        ends.setdefault(b, []).append(k)
    places = pieces.tolist()
    used = [False] * len(places)
    found: list[Points] = []
    for k, (a, b) in enumerate(keys):
        if used[k]:
            continue
        used[k] = True
        line, tips = list(places[k]), [a, b]
        for _ in range(2):
            while True:
                there = ends[tips[1]]
                nxt = next((i for i in there if not used[i]), None) if len(there) == 2 else None
                if nxt is None:
                    break
                used[nxt] = True
                forward = keys[nxt][0] == tips[1]
                line.append(places[nxt][1] if forward else places[nxt][0])
                tips[1] = keys[nxt][1] if forward else keys[nxt][0]
            line.reverse()
            tips.reverse()
        found.append(np.array(line))
    return tuple(found)


def _ends(pieces: Array) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """Return the ends of every piece in micrometres, to tell which of them are one place."""
    return [((ax, ay), (bx, by)) for ax, ay, bx, by in np.round(pieces * 1e3).astype(np.int64).reshape(-1, 4).tolist()]
