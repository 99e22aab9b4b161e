"""A straight beam of varying section: how far it bends and how it rings."""

from __future__ import annotations

from math import pi

import numpy as np

from braces.base.arrays import Floats

_T, _W = np.polynomial.legendre.leggauss(3)


def bench_deflection_mm(x_mm: Floats, bending_n_mm2: Floats, shear_n: Floats, load_n: float) -> float:
    """Return how far the middle of a beam on two supports at its ends sinks under a load in the middle.

    ``bending_n_mm2`` E I and ``shear_n`` G A' (n,) at stations ``x_mm`` (n,). Castigliano: the sum of
    M^2 / (P E I) + V^2 / (P G A'), M = P x / 2 from the nearer end, V = P / 2 (textbook).
    """
    length = x_mm[-1] - x_mm[0]
    arm = np.minimum(x_mm - x_mm[0], x_mm[-1] - x_mm)
    return float(np.trapezoid(load_n * arm**2 / 4 / bending_n_mm2 + load_n / 4 / shear_n, x_mm)) if length > 0 else 0.0


def gauss_places(x_mm: Floats) -> Floats:
    """Return the three places in each stretch between stations (n,) where a bar is looked at: (n - 1, 3)."""
    return x_mm[:-1, None] + np.diff(x_mm)[:, None] * (_T + 1) / 2


def free_bar_hz(x_mm: Floats, bending_n_mm2: Floats, metre_mass_g: Floats) -> float:
    """Return the fundamental of a free bar of varying section (Euler beam, cubic elements between stations).

    E I and the mass of a metre are wanted at ``gauss_places`` of the stations ``x_mm`` (n,): (n - 1, 3).
    """
    n = len(x_mm)
    stiff, mass = np.zeros((2 * n, 2 * n)), np.zeros((2 * n, 2 * n))
    h = np.diff(x_mm)
    for g, (t, w) in enumerate(zip((_T + 1) / 2, _W / 2, strict=True)):
        shape = np.stack(
            [
                np.full(n - 1, 1 - 3 * t**2 + 2 * t**3),
                h * (t - 2 * t**2 + t**3),
                np.full(n - 1, 3 * t**2 - 2 * t**3),
                h * (t**3 - t**2),
            ],
            axis=1,
        )
        curve = np.stack([(12 * t - 6) / h**2, (6 * t - 4) / h, (6 - 12 * t) / h**2, (6 * t - 2) / h], axis=1)
        k = (w * h * bending_n_mm2[:, g])[:, None, None] * curve[:, :, None] * curve[:, None, :]
        m = (w * h * metre_mass_g[:, g] * 1e-9)[:, None, None] * shape[:, :, None] * shape[:, None, :]
        for i in range(4):
            for j in range(4):
                rows, cols = 2 * np.arange(n - 1) + i, 2 * np.arange(n - 1) + j
                np.add.at(stiff, (rows, cols), k[:, i, j])
                np.add.at(mass, (rows, cols), m[:, i, j])
    half = np.linalg.inv(np.linalg.cholesky(mass))
    values = np.linalg.eigvalsh(half @ stiff @ half.T)
    return float(np.sqrt(max(values[2], 0.0)) / (2 * pi))  # the first two move without bending
