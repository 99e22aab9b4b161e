"""What a hand can take hold of: a place in a picture and what dragging it there would write into the file.

A handle never sets a coordinate. It turns the place it is dragged to into the quantity by which the rule says it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from braces.base.problems import Where
from braces.design.rewrite import Value, read_at
from braces.web.forms import limits_at
from braces.web.picture import Table, number

XY = tuple[float, float]
Changes = Mapping[Where, Value]
Way = Literal["along", "across", "free", "turn", "none"]


@dataclass(frozen=True, slots=True)
class Drag:
    """Where a handle is dragged to, in its picture's mm, and how finely."""

    to: XY
    fine: bool

    def step(self, coarse: float, fine: float = 0.1) -> float:
        """Return the step to keep to."""
        return fine if self.fine else coarse


@dataclass(frozen=True, slots=True, eq=False)
class Handle:
    """One thing to take hold of."""

    key: str  #: unlike any other's in its picture, the same from edit to edit
    at: XY  #: u or X, v or Z; up is positive
    label: str  #: what it is and what it is at, as it is read out
    brace: str
    where: Where  #: the field it sets first
    way: Way
    drag: Callable[[Drag], Changes] | None  #: None if it cannot move
    why: str = ""  #: why it cannot move
    nudge: Callable[[XY, float], Changes] | None = None  #: for angles: (which way, how many degrees)

    def table(self) -> Table:
        """Return it for the page."""
        return {
            "key": self.key,
            "at": [number(self.at[0]), number(-self.at[1])],
            "label": self.label,
            "brace": self.brace,
            "where": list(self.where),
            "way": self.way,
            "why": self.why,
        }


def fixed(key: str, at: XY, label: str, brace: str, where: Where, why: str) -> Handle:
    """Return a handle that cannot be moved, and why."""
    return Handle(key, at, label, brace, where, "none", None, why)


def within(raw: Any, where: Where, value: float) -> float:
    """Return a value brought inside the limits of its field."""
    low, high = limits_at(raw, where)
    value = value if low is None else max(value, low)
    return value if high is None else min(value, high)


def written(raw: Any, where: Where) -> Any:
    """Return what the file says at a path, or None."""
    return read_at(raw, where)
