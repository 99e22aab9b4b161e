"""A smooth curve near points: as few knots as its greatest deviation allows, corners kept.

The least-squares curve for given lengths along it is refined in turns: each point's length becomes that of the nearest
place on the curve, and lengths are measured anew. Stretches that stand off too far are halved. Where more knots only
follow the scatter of the points (generalised cross-validation, Craven and Wahba 1979, says when), it stops and the
deviation is stated as it is.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats, Points
from braces.curves.path import Path
from braces.traced.least_squares import Solution, Stations, solved
from braces.traced.outline import open_pieces

_FIRST_RUN_MM = 130.0  #: longest stretch to begin with
_SHORTEST_RUN_MM = 10.0  #: stretches are not halved below this
_MOST_RUNS = 160  #: a body that needs more is no smooth outline
_COLLAPSED_MM = 0.5  #: a stretch this short has folded up
_ROUNDS = 7
_TURNS = 4


class Tangled(Exception):  # noqa: N818 - reads as what it is
    """Points through which no curve runs in order."""


@dataclass(frozen=True, slots=True, eq=False)
class Target:
    """Points to come near to, in order of length along the line."""

    points: Points  #: (n, 2) mm
    s_mm: Floats  #: (n,) length along the line, about
    weights: Floats  #: (n,) length of line each point stands for, mm


@dataclass(frozen=True, slots=True, eq=False)
class Fitted:
    """Knots and what they achieve; open lines have one more knot than runs, closed ones repeat the first."""

    points: Points  #: (n + 1, 2)
    headings_rad: NDArray[np.float64]  #: (n, 2) at the start and the end of each run
    bends: NDArray[np.float64]  #: (n, 2) 1/mm
    runs_mm: Floats  #: (n,)
    stations: Stations
    u: Floats  #: (m,) parameter of the place on the curve nearest each point
    off_mm: Floats  #: (m,) distances there
    settled: bool  #: whether more knots would only follow the scatter of the points

    @property
    def pieces(self) -> NDArray[np.float64]:
        """Coefficients (n, 6, 2)."""
        return open_pieces(self.points, self.headings_rad, self.bends, self.runs_mm)


def stations_between(
    fixed: Floats, corners: frozenset[float], closed: bool, on_axis: frozenset[float], level: frozenset[float]
) -> Stations:
    """Return stations at the given lengths (ascending, with both ends) and evenly between them."""
    s = [np.linspace(a, b, int(np.ceil((b - a) / _FIRST_RUN_MM)) + 1)[:-1] for a, b in pairwise(fixed)]
    every = np.concatenate([*s, fixed[-1:]])

    def places(of: frozenset[float]) -> frozenset[int]:
        found = {int(np.argmin(np.abs(every - v))) for v in of}
        return frozenset(0 if closed and i == len(every) - 1 else i for i in found)

    return Stations(every, places(corners), closed, places(on_axis), places(level))


def fitted(target: Target, stations: Stations, within_mm: float) -> Fitted:
    """Return the curve with the fewest halvings whose points all lie ``within_mm``, or the last that helped.

    May raise Tangled.
    """
    best: Fitted | None = None
    best_score = np.inf
    s = target.s_mm
    for _ in range(_ROUNDS):
        s, stations, solution = _refined(target, s, stations)
        made = _geometric(target, s, stations, solution)
        score = _cross_validation(made.off_mm, target.weights, solution.freedom_count)
        if best is not None and score > 0.9 * best_score and solution.freedom_count < len(s) / 4:
            return replace(best, settled=True)
        best, best_score = made, score
        more = finer(made, within_mm)
        if more is None:
            return made
        stations = more
    assert best is not None  # at least one round was made
    return best


def refitted(target: Target, made: Fitted, stations: Stations) -> Fitted:
    """Return the curve for other stations, begun from one already made."""
    if stations is made.stations:
        return made
    s = np.interp(made.u, np.arange(len(made.stations.s_mm)), made.stations.s_mm)
    s, stations, solution = _refined(target, s, stations)
    return replace(_geometric(target, s, stations, solution), settled=made.settled)


def _refined(target: Target, s: Floats, stations: Stations) -> tuple[Floats, Stations, Solution]:
    solution = solved(target.points, s, target.weights, stations)
    for k in range(_TURNS):
        path = solution.path(stations.s_mm)
        u = nearest_u(path, target.points, _unit_u(s, stations.s_mm), stations)
        s, stations = _measured(path, u, stations)
        solution = solved(target.points, s, target.weights, stations, count_freedom=k == _TURNS - 1)
    return s, stations, solution


def _unit_u(s: Floats, knots: Floats) -> Floats:
    """Piece number and share for a length along the curve."""
    i = np.clip(np.searchsorted(knots, s, side="right") - 1, 0, len(knots) - 2)
    return np.asarray(i + (s - knots[i]) / (knots[i + 1] - knots[i]))


def nearest_u(path: Path, points: Points, u: Floats, stations: Stations, steps: int = 3) -> Floats:
    """Return parameters (n,) of the nearest places on the curve, by Newton steps from ``u`` (n,) within its corners."""
    corners = np.array(sorted(stations.corners), dtype=float)
    last = float(path.count)
    for _ in range(steps):
        at, d, bend = _moving(path.pieces, u)
        off = at - points
        # Newton's step for the foot of the perpendicular, the curvature's share held where it would turn it round.
        square = np.einsum("ij,ij->i", d, d)
        slope = square + np.clip(np.einsum("ij,ij->i", off, bend), -0.5 * square, square)
        step = -np.einsum("ij,ij->i", off, d) / slope
        low, high = _between_corners(u, corners, last, stations.closed)
        u = np.clip(u + np.clip(step, -0.3, 0.3), low, high)
        u = np.mod(u, last) if stations.closed else np.clip(u, 0.0, last - 1e-9)
    return np.asarray(u)


def _moving(pieces: NDArray[np.float64], u: Floats) -> tuple[Points, Points, Points]:
    """Places and first and second derivatives (n, 2) at parameters (n,), in one go."""
    i = np.clip(u.astype(int), 0, len(pieces) - 1)
    t = (u - i)[:, None]
    c = pieces[i]
    at, d, bend = c[:, -1], np.zeros((len(u), 2)), np.zeros((len(u), 2))
    for k in range(c.shape[1] - 2, -1, -1):  # Horner's rule and its derivatives
        bend = bend * t + 2 * d
        d = d * t + at
        at = at * t + c[:, k]
    return at, d, bend


def _between_corners(u: Floats, corners: Floats, last: float, closed: bool) -> tuple[Floats, Floats]:
    """The corners before and after each parameter, round the end of a closed curve."""
    if len(corners) == 0:
        return np.full(len(u), -np.inf), np.full(len(u), np.inf)
    before, after = (corners[-1] - last, corners[0] + last) if closed else (-np.inf, np.inf)
    walls = np.concatenate([[before], corners, [after]])
    k = np.searchsorted(corners, u, side="right")
    return walls[k], walls[k + 1] - 1e-9


def _measured(path: Path, u: Floats, stations: Stations) -> tuple[Floats, Stations]:
    """Lengths along the curve of its stations and of parameters ``u``. Raises Tangled if a stretch has folded up."""
    per = 24
    grid = np.arange(path.count * per + 1) / per
    middle = (grid[:-1] + grid[1:]) / 2
    run = np.concatenate([[0.0], np.cumsum(path.speed(middle) / per)])
    knots = run[::per]
    if not np.all(np.diff(knots) > _COLLAPSED_MM):
        raise Tangled
    return np.interp(u, grid, run), replace(stations, s_mm=knots)


def _geometric(target: Target, s: Floats, stations: Stations, solution: Solution) -> Fitted:
    """Keep place, heading and bend of every knot and the length of every run, which is all an outline has."""
    first, second = solution.first, solution.second
    heading = np.arctan2(first[..., 1], first[..., 0])
    bend = (first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]) / np.linalg.norm(first, axis=-1) ** 3
    points = np.concatenate([solution.places[:, 0], solution.places[-1:, 1]])
    runs = np.diff(stations.s_mm)
    for _ in range(3):  # a run is as long as its own curve
        path = Path(open_pieces(points, heading, bend, runs))
        runs = np.array([path.length(i, i + 1 - 1e-12) for i in range(path.count)])
    u = nearest_u(path, target.points, _unit_u(s, stations.s_mm), stations)
    off = np.linalg.norm(path.point(u) - target.points, axis=1)
    return Fitted(points, heading, bend, runs, stations, u, off, False)


def _cross_validation(off: Floats, weights: Floats, freedom: float) -> float:
    share = min(freedom / len(off), 0.99)
    return float(np.sum(weights * off**2) / np.sum(weights) / (1 - share) ** 2)


def finer(made: Fitted, within_mm: float) -> Stations | None:
    """Halve the stretches with a point too far off; None if there is none, none long enough, or there are too many."""
    stations = made.stations
    far = np.zeros(len(stations.s_mm) - 1)
    np.maximum.at(far, np.clip(made.u.astype(int), 0, len(far) - 1), made.off_mm)
    halve = (far > within_mm) & (np.diff(stations.s_mm) > 2 * _SHORTEST_RUN_MM)
    return stations.halved(halve) if np.any(halve) and len(far) + int(np.sum(halve)) <= _MOST_RUNS else None
