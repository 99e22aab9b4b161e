"""A traced outline: few knots, between them quintics that share place, heading and curvature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats, Points, frozen_floats
from braces.curves.path import Path
from braces.curves.polynomial import quintic_pieces

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """A closed curve, anticlockwise from the tail centre (0, 0); its middle knot is the neck end of the axis.

    A knot has a heading (degrees from the treble side, anticlockwise) and a bend (1/radius, per metre, positive
    turning left) where the curve arrives and where it leaves; they differ only at a corner kept on purpose.
    """

    points: Points  #: (n, 2) mm
    headings_deg: Array  #: (n, 2) arriving, leaving
    bends_per_m: Array  #: (n, 2) arriving, leaving
    runs_mm: Floats  #: (n,) length of the stretch from each knot to the next

    @property
    def corners(self) -> tuple[int, ...]:
        """Which knots are corners."""
        turned = np.any(self.headings_deg[:, 0:1] != self.headings_deg[:, 1:2], axis=1)
        return tuple(int(i) for i in np.flatnonzero(turned))


def path(outline: Outline) -> Path:
    """Return the curve, one quintic from knot to knot: unit speed and no change of speed at its ends."""
    return Path(
        open_pieces(
            np.concatenate([outline.points, outline.points[:1]]),
            np.radians(np.column_stack([outline.headings_deg[:, 1], np.roll(outline.headings_deg[:, 0], -1)])),
            np.column_stack([outline.bends_per_m[:, 1], np.roll(outline.bends_per_m[:, 0], -1)]) / 1000,
            outline.runs_mm,
        )
    )


def open_pieces(points: Points, headings_rad: Array, bends: Array, runs: Floats) -> Array:
    """Return coefficients (n, 6, 2) through points (n + 1, 2); headings and bends (n, 2) are at each piece's ends."""
    pieces = []
    for i, run in enumerate(runs):
        unit = np.column_stack([np.cos(headings_rad[i]), np.sin(headings_rad[i])])
        left = np.column_stack([-unit[:, 1], unit[:, 0]])
        pieces.append(quintic_pieces(points[i : i + 2], unit * run, left * bends[i][:, None] * run**2))
    return np.concatenate(pieces)


def closed_from_half(points: Points, headings_deg: Array, bends: Array, runs: Floats) -> Outline:
    """Return the whole of a half outline: its knots (n + 1, 2) from the tail to the neck, and their mirror images.

    ``headings_deg`` and ``bends`` are (n + 1, 2), arriving and leaving, and arrive at the neck; what the tail arrives
    with and the neck leaves with follows from the mirror.
    """
    # Mirrored and travelled backwards, a heading h becomes -h and a bend stays; arriving and leaving change places.
    other_headings, other_bends = -headings_deg[::-1, ::-1], bends[::-1, ::-1]
    headings = np.concatenate([headings_deg[:-1], other_headings[:-1]])
    bend = np.concatenate([bends[:-1], other_bends[:-1]])
    n = len(runs)
    headings[0, 0], bend[0, 0] = -headings_deg[0, 1], bends[0, 1]
    headings[n, 0], bend[n, 0] = headings_deg[-1, 0], bends[-1, 0]
    places = np.concatenate([points[:-1], (points * [-1.0, 1.0])[::-1][:-1]])
    return Outline(places, np.mod(headings, 360.0), bend, frozen_floats(np.concatenate([runs, runs[::-1]])))
