"""How the dome of a braced plate follows the air: glued at one humidity, kept at another.

A brace hardly changes its length with moisture; the plate under it swells and shrinks across its grain. The two bend
like a bimetal strip (``bilayer``). What is told is the radius along each brace with the strip of plate under it, for a
narrow strip (what is taken to act with a brace in the mechanics) and for a wide one (all the plate shared out among
the braces): the truth lies about there.

Limits: every brace by itself - rim, other braces and the plate's own width, which all hold the dome, are left out, so
movements are rather told too large; moisture is even through the wood, which takes days to weeks; no creep, no set;
movement along the grain is left out (a fiftieth of that across); coefficients hold from 6 to 14 % of moisture.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, isinf, pi, sin
from typing import Literal

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Carved, CarvedBrace
from braces.curves.polygons import area_mm2
from braces.design.own_woods import wood_of
from braces.design.woods import Wood
from braces.mechanics.brace_figures import STRIP_THICKNESSES
from braces.mechanics.moisture import (
    COEFFICIENT_RANGE_PERCENT,
    change_ratio_along_ring,
    equilibrium_moisture_percent,
)
from braces.mechanics.sections import section
from braces.mechanics.wood_axes import strip_modulus_mpa
from braces.placed.values import PlacedPlate
from braces.workshop.bilayer import Layer, curvature, radius_mm, sprung_back_ratio

_STATIONS = 81
_LEAST_MOVING_RATIO = 0.25  #: sin^2 of the angle to the grain below which a brace is not counted for the plate's dome
_SEARCH_FRACTION = (0.10, 0.90)  #: of relative humidity: no workshop is outside
_HALVINGS = 50


@dataclass(frozen=True, slots=True)
class AirSpec:
    """The air when it is glued, and where it will live."""

    glued_fraction: float = 0.45  #: relative humidity in the workshop while gluing
    least_fraction: float = 0.30  #: driest air of the table
    most_fraction: float = 0.65  #: dampest
    step_fraction: float = 0.05
    temperature_celsius_deg: float = 20.0
    ring_angle_deg: float = 90.0  #: of the plate's growth rings to its face: 90 is quartersawn
    allowed_fraction: float = 0.25  #: change of the dome's radius that is put up with


@dataclass(frozen=True, slots=True)
class BraceMovement:
    """One brace with its strip of plate."""

    brace: str
    grain_angle_deg: float  #: between the brace and the plate's grain
    radius_mm: float  #: of the glue face as cut; inf if flat
    rise_per_percent_mm: tuple[float, float]  #: of its middle, for each 1 % of moisture: narrow, wide strip
    sprung_radius_mm: tuple[float, float]  #: out of the dish, at the humidity of gluing


@dataclass(frozen=True, slots=True)
class AirRow:
    """One line of the table."""

    humidity_fraction: float
    moisture_fraction: float  #: that the wood comes to
    radius_mm: tuple[float, float]  #: of the plate across its grain: narrow strip, wide strip; negative if hollow
    outside_range: bool  #: the movement coefficients are not known to hold there


@dataclass(frozen=True, slots=True)
class PlateAir:
    """One plate against the air."""

    plate: Literal["top", "back"]
    braces: tuple[BraceMovement, ...]
    rows: tuple[AirRow, ...]
    window_fraction: tuple[float, float] | None  #: humidity within which the radius stays as allowed; None if flat
    provenance: str  #: least sure mark of the plate's movement and stiffness
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Strip:
    """A brace with a strip of plate, for one strip width: what 1 % of moisture does."""

    length_mm: float
    rise_mm: float  #: of its middle
    lost_ratio: float  #: of the dish's curvature, out of the dish

    @property
    def bend(self) -> float:
        """Curvature in 1/mm of the arc with that rise."""
        return 8 * self.rise_mm / self.length_mm**2


def plate_air(carved: Carved, plate: Literal["top", "back"], spec: AirSpec | None = None) -> PlateAir:
    """Return how a plate's dome follows the air. Raises ValueError for a wood whose movement is not known."""
    spec = spec or AirSpec()
    placed = carved.placed.top if plate == "top" else carved.placed.back
    wooden = carved.top if plate == "top" else carved.back
    design = carved.placed.design
    board = wood_of(design, placed.spec.wood)
    if board.movement is None:
        raise ValueError(f"the table does not say how {board.name} moves with moisture")
    widths = [_strip_widths(b, placed, [x.length_mm for x in wooden.braces]) for b in wooden.braces]
    strips = [
        [_strip(b, wood_of(design, b.wood), board, placed, w, spec) for w in pair]
        for b, pair in zip(wooden.braces, widths, strict=True)
    ]
    moves = [_movement(b, s) for b, s in zip(wooden.braces, strips, strict=True)]
    counted = [
        (b, s) for b, s in zip(wooden.braces, strips, strict=True) if sin(_grain_rad(b)) ** 2 > _LEAST_MOVING_RATIO
    ]
    dome = placed.dome.inner_radius_mm
    bend = [_mean(counted, k) for k in (0, 1)]
    at = _moisture(spec, spec.glued_fraction)
    count = round((spec.most_fraction - spec.least_fraction) / spec.step_fraction)
    air = [spec.least_fraction + k * spec.step_fraction for k in range(count + 1)]
    rows = tuple(_row(spec, h, at, dome, bend) for h in air)
    window = None if isinf(dome) or not max(map(abs, bend)) else _window(spec, at, dome, max(bend, key=abs))
    return PlateAir(plate, tuple(moves), rows, window, board.movement.provenance, _notes(rows, counted, dome))


