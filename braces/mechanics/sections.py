"""Section properties of a carved brace at stations along it.

Heights are measured from the glue face; its arch and bevel within the foot are left out (a fraction of a
millimetre). Integrals across the foot are Gauss sums on the strips of the section's shape, on which the top is a
polynomial of degree 2 at most, so they are exact.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import CarvedBrace

_T, _W = np.polynomial.legendre.leggauss(4)


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """Per station, all (n,). The level axis through the centroid is meant, y across, z from the glue face up."""

    area_mm2: Floats
    centroid_mm: Floats  #: above the glue face
    inertia_mm4: Floats  #: about the level axis through the centroid
    top_mm: Floats  #: highest wood on the centre line
    bottom_mm: Floats  #: lowest wood there: above 0 where a notch opens to the plate


def columns(brace: CarvedBrace) -> tuple[Floats, Floats]:
    """Return (y, weight) of the Gauss columns across the foot, both (m,); the weights sum to the width, mm."""
    edges = brace.shape.y_mm
    half = np.diff(edges) / 2
    y = (edges[:-1] + half)[:, None] + half[:, None] * _T
    return y.ravel(), (half[:, None] * _W).ravel()


def faces(brace: CarvedBrace, x: Floats, y: Floats, notched: bool = True) -> tuple[Floats, Floats]:
    """Return (bottom, top) of the wood above the glue face at stations ``x`` (n,) and columns ``y`` (m,): (n, m).

    Inside a notch only what is left of the height stays: its plate side or its room side.
    """
    top = brace.height(x)[:, None] - brace.drop(x)[:, None] * brace.shape(y)[None, :]
    bottom = np.zeros_like(top)
    if notched:
        for cut in brace.notches:
            # Over the width of a brace its bend does not show in the place of a wall.
            lean = 0.0 if abs(cut.angle_deg - 90) < 1e-9 else 1 / np.tan(np.radians(cut.angle_deg))
            inside = np.abs(x[:, None] - cut.at_mm - y[None, :] * lean) < cut.width_mm / 2
            inside = inside & ((y >= cut.y_from_mm) & (y <= cut.y_to_mm))[None, :]
            floor = brace.height.at(cut.at_mm) - cut.depth_mm if cut.opens == "room" else cut.depth_mm
            if cut.opens == "room":
                top = np.where(inside, np.minimum(top, floor), top)
            else:
                bottom = np.where(inside, np.maximum(bottom, floor), bottom)
    return bottom, np.maximum(top, bottom)


def section(brace: CarvedBrace, x: Floats, notched: bool = True) -> Section:
    """Return the section properties at stations ``x`` (n,), mm from the start of the brace."""
    y, w = columns(brace)
    bottom, top = faces(brace, x, y, notched)
    area = (top - bottom) @ w
    first = (top**2 - bottom**2) / 2 @ w
    second = (top**3 - bottom**3) / 3 @ w
    centroid = first / area
    low, ridge = faces(brace, x, np.zeros(1), notched)
    return Section(area, centroid, second - area * centroid**2, ridge[:, 0], low[:, 0])


def even_rise_mm(old: CarvedBrace, new: CarvedBrace, x: Floats) -> Floats:
    """Return how far all the width of ``old`` would have to rise at stations ``x`` (n,) to be as stiff as ``new``.

    Stiffness about the glue face, the integral of top^3 / 3 across the foot, to first order: where a section's
    shoulders come down with its edge, the even rise is less than that of the edge. Notches are left out.
    """
    y, w = columns(old)
    was, now = faces(old, x, y, notched=False)[1], faces(new, x, y, notched=False)[1]
    return np.asarray((now**3 - was**3) @ w / 3 / (was**2 @ w))


@dataclass(frozen=True, slots=True, eq=False)
class Composite:
    """A brace acting with its strip of plate, per station (n,)."""

    axis_mm: Floats  #: neutral axis above the glue face (negative: inside the plate)
    stretch_n: Floats  #: E A of both together
    stiffness_n_mm2: Floats  #: E I of both about the common neutral axis


def composite(
    part: Section, e_brace_mpa: float, e_strip_mpa: float, strip_width_mm: float, strip_thickness_mm: float
) -> Composite:
    """Return the transformed section of a brace glued on a plate strip (textbook: E-weighted areas).

    Plane sections stay plane through the glue line; the strip's width is an assumption of the caller's.
    """
    brace_ea = e_brace_mpa * part.area_mm2
    strip_ea = e_strip_mpa * strip_width_mm * strip_thickness_mm
    strip_at = -strip_thickness_mm / 2
    both = brace_ea + strip_ea
    axis = (brace_ea * part.centroid_mm + strip_ea * strip_at) / both
    ei = (
        e_brace_mpa * part.inertia_mm4
        + brace_ea * (part.centroid_mm - axis) ** 2
        + strip_ea * strip_thickness_mm**2 / 12
        + strip_ea * (strip_at - axis) ** 2
    )
    return Composite(axis, both, ei)
