"""How bars hang on the plate and on each other: rows that give a bar's unknowns from the plate's, and glued laps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.bar import FOOT_LINES, Bar, Numbering, hermite, section_counts, section_values
from braces.mechanics.plate_model import A, B, Sheet, U, V, W
from braces.mechanics.space import WARP, Space

#: Stiffness of glued lap faces, N/mm3: stiff against the wood across the grain over a millimetre, so that its exact
#: value does not show (ten times more or less changes the frequencies of the test cases by less than 0.1 %).
GLUE_N_MM3 = 5000.0
_T, _TW = np.polynomial.legendre.leggauss(4)


def plan_points(bar: Bar, s: Floats, n: Floats) -> tuple[Floats, Floats]:
    """Return plan x and y of places along and across (to the left of) a bar."""
    p = bar.course.point(s, n)
    return p[..., 0], p[..., 1]


def foot_rows(bar: Bar, sheet: Sheet, space: Space) -> Any:
    """Return sparse (foot unknowns, plate unknowns): the plate's inner face along the bar's foot lines."""
    import scipy.sparse as sp

    stations, lines = len(bar.stations_mm), len(FOOT_LINES)
    s = np.repeat(bar.stations_mm, lines)
    n = np.tile(FOOT_LINES * bar.width_mm / 2, stations)
    x, y = plan_points(bar, s, n)
    down = -sheet.thickness_at(x, y) / 2
    hx, hy = bar.course.tangent(s).T
    bend, stretch = 1 / bar.radius_mm, bar.course.stretch(n)
    u: list[tuple[int, Any]] = [(U, 1.0), (A, down), (WARP, 1.0)]
    v: list[tuple[int, Any]] = [(V, 1.0), (B, down), (WARP + 1, 1.0)]
    parts = [
        [(f, k * hx) for f, k in u] + [(f, k * hy) for f, k in v],
        [(f, k * -hy) for f, k in u] + [(f, k * hx) for f, k in v],
        [(W, -1.0)],
    ]
    # Along an arc the directions turn: what is across adds to the slope of what is along, and the other way round.
    turning: list[list[tuple[int, Any]]] = [
        [(f, bend * k) for f, k in parts[1]],
        [(f, -bend * k) for f, k in parts[0]],
        [],
    ]
    made = []
    for part, turned in zip(parts, turning, strict=True):
        made.append(space.rows(x, y, [(f, 0, 0, k) for f, k in part]))
        ahead = [(f, 1, 0, k * hx * stretch) for f, k in part] + [(f, 0, 1, k * hy * stretch) for f, k in part]
        made.append(space.rows(x, y, ahead + [(f, 0, 0, k) for f, k in turned if bend]))
    order = np.arange(6 * stations * lines).reshape(3, 2, stations, lines).transpose(2, 0, 3, 1).ravel()
    return sp.vstack(made, format="csr")[order]


def displacement_rows(bar: Bar, number: Numbering, s: Floats, n: Floats, z: Floats, after: Floats) -> Any:
    """Return sparse rows (3 x points, bar unknowns): plan x, plan y and outward displacement at points of a bar.

    ``z`` away from the glue face; ``after`` (points,) is +1 where a point on a station belongs to the element that
    starts there and -1 where it belongs to the one that ends there.
    """
    import scipy.sparse as sp

    e = np.clip(np.searchsorted(bar.stations_mm, s + 1e-7 * after, side="right") - 1, 0, bar.elements - 1)
    length = bar.stations_mm[e + 1] - bar.stations_mm[e]
    curve, _ = hermite((s - bar.stations_mm[e]) / length, length)
    shapes = section_values(2 * n / bar.width_mm, z / bar.scale_mm)
    start, own = 0, []
    for value, _, _ in shapes:
        k = 4 * value.shape[-1]
        v = (value[:, :, None] * curve[:, None, :]).reshape(len(s), k)
        cols = number.element[e][:, start : start + k]
        own.append(sp.csr_matrix((v.ravel(), cols.ravel(), np.arange(len(s) + 1) * k), shape=(len(s), number.total)))
        start += k
    assert start == 4 * sum(section_counts())
    hx, hy = (sp.diags(h) for h in bar.course.tangent(s).T)
    return sp.vstack([hx @ own[0] - hy @ own[1], hy @ own[0] + hx @ own[1], -own[2]], format="csr")


@dataclass(frozen=True, slots=True)
class Lap:
    """Two bars of a half-lap: the one that keeps its plate side, and the one that keeps its room side."""

    below: int  #: index of the bar next to the plate
    above: int
    at_below_mm: float  #: crossing, along the lower bar
    at_above_mm: float
    floor_below_mm: float  #: height above the glue face where the lower bar's wood ends
    floor_above_mm: float  #: where the upper bar's wood begins
    top_mm: float  #: height of both at the crossing, before the notches


def lap_points(lap: Lap, bars: tuple[Bar, ...]) -> list[tuple[Floats, ...]]:
    """Return the glued faces as (s, n, z, after) of the lower bar, the same of the upper, and areas; all (points,).

    The floor between the halves, the lower bar's sides against the walls of the upper bar's notch, and the reverse.
    Over the width of a lap a curved bar is taken along its tangent.
    """
    low, up = bars[lap.below], bars[lap.above]
    lx, ly = low.course.heading_at(lap.at_below_mm)
    ux, uy = up.course.heading_at(lap.at_above_mm)
    cos, sin = lx * ux + ly * uy, lx * uy - ly * ux  # of the turn from the lower to the upper bar
    xi, eta = (a.ravel() for a in np.meshgrid(_T, _T, indexing="ij"))
    w = np.outer(_TW, _TW).ravel() / 4
    hl, hu = low.width_mm / 2 / abs(sin), up.width_mm / 2 / abs(sin)
    out: list[tuple[Floats, ...]] = []

    def pair(
        a: Floats, b: Floats, z_low: Floats, z_up: Floats, area: Floats, after_low: Floats, after_up: Floats
    ) -> None:
        """``a`` along the lower bar, ``b`` along the upper one: oblique plan coordinates about the crossing."""
        out.append(
            (
                lap.at_below_mm + a + b * cos,
                b * sin,
                z_low,
                after_low,
                lap.at_above_mm + b + a * cos,
                -a * sin,
                z_up,
                after_up,
                area,
            )
        )

    one = np.ones(16)
    pair(
        xi * hu,
        eta * hl,
        one * lap.floor_below_mm,
        one * lap.floor_above_mm,
        w * 4 * hl * hu * abs(sin),
        -np.sign(xi),
        -np.sign(eta),
    )
    high = lap.top_mm
    for side in (-1.0, 1.0):
        z = lap.floor_above_mm * (eta + 1) / 2  # upper bar's notch walls against the lower bar's sides
        pair(
            xi * hu,
            side * hl * one,
            z * lap.floor_below_mm / lap.floor_above_mm,
            z,
            w * 2 * hu * lap.floor_above_mm,
            -np.sign(xi),
            side * one,
        )
        z = lap.floor_below_mm + (high - lap.floor_below_mm) * (eta + 1) / 2
        pair(side * hu * one, xi * hl, z, z, w * 2 * hl * (high - lap.floor_below_mm), side * one, -np.sign(xi))
    return out


def lap_rows(lap: Lap, bars: tuple[Bar, ...], numbers: tuple[Numbering, ...]) -> tuple[Any, Any, Floats]:
    """Return (rows of the lower bar, rows of the upper bar, spring N/mm of each row): their difference is the gap."""
    s1, n1, z1, a1, s2, n2, z2, a2, area = (np.concatenate(f) for f in zip(*lap_points(lap, bars), strict=True))
    low = displacement_rows(bars[lap.below], numbers[lap.below], s1, n1, z1, a1)
    up = displacement_rows(bars[lap.above], numbers[lap.above], s2, n2, z2, a2)
    return low, up, np.tile(area * GLUE_N_MM3, 3)
