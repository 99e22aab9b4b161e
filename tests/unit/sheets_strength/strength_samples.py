"""Analyses made by hand: fields whose lines are known, braces whose stiffness is a formula, round bounds."""

from __future__ import annotations

from functools import cache
from math import pi

import numpy as np
import shapely
from support.designs import carved_of

from braces.base.arrays import frozen_floats
from braces.carved.values import Carved, CarvedBrace
from braces.design.woods import wood
from braces.mechanics.brace_figures import BraceFigures, LapLeft, WeakPlace
from braces.mechanics.movement import plate_movement
from braces.mechanics.outlook import Band, Outlook, SpreadBands, WoodSpread
from braces.mechanics.schedule import schedule
from braces.mechanics.sensitivity import BraceGain
from braces.mechanics.strings import StringLoad
from braces.mechanics.values import Bound, BraceStress, Mode, PlateStrength, Shape, Strength

E_MPA = 10_000.0
STEP_MM = 6.0
BOUNDS = (
    Bound("mode 1", 0.01, 0.02, "a grid of the tests"),
    Bound("modes 2 to 10", 0.02, 0.03, "a grid of the tests"),
    Bound("deflection", 0.05, 0.05, "a grid of the tests, rms over the plate"),
    Bound("bridge turn", 0.04, 0.01, "a grid of the tests"),
)
LOAD = StringLoad("light", ("E4", "B3", "E2"), (100.0, 150.0, 200.0), 645.0, 12.0, "memory")
#: Height of the highest and of the lowest place of the deflection, and where they are.
HIGH, LOW = (0.5, (0.0, 130.0)), (-0.2, (0.0, 425.0))


def shape_of(carved: Carved, plate: str, function) -> Shape:
    """A function of x and y on the even grid that an analysis gives, nan off the plate."""
    placed = carved.placed.top if plate == "top" else carved.placed.back
    outline = shapely.Polygon(placed.outline.dense(60))
    if plate == "top":
        hole = shapely.Point(0.0, carved.placed.soundhole_y_mm).buffer(carved.placed.soundhole_radius_mm)
        outline = outline.difference(hole)
    x0, y0, x1, y1 = outline.bounds
    x, y = np.arange(x0 + STEP_MM / 2, x1, STEP_MM), np.arange(y0 + STEP_MM / 2, y1, STEP_MM)
    gx, gy = np.meshgrid(x, y, indexing="ij")
    value = np.where(shapely.contains_xy(outline, gx, gy), function(gx, gy), np.nan)
    return Shape(frozen_floats(x), frozen_floats(y), value)


def hill(x, y, at, wide):
    return np.exp(-((x - at[0]) ** 2 + (y - at[1]) ** 2) / (2 * wide**2))


def deflection(x, y):
    return HIGH[0] * hill(x, y, HIGH[1], 70.0) + LOW[0] * hill(x, y, LOW[1], 25.0)


#: Mode 1 moves one way, mode 2 stands still on the line y = 240, mode 3 on the centre line, mode 4 on both.
PATTERNS = (
    lambda x, y: 1 - (x / 250) ** 2,
    lambda x, y: (y - 240) / 260,
    lambda x, y: x / 190,
    lambda x, y: x * (y - 240) / 190 / 260,
)


def modes_of(carved: Carved, plate: str, first_hz: float) -> tuple[Mode, ...]:
    return tuple(Mode(first_hz * (k + 1), shape_of(carved, plate, PATTERNS[k % len(PATTERNS)])) for k in range(10))


def figures_of(brace: CarvedBrace) -> BraceFigures:
    """A brace of square section whose height swells from 4 mm at the ends to 12 mm in the middle."""
    x = np.linspace(0.0, brace.length_mm, 61)
    top = 8.1 if brace.name == "x-treble" else 8.0  # not quite the twin of the other
    height = 4 + top * np.sin(pi * x / brace.length_mm)
    inertia = brace.width_mm * height**3 / 12
    laps = tuple(LapLeft(n.at_mm, n.with_, n.kind, 0.5, 0.125) for n in brace.notches)
    weakest = None
    if brace.name.startswith("x-"):
        weakest = WeakPlace(brace.length_mm / 4, float(E_MPA * inertia[15] * 3), 0.25)
    return BraceFigures(
        brace.name,
        brace.wood,
        frozen_floats(x),
        frozen_floats(height),
        frozen_floats(brace.width_mm * height),
        frozen_floats(height / 2),
        frozen_floats(inertia),
        frozen_floats(E_MPA * inertia),
        frozen_floats(3 * E_MPA * inertia),
        frozen_floats(height / 4),
        E_MPA * brace.width_mm * 14.0**3 / 12,
        60.0,
        10.0,
        20.0,
        1.25,
        440.0,
        500.0,
        laps,
        weakest,
        "memory",
    )


def stress_of(brace: CarvedBrace) -> BraceStress:
    x = np.linspace(0.0, brace.length_mm, 20)
    return BraceStress(brace.name, frozen_floats(x), frozen_floats(-x / 100), 8.0, 123.0, 40.0, 0.2)


def plate_of(carved: Carved, name: str) -> PlateStrength:
    top = name == "top"
    made = carved.top if top else carved.back
    return PlateStrength(
        name,
        "lining",
        180.0 if top else 210.0,
        45.0 if top else 35.0,
        modes_of(carved, name, 200.0 if top else 150.0),
        0.6 if top else None,
        0.15 if top else None,
        shape_of(carved, name, deflection) if top else None,
        tuple(stress_of(b) for b in made.braces) if top else (),
        20_000,
        5.0,
    )


@cache
def strength_of(name: str) -> Strength:
    carved = carved_of(name)
    return Strength(
        LOAD,
        tuple(figures_of(b) for b in carved.braces),
        plate_of(carved, "top"),
        plate_of(carved, "back"),
        BOUNDS,
        ("rim: of the tests", "strings: of the tests"),
        (("sitka spruce", "text"), ("walnut", "memory")),
    )


def gains_of(carved: Carved) -> tuple[BraceGain, ...]:
    """Each brace: 4 stations of 0.25 g; a millimetre less turns the bridge 0.001, 0.002, 0.003, 0.004 deg more."""
    out = []
    for b in carved.top.braces:
        turn = -np.array([1.0, 2.0, 3.0, 4.0]) * 1e-3
        x = np.linspace(0.0, b.length_mm, 4)
        hertz = np.full((4, 10), 0.5)
        out.append(BraceGain(b.name, frozen_floats(x), frozen_floats(turn), hertz, frozen_floats(np.full(4, 0.25))))
    return tuple(out)


def outlook_of(carved: Carved) -> Outlook:
    """Everything beside an analysis: real schedules and air, gains and a spread made by hand."""
    woods = tuple(
        WoodSpread(f"modulus of the {p}, Engelmann spruce", 0.22, "handbook, from memory") for p in ("top", "x")
    )
    return Outlook(
        gains_of(carved),
        tuple(schedule(b, wood(b.wood)) for b in carved.braces),
        plate_movement(carved, wood),
        SpreadBands(200, woods, Band(0.8, 1.25), (Band(0.9, 1.1),) * 10),
    )
