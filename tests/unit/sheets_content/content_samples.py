"""Drawings of the presets for these tests, and geometry that does not come from the code under test."""

from __future__ import annotations

from functools import cache

import numpy as np
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry.base import BaseGeometry
from support.designs import carved_of

from braces.carved.values import Carved, CarvedBrace
from braces.sheets.content import drawings
from braces.sheets.drawing import Drawing, Label, Stroke

LEFT = ('handed = "right"', 'handed = "left"')
#: (preset, changes): the two instruments of most tests, and one of them for a left-handed player.
SETS = (("fieldfare",), ("dunnock",), ("fieldfare", LEFT))
NAMES = ("fieldfare", "dunnock", "fieldfare left-handed")


@cache
def drawings_of(name: str, *changes: tuple[str, str]) -> tuple[Drawing, ...]:
    return drawings(carved_of(name, *changes))


def drawing_of(carved_key: tuple, key: str) -> Drawing:
    return next(d for d in drawings_of(*carved_key) if d.key == key)


def treble(carved: Carved) -> np.ndarray:
    """Body direction of the treble side: +x on a right-handed instrument, by the convention of the axes."""
    return np.array([1.0, 0, 0]) if carved.placed.design.handed == "right" else np.array([-1.0, 0, 0])


def named_direction(word: str, carved: Carved) -> np.ndarray:
    """Body direction meant by a word."""
    return {
        "treble": treble(carved),
        "bass": -treble(carved),
        "neck": np.array([0, 1.0, 0]),
        "tail": np.array([0, -1.0, 0]),
    }[word]


def axes(brace: CarvedBrace) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Bench X, Y, Z in body axes: Z into the room is down from the top and up from the back; Y = Z x X."""
    x = np.array([*brace.heading_xy, 0.0])
    z = np.array([0.0, 0.0, -1.0 if brace.plate == "top" else 1.0])
    return x, np.cross(z, x), z


def shape(stroke: Stroke) -> BaseGeometry:
    """A stroke as a line."""
    return (LinearRing if stroke.closed and len(stroke.points) > 2 else LineString)(stroke.points)


def room(label: Label) -> Polygon:
    """The room of a label, a hair smaller so that touching is not overlapping."""
    return Polygon(label.corners).buffer(-1e-3)


def collisions(drawing: Drawing) -> list[str]:
    """Every two labels that overlap, and every label that a cut line crosses."""
    rooms = [room(label) for label in drawing.labels]
    cuts = [shape(s) for s in drawing.strokes if s.layer == "cut"]
    found = []
    for i, (a, label) in enumerate(zip(rooms, drawing.labels, strict=True)):
        found += [
            f"{label.text} | {drawing.labels[i + 1 + j].text}" for j, b in enumerate(rooms[i + 1 :]) if a.intersects(b)
        ]
        found += [f"{label.text} | cut line" for c in cuts if a.intersects(c)]
    return found
