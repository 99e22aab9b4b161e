"""What a millimetre of brace height costs and gains: derivatives by every station of every brace.

The bridge's turn by the adjoint method, d(turn) = -adjoint^T dK u, and frequencies by
df = shape^T (dK - omega^2 dM) shape / (4 pi omega), shapes mass-normalised and modes simple (textbook; Nelson 1976,
from memory). dK and dM are central differences of the elements that hold the station, over a hundredth of a
millimetre; the tests compare whole derivatives with differences of two full solutions.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import degrees, pi

import numpy as np

from braces.base.arrays import Floats, frozen_floats
from braces.mechanics.analyse import Solved
from braces.mechanics.bar import Bar
from braces.mechanics.bar_moments import element_matrices, sections

_STEP_MM = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class BraceGain:
    """Change for each mm that a brace is left higher about a station, falling away linearly to its neighbours."""

    name: str
    x_mm: Floats  #: (k,) stations
    turn_deg: Floats  #: (k,) of the bridge's turn, deg for each mm
    hertz: Floats  #: (k, modes), Hz for each mm
    mass_g: Floats  #: (k,) g for each mm


def in_notch(bar: Bar) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Which elements lie in a notch: their height is set by the joint, not by the carving."""
    out = np.zeros(bar.elements, dtype=bool)
    for a, b in zip(bar.breaks[::2], bar.breaks[1::2], strict=True):
        out[a:b] = True
    return out


def lifted(bar: Bar, lift_mm: Floats) -> Bar:
    """Return the bar with its carved edge lifted at its stations (k,), linearly between them, notches as they are."""
    x = bar.stations_mm
    fixed = in_notch(bar)

    def faces(s: Floats, y: Floats) -> tuple[Floats, Floats]:
        bottom, top = bar.faces(s, y)
        e = np.clip(np.searchsorted(x, s, side="right") - 1, 0, bar.elements - 1)
        return bottom, np.maximum(top + np.where(fixed[e], 0.0, np.interp(s, x, lift_mm))[:, None], bottom)

    return replace(bar, faces=faces)


def raised(bar: Bar, station: int, by_mm: float) -> Bar:
    """Return the bar with its carved edge lifted about one station, as the derivatives mean it."""
    lift = np.zeros(len(bar.stations_mm))
    lift[station] = by_mm
    return lifted(bar, lift)


def gains(solved: Solved) -> tuple[BraceGain, ...]:
    """Return the derivatives by the heights of all braces. On a plate without a string load the turn's are zero."""
    bound = solved.system.bound
    pulled = adjoint = np.zeros(solved.system.count)
    if solved.deflection is not None and solved.turn is not None and solved.factor is not None:
        pulled, adjoint = solved.deflection, solved.factor.solve(solved.turn)
    own = np.asarray(bound.hanging.rows @ np.column_stack([pulled, adjoint, solved.shapes]))
    return gains_of(bound.plate.bars, own.reshape(len(bound.hanging.feet), -1, own.shape[1]), solved.hertz)


def gains_of(bars: tuple[Bar, ...], own: Floats, hertz_of: Floats) -> tuple[BraceGain, ...]:
    """Return the derivatives from the elements' movements (elements, unknowns, 2 + modes).

    The first two movements are those under the strings and of the adjoint; modes are mass-normalised, their
    frequencies ``hertz_of``.
    """
    omega = 2 * pi * hertz_of
    at, out = 0, []
    for bar in bars:
        mine = own[at : at + bar.elements]
        at += bar.elements
        turn, hertz = np.zeros(len(bar.stations_mm)), np.zeros((len(bar.stations_mm), len(omega)))
        mass = np.zeros(len(bar.stations_mm))
        free = ~in_notch(bar)
        length = np.diff(bar.stations_mm)
        for end in (0, 1):
            dk, dm = _difference(bar, end)
            u, lam, shapes = mine[..., 0], mine[..., 1], mine[..., 2:]
            d_turn = -np.einsum("ei,eij,ej->e", lam, dk, u)
            d_hertz = np.einsum("eim,eij,ejm->em", shapes, dk, shapes)
            d_hertz -= omega**2 * np.einsum("eim,eij,ejm->em", shapes, dm, shapes)
            stations = np.arange(bar.elements) + end
            np.add.at(turn, stations[free], d_turn[free])
            np.add.at(hertz, stations[free], d_hertz[free] / (4 * pi * omega))
            np.add.at(mass, stations[free], (bar.density_kg_m3 * 1e-6 * bar.width_mm * length / 2)[free])
        hertz.setflags(write=False)
        out.append(
            BraceGain(
                bar.name, frozen_floats(bar.stations_mm), frozen_floats(np.degrees(turn)), hertz, frozen_floats(mass)
            )
        )
    return tuple(out)


def _difference(bar: Bar, end: int) -> tuple[Floats, Floats]:
    """(dK, dM) of every element by the height at one of its ends, for each mm."""
    lift = np.zeros((bar.elements, 2))
    lift[:, end] = _STEP_MM
    of = sections(bar)
    up, down = element_matrices(bar, lift, of), element_matrices(bar, -lift, of)
    return (up[0] - down[0]) / (2 * _STEP_MM), (up[1] - down[1]) / (2 * _STEP_MM)


def turn_deg(solved: Solved) -> float:
    """The bridge's turn under the strings, deg. Raises ValueError for a plate without a string load."""
    if solved.deflection is None or solved.turn is None:
        raise ValueError("there is no string load on this plate")
    return degrees(float(solved.turn @ solved.deflection))
