"""The centre line of a body: found by its symmetry or given, with the tail and the neck told apart."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal

import numpy as np

from braces.base.arrays import Points
from braces.base.problems import Problem
from braces.traced.mirror import ASYMMETRIC_MM, MirrorLine, Symmetry, mirror_lines, symmetry
from braces.traced.pieces import refusal
from braces.traced.polylines import resampled

Way = Literal["up", "down", "left", "right"]
_WAYS: dict[Way, tuple[float, float]] = {
    "up": (0.0, 1.0),
    "down": (0.0, -1.0),
    "left": (-1.0, 0.0),
    "right": (1.0, 0.0),
}
_LEAST_SHARE = 0.4  #: of the outline must be symmetric for an axis to be believed


@dataclass(frozen=True, slots=True)
class Axis:
    """The centre line in the drawing."""

    line: MirrorLine  #: directed towards the neck
    found: str  #: how, in words

    def to_body(self, points: Points) -> Points:
        """Return points (n, 2) of the drawing with x to the right of the axis and y along it."""
        dx, dy = self.line.direction
        return np.asarray((points - np.array(self.line.at)) @ np.array([[dy, dx], [-dx, dy]]))


def way_named(neck: str | None, name: str) -> Way | None:
    """Return the way the neck points in the drawing. Raises DesignError for any other word."""
    if neck is None:
        return None
    for way in _WAYS:
        if neck.strip().lower() == way:
            return way
    raise refusal("T16", name, f'"{neck[:40]}" is no way for the neck to point', "write up, down, left or right")


def given_axis(ends: tuple[tuple[float, float], tuple[float, float]], name: str) -> Axis:
    """Return the axis from a point at the tail to one at the neck, mm. Raises DesignError if they are one."""
    (x0, y0), (x1, y1) = ends
    length = hypot(x1 - x0, y1 - y0)
    if not 1.0 <= length < np.inf:
        raise refusal(
            "T16", name, "the axis given is no line", "give two places on the centre line, tail first, then neck"
        )
    return Axis(MirrorLine((x0, y0), ((x1 - x0) / length, (y1 - y0) / length)), "as given")


def found_axis(points: Points, neck: Way | None, name: str, notes: list[Problem]) -> tuple[Axis, Symmetry]:
    """Return the best axis of a closed line (n, 2) in mm, and how symmetric the line is about it.

    Raises DesignError if less than two fifths of the line is symmetric about any line. Appends a note when tail and
    neck cannot be told apart.
    """
    candidates = mirror_lines(points)
    if neck is not None:
        candidates = [(s, line) for s, line in candidates if abs(np.dot(line.direction, _WAYS[neck])) > 0.7]
    if not candidates:
        raise refusal(
            "T08",
            name,
            f"nothing is symmetric about a line that points {neck}",
            "give two places on the centre line with --axis, or leave --neck out",
        )
    # Of axes about equally good the body's is the one it is longest along; of a circle's, the upright one.
    limit = candidates[0][0] * 1.2 + 0.02
    good = [line for score, line in candidates if score <= limit]
    line = max(good, key=lambda a: (round(_along(points, a), 0), round(abs(a.direction[1]), 3)))
    how = symmetry(points, line)
    share = f"{how.share_fraction * 100:.0f} %"
    if how.share_fraction < _LEAST_SHARE:
        raise refusal(
            "T08",
            name,
            f"only {share} of the outline is symmetric about the best line",
            "give two places on the centre line, tail first, with --axis",
        )
    found = "by symmetry"
    if how.share_fraction < 0.99:
        found += f" of {share} of the outline, which is its own mirror image within {ASYMMETRIC_MM:g} mm"
    return directed(resampled(points, 2.0, closed=True), Axis(line, found), neck, name, notes), how


def directed(points: Points, axis: Axis, neck: Way | None, name: str, notes: list[Problem]) -> Axis:
    """Turn an axis towards the neck: the way asked for, else away from the wider half of close points (n, 2)."""
    if neck is not None:
        return _reversed(axis) if np.dot(axis.line.direction, _WAYS[neck]) < 0 else axis
    body = axis.to_body(points)
    middle = (body[:, 1].min() + body[:, 1].max()) / 2
    lower, upper = (float(np.ptp(body[part][:, 0])) for part in (body[:, 1] < middle, body[:, 1] >= middle))
    if abs(lower - upper) > 0.01 * max(lower, upper):
        return axis if lower > upper else _reversed(axis)
    dx, dy = axis.line.direction
    up = (round(dy, 3), round(dx, 3)) > (0.0, 0.0)
    where_to = "up" if abs(dy) > 0.7 else "right"
    notes.append(
        Problem(
            "T13",
            (name,),
            f"both ends are about equally wide ({lower:.1f} and {upper:.1f} mm)",
            f"the neck is taken to point {where_to}; if it does not, say so with --neck",
            False,
        )
    )
    return axis if up else _reversed(axis)


def _reversed(axis: Axis) -> Axis:
    dx, dy = axis.line.direction
    return Axis(MirrorLine(axis.line.at, (-dx, -dy)), axis.found)


def _along(points: Points, line: MirrorLine) -> float:
    return float(np.ptp(points @ np.array(line.direction)))
