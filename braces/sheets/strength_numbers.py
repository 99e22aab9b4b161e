"""The numbers of the strength pages: ranges from the measured bounds, braces that are the same, units in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, log10

import numpy as np

from braces.carved.values import Carved, CarvedBrace
from braces.mechanics.brace_figures import BraceFigures
from braces.mechanics.ranges import limits
from braces.mechanics.sensitivity import BraceGain
from braces.mechanics.values import Bound, BraceStress, Strength

UNMEASURED = "bound not measured"
_SAME_RATIO = 1e-6
_TOGETHER = 2  #: so many alike stand in one row


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Braces of one plate that are alike: one stick or two."""

    number: int  #: its number on the pages, from 1
    plate: str
    names: tuple[str, ...]
    figures: BraceFigures
    made: CarvedBrace  #: the first of them
    stress: BraceStress | None  #: the worst of them
    gains: tuple[BraceGain, ...]

    @property
    def name(self) -> str:
        """What to call them."""
        first = self.names[0]
        if {n.removeprefix(stem_of(first)) for n in self.names} == {"-bass", "-treble"}:
            return f"{stem_of(first)}, both"
        return ", ".join(self.names)


def stem_of(name: str) -> str:
    """Return a name without the side it is on.

    >>> stem_of("finger 1-treble")
    'finger 1'
    """
    return name.removesuffix("-bass").removesuffix("-treble")


def groups(strength: Strength, carved: Carved, gains: Sequence[BraceGain] = ()) -> tuple[Group, ...]:
    """Return the braces, two that are alike together, in the order of the plates."""
    found: list[list[BraceFigures]] = []
    plate_of = {b.name: b.plate for b in carved.braces}
    for figures in strength.braces:
        for pair in found:
            if len(pair) < _TOGETHER and plate_of[pair[0].name] == plate_of[figures.name] and _same(pair[0], figures):
                pair.append(figures)
                break
        else:
            found.append([figures])
    made = {b.name: b for b in carved.braces}
    stresses = {s.name: s for s in strength.top.stresses + strength.back.stresses}
    out = []
    for number, same in enumerate(found, start=1):
        names = tuple(f.name for f in same)
        worst = max((stresses[n] for n in names if n in stresses), key=lambda s: s.worst_mpa, default=None)
        mine = tuple(g for g in gains if g.name in names)
        out.append(Group(number, plate_of[names[0]], names, same[0], made[names[0]], worst, mine))
    return tuple(out)


def _same(a: BraceFigures, b: BraceFigures) -> bool:
    """Whether two braces are alike, such as the two of a pair or the outer ones of a fan."""
    if a.wood != b.wood or len(a.x_mm) != len(b.x_mm):
        return False
    pairs = ((a.x_mm, b.x_mm), (a.own_n_mm2, b.own_n_mm2), (a.with_plate_n_mm2, b.with_plate_n_mm2))
    return all(np.allclose(p, q, rtol=_SAME_RATIO, atol=0.0) for p, q in pairs)


def span(value: float, of: Bound | None, digits: int, unit: str) -> str:
    """Return the range of a number in words."""
    if of is None:
        return UNMEASURED
    low, high = limits(value, of)
    space = "" if unit == "°" else " "
    return f"{fixed(low, digits)} to {fixed(high, digits)}{space}{unit}"


def fixed(value: float, digits: int) -> str:
    """Return a number with so many decimals, a true minus sign, and never a negative nought.

    >>> fixed(-0.214, 2), fixed(-0.001, 2)
    ('−0.21', '0.00')
    """
    text = f"{value:.{digits}f}"
    text = text.removeprefix("-") if float(text) == 0 else text
    return text.replace("-", "−")


def signed(value: float, digits: int) -> str:
    """Return a number that says its sign."""
    text = fixed(value, digits)
    return text if text.startswith("−") or float(text) == 0 else f"+{text}"


def figures(value: float, count: int = 3) -> str:
    """Return a positive number with so many significant figures, written out.

    >>> figures(38.8186), figures(0.1007), figures(1234.5)
    ('38.8', '0.101', '1234')
    """
    if value <= 0:
        return "0"
    digits = count - 1 - floor(log10(value))
    return f"{round(value, digits):.{max(0, digits)}f}" if digits > 0 else f"{value:.0f}"


def n_m2(stiffness_n_mm2: float) -> float:
    """Return a bending stiffness in N m2."""
    return stiffness_n_mm2 * 1e-6


def percent(ratio: float) -> str:
    """Return a share as whole per cent; one decimal below ten.

    >>> percent(0.0791), percent(0.23)
    ('7.9', '23')
    """
    return f"{100 * ratio:.1f}" if ratio < 0.0995 else f"{100 * ratio:.0f}"
