"""Modes of a free rectangular orthotropic plate by Ritz's method: what a luthier's tap tones are made of."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from numpy.polynomial import legendre

from braces.base.arrays import Floats


@dataclass(frozen=True, slots=True)
class TapTones:
    """The three lowest shapes that tell the three stiffnesses apart."""

    twist_hz: float  #: both centre lines at rest: governed by the shear stiffness
    along_hz: float  #: bends along the grain
    across_hz: float  #: bends across the grain


def _parts(n: int) -> tuple[Floats, Floats, Floats]:
    """Gram matrices on [-1, 1] of orthonormal Legendre polynomials: (p'' p''), (p'' p), (p' p')."""
    x, w = legendre.leggauss(n + 2)
    rows = [
        [legendre.legval(x, legendre.legder(np.eye(n)[i], d) if d else np.eye(n)[i]) * sqrt(i + 0.5) for i in range(n)]
        for d in range(3)
    ]
    f, d1, d2 = (np.array(r) for r in rows)
    return (d2 * w) @ d2.T, (d2 * w) @ f.T, (d1 * w) @ d1.T


def free_plate_modes(
    length_mm: float,
    width_mm: float,
    thickness_mm: float,
    density_kg_m3: float,
    stiffness_mpa: tuple[float, float, float, float],
    terms: int = 12,
) -> tuple[Floats, Floats]:
    """Return (frequencies in Hz, ascending, without the three rigid ones; shapes (terms^2, modes)).

    ``stiffness_mpa``: plane-stress E1, E2, G12 and E12 = nu12 E2 (all already divided by 1 - nu12 nu21 except G12);
    axis 1 along ``length_mm``. A Ritz value is never below the true one; 12 terms each way are converged to four
    figures for the first ten modes of a plate up to 3 : 1.
    """
    q11, q22, g12, q12 = stiffness_mpa
    d = thickness_mm**3 / 12
    bend, mixed, slope = _parts(terms)
    one = np.eye(terms)
    a, b = 2 / length_mm, 2 / width_mm
    k = d * (
        q11 * a**4 * np.kron(bend, one)
        + q22 * b**4 * np.kron(one, bend)
        + q12 * a**2 * b**2 * (np.kron(mixed, mixed.T) + np.kron(mixed.T, mixed))
        + 4 * g12 * a**2 * b**2 * np.kron(slope, slope)
    )
    values, shapes = np.linalg.eigh((k + k.T) / 2)
    surface = density_kg_m3 * 1e-12 * thickness_mm  # tonne/mm2, so that MPa and mm give rad/s
    return np.sqrt(np.maximum(values[3:], 0) / surface) / (2 * pi), shapes[:, 3:]


def tap_tones(
    length_mm: float,
    width_mm: float,
    thickness_mm: float,
    density_kg_m3: float,
    e_along_mpa: float,
    e_across_mpa: float,
    shear_mpa: float,
    nu_ratio: float,
    terms: int = 12,
) -> TapTones:
    """Return the three tap tones of a free plate whose grain runs along its length.

    ``nu_ratio`` is nu_LR. The bending tones are picked by which plain bending shape they hold most of.
    """
    cross = 1 - nu_ratio**2 * e_across_mpa / e_along_mpa
    q = (e_along_mpa / cross, e_across_mpa / cross, shear_mpa, nu_ratio * e_across_mpa / cross)
    hz, shapes = free_plate_modes(length_mm, width_mm, thickness_mm, density_kg_m3, q, terms)

    def tone(i: int, j: int) -> float:
        return float(hz[int(np.argmax(np.abs(shapes[i * terms + j, : terms * 2])))])

    return TapTones(tone(1, 1), tone(2, 0), tone(0, 2))
