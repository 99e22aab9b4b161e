"""Numbers for JSON: five significant figures, more than any of them deserves, enough to compare two runs."""

from __future__ import annotations

from math import floor, log10

_SIGNIFICANT = 5


def rounded(value: float | None) -> float | None:
    """Return a value with five significant figures.

    >>> rounded(1234.5678), rounded(-0.0), rounded(None)
    (1234.6, -0.0, None)
    """
    if value is None or value == 0:
        return value
    return round(float(value), _SIGNIFICANT - 1 - floor(log10(abs(value)))) + 0.0
