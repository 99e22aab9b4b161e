"""Two strips glued face to face that want to be of different lengths.

With EA and EI of each and the distance h of their middles, a free strain difference e bends the pair by

    1/R = e h / ((EI1 + EI2) (1/EA1 + 1/EA2) + h^2)

which is Timoshenko's formula for bimetal strips (Analysis of bi-metal thermostats, 1925) for any sections. Limits:
plane sections stay plane, both stay elastic and are free otherwise; the glue line does not creep.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf


@dataclass(frozen=True, slots=True)
class Layer:
    """One of two strips at a section."""

    stretch_n: float  #: E A
    bend_n_mm2: float  #: E I about its own middle
    middle_mm: float  #: height of its middle over any common level


def curvature(low: Layer, high: Layer, strain_ratio: float) -> float:
    """Return the curvature in 1/mm that the lower layer takes when it wants to be longer by ``strain_ratio``.

    Positive: the lower face becomes the outside of the bend.

    >>> one = Layer(1000.0, 1000.0 / 12, 0.0)  # 1 x 1 mm, E = 1000
    >>> two = Layer(1000.0, 1000.0 / 12, 1.0)
    >>> round(curvature(one, two, 1e-3), 9)  # equal strips: 3 e / (2 h), h = 2 mm in all
    0.00075
    """
    h = high.middle_mm - low.middle_mm
    own = low.bend_n_mm2 + high.bend_n_mm2
    return strain_ratio * h / (own * (1 / low.stretch_n + 1 / high.stretch_n) + h * h)


def together_n_mm2(low: Layer, high: Layer) -> float:
    """Return E I of both glued together about their common neutral axis."""
    h = high.middle_mm - low.middle_mm
    return low.bend_n_mm2 + high.bend_n_mm2 + h * h / (1 / low.stretch_n + 1 / high.stretch_n)


def sprung_back_ratio(low: Layer, high: Layer) -> float:
    """Return how much of the dish's curvature is lost on taking it out: the lower layer was flat, the upper arched.

    The lower layer's moment, E I over the dish's radius, is let go and bends both together.
    """
    return low.bend_n_mm2 / together_n_mm2(low, high)


def radius_mm(curvature_per_mm: float) -> float:
    """Return the radius of a curvature, infinite if it is flat, negative if it is hollow.

    >>> radius_mm(0.0), radius_mm(-0.001)
    (inf, -1000.0)
    """
    return inf if curvature_per_mm == 0 else 1 / curvature_per_mm
