"""The body outline through its bouts: closed, curvature-continuous, as fair as its sizes allow.

The half outline runs through tail, lower bout, waist, upper bout and neck. Its direction is known at each (level
at the ends, upright at the bouts and the waist). Between them run quintics whose first and second derivatives
agree at the joints; what is left free is chosen so that the integral of |r'''|^2 along the curve is smallest,
which spreads the change of curvature evenly (the usual fairness measure of spline design).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from braces.base.arrays import Array
from braces.base.problems import Problem
from braces.curves.path import Path
from braces.curves.polynomial import QUINTIC, quintic_pieces
from braces.design.model import BodySpec

_NODES = 5
#: Unit directions of travel at tail, lower bout, waist, upper bout, neck.
_DIRECTIONS = np.array([[1.0, 0.0], [0.0, 1.0], [0.0, 1.0], [0.0, 1.0], [-1.0, 0.0]])
#: Axis (0 = x, 1 = y) along which each node's curvature acts: square to its direction.
_BEND_AXIS = (1, 0, 0, 0, 1)


def _third_derivative_energy() -> Array:
    """(6, 6) form E with integral of p'''(t)^2 over [0, 1] = v E v for Hermite data v."""
    third = np.array([[6 * QUINTIC[3, j], 24 * QUINTIC[4, j], 60 * QUINTIC[5, j]] for j in range(6)])
    moments = np.array([[1 / (i + j + 1) for j in range(3)] for i in range(3)])
    return np.asarray(third @ moments @ third.T)


def _bends(nodes: Array, spans: Array) -> Array:
    """Second derivatives (5, 2) at the nodes, per mm2 of arc, that make the half fairest.

    Unit speed at the nodes leaves one unknown to each: its curvature.
    """
    energy = _third_derivative_energy()
    hessian, gradient = np.zeros((_NODES, _NODES)), np.zeros(_NODES)
    for axis in (0, 1):
        for i, h in enumerate(spans):
            fixed = np.array(
                [
                    nodes[i, axis],
                    h * _DIRECTIONS[i, axis],
                    0,
                    nodes[i + 1, axis],
                    h * _DIRECTIONS[i + 1, axis],
                    0,
                ]
            )
            rows = np.zeros((6, _NODES))
            for slot, node in ((2, i), (5, i + 1)):
                rows[slot, node] = h * h * (_BEND_AXIS[node] == axis)
            hessian += rows.T @ energy @ rows / h**5
            gradient += rows.T @ energy @ fixed / h**5
    second = np.zeros((_NODES, 2))
    second[np.arange(_NODES), _BEND_AXIS] = np.linalg.solve(hessian, -gradient)
    return second


def _half_pieces(nodes: Array) -> Array:
    spans = np.linalg.norm(np.diff(nodes, axis=0), axis=1) * 1.15
    pieces = np.zeros((4, 6, 2))
    for _ in range(4):
        second = _bends(nodes, spans)
        ends = [(nodes[i : i + 2], _DIRECTIONS[i : i + 2] * h, second[i : i + 2] * h * h) for i, h in enumerate(spans)]
        pieces = np.concatenate([quintic_pieces(*e) for e in ends])
        spans = np.array([Path(p[None]).length(0, 1 - 1e-12) for p in pieces])
    return pieces


def mirrored(path: Path) -> Path:
    """Return the mirror image in the centre line, again anticlockwise from the tail."""
    return Path(_reversed_mirrored(path.pieces))


def _reversed_mirrored(pieces: Array) -> Array:
    """The other half: the same pieces backwards with x negated."""
    k = pieces.shape[1]
    flip = np.zeros((k, k))
    for power in range(k):  # t -> 1 - t in the power basis, by the binomial theorem
        row = np.polynomial.polynomial.polypow([1.0, -1.0], power)
        flip[: len(row), power] += row
    back = np.einsum("ij,njk->nik", flip, pieces)[::-1]
    return np.asarray(back * np.array([-1.0, 1.0]))


def body_outline(body: BodySpec, handed: str = "right") -> tuple[Path, list[Problem]]:
    """Return the outline, and what is wrong with it if its extremes are not where they were asked.

    The path is closed and anticlockwise from the tail (0, 0); its middle joint is the neck end. Drawn through bouts it
    has eight pieces: u = 1, 2, 3 are the lower bout, waist and upper bout on the right. An outline of the maker's own
    is taken as it is; on a left-handed instrument it is mirrored.
    """
    path, unfair = _remembered(body, handed)
    return path, list(unfair)


@lru_cache(maxsize=8)
def _remembered(body: BodySpec, handed: str) -> tuple[Path, tuple[Problem, ...]]:
    """The same path for the same body, whose own measurements are then remembered too."""
    if body.outline is not None:
        return body.outline if handed == "right" else mirrored(body.outline), ()
    nodes = np.array(
        [
            [0.0, 0.0],
            [body.lower_bout.width_mm / 2, body.lower_bout.at_mm],
            [body.waist.width_mm / 2, body.waist.at_mm],
            [body.upper_bout.width_mm / 2, body.upper_bout.at_mm],
            [0.0, body.length_mm],
        ]
    )
    half = _half_pieces(nodes)
    path = Path(np.concatenate([half, _reversed_mirrored(half)]))
    return path, tuple(_unfair(path))


def _unfair(path: Path) -> list[Problem]:
    """Between its named places the half outline must neither turn back in x nor in y at the ends."""
    t = np.linspace(0, 1, 201)[1:-1]
    signs = {0: 1, 1: -1, 2: 1, 3: -1}  # x grows from tail to lower bout, shrinks to the waist, ...
    names = (
        "between tail and lower bout",
        "between lower bout and waist",
        "between waist and upper bout",
        "between upper bout and neck",
    )
    bad = [names[i] for i, s in signs.items() if np.any(s * path.tangent(i + t)[:, 0] <= 0)]
    bad += [names[i] for i in signs if np.any(path.tangent(i + t)[:, 1] < -1e-9) and names[i] not in bad]
    return [
        Problem(
            "L05",
            ("body",),
            f"the outline bulges {where}, so the widths asked for are not its extremes",
            "move the bouts and the waist further apart, or bring their widths closer together",
        )
        for where in bad
    ]
