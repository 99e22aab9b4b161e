"""The table of one brace: what it weighs, how stiff it is along its length, where it is weakest."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, pi

import numpy as np

from braces.base.arrays import Floats, frozen_floats
from braces.carved.values import CarvedBrace, Notch
from braces.design.woods import Wood
from braces.mechanics.beam import bench_curve_mm, bench_deflection_mm, free_bar_hz, gauss_places
from braces.mechanics.sections import Section, composite, section
from braces.mechanics.wood_axes import strip_modulus_mpa

BENCH_LOAD_N = 10.0
STRIP_THICKNESSES = 10.0  #: plate each side of the foot taken to act with the brace, in thicknesses: an assumption
SHEAR_FACTOR = 5 / 6  #: of a rectangle; near enough for the sections of braces
_STATIONS = 61


_SHORTEST_ELEMENT_MM = 0.1


@dataclass(frozen=True, slots=True)
class LapLeft:
    """What a notch leaves of a brace."""

    at_mm: float
    with_name: str
    kind: str
    height_ratio: float  #: height left over height before
    stiffness_ratio: float  #: own E I left over E I before


@dataclass(frozen=True, slots=True)
class WeakPlace:
    """The softest place between the two stiffest stretches of a brace."""

    at_mm: float
    stiffness_n_mm2: float  #: E I with the plate strip
    of_blank_ratio: float  #: own E I over that of the blank


@dataclass(frozen=True, slots=True, eq=False)
class BraceFigures:
    """One brace in numbers. Arrays (n,) over ``x_mm``; E I in N mm2 about level axes."""

    name: str
    wood: str
    x_mm: Floats
    height_mm: Floats
    area_mm2: Floats
    centroid_mm: Floats  #: above the glue face
    inertia_mm4: Floats
    own_n_mm2: Floats  #: E I of the brace alone
    with_plate_n_mm2: Floats  #: E I acting with its strip of plate
    axis_mm: Floats  #: common neutral axis above the glue face
    blank_n_mm2: float  #: E I of the uncut blank
    strip_width_mm: float
    mass_g: float
    blank_mass_g: float
    bench_deflection_mm: float  #: middle, on two supports at its ends, under 10 N; lap notches as cut
    tap_hz: float  #: fundamental of the free carved brace
    blank_tap_hz: float
    laps: tuple[LapLeft, ...]
    weakest: WeakPlace | None
    provenance: str  #: least sure mark of the wood's numbers
    metre_mass_g: Floats | None = None  #: mass of a metre of it
    bench_curve_mm: Floats | None = None  #: how far each station sinks, as the middle does by ``bench_deflection_mm``


def stations(brace: CarvedBrace, count: int = _STATIONS) -> Floats:
    """Return evenly spread stations, with some on either side of every notch wall so that the jump is kept.

    An oblique wall reaches from one side of the brace to the other over a stretch of its length.
    """
    x = [np.linspace(0.0, brace.length_mm, count)]
    for cut in brace.notches:
        lean = abs(brace.width_mm / 2 / np.tan(np.radians(cut.angle_deg)))
        for wall in (cut.at_mm - cut.width_mm / 2, cut.at_mm + cut.width_mm / 2):
            x.append(np.array([wall - lean - 0.01, wall - lean / 2, wall, wall + lean / 2, wall + lean + 0.01]))
    every = np.unique(np.concatenate(x))
    every = every[(every >= 0) & (every <= brace.length_mm)]
    return np.asarray(every[np.concatenate([[True], np.diff(every) > 1e-6])])


def brace_figures(brace: CarvedBrace, wood: Wood, plate_wood: Wood, plate_thickness_mm: float) -> BraceFigures:
    """Return the table of one brace. The plate's grain runs along y of the plan, the brace's along itself."""
    e = wood.elastic.e_l_mpa
    x = stations(brace)
    part, whole = section(brace, x), section(brace, x, notched=False)
    # Grain angle: between the brace's heading and the plate's y axis.
    angle = pi / 2 - atan2(brace.heading_xy[1], brace.heading_xy[0])
    strip = brace.width_mm + 2 * STRIP_THICKNESSES * plate_thickness_mm
    both = composite(part, e, strip_modulus_mpa(plate_wood.elastic, angle), strip, plate_thickness_mm)
    own, shear = e * part.inertia_mm4, wood.elastic.g_lr_mpa * SHEAR_FACTOR * part.area_mm2
    blank = brace.blank
    blank_ei = e * blank.width_mm * blank.height_mm**3 / 12
    ends = np.linspace(0.0, blank.length_mm, 21)
    blank_area = blank.width_mm * blank.height_mm
    return BraceFigures(
        name=brace.name,
        wood=wood.name,
        x_mm=frozen_floats(x),
        height_mm=frozen_floats(part.top_mm),
        area_mm2=frozen_floats(part.area_mm2),
        centroid_mm=frozen_floats(part.centroid_mm),
        inertia_mm4=frozen_floats(part.inertia_mm4),
        own_n_mm2=frozen_floats(own),
        with_plate_n_mm2=frozen_floats(both.stiffness_n_mm2),
        axis_mm=frozen_floats(both.axis_mm),
        blank_n_mm2=blank_ei,
        strip_width_mm=strip,
        mass_g=float(brace.mass_g * wood.density_kg_m3 / brace.density_kg_m3),
        blank_mass_g=blank_area * blank.length_mm * wood.density_kg_m3 * 1e-6,
        bench_deflection_mm=bench_deflection_mm(x, own, shear, BENCH_LOAD_N),
        tap_hz=tap_hz(brace, wood),
        blank_tap_hz=_free_hz(ends, np.full((20, 3), blank_area), np.full((20, 3), blank_ei / e), wood),
        laps=tuple(_left(c, part, whole, x) for c in brace.notches),
        weakest=_weakest(x, both.stiffness_n_mm2, own / blank_ei),
        provenance=wood.weakest_mark,
        metre_mass_g=frozen_floats(part.area_mm2 * wood.density_kg_m3 * 1e-3),
        bench_curve_mm=frozen_floats(bench_curve_mm(x, own, shear, BENCH_LOAD_N)),
    )


def tap_hz(brace: CarvedBrace, wood: Wood) -> float:
    """Return the fundamental of the free brace, Hz; element ends fall on every notch wall.

    The table has two stations at a wall, a hundredth apart. An element so short would drown the lowest modes in the
    rounding of its own stiffness, which goes with 1 / length^3.
    """
    x = stations(brace, 31)
    x = np.append(x[:-1][np.diff(x) > _SHORTEST_ELEMENT_MM], x[-1])
    part = section(brace, gauss_places(x).ravel())
    return _free_hz(x, part.area_mm2.reshape(-1, 3), part.inertia_mm4.reshape(-1, 3), wood)


def _free_hz(x: Floats, area: Floats, inertia: Floats, wood: Wood) -> float:
    """The fundamental of a free bar of a wood, its sections given at ``gauss_places``."""
    e = wood.elastic
    metre = area * wood.density_kg_m3 * 1e-3
    shear = e.g_lr_mpa * SHEAR_FACTOR * area
    return free_bar_hz(x, e.e_l_mpa * inertia, metre, shear, metre * inertia / area)


def _left(cut: Notch, part: Section, whole: Section, x: Floats) -> LapLeft:
    i = int(np.argmin(np.abs(x - cut.at_mm)))
    return LapLeft(
        cut.at_mm,
        cut.with_,
        cut.kind,
        float((part.top_mm[i] - part.bottom_mm[i]) / whole.top_mm[i]),
        float(part.inertia_mm4[i] / whole.inertia_mm4[i]),
    )


def _weakest(x: Floats, stiffness: Floats, of_blank: Floats) -> WeakPlace | None:
    """Deepest dip: the place that falls furthest below the lower of the peaks on its two sides."""
    left = np.maximum.accumulate(stiffness)
    right = np.maximum.accumulate(stiffness[::-1])[::-1]
    dip = np.minimum(left, right) / stiffness
    i = int(np.argmax(dip))
    if dip[i] < 1.02:
        return None
    return WeakPlace(float(x[i]), float(stiffness[i]), float(of_blank[i]))
