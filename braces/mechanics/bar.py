"""A brace as a small solid bar, in its own unknowns.

Displacements along (s), across (n) and away from the plate (z) are sums of functions of the section times cubic
Hermite curves along the bar, straight or an arc; their directions turn with it. Some belong to the foot (they take
the values of the plate's face at four lines across it); the rest vanish at the foot and let the bar stretch, shear,
twist and warp. With the full three-dimensional law of the wood there is no shear factor, torsion constant or lap rule
to choose.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.polynomial import polynomial

from braces.base.arrays import Floats
from braces.curves.course import Course
from braces.mechanics.spline_grid import Ints

#: Lines across the foot, in half widths: the Lobatto points, between which a cubic runs.
FOOT_LINES = np.array([-1.0, -np.sqrt(0.2), np.sqrt(0.2), 1.0])
#: Powers (across, away from the foot) of the inner functions of each component s, n, z.
INNER: tuple[tuple[tuple[int, int], ...], ...] = (
    ((0, 1), (1, 1), (2, 1), (3, 1), (0, 2), (1, 2), (2, 2), (0, 3), (1, 3)),
    ((0, 1), (1, 1), (2, 1), (0, 2), (1, 2), (0, 3)),
    ((0, 1), (1, 1), (2, 1), (0, 2), (1, 2)),
)

#: (bottom, top) of the wood above the glue face at stations (n,) and columns (m,): both (n, m), mm.
Faces = Callable[[Floats, Floats], tuple[Floats, Floats]]


@dataclass(frozen=True, slots=True, eq=False)
class Bar:
    """One brace ready for the solid model."""

    name: str
    origin_xy_mm: tuple[float, float]
    heading_xy: tuple[float, float]
    width_mm: float
    stations_mm: Floats  #: (k + 1,) ends of the elements
    breaks: tuple[int, ...]  #: stations where slopes of the inner functions may jump: the walls of laps
    faces: Faces
    scale_mm: float  #: height by which the inner functions are scaled: the bar's greatest
    columns: tuple[Floats, Floats]  #: places across and their weights, mm
    law: Floats  #: (6, 6), MPa, order ss nn zz nz sz sn
    density_kg_m3: float
    curvature: tuple[float, float, float]  #: of the plate along, across and mixed (ss, nn, 2 sn), 1/mm
    radius_mm: float = inf  #: of its centre line in plan: + if it turns to the left (+n)

    @property
    def course(self) -> Course:
        """Its centre line in plan."""
        return Course(self.origin_xy_mm, self.heading_xy, float(self.stations_mm[-1]), self.radius_mm)

    @property
    def elements(self) -> int:
        """Number of elements along the bar."""
        return len(self.stations_mm) - 1


@dataclass(frozen=True, slots=True, eq=False)
class Numbering:
    """Where the unknowns of a bar stand: foot unknowns first, then inner ones."""

    foot: int  #: number of foot unknowns
    total: int
    element: Ints  #: (elements, unknowns of an element)


def section_counts() -> list[int]:
    """Functions of each component: four foot lines and the inner ones."""
    return [len(FOOT_LINES) + len(p) for p in INNER]


def numbering(bar: Bar) -> Numbering:
    """Return the numbers of an element's unknowns: by component, function, then (value, slope) at its two ends.

    Foot unknowns: station, component, line, (value, slope). Inner slopes have two numbers at a break.
    """
    stations, lines = len(bar.stations_mm), len(FOOT_LINES)
    foot = stations * 3 * lines * 2
    left = np.arange(stations)  # slope set used by the element that ends at the station
    right = left.copy()
    for n, k in enumerate(bar.breaks):
        right[k] = stations + n
    inner = sum(len(p) for p in INNER)
    slopes = stations + len(bar.breaks)
    base = foot + np.arange(inner) * (stations + slopes)
    e = np.arange(bar.elements)
    columns, k = [], 0
    for c in range(3):
        for line in range(lines):
            at = ((e * 3 + c) * lines + line) * 2
            nxt = at + 3 * lines * 2
            columns += [at, at + 1, nxt, nxt + 1]
        for _ in INNER[c]:
            b = base[k]
            columns += [b + e, b + stations + right[e], b + e + 1, b + stations + left[e + 1]]
            k += 1
    return Numbering(foot, foot + inner * (stations + slopes), np.stack(columns, axis=1))


def element_parts() -> tuple[Ints, Ints]:
    """Return which of an element's unknowns belong to its foot, and which do not."""
    foot, at = [], 0
    for k in section_counts():
        foot.append(at + np.arange(4 * len(FOOT_LINES)))
        at += 4 * k
    held = np.concatenate(foot)
    return held, np.setdiff1d(np.arange(at), held)


