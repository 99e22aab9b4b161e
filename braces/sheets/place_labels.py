"""Where words find room: places tried in a fixed order against everything already drawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, inf, radians, sin

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Box, Label, Mark, Stroke
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.windows import Segments, crossing, outline_segments, stroke_segments

XY = tuple[float, float]
#: Words stay this far from lines and from other words.
CLEAR_MM = 0.7
#: From one line of words to the next, in letter heights: their boxes do not touch.
PITCH_RATIO = 1.56
_RINGS_MM = (5.0, 8.0, 12.0, 16.0, 21.0, 27.0, 34.0, 42.0, 52.0, 64.0, 78.0, 94.0)
_TURNS = 16
_FIRST_TURN_DEG = 11.25  #: no leader runs level or upright, where most edges run
#: What it costs to lead across one more line, as mm of leader.
_CROSSING_MM = 5.0
_DOT_RADIUS_MM = 0.4
_LEADER_GAP_MM = 0.8
#: A label's room is crossed by level lines no further apart than this share of its height.
_FILL = (0.0, 0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True)
class Note:
    """Words, line under line, with or without a line that leads from them to a dot on what they are about."""

    labels: tuple[Label, ...]
    leader: Stroke | None = None

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All of it, the leader first."""
        if self.leader is None:
            return self.labels
        turn = np.arange(12) * (np.pi / 6)
        ring = self.leader.points[0] + _DOT_RADIUS_MM * np.column_stack([np.cos(turn), np.sin(turn)])
        return self.leader, Stroke(frozen_points(ring), "note", closed=True), *self.labels


class Room:
    """What is on a drawing so far, and whether more words fit.

    ``strokes`` are lines that no words may cross. ``ghosts`` (n, 4) are lines that are not drawn and keep words away
    that are not about what they stand for, such as the middle of a brace.
    """

    def __init__(self, strokes: Iterable[Stroke], ghosts: Segments | None = None) -> None:
        self._lines = _boxed(stroke_segments(strokes))
        self._ghosts = _boxed(np.empty((0, 4)) if ghosts is None else ghosts)
        self._words = _boxed(np.empty((0, 4)))
        self._join()

    def _join(self) -> None:
        self._seen = np.vstack([self._words, self._lines])
        self._all = np.vstack([self._seen, self._ghosts])

    def add(self, note: Note) -> None:
        """Keep a note's room from now on; no other leader may cross its words or its leader."""
        more = [_filled(label) for label in note.labels]
        if note.leader is not None:
            more.append(stroke_segments([note.leader]))
        self._words = np.vstack([self._words, *map(_boxed, more)])
        self._join()

    def add_strokes(self, strokes: Iterable[Stroke]) -> None:
        """Keep words off further lines."""
        self._lines = np.vstack([self._lines, _boxed(stroke_segments(strokes))])
        self._join()

    def around(self, box: Box) -> Room:
        """Return a copy that knows only what comes into ``box``: quicker to ask."""
        near = Room(())
        near._lines, near._ghosts = _within(self._lines, box), _within(self._ghosts, box)
        near._words = _within(self._words, box)
        near._join()
        return near

    def clear(self, box: Box, ghosts: bool = True) -> bool:
        """Return whether an upright box touches nothing."""
        near = _within(self._all if ghosts else self._seen, box)
        return not (len(near) and crossing(near[:, :4], box).any())

    def fits(self, note: Note, ghosts: bool = True, clear_mm: float = CLEAR_MM) -> bool:
        """Return whether a note's words touch nothing."""
        taken = self._all if ghosts else self._seen
        return not any(_covers(label, taken, clear_mm) for label in note.labels)

    def crosses_words(self, a: XY, b: XY) -> bool:
        """Return whether the line a-b crosses words or a leader."""
        return _meetings(a, b, self._words) > 0

    def crossed(self, a: XY, b: XY) -> int:
        """Return how many lines that are drawn the line a-b crosses."""
        return _meetings(a, b, self._lines)


def block(
    lines: Sequence[str], x_mm: float, y_mm: float, height_mm: float = 2.5, layer: str = "note", bold: bool = False
) -> tuple[Label, ...]:
    """Return words line under line, the lower left corner of their room at (x, y)."""
    pitch = PITCH_RATIO * height_mm
    low = y_mm + BELOW_RATIO * height_mm
    count = len(lines)
    return tuple(
        Label(x_mm, low + (count - 1 - i) * pitch, text, height_mm, layer=layer, bold=bold)
        for i, text in enumerate(lines)
    )


def block_size(lines: Sequence[str], height_mm: float = 2.5, bold: bool = False) -> tuple[float, float]:
    """Return the width and height in mm of the room that ``block`` takes."""
    width = max(_width_mm(text, height_mm, bold) for text in lines)
    return width, ((len(lines) - 1) * PITCH_RATIO + ABOVE_RATIO + BELOW_RATIO) * height_mm


