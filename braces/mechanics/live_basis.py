"""The movements on which a live plate is solved: learned once for a layout, from carvings of every kind.

Random carvings are solved on the basis so far; what they leave unbalanced, put on the plate as first carved, says how
the plate would have moved in truth (one step of an iteration whose preconditioner is the first factorisation). The
corrected movements of all carvings are then boiled down to those that matter (proper orthogonal decomposition). The
random numbers are fixed, so the basis is the same on every run.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi
from typing import Any

import numpy as np
from numpy.random import Generator

from braces.base.arrays import Floats
from braces.mechanics.analyse import Solved
from braces.mechanics.bar import Bar
from braces.mechanics.bar_moments import Sections, element_mass, element_stiffness, moments, sections
from braces.mechanics.bar_ties import Lap
from braces.mechanics.braced_plate import Bound, gaps_of, modes, with_bars
from braces.mechanics.built import Built
from braces.mechanics.reduced import Condensed, Reduced, condense, make_inner, reduce_to

MODES = 10
_MORE_MODES = 2  #: learned beyond those that are shown, so that a swap of two does no harm
_ROUNDS = (12, 16)  #: carvings in each
_SHAPES = (80, 120)  #: kept after each
_CHECKED = 3  #: carvings on which the finished basis is judged
_EVEN = (0.5, 1.35)  #: range of the even change of a brace's height
_WAVES = np.array([0.12, 0.10, 0.07, 0.06])  #: sizes of the uneven one, from long waves to short


@dataclass(frozen=True, slots=True, eq=False)
class Ready:
    """Bars of one carving, with everything that is integrated over their sections."""

    bound: Bound
    own: list[Floats]  #: moments of each bar
    stiffness: Floats  #: (elements, u, u)
    mass: Floats
    gaps: tuple[Any, ...]
    springs: tuple[Floats, ...]

    def condensed(self, reduced: Reduced) -> Condensed:
        """The plate with these bars on a basis."""
        return condense(replace(reduced, bound=self.bound), self.stiffness, self.own, self.gaps, self.springs)


def ready(bound: Bound, tensors: tuple[Sections, ...]) -> Ready:
    """Integrate over the sections of the bars of ``bound``, with the tensors of their woods."""
    bars = bound.plate.bars
    own = [moments(b) for b in bars]
    made = list(zip(bars, tensors, own, strict=True))
    empty = np.zeros((0, 1, 1))
    gaps, springs = gaps_of(bound)
    return Ready(
        bound,
        own,
        np.concatenate([element_stiffness(*m) for m in made]) if made else empty,
        np.concatenate([element_mass(*m) for m in made]) if made else empty,
        gaps,
        springs,
    )


def learned(solved: Solved) -> tuple[Reduced, float]:
    """Return the reduced plate of a solved one, and an estimate of its error in ratios, the worst of a few carvings."""
    bound = solved.system.bound
    assert solved.factor is not None
    tensors = tuple(sections(b) for b in bound.plate.bars)
    rng = np.random.default_rng(3)
    n = bound.space.count
    weight = np.sqrt(bound.base_stiffness.diagonal()[:n])
    found = [_first(solved)[:n]]
    reduced = reduce_to(bound, make_inner(bound), _boiled(found, weight, found[0].shape[1]))

    def next_carving() -> Ready:
        bars, laps = any_carving(bound.plate.bars, bound.plate.laps, rng)
        return ready(with_bars(bound, bars, laps), tensors)

    for many, keep in zip(_ROUNDS, _SHAPES, strict=True):
        found += [_corrected(solved, reduced, next_carving())[0][:n] for _ in range(many)]
        reduced = reduce_to(bound, reduced.inner, _boiled(found, weight, keep))
    return reduced, max(_corrected(solved, reduced, next_carving())[1] for _ in range(_CHECKED))


def _first(solved: Solved) -> Floats:
    assert solved.factor is not None
    _, shapes = modes(solved.system, MODES + _MORE_MODES, factor=solved.factor)
    if solved.deflection is None or solved.turn is None:
        return shapes
    return np.column_stack([solved.deflection, solved.factor.solve(solved.turn), shapes])


def _boiled(found: list[Floats], weight: Floats, keep: int) -> Floats:
    """Return the ``keep`` movements that span ``found`` best; each is taken as equally important."""
    every = weight[:, None] * np.concatenate(found, axis=1)
    every = every / np.linalg.norm(every, axis=0)
    values, turned = np.linalg.eigh(every.T @ every)
    best = np.argsort(-values, kind="stable")[:keep]
    best = best[values[best] > 1e-12 * values.max()]
    return np.asarray((every @ (turned[:, best] / np.sqrt(values[best]))) / weight[:, None])


def _corrected(solved: Solved, reduced: Reduced, carving: Ready) -> tuple[Floats, float]:
    """Return the movements of a carving, corrected by one step on the first plate, and the error they had."""
    from scipy.linalg import eigh

    assert solved.factor is not None
    made = carving.condensed(reduced)
    hang, bound = carving.bound.hanging, carving.bound
    stiff = Built(hang, bound.base_stiffness, carving.stiffness, carving.gaps, carving.springs)
    heavy = Built(hang, bound.base_mass, carving.mass)
    count = min(MODES + _MORE_MODES, len(made.stiffness))
    values, small = eigh(made.stiffness, made.mass, subset_by_index=[0, count - 1])
    pushes = np.zeros((len(solved.shapes), 0))
    if solved.load is not None and solved.turn is not None:
        pushes = np.column_stack([solved.load, solved.turn])
        still = np.linalg.solve(made.stiffness, reduced.basis.T @ pushes[: len(reduced.basis)])
        small = np.column_stack([still, small])
    k = pushes.shape[1]
    moved = np.concatenate([reduced.basis @ small, made.inner(small)])
    left = stiff @ moved
    left[:, :k] -= pushes
    left[:, k:] -= (heavy @ moved[:, k:]) * values
    better = moved - solved.factor.solve(left)
    return better, _error(better, moved, stiff, heavy, (pushes, k))


def _error(better: Floats, moved: Floats, stiff: Built, heavy: Built, still: tuple[Floats, int]) -> float:
    """Return the greatest change in ratio that the correction makes to the turn and the shown frequencies."""
    pushes, k = still
    out = 0.0
    if k:
        turn = np.array([pushes[:, 1] @ v[:, 0] for v in (moved, better)])
        out = abs(float(turn[1] / turn[0] - 1))
    hertz = [
        np.sqrt(np.einsum("ij,ij->j", v, stiff @ v) / np.einsum("ij,ij->j", v, heavy @ v)) / (2 * pi)
        for v in (moved[:, k : k + MODES], better[:, k : k + MODES])
    ]
    return max(out, float(np.abs(hertz[1] / hertz[0] - 1).max()))


def any_carving(
    bars: tuple[Bar, ...], laps: tuple[Lap, ...], rng: Generator
) -> tuple[tuple[Bar, ...], tuple[Lap, ...]]:
    """Return the bars with heights changed at random, evenly and in waves, and their laps to match."""
    factors = [_factor(b, rng) for b in bars]
    changed = tuple(_times(b, f) for b, f in zip(bars, factors, strict=True))
    moved = []
    for lap in laps:
        low = float(factors[lap.below](np.array([lap.at_below_mm]))[0])
        up = float(factors[lap.above](np.array([lap.at_above_mm]))[0])
        moved.append(
            replace(
                lap,
                floor_below_mm=lap.floor_below_mm * low,
                floor_above_mm=lap.floor_above_mm * up,
                top_mm=lap.top_mm * (low + up) / 2,
            )
        )
    return changed, tuple(moved)


def _factor(bar: Bar, rng: Generator) -> Any:
    even, length = rng.uniform(*_EVEN), float(bar.stations_mm[-1])
    size, phase = rng.normal(size=len(_WAVES)) * _WAVES, rng.uniform(0, 2 * pi, len(_WAVES))

    def at(s: Floats) -> Floats:
        wave = np.sin(1.5 * pi * np.arange(1, len(_WAVES) + 1) * s[:, None] / length + phase) @ size
        return np.asarray(even * np.clip(1 + wave, 0.5, 1.5))

    return at


def _times(bar: Bar, factor: Any) -> Bar:
    def faces(s: Floats, y: Floats) -> tuple[Floats, Floats]:
        bottom, top = bar.faces(s, y)
        by = factor(s)[:, None]
        return bottom * by, top * by

    return replace(bar, faces=faces)
