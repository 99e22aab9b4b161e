"""Half outlines: a line from the tail to the neck with everything on one side of the centre line."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Points, frozen_points
from braces.curves.polygons import area_mm2
from braces.traced.join import Chain

_ASTRAY_MM = 0.5  #: how far a half may reach over its own centre line


@dataclass(frozen=True, slots=True, eq=False)
class Half:
    """One half of an outline; its ends lie on the axis."""

    points: Points  #: (n, 2), from one end of the axis to the other
    centre_line: bool  #: whether the drawing closes it with a straight centre line, which is left out here


def half_outline(chain: Chain) -> Half | None:
    """Return the chain as half an outline if that is what it is.

    Its ends are about as far apart as it is long, and it lies on one side of the line between them. A closed chain
    is one if a single straight side, as long as it all, closes it.
    """
    points, drawn = (chain.points, False) if not chain.closed else (_opened(chain.points), True)
    if points is None or len(points) < 4:
        return None
    a, b = points[0], points[-1]
    length = float(np.hypot(*(b - a)))
    if length < 1e-6:
        return None
    u = (b - a) / length
    along, aside = (points - a) @ u, (points - a) @ np.array([-u[1], u[0]])
    reach = float(np.ptp(along))
    lies_one_side = min(abs(float(aside.min())), abs(float(aside.max()))) <= _ASTRAY_MM
    bulges = float(np.abs(aside).max()) > 0.1 * length
    if length < 0.8 * reach or not lies_one_side or not bulges or not _leaves_squarely(points, u):
        return None
    return Half(frozen_points(points), drawn)


def _leaves_squarely(points: Points, u: NDArray[np.float64]) -> bool:
    """Whether the line crosses the axis (unit ``u``) at about a right angle at both ends."""
    for end in (points, points[::-1]):
        away = np.hypot(*(end - end[0]).T)
        d = end[int(np.argmax(away > 5.0))] - end[0]
        if abs(d @ u) > 0.34 * float(np.hypot(*d)):  # more than 20 degrees from square
            return False
    return True


def _opened(points: Points) -> Points | None:
    """Take the longest straight run out of a closed chain, if it spans the whole of it."""
    n = len(points)
    keep = _turns(points) > 1e-3
    corners = np.flatnonzero(keep)
    if len(corners) < 3:
        return None
    nxt = np.roll(corners, -1)
    spans = np.hypot(*(points[nxt] - points[corners]).T)
    k = int(np.argmax(spans))
    i, j = int(corners[k]), int(nxt[k])
    far = float(np.max(np.hypot(*(points - points[i]).T)))
    others = np.delete(spans, k)
    if spans[k] < 0.8 * far or spans[k] < 2 * others.max():
        return None
    # All corners of the run's inside are gone, so what remains goes from j round to i.
    order = np.arange(j, j + (i - j) % n + 1) % n
    return np.asarray(points[order])


def _turns(points: Points) -> np.ndarray:
    """Size of the turn at each point of a closed chain, radians."""
    d = np.roll(points, -1, axis=0) - points
    heading = np.arctan2(d[:, 1], d[:, 0])
    turn = heading - np.roll(heading, 1)
    return np.asarray(np.abs((turn + np.pi) % (2 * np.pi) - np.pi))


def anticlockwise(points: Points) -> Points:
    """Return a closed line's points in anticlockwise order, beginning with the same one."""
    return points if area_mm2(points) > 0 else np.concatenate([points[:1], points[:0:-1]])