def led_note(room: Room, point: XY, lines: Sequence[str], height_mm: float = 2.5) -> Note | None:
    """Return words near ``point`` with a line that leads to it, in the best free place of a fan around it.

    Short leaders that cross few lines are best. None if there is no free place.
    """
    width, height = block_size(lines, height_mm)
    reach = _RINGS_MM[-1] + width + 5
    near = room.around((point[0] - reach, point[1] - reach, point[0] + reach, point[1] + reach))
    best, least = None, inf
    for ring in _RINGS_MM:
        if ring >= least:
            break
        for k in range(_TURNS):
            low, tip = _fan_place(point, ring, _FIRST_TURN_DEG + 360.0 * k / _TURNS, (width, height), height_mm)
            box = (low[0] - CLEAR_MM, low[1] - CLEAR_MM, low[0] + width + CLEAR_MM, low[1] + height + CLEAR_MM)
            if not near.clear(box) or near.crosses_words(point, tip):
                continue
            cost = ring + _CROSSING_MM * near.crossed(point, tip)
            if cost < least:
                best, least = (low, tip), cost
    if best is None:
        return None
    return Note(block(lines, *best[0], height_mm), Stroke(frozen_points([point, best[1]]), "note"))


def _fan_place(point: XY, ring_mm: float, turn_deg: float, size: XY, height_mm: float) -> tuple[XY, XY]:
    """Return the lower left corner of words that touch the ring about ``point``, and where their leader ends."""
    dx, dy = cos(radians(turn_deg)), sin(radians(turn_deg))
    x, y = point[0] + ring_mm * dx, point[1] + ring_mm * dy
    left = x + _LEADER_GAP_MM if dx > 0 else x - size[0] - _LEADER_GAP_MM
    low = y - size[1] / 2 + dy * size[1] / 2
    # The leader meets the nearest line of words at half the height of its letters.
    return (left, low), (x, min(max(y, low + 0.5 * height_mm), low + size[1] - 0.5 * height_mm))


def first_fit(room: Room, notes: Iterable[Note], ghosts: bool = True, clear_mm: float = CLEAR_MM) -> Note | None:
    """Return the first of ``notes`` that fits, or None."""
    return next((n for n in notes if room.fits(n, ghosts, clear_mm)), None)


@lru_cache(maxsize=4096)
def _width_mm(text: str, height_mm: float, bold: bool) -> float:
    return text_width_mm(text, height_mm, bold)


def _filled(label: Label) -> Segments:
    """The outline of a label's room and level lines through it, so that nothing hides inside."""
    c = label.corners
    left = np.array([c[0] + f * (c[3] - c[0]) for f in _FILL])
    right = np.array([c[1] + f * (c[2] - c[1]) for f in _FILL])
    return np.vstack([outline_segments(c, True), np.hstack([left, right])])


def _boxed(segments: Segments) -> NDArray[np.float64]:
    """(n, 8): the segments and their boxes."""
    x, y = segments[:, [0, 2]], segments[:, [1, 3]]
    return np.column_stack([segments, x.min(axis=1), y.min(axis=1), x.max(axis=1), y.max(axis=1)])


def _within(boxed: NDArray[np.float64], box: Box) -> NDArray[np.float64]:
    """Segments whose own boxes touch ``box``."""
    keep = (boxed[:, 4] <= box[2]) & (boxed[:, 6] >= box[0]) & (boxed[:, 5] <= box[3]) & (boxed[:, 7] >= box[1])
    return boxed[keep]


def _covers(label: Label, boxed: NDArray[np.float64], clear_mm: float) -> bool:
    """Whether any segment comes within ``clear_mm`` of a label's room, measured along the room's own axes."""
    width = _width_mm(label.text, label.height_mm, label.bold) + label.step_room_mm
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[label.anchor] - clear_mm
    right = left + width + 2 * clear_mm
    low, high = -BELOW_RATIO * label.height_mm - clear_mm, ABOVE_RATIO * label.height_mm + clear_mm
    x, y = label.x_mm, label.y_mm
    if label.angle_deg == 0:
        box = (x + left, y + low, x + right, y + high)
        near = _within(boxed, box)
        return bool(len(near)) and bool(crossing(near[:, :4], box).any())
    c, s = cos(radians(label.angle_deg)), sin(radians(label.angle_deg))
    corners = [(x + c * u - s * v, y + s * u + c * v) for u in (left, right) for v in (low, high)]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    near = _within(boxed, (min(xs), min(ys), max(xs), max(ys)))
    if not len(near):
        return False
    turn, origin = np.array([(c, -s), (s, c)]), np.array((x, y))
    local = np.hstack([(near[:, :2] - origin) @ turn, (near[:, 2:4] - origin) @ turn])
    return bool(crossing(local, (left, low, right, high)).any())


def _meetings(a: XY, b: XY, boxed: NDArray[np.float64]) -> int:
    """How many of the ``boxed`` segments the line a-b properly crosses."""
    (x0, y0), (x1, y1) = a, b
    dx, dy = x1 - x0, y1 - y0
    m = _within(boxed, (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)))
    before = dx * (m[:, 1] - y0) - dy * (m[:, 0] - x0)
    after = dx * (m[:, 3] - y0) - dy * (m[:, 2] - x0)
    ex, ey = m[:, 2] - m[:, 0], m[:, 3] - m[:, 1]
    left = ex * (y0 - m[:, 1]) - ey * (x0 - m[:, 0])
    right = ex * (y1 - m[:, 1]) - ey * (x1 - m[:, 0])
    return int(((before * after < 0) & (left * right < 0)).sum())
