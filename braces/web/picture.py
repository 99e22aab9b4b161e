"""Lines of a drawing as the page draws them: paths in mm, y down, by layer. Nothing here is worked out anew."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from braces.base.arrays import Points
from braces.sheets.drawing import Mark, Stroke

Table = dict[str, Any]  #: what becomes JSON


def path(points: Points, closed: bool = False) -> str:
    """Return a path through (n, 2) points given y up."""
    flat = np.round(np.asarray(points) * (1.0, -1.0), 2).ravel() + 0.0
    d = ("M%g,%g" + "L%g,%g" * (len(points) - 1)) % tuple(flat)
    return f"{d}Z" if closed else d


def lines(marks: Iterable[Mark]) -> list[Table]:
    """Return one path for each layer, in the order the layers come; words are left to the page."""
    by_layer: dict[str, list[str]] = {}
    for mark in marks:
        if isinstance(mark, Stroke):
            by_layer.setdefault(mark.layer, []).append(path(mark.points, mark.closed))
    return [{"layer": layer, "d": "".join(parts)} for layer, parts in by_layer.items()]


def number(value: float, digits: int = 2) -> float:
    """Return a number short enough to send."""
    return round(float(value), digits) + 0.0
