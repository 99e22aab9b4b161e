"""A bar bent between two plates: its push, its bow and its stress, from the elastica.

A straight bar with free-turning ends, longer than the gap it stands in, bows sideways. With k = sin(a/2) and a the
slope of its ends, K and E the complete elliptic integrals of k:

    gap / length = 2 E / K - 1,   push = 4 K^2 EI / length^2,   bow = length k / K

(Timoshenko & Gere, Theory of Elastic Stability, art. 2.7). Limits: the bar is slender, bends within its elastic
range, does not shorten and has no set; its ends turn freely and its tips stay where they stand.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, cos, degrees, pi

STEEPEST_DEG = 80.0  #: ends that lean more may kick out: an assumption on the safe side of 90
#: Gap over length of a bar whose ends lean so much: 2 E / K - 1. Written out, so that a check needs no integrals.
LEAST_GAP_RATIO = 0.5593959189511761
_HALVINGS = 60  #: of the parameter between 0 and 0.42: to the last digit of a number


@dataclass(frozen=True, slots=True)
class BentBar:
    """One bar as it stands."""

    push_n: float  #: along the line between its ends
    euler_n: float  #: push at which a straight bar of this length begins to bow
    bow_mm: float  #: of its middle, sideways
    end_slope_deg: float  #: of its ends to the line between them
    moment_n_mm: float  #: greatest bending moment, in the middle
    energy_n_mm: float  #: stored, and set free if it slips


def refuse_gap(length_mm: float, gap_mm: float) -> None:
    """Raise ValueError if a bar is not longer than the gap or would lean more than ``STEEPEST_DEG`` at its ends."""
    if not 0 < gap_mm < length_mm:
        raise ValueError(f"a bar of {length_mm:.1f} mm does not bow in a gap of {gap_mm:.1f} mm")
    if gap_mm < LEAST_GAP_RATIO * length_mm:
        raise ValueError(
            f"a bar of {length_mm:.1f} mm in a gap of {gap_mm:.1f} mm leans more than {STEEPEST_DEG:.0f} degrees"
        )


def _parameter(share: float) -> float:
    """Return k^2 of the bar whose gap is this share of its length.

    Halving needs no more than SciPy's elliptic integrals, which load in a tenth of the time of its root finders.
    """
    from scipy.special import ellipe, ellipk

    low, high = 0.0, (1 - cos(STEEPEST_DEG * pi / 180)) / 2 * (1 + 1e-9)  # k^2 = sin^2(a/2), SciPy's parameter m
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if 2 * ellipe(middle) / ellipk(middle) - 1 > share:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def bent_bar(length_mm: float, gap_mm: float, stiffness_n_mm2: float) -> BentBar:
    """Return how a bar of bending stiffness EI stands in a gap.

    Raises ValueError if the bar is not longer than the gap or would lean more than ``STEEPEST_DEG`` at its ends.

    >>> bar = bent_bar(1000.0, 932.4, 1e6)  # ends lean 30 degrees
    >>> round(bar.push_n / bar.euler_n, 4), round(bar.bow_mm, 1), round(bar.end_slope_deg, 1)
    (1.0351, 162.0, 30.0)
    """
    from scipy.special import ellipk

    refuse_gap(length_mm, gap_mm)
    share = gap_mm / length_mm
    m = _parameter(share)
    k, big_k = m**0.5, float(ellipk(m))
    push = 4 * big_k**2 * stiffness_n_mm2 / length_mm**2
    slope = 2 * asin(k)
    bow = length_mm * k / big_k
    # The curvature's square is 2 P (cos t - cos a) / EI: summed along the bar it gives P (gap - length cos a).
    energy = push * (gap_mm - length_mm * cos(slope))
    return BentBar(push, pi**2 * stiffness_n_mm2 / length_mm**2, bow, degrees(slope), push * bow, energy)
