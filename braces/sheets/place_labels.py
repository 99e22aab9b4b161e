"""Where words find room: places tried in a fixed order against everything already drawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, hypot, radians, sin

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Box, Label, Mark, Stroke, union
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO, text_width_mm
from braces.sheets.windows import Segments, crossing, outline_segments, stroke_segments

#: Words stay this far from lines and from other words.
CLEAR_MM = 0.7
#: From one line of words to the next, in letter heights: their boxes do not touch.
PITCH_RATIO = 1.56
_RINGS_MM = (5.0, 8.0, 12.0, 16.0, 21.0, 27.0, 34.0, 42.0, 52.0, 64.0, 78.0, 94.0)
_TURNS = 16
#: What it costs to lead across one more line, as mm of leader.
_CROSSING_MM = 5.0
#: A label's room is crossed by level lines no further apart than this share of its height.
_FILL = (0.0, 0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True)
class Note:
    """Words, line under line, with or without a line that leads from them to a point."""

    labels: tuple[Label, ...]
    leader: Stroke | None = None

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All of it, the leader first."""
        return self.labels if self.leader is None else (self.leader, *self.labels)


class Room:
    """What is on a drawing so far, and whether more words fit.

    ``strokes`` are lines that no words may cross. ``ghosts`` are lines that are not drawn and only keep words of
    ``outside`` notes away, such as the middle of a brace.
    """

    def __init__(self, strokes: Iterable[Stroke], ghosts: Segments | None = None) -> None:
        self._lines = stroke_segments(strokes)
        self._ghosts = np.empty((0, 4)) if ghosts is None else ghosts
        self._words = np.empty((0, 4))
        self._leaders = np.empty((0, 4))

    def add(self, note: Note) -> None:
        """Keep a note's room from now on."""
        self._words = np.vstack([self._words, *(_filled(label) for label in note.labels)])
        if note.leader is not None:
            self._leaders = np.vstack([self._leaders, stroke_segments([note.leader])])

    def add_strokes(self, strokes: Iterable[Stroke]) -> None:
        """Keep words off further lines."""
        self._lines = np.vstack([self._lines, stroke_segments(strokes)])

    def around(self, box: Box) -> Room:
        """Return a copy that knows only what comes into ``box``: quicker to ask."""
        near = Room(())
        near._lines, near._ghosts = _within(self._lines, box), _within(self._ghosts, box)
        near._words, near._leaders = _within(self._words, box), _within(self._leaders, box)
        return near

    def fits(self, note: Note, outside: bool = True, clear_mm: float = CLEAR_MM) -> bool:
        """Return whether a note's words touch nothing and its leader crosses no words and no leader."""
        taken = [self._words, self._lines, self._leaders, *([self._ghosts] if outside else [])]
        if any(_covers(label, segments, clear_mm) for label in note.labels for segments in taken):
            return False
        if note.leader is None:
            return True
        leader = stroke_segments([note.leader])
        return not (_meetings(leader, self._words) or _meetings(leader, self._leaders))

    def crossed(self, leader: Stroke) -> int:
        """Return how many lines a leader crosses."""
        return _meetings(stroke_segments([leader]), self._lines)


def block(lines: Sequence[str], x_mm: float, y_mm: float, height_mm: float = 2.5, layer: str = "note",
          bold: bool = False) -> tuple[Label, ...]:
    """Return words line under line, the lower left corner of their room at (x, y)."""
    pitch = PITCH_RATIO * height_mm
    low = y_mm + BELOW_RATIO * height_mm
    count = len(lines)
    return tuple(Label(x_mm, low + (count - 1 - i) * pitch, text, height_mm, layer=layer, bold=bold)
                 for i, text in enumerate(lines))


def block_size(lines: Sequence[str], height_mm: float = 2.5, bold: bool = False) -> tuple[float, float]:
    """Return the width and height in mm of the room that ``block`` takes."""
    width = max(text_width_mm(text, height_mm, bold) for text in lines)
    return width, ((len(lines) - 1) * PITCH_RATIO + ABOVE_RATIO + BELOW_RATIO) * height_mm


