"""The registry of the rules by which braces lie: a new rule is one function and one row."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from braces.base.problems import Where
from braces.placed.between import between
from braces.placed.curved import curved
from braces.placed.fans import fan
from braces.placed.lattice import lattice
from braces.placed.layout import Layout
from braces.placed.lays import across, crossing_pair, from_brace, lap_between, rim_to_rim

__all__ = ["LAYS", "lap_between"]

LAYS: dict[str, Callable[[Layout, Any, Where], None]] = {
    "across": across,
    "crossing pair": crossing_pair,
    "from brace to rim": from_brace,
    "rim to rim": rim_to_rim,
    "between": between,
    "curved": curved,
    "fan": fan,
    "lattice": lattice,
}
