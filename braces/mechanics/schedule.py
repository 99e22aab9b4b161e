"""Carving in three stages that can be checked at the bench: what each takes off, and what is left.

Stage 1: the stick cut to length and to the brace's greatest height, square. Stage 2: the profile carved, its section
still square. Stage 3: the section shaped and the laps cut. The tap tone is that of the free brace, held at 0.224 of its
length from either end.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from braces.carved.values import CarvedBrace
from braces.curves.hermite import Hermite, from_knots
from braces.design.woods import Wood
from braces.mechanics.beam import bench_deflection_mm
from braces.mechanics.brace_figures import BENCH_LOAD_N, SHEAR_FACTOR, stations, tap_hz
from braces.mechanics.sections import section


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of carving a brace."""

    name: str
    mass_g: float
    taken_off_g: float  #: since the stage before; from the blank for the first
    tap_hz: float
    bench_deflection_mm: float  #: in the middle, on two supports as far apart as the brace is long, under 10 N
    stiffness_ratio: float  #: bench stiffness over that of the stage before; of the blank for the first


@dataclass(frozen=True, slots=True)
class Schedule:
    """The stages of one brace, the blank first."""

    brace: str
    wood: str
    stages: tuple[Stage, ...]


def schedule(brace: CarvedBrace, wood: Wood) -> Schedule:
    """Return the carving schedule of a brace. Its blank is taken at its own over-length and over-height."""
    whole = replace(brace, notches=())
    high = float(brace.height.y_mm.max())
    flat = _level(brace.height, 0.0)
    blank = replace(
        whole,
        length_mm=brace.blank.length_mm,
        height=from_knots([0.0, brace.blank.length_mm], [brace.blank.height_mm] * 2),
        drop=from_knots([0.0, brace.blank.length_mm], [0.0, 0.0]),
    )
    forms = (
        ("blank", blank),
        ("1 to length and height", replace(whole, height=_level(brace.height, high), drop=flat)),
        ("2 profile carved", replace(whole, drop=flat)),
        ("3 section shaped, laps cut", brace),
    )
    stages: list[Stage] = []
    for name, form in forms:
        mass, tap, sink = _figures(form, brace.length_mm, wood)
        before = stages[-1] if stages else None
        stages.append(
            Stage(
                name,
                mass,
                before.mass_g - mass if before else 0.0,
                tap,
                sink,
                before.bench_deflection_mm / sink if before else 1.0,
            )
        )
    return Schedule(brace.name, wood.name, tuple(stages))


def _level(like: Hermite, value: float) -> Hermite:
    return from_knots(like.x_mm, np.full(len(like.x_mm), value))


def _figures(brace: CarvedBrace, span_mm: float, wood: Wood) -> tuple[float, float, float]:
    """(mass g, tap tone Hz, bench deflection mm) of a form on square ends; bent over a span no longer than itself."""
    x = stations(brace)
    metre = section(brace, x).area_mm2 * wood.density_kg_m3 * 1e-3
    mass = float(np.trapezoid(metre, x)) * 1e-3
    on = x if brace.length_mm <= span_mm else np.linspace(0.0, span_mm, len(x))
    part = section(brace, on)
    ei, shear = wood.elastic.e_l_mpa * part.inertia_mm4, wood.elastic.g_lr_mpa * SHEAR_FACTOR * part.area_mm2
    return mass, tap_hz(brace, wood), bench_deflection_mm(on, ei, shear, BENCH_LOAD_N)
