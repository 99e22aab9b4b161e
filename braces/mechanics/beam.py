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


def bench_curve_mm(x_mm: Floats, bending_n_mm2: Floats, shear_n: Floats, load_n: float) -> Floats:
    """Return how far every station (n,) of that beam sinks: M / E I integrated twice, V / G A' once (textbook)."""
    if x_mm[-1] <= x_mm[0]:
        return np.zeros(len(x_mm))
    middle = (x_mm[0] + x_mm[-1]) / 2
    arm = np.minimum(x_mm - x_mm[0], x_mm[-1] - x_mm)
    turn = _summed(x_mm, load_n * arm / 2 / bending_n_mm2)
    slide = _summed(x_mm, np.where(x_mm <= middle, 0.5, -0.5) * load_n / shear_n)
    sink = slide - _summed(x_mm, turn)
    return np.asarray(sink - sink[0] - (sink[-1] - sink[0]) * (x_mm - x_mm[0]) / (x_mm[-1] - x_mm[0]))


def _summed(x_mm: Floats, values: Floats) -> Floats:
    """Running integral by trapezia, from 0."""
    return np.concatenate([[0.0], np.cumsum(np.diff(x_mm) * (values[:-1] + values[1:]) / 2)])


def gauss_places(x_mm: Floats) -> Floats:
    """Return the three places in each stretch between stations (n,) where a bar is looked at: (n - 1, 3)."""
    return x_mm[:-1, None] + np.diff(x_mm)[:, None] * (_T + 1) / 2


def free_bar_hz(
    x_mm: Floats,
    bending_n_mm2: Floats,
    metre_mass_g: Floats,
    shear_n: Floats | None = None,
    turn_g_mm2: Floats | None = None,
) -> float:
    """Return the fundamental of a free bar of varying section, elements between stations ``x_mm`` (n,).

    All of it at ``gauss_places``, (n - 1, 3): E I, the mass of a metre, G A' (shear left out if not given), and the
    mass of a metre times I / A (rotary inertia left out if not given). Timoshenko's beam; shape functions that meet its
    static equations within each element (Friedman and Kosmatka 1993), with E I / G A' of the element's middle.
    """
    n, h = len(x_mm), np.diff(x_mm)
    share = np.zeros(n - 1) if shear_n is None else 12 * bending_n_mm2[:, 1] / (shear_n[:, 1] * h**2)
    stiff, mass = np.zeros((2 * n, 2 * n)), np.zeros((2 * n, 2 * n))
    for g, (t, w) in enumerate(zip((_T + 1) / 2, _W / 2, strict=True)):
        sink, turn, curve, slide = _shapes(float(t), h, share)
        k = (w * h * bending_n_mm2[:, g])[:, None, None] * curve[:, :, None] * curve[:, None, :]
        m = (w * h * metre_mass_g[:, g] * 1e-9)[:, None, None] * sink[:, :, None] * sink[:, None, :]
        if shear_n is not None:
            k += (w * h * shear_n[:, g])[:, None, None] * slide[:, :, None] * slide[:, None, :]
        if turn_g_mm2 is not None:
            m += (w * h * turn_g_mm2[:, g] * 1e-9)[:, None, None] * turn[:, :, None] * turn[:, None, :]
        for i in range(4):
            for j in range(4):
                rows, cols = 2 * np.arange(n - 1) + i, 2 * np.arange(n - 1) + j
                np.add.at(stiff, (rows, cols), k[:, i, j])
                np.add.at(mass, (rows, cols), m[:, i, j])
    half = np.linalg.inv(np.linalg.cholesky(mass))
    values = np.linalg.eigvalsh(half @ stiff @ half.T)
    return float(np.sqrt(max(values[2], 0.0)) / (2 * pi))  # the first two move without bending


def _shapes(t: float, h: Floats, share: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Movement, turn, curvature, shear strain at t of every element, (elements, 4): for its ends' movements and turns.

    ``share`` is 12 E I / (G A' h^2): 0 gives Euler's beam and Hermite's cubics.
    """
    one, two, three = np.ones(len(h)), t**2, t**3
    m = 1 / (1 + share)
    sink = [
        1 - 3 * two + 2 * three + share * (1 - t),
        h * (t - 2 * two + three + share / 2 * (t - two)),
        3 * two - 2 * three + share * t,
        h * (three - two + share / 2 * (two - t)),
    ]
    turn = [
        6 * (two - t) / h,
        1 - 4 * t + 3 * two + share * (1 - t),
        6 * (t - two) / h,
        3 * two - 2 * t + share * t,
    ]
    curve = [(12 * t - 6) / h**2, (6 * t - 4 - share) / h, (6 - 12 * t) / h**2, (6 * t - 2 + share) / h]
    slide = [-share / h, -share / 2 * one, share / h, -share / 2 * one]
    made = [np.stack([m * row * one for row in rows], axis=1) for rows in (sink, turn, curve, slide)]
    return made[0], made[1], made[2], made[3]