def _grain_rad(brace: CarvedBrace) -> float:
    """Angle between a brace, along its chord if it is curved, and the plate's grain, which runs along y."""
    return pi / 2 - atan2(abs(brace.heading_xy[1]), abs(brace.heading_xy[0]))


def _strip_widths(brace: CarvedBrace, placed: PlacedPlate, lengths: list[float]) -> tuple[float, float]:
    """Narrow: the mechanics' strip. Wide: the plate's area over the length of all its braces, never less."""
    narrow = brace.width_mm + 2 * STRIP_THICKNESSES * placed.spec.thickness_mm
    wide = abs(area_mm2(placed.outline.dense(12))) / sum(lengths)
    return narrow, max(narrow, wide)


def _strip(brace: CarvedBrace, own: Wood, board: Wood, placed: PlacedPlate, width_mm: float, spec: AirSpec) -> _Strip:
    """Work out the bending at stations along the brace and what it raises the middle."""
    assert board.movement is not None
    x = np.linspace(0.0, brace.length_mm, _STATIONS)
    parts = section(brace, x, notched=False)
    e, thick, angle = own.elastic.e_l_mpa, placed.spec.thickness_mm, _grain_rad(brace)
    e_plate = strip_modulus_mpa(board.elastic, angle)
    low = Layer(e_plate * width_mm * thick, e_plate * width_mm * thick**3 / 12, -thick / 2)
    strain = change_ratio_along_ring(board.movement, spec.ring_angle_deg) * sin(angle) ** 2
    high = [
        Layer(e * float(a), e * float(i), float(c))
        for a, i, c in zip(parts.area_mm2, parts.inertia_mm4, parts.centroid_mm, strict=True)
    ]
    bends = np.array([curvature(low, h, strain) for h in high])
    lost = np.array([sprung_back_ratio(low, h) for h in high])
    return _Strip(brace.length_mm, _rise(x, bends), 8 * _rise(x, lost) / brace.length_mm**2)


def _rise(x: Floats, bends: Floats) -> float:
    """How much bends (n,) along a bar on two supports at its ends raise its middle."""
    lever = np.minimum(x, x[-1] - x) / 2
    return float(np.trapezoid(lever * bends, x))


def _movement(brace: CarvedBrace, strips: list[_Strip]) -> BraceMovement:
    rises = [s.rise_mm for s in strips]
    arc = brace.bed.radius_mm if brace.is_curved else brace.glue_arc_radius_mm  # the dome's, in its upright plane
    sprung = [arc if isinf(arc) else arc / (1 - s.lost_ratio) for s in strips]
    return BraceMovement(
        brace.name, float(np.degrees(_grain_rad(brace))), arc, (rises[0], rises[1]), (sprung[0], sprung[1])
    )


def _mean(counted: list[tuple[CarvedBrace, list[_Strip]]], k: int) -> float:
    """Bend for each 1 % of moisture, over the braces that lie across the grain, by their lengths."""
    total = sum(b.length_mm for b, _ in counted)
    return sum(b.length_mm * s[k].bend for b, s in counted) / total if counted else 0.0


def _moisture(spec: AirSpec, humidity_fraction: float) -> float:
    """Moisture content in % that wood comes to."""
    return equilibrium_moisture_percent(spec.temperature_celsius_deg, 100 * humidity_fraction)


def _row(spec: AirSpec, humidity: float, glued_percent: float, dome_mm: float, bend: list[float]) -> AirRow:
    moisture = _moisture(spec, humidity)
    own = 0.0 if isinf(dome_mm) else 1 / dome_mm
    radii = [radius_mm(own + b * (moisture - glued_percent)) for b in bend]
    low, high = COEFFICIENT_RANGE_PERCENT
    outside = not low <= moisture <= high
    return AirRow(round(humidity, 9), moisture / 100, (radii[0], radii[1]), outside)


def _window(spec: AirSpec, glued_percent: float, dome_mm: float, bend: float) -> tuple[float, float]:
    """Humidities at which the radius has changed by what is allowed."""
    # Drier air flattens: radius (1 + a) R; damper air rounds: (1 - a) R.
    ends = [(1 / (1 + s * spec.allowed_fraction) - 1) / dome_mm / bend + glued_percent for s in (1, -1)]
    low, high = sorted(_humidity_for(spec, m) for m in ends)
    return low, high


def _humidity_for(spec: AirSpec, moisture_percent: float) -> float:
    """Humidity at which wood comes to a moisture content, by halving; an end of the range if it lies beyond."""
    low, high = _SEARCH_FRACTION
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _moisture(spec, middle) < moisture_percent else (low, middle)
    return (low + high) / 2


def _notes(
    rows: tuple[AirRow, ...], counted: list[tuple[CarvedBrace, list[_Strip]]], dome_mm: float
) -> tuple[str, ...]:
    notes = []
    if not counted:
        notes.append("No brace lies across the grain: what holds the plate there is its own stiffness and the rim.")
    if any(r.outside_range for r in rows):
        notes.append("Rows outside 6 to 14 % of moisture lie where the coefficients of movement are not known to hold.")
    if not isinf(dome_mm) and any(r.radius_mm[1] < 0 for r in rows):
        notes.append("In the driest rows the sum turns hollow: a dome glued drier would be safer.")
    notes.append("Common practice: glue braces in air of 40 to 50 %, and keep the plate there until the box is closed.")
    return tuple(notes)
