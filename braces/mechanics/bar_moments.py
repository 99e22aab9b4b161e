"""A bar's element matrices from the moments of its sections.

Strains in a section are polynomials across and up, so its stiffness is a fixed tensor times the section's moments
(integral of nu^i zeta^j). The tensor is made once for a bar's width, wood and scale; a new profile only gives new
moments. The same numbers as Gauss points up each column, and many times quicker.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.bar import Bar, hermite, section_counts, section_values, strain_parts

_S, _SW = np.polynomial.legendre.leggauss(4)
_POWERS = 4  #: of a strain, each way: cubics
_PRODUCTS = 2 * _POWERS - 1
#: Places at which polynomials are read off; any would do.
_READ = np.cos(np.pi * (np.arange(_POWERS) + 0.5) / _POWERS)


@dataclass(frozen=True, slots=True, eq=False)
class Sections:
    """What turns moments into a section's stiffness and mass."""

    stiffness: Floats  #: (49, 2 x 2 x k k): against values or slopes, both ways, of the k functions
    mass: tuple[Floats, ...]  #: for s, n and z: (49, own functions squared)


def _coefficients(values: Floats) -> Floats:
    """(4, 4, ...) values at the places read off, across and up, to coefficients of nu^i zeta^j."""
    back = np.linalg.inv(np.vander(_READ, _POWERS, increasing=True))
    return np.asarray(np.einsum("ia,jb,ab...->ij...", back, back, values))


def _products(left: Floats, right: Floats) -> Floats:
    """(4, 4, r, m) and (4, 4, r, n) polynomials to (49, m n) coefficients of their product, summed over r."""
    m, n = left.shape[-1], right.shape[-1]
    out = np.zeros((_PRODUCTS, _PRODUCTS, m, n))
    for i in range(_POWERS):
        for j in range(_POWERS):
            out[i : i + _POWERS, j : j + _POWERS] += np.matmul(left[i, j].T, right)
    return out.reshape(_PRODUCTS**2, m * n)


def sections(bar: Bar) -> Sections:
    """Return the tensors of a bar; they depend on its width, scale, wood and curvature only, and on its bend.

    Strains of a curved bar are no polynomials across, but cubics through the places read off all the same: of the
    highest functions some width / (2 radius) is lost, of a motion without strain nothing.
    """
    nu, zeta = np.meshgrid(_READ, _READ, indexing="ij")
    strain = _coefficients(np.concatenate(strain_parts(bar, nu, zeta), axis=-1))
    heavy = []
    for value, _, _ in section_values(nu, zeta):
        c = _coefficients(value)[:, :, None, :]
        heavy.append(_products(c, bar.density_kg_m3 * 1e-12 * c))
    k = strain.shape[-1] // 2
    stiff = _products(strain, bar.law @ strain).reshape(-1, 2, k, 2, k).transpose(0, 1, 3, 2, 4)
    return Sections(np.ascontiguousarray(stiff).reshape(len(stiff), -1), tuple(heavy))


def moments(bar: Bar, raised: Floats | None = None) -> Floats:
    """Return (elements, 4, 49) integrals of nu^i zeta^j over the sections at an element's Gauss points.

    Weights along the bar are in them. ``raised`` (elements, 2) lifts the carved edge at both ends of each element, mm.
    """
    x0, length = bar.stations_mm[:-1, None], np.diff(bar.stations_mm)[:, None]
    t = np.broadcast_to((_S + 1) / 2, (bar.elements, len(_S)))
    y, wy = bar.columns
    bottom, top = bar.faces((x0 + t * length).ravel(), y)
    if raised is not None:
        top = top + (raised[:, :1] * (1 - t) + raised[:, 1:] * t).ravel()[:, None]
    low, high = bottom / bar.scale_mm, np.maximum(top, bottom) / bar.scale_mm
    weight = (length * _SW / 2).ravel()[:, None] * (wy * (1 - y / bar.radius_mm))
    across = (2 * y / bar.width_mm)[:, None] ** np.arange(_PRODUCTS)
    out = np.empty((len(low), _PRODUCTS, _PRODUCTS))
    a, b = low.copy(), high.copy()
    for j in range(_PRODUCTS):
        out[:, :, j] = (weight * ((b - a) * (bar.scale_mm / (j + 1)))) @ across
        a, b = a * low, b * high
    return out.reshape(bar.elements, len(_S), _PRODUCTS**2)


def element_stiffness(bar: Bar, of: Sections, own: Floats) -> Floats:
    """Return (elements, u, u), N/mm, from the moments ``own``."""
    k, e, p = sum(section_counts()), bar.elements, len(_S)
    curve, slope = hermite(np.broadcast_to((_S + 1) / 2, (e, p)), np.diff(bar.stations_mm)[:, None])
    both = np.stack([curve, slope], axis=2)  # (elements, places, 2, 4)
    pairs = both[:, :, :, None, :, None] * both[:, :, None, :, None, :]
    # (elements, 16, places x 4) by (elements, places x 4, k k): one product for each element.
    section = (own.reshape(-1, _PRODUCTS**2) @ of.stiffness).reshape(e, p * 4, k * k)
    out = np.matmul(pairs.reshape(e, p * 4, 16).transpose(0, 2, 1), section).reshape(e, 4, 4, k, k)
    return np.ascontiguousarray(out.transpose(0, 3, 1, 4, 2)).reshape(e, 4 * k, 4 * k)


def element_mass(bar: Bar, of: Sections, own: Floats) -> Floats:
    """Return (elements, u, u), tonne, from the moments ``own``."""
    e, p = bar.elements, len(_S)
    t = np.broadcast_to((_S + 1) / 2, (e, p))
    curve, _ = hermite(t, np.diff(bar.stations_mm)[:, None])
    pairs = (curve[..., :, None] * curve[..., None, :]).reshape(e, p, 16)
    counts = section_counts()
    out = np.zeros((e, 4 * sum(counts), 4 * sum(counts)))
    start = 0
    for k, tensor in zip(counts, of.mass, strict=True):
        section = np.matmul(own, tensor).reshape(e, p, k * k)
        both = np.matmul(section.transpose(0, 2, 1), pairs).reshape(e, k, k, 4, 4).transpose(0, 1, 3, 2, 4)
        out[:, start : start + 4 * k, start : start + 4 * k] = both.reshape(e, 4 * k, 4 * k)
        start += 4 * k
    return out


def element_matrices(bar: Bar, raised: Floats | None = None, of: Sections | None = None) -> tuple[Floats, Floats]:
    """Return (stiffness, mass), (elements, u, u) in N/mm and tonne.

    ``raised`` (elements, 2), if given, lifts the carved edge at the two ends of each element by so many mm, linearly
    between them: what a derivative by the height needs. ``of``: the bar's own tensors, if they were made before.
    """
    own, tensors = moments(bar, raised), of or sections(bar)
    return element_stiffness(bar, tensors, own), element_mass(bar, tensors, own)
