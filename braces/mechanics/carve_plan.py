"""What carving to a target comes to: every height now and then, and every stick's weight."""

from __future__ import annotations

from dataclasses import dataclass

from braces.mechanics.aim import Aim
from braces.mechanics.values import Bound


@dataclass(frozen=True, slots=True)
class HeightChange:
    """One height of the design file."""

    brace: str  #: name of the entry
    words: str  #: "height", "valley", "peak" or "station at ..."
    sticks_count: int  #: how many sticks of the entry share it
    now_mm: float
    then_mm: float
    now_text: str  #: as the file writes it
    then_text: str
    gain_ratio: float  #: change of the aim, in its unit, for each mm that is left on; sticks together
    cost_g: float  #: what each mm weighs, sticks together
    at_limit: str  #: why it goes no further, or empty


@dataclass(frozen=True, slots=True)
class StickChange:
    """One stick."""

    name: str
    now_g: float
    then_g: float


@dataclass(frozen=True, slots=True)
class CarvePlan:
    """The answer: a design whose braces are carved to the aim, and how it was checked.

    The three numbers are in the aim's unit. ``before`` and ``reached`` are full solutions of the file as it was and of
    the file that comes out, on the same grid.
    """

    aim: Aim
    wanted: tuple[float, str]  #: number, and how it came about, such as "asked for"
    before: tuple[float, Bound | None]
    reached: tuple[float, Bound | None]
    heights: tuple[HeightChange, ...]
    sticks: tuple[StickChange, ...]
    woods: tuple[tuple[str, str, str], ...]  #: (brace entry, wood before, wood after)
    text: str  #: of the new design file
