"""A bar's mesh made section by section: quicker than the kernel's for curved tops, and no finer than it need be."""

from __future__ import annotations

from itertools import pairwise
from math import ceil, inf

import numpy as np
from manifold3d import triangulate

from braces.base.arrays import Array, Floats
from braces.curves.hermite import Hermite
from braces.solids.mesh import Triangles, Vertices


def swept(x: Floats, sections: Array) -> tuple[Vertices, Triangles]:
    """Return the closed net through sections (k, m, 2) of (y, z) at places ``x`` (k,), each anticlockwise seen
    from +X."""
    k, m, _ = sections.shape
    vertices = np.concatenate([np.broadcast_to(x[:, None, None], (k, m, 1)), sections], axis=2).reshape(-1, 3)
    i = np.arange(k - 1)[:, None] * m
    a = i + np.arange(m)[None, :]
    b = i + (np.arange(m)[None, :] + 1) % m
    sides = np.stack([np.stack([a, b, b + m], axis=-1), np.stack([a, b + m, a + m], axis=-1)], axis=2).reshape(-1, 3)
    head = np.array(triangulate([sections[0]]), dtype=np.int64)
    foot = np.array(triangulate([sections[-1]]), dtype=np.int64) + (k - 1) * m
    return vertices, np.concatenate([sides, head[:, ::-1], foot]).astype(np.int64)


def places(
    curves: tuple[Hermite, ...], span: tuple[float, float], tolerance_mm: float, most_rise_mm: float = inf
) -> Floats:
    """Return places along X between which straight chords leave none of the curves by more than the tolerance.

    A chord over h leaves a curve by at most h^2 / 8 times its largest second derivative, which in a cubic piece
    is found at one of its ends. ``most_rise_mm``: the last of the curves rises by no more between two places.
    """
    knots = np.unique(np.concatenate([span, *(c.x_mm for c in curves)]))
    knots = knots[(knots >= span[0]) & (knots <= span[1])]
    steps = [knots[:1]]
    for lo, hi in pairwise(knots.tolist()):
        bend = max(float(np.abs(c.second(np.array([lo + 1e-9, hi - 1e-9]))).max()) for c in curves)
        steepest = float(np.abs(curves[-1].slope(np.linspace(lo, hi, 9))).max())
        n = max(1, ceil((hi - lo) * np.sqrt(bend / (8 * tolerance_mm))), ceil((hi - lo) * steepest / most_rise_mm))
        steps.append(np.linspace(lo, hi, n + 1)[1:])
    found = np.concatenate(steps)
    return np.asarray(found[np.concatenate([[True], np.diff(found) > 1e-6])])
