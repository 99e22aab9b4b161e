"""What the analysis gives: everything a report of weights, stiffness, deflection and modes needs."""

from __future__ import annotations

from dataclasses import dataclass

from braces.base.arrays import Floats
from braces.mechanics.brace_figures import BraceFigures
from braces.mechanics.strings import StringLoad


@dataclass(frozen=True, slots=True)
class Bound:
    """How far a number may be off as a solution of the model, measured against something independent."""

    quantity: str
    low_ratio: float  #: the reported number may be too low by so much of itself
    high_ratio: float  #: or too high by so much
    measured_on: str


@dataclass(frozen=True, slots=True, eq=False)
class BraceStress:
    """Fibre stress along the carved edge of a brace under the strings, against the wood's strength."""

    name: str
    x_mm: Floats
    stress_mpa: Floats  #: along the grain at the ridge, + in tension
    worst_mpa: float  #: greatest size of it
    worst_at_mm: float
    long_load_strength_mpa: float | None  #: bending strength of clear wood under a load of ten years
    used_fraction: float | None  #: worst over that strength


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A field over the plan: ``value[i, j]`` at (x[i], y[j]), nan off the plate."""

    x_mm: Floats
    y_mm: Floats
    value: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Mode:
    """One way a plate rings by itself, in still space without the air of the box."""

    frequency_hz: float
    shape: Shape  #: largest value 1 or -1


@dataclass(frozen=True, slots=True, eq=False)
class PlateStrength:
    """One plate with its braces."""

    name: str
    rim: str
    plate_mass_g: float  #: the plate, its bridge, bridge plate and strips
    braces_mass_g: float
    modes: tuple[Mode, ...]
    bridge_turn_deg: float | None  #: under the strings, positive when the neck side of the bridge sinks
    bridge_rise_mm: float | None  #: mean outward movement of its foot
    deflection: Shape | None  #: outward, mm, under the strings
    stresses: tuple[BraceStress, ...]
    unknowns_count: int
    step_mm: float  #: of the fine grid


@dataclass(frozen=True, slots=True, eq=False)
class Strength:
    """The whole answer. A model, not a promise: bring a new top up to pitch slowly."""

    load: StringLoad
    braces: tuple[BraceFigures, ...]  #: the top's first
    top: PlateStrength
    back: PlateStrength
    bounds: tuple[Bound, ...]
    assumptions: tuple[str, ...]
    marks: tuple[tuple[str, str], ...]  #: (wood, least sure provenance of its numbers)