def led_note(room: Room, point: tuple[float, float], lines: Sequence[str], height_mm: float = 2.5,
             within: Box | None = None) -> Note:
    """Return words near ``point`` with a line that leads to it, in the best free place of a fan around it.

    Short leaders that cross few lines are best. If there is no free place the furthest is returned.
    """
    reach = _RINGS_MM[-1] + block_size(lines, height_mm)[0] + 5
    near = room.around((point[0] - reach, point[1] - reach, point[0] + reach, point[1] + reach))
    best, least = None, float("inf")
    note = None
    for ring in _RINGS_MM:
        if ring >= least:
            break
        for k in range(_TURNS):
            note = _fan_note(point, ring, 360.0 * k / _TURNS + 11.25, lines, height_mm)
            if within is not None and not _inside(union(*(a.ink for a in note.labels)), within):
                continue
            if note.leader is None or not near.fits(note):
                continue
            cost = ring + _CROSSING_MM * near.crossed(note.leader)
            if cost < least:
                best, least = note, cost
    if best is None:
        assert note is not None
        return note
    return best


def _fan_note(point: tuple[float, float], ring_mm: float, turn_deg: float, lines: Sequence[str],
              height_mm: float) -> Note:
    """Return words whose room touches the ring about ``point``; the leader ends at the room's near edge."""
    dx, dy = cos(radians(turn_deg)), sin(radians(turn_deg))
    width, height = block_size(lines, height_mm)
    x, y = point[0] + ring_mm * dx, point[1] + ring_mm * dy
    left = x + 0.6 if dx > 0 else x - width - 0.6
    low = y - height / 2 + dy * height / 2
    # The leader meets the first line of words at half the height of its letters.
    labels = block(lines, left, low, height_mm)
    tip = frozen_points([point, (x, min(max(y, low + 0.5 * height_mm), low + height - 0.5 * height_mm))])
    return Note(labels, Stroke(tip, "note"))


def first_fit(room: Room, notes: Iterable[Note], outside: bool = True, clear_mm: float = CLEAR_MM) -> Note | None:
    """Return the first of ``notes`` that fits, or None."""
    return next((n for n in notes if room.fits(n, outside, clear_mm)), None)


def _inside(inner: Box, outer: Box) -> bool:
    return (inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3])


def _filled(label: Label) -> Segments:
    """The outline of a label's room and level lines through it, so that nothing hides inside."""
    c = label.corners
    left = np.array([c[0] + f * (c[3] - c[0]) for f in _FILL])
    right = np.array([c[1] + f * (c[2] - c[1]) for f in _FILL])
    return np.vstack([outline_segments(c, True), np.hstack([left, right])])


def _within(segments: Segments, box: Box) -> Segments:
    """Segments whose own boxes touch ``box``."""
    x, y = segments[:, [0, 2]], segments[:, [1, 3]]
    keep = ((x.max(axis=1) >= box[0]) & (x.min(axis=1) <= box[2])
            & (y.max(axis=1) >= box[1]) & (y.min(axis=1) <= box[3])) if len(segments) else []
    return segments[keep] if len(segments) else segments


def _covers(label: Label, segments: Segments, clear_mm: float) -> bool:
    """Whether any segment comes within ``clear_mm`` of a label's room, measured along the room's own axes."""
    x0, y0, x1, y1 = label.ink
    near = _within(segments, (x0 - clear_mm, y0 - clear_mm, x1 + clear_mm, y1 + clear_mm))
    if not len(near):
        return False
    c, s = cos(radians(label.angle_deg)), sin(radians(label.angle_deg))
    turn = np.array([(c, -s), (s, c)])
    origin = np.array((label.x_mm, label.y_mm))
    local = np.hstack([(near[:, :2] - origin) @ turn, (near[:, 2:] - origin) @ turn])
    corners = (label.corners - origin) @ turn
    (u0, v0), (u1, v1) = corners.min(axis=0), corners.max(axis=0)
    return bool(crossing(local, (float(u0) - clear_mm, float(v0) - clear_mm,
                                 float(u1) + clear_mm, float(v1) + clear_mm)).any())


def _meetings(few: Segments, many: Segments) -> int:
    """How many of ``many`` are properly crossed by any of ``few``."""
    if not len(many):
        return 0
    hit: NDArray[np.bool_] = np.zeros(len(many), dtype=bool)
    for x0, y0, x1, y1 in few:
        dx, dy = x1 - x0, y1 - y0
        if hypot(dx, dy) < 1e-9:
            continue
        a = dx * (many[:, 1] - y0) - dy * (many[:, 0] - x0)
        b = dx * (many[:, 3] - y0) - dy * (many[:, 2] - x0)
        ex, ey = many[:, 2] - many[:, 0], many[:, 3] - many[:, 1]
        c = ex * (y0 - many[:, 1]) - ey * (x0 - many[:, 0])
        d = ex * (y1 - many[:, 1]) - ey * (x1 - many[:, 0])
        hit |= (a * b < 0) & (c * d < 0)
    return int(hit.sum())