def _lagrange() -> Floats:
    """Powers of the four foot functions, lowest first: (4, 4)."""
    return np.linalg.inv(np.vander(FOOT_LINES, increasing=True)).T


def foot_curves(width_mm: float) -> tuple[Floats, Floats]:
    """Return (value, slope across for each mm) of the four foot functions in the middle of the foot, both (4,)."""
    powers = _lagrange()
    return powers[:, 0], powers[:, 1] * 2 / width_mm


def section_values(nu: Floats, zeta: Floats) -> list[tuple[Floats, Floats, Floats]]:
    """Return, for s, n and z, (value, d/dnu, d/dzeta) of the section functions: (..., functions)."""
    out = []
    foot = _lagrange()
    for powers in INNER:
        value, by_nu, by_zeta = [], [], []
        for c in foot:
            value.append(polynomial.polyval(nu, c))
            by_nu.append(polynomial.polyval(nu, polynomial.polyder(c)))
            by_zeta.append(np.zeros_like(zeta))
        for i, j in powers:
            value.append(nu**i * zeta**j)
            by_nu.append((i * nu ** (i - 1) if i else 0 * nu) * zeta**j)
            by_zeta.append(nu**i * j * zeta ** (j - 1))
        parts = [np.asarray(np.stack(p, -1), dtype=np.float64) for p in (value, by_nu, by_zeta)]
        out.append((parts[0], parts[1], parts[2]))
    return out


def hermite(t: Floats, length: Floats) -> tuple[Floats, Floats]:
    """Return the four cubic Hermite curves and their slopes at ``t`` in [0, 1]: (..., 4)."""
    n = np.stack(
        [1 - 3 * t**2 + 2 * t**3, length * (t - 2 * t**2 + t**3), 3 * t**2 - 2 * t**3, length * (t**3 - t**2)], axis=-1
    )
    d = np.stack(
        [(6 * t**2 - 6 * t) / length, 1 - 4 * t + 3 * t**2, (6 * t - 6 * t**2) / length, 3 * t**2 - 2 * t], axis=-1
    )
    return n, d


def strain_parts(bar: Bar, nu: Floats, zeta: Floats) -> tuple[Floats, Floats]:
    """Return (by value, by slope), each (..., 6, functions of a section): what multiplies the curves along the bar.

    ``nu`` half widths across, ``zeta`` scale heights from the foot. Order ss nn zz nz sz sn, engineering shears.
    Along an arc a line at n is (1 - n / radius) times as long, and a displacement across it stretches it: the strains
    of plane polar coordinates.
    """
    bend = 1 / bar.radius_mm
    stretch = 1 - nu * (bar.width_mm / 2 * bend)
    width = sum(section_counts())
    held, turned = np.zeros((*nu.shape, 6, width)), np.zeros((*nu.shape, 6, width))
    start = 0
    for c, (value, by_nu, by_zeta) in enumerate(section_values(nu, zeta)):
        cols = slice(start, start + value.shape[-1])
        start += value.shape[-1]
        along, across, away = ((0, 5, 4), (5, 1, 3), (4, 3, 2))[c]
        turned[..., along, cols] = value / stretch[..., None]
        held[..., across, cols] = by_nu * (2 / bar.width_mm)
        held[..., away, cols] = by_zeta / bar.scale_mm
        if c < 2 and bend:
            row, sign = ((5, 1), (0, -1))[c]
            held[..., row, cols] += sign * bend * value / stretch[..., None]
        if c == 2:
            # z of the bar points into the room, the plate's outward displacement is its opposite.
            for row, kappa in zip((0, 1, 5), bar.curvature, strict=True):
                held[..., row, cols] += kappa * value
    return held, turned
