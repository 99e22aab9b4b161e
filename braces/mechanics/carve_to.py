"""Turned round: how much to leave on or take off which brace so that the bridge turns by so much.

Each step solves the plate, asks for the derivatives, spends the difference to the target on the braces that do most
for it by the gram, within the limits, and solves again, until the target is met.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Carved
from braces.mechanics.analyse import QUICK, Solved, solve_plate, solved_again
from braces.mechanics.bar import Bar
from braces.mechanics.braced_plate import Mesh
from braces.mechanics.instrument import Setting
from braces.mechanics.sensitivity import BraceGain, gains, lifted, turn_deg
from braces.mechanics.strings import StringLoad

_RUN_OUT_FRACTION = 0.15  #: of a brace's length at either end, over which a change fades to nothing
_CLOSE = 0.005  #: of the target
_STEPS = 8
_NO_SAY_FRACTION = 0.05  #: of the best brace's effect by the gram


@dataclass(frozen=True, slots=True)
class BraceChange:
    """What to do to one brace: its height changed evenly, fading out towards its ends, laps left alone."""

    name: str
    change_mm: float  #: + leave on, - take off
    turn_deg: float  #: what another mm of it would do to the bridge's turn
    mass_g: float  #: what another mm of it weighs


@dataclass(frozen=True, slots=True)
class CarvePlan:
    """Changes that bring the bridge's turn to the target, and what they cost."""

    changes: tuple[BraceChange, ...]
    target_deg: float
    before_deg: float
    after_deg: float  #: by a full solution with the changes made
    mass_change_g: float
    reached: bool  #: within half a percent of the target; else the limits stand in the way


def fade(bar: Bar) -> Floats:
    """Return the pattern of a brace's change at its stations: 1 in the middle, 0 at the ends."""
    x = bar.stations_mm
    run = _RUN_OUT_FRACTION * (x[-1] - x[0])
    return np.asarray(np.clip(np.minimum(x - x[0], x[-1] - x) / run, 0.0, 1.0))


def carve_to_turn(
    carved: Carved,
    target_deg: float,
    load: StringLoad,
    setting: Setting | None = None,
    limits_mm: tuple[float, float] = (-3.0, 2.0),
    fixed: tuple[str, ...] = (),
    mesh: Mesh = QUICK,
) -> CarvePlan:
    """Return the changes of height that give the bridge a turn of ``target_deg`` under the strings.

    ``limits_mm``: least and greatest change of any brace; braces named in ``fixed`` stay as they are. Raises
    ValueError for a target that is not positive or limits that leave no room.
    """
    low, high = limits_mm
    if target_deg <= 0 or not low <= 0 <= high or low == high:
        raise ValueError("a target above 0 deg and limits around 0 mm are wanted")
    first = solve_plate(carved, "top", setting or Setting(), load, mesh)
    bars = first.system.bound.plate.bars
    patterns = [fade(b) for b in bars]
    room = np.array([0.0 if b.name in fixed else 1.0 for b in bars])
    change = np.zeros(len(bars))
    solved, slope = first, gains(first)
    grams = np.array([float(g.mass_g @ p) for g, p in zip(slope, patterns, strict=True)])
    for _ in range(_STEPS):
        if abs(turn_deg(solved) - target_deg) <= _CLOSE * target_deg:
            break
        step = _spend(target_deg - turn_deg(solved), _turns(slope, patterns) * room, grams, change, (low, high))
        if not np.abs(step).max() > 1e-6:
            break
        change = change + step
        solved = _changed(first, bars, patterns, change)
        slope = gains(solved)
    per = _turns(slope, patterns)
    return CarvePlan(
        tuple(
            BraceChange(b.name, float(c), float(t), float(g))
            for b, c, t, g in zip(bars, change, per, grams, strict=True)
        ),
        target_deg,
        turn_deg(first),
        turn_deg(solved),
        float(change @ grams),
        abs(turn_deg(solved) - target_deg) <= _CLOSE * target_deg,
    )


def _turns(slope: tuple[BraceGain, ...], patterns: list[Floats]) -> Floats:
    return np.array([float(g.turn_deg @ p) for g, p in zip(slope, patterns, strict=True)])


def _spend(wanted_deg: float, turns: Floats, grams: Floats, change: Floats, limits: tuple[float, float]) -> Floats:
    """Return changes that add up to ``wanted_deg`` by their slopes.

    To stiffen, wood is left where it does most by the gram; to let go, it is taken off where it does least, so that
    most weight goes for the same turn.
    """
    step = np.zeros(len(turns))
    worth = np.abs(turns) / grams
    order = np.argsort(-worth if wanted_deg < 0 else worth, kind="stable")
    left = wanted_deg
    for k in order:
        # A brace that hardly stiffens the bridge has other work to do, which this target does not see: leave it.
        if turns[k] >= 0 or worth[k] < _NO_SAY_FRACTION * worth.max():
            continue
        reach = (limits[1] if left < 0 else limits[0]) - change[k]
        step[k] = np.clip(left / turns[k], min(reach, 0.0), max(reach, 0.0))
        left -= step[k] * turns[k]
        if abs(left) < 1e-12:
            break
    return step


def _changed(first: Solved, bars: tuple[Bar, ...], patterns: list[Floats], change: Floats) -> Solved:
    moved = tuple(lifted(b, c * p) for b, c, p in zip(bars, change, patterns, strict=True))
    return solved_again(first, moved)
