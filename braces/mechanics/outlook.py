"""What stands beside the analysis in its reports: how to carve, how the wood's spread and the air change the answer."""

from __future__ import annotations

from dataclasses import dataclass

from braces.base.arrays import Floats
from braces.mechanics.movement import Air
from braces.mechanics.schedule import Schedule
from braces.mechanics.sensitivity import BraceGain


@dataclass(frozen=True, slots=True)
class WoodSpread:
    """A coefficient of variation that went into the samples."""

    what: str  #: such as "modulus of the top's Engelmann spruce"
    ratio: float
    source: str


@dataclass(frozen=True, slots=True)
class Band:
    """Where the middle nine of ten samples lie, as parts of the number at the wood's mean."""

    low_ratio: float
    high_ratio: float


@dataclass(frozen=True, slots=True)
class SpreadBands:
    """How far the top's answers spread with the wood."""

    samples_count: int
    woods: tuple[WoodSpread, ...]
    turn: Band
    modes: tuple[Band, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """Everything beside the analysis. Empty where it was not worked out."""

    gains: tuple[BraceGain, ...] = ()  #: what a millimetre off each of the top's braces changes
    schedules: tuple[Schedule, ...] = ()  #: of all braces, the top's first
    air: tuple[Air, ...] = ()
    spread: SpreadBands | None = None


def bands(samples: Floats, mean: float, share: float = 0.9) -> Band:
    """Return the middle ``share`` of samples (n,) about a value at the mean."""
    import numpy as np

    low, high = np.quantile(samples, [(1 - share) / 2, (1 + share) / 2])
    return Band(float(low / mean), float(high / mean))
