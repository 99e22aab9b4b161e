"""A plate that follows the carving: built once for a layout in seconds, then asked again after every cut in moments."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, pi

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Carved, CarvedPlate
from braces.mechanics.analyse import MODES, REPORT, PlotGrid, Solved, bounds, has_curved, plate_mass_g, solve_plate
from braces.mechanics.bar import Bar
from braces.mechanics.bar_moments import Sections, sections
from braces.mechanics.braced_plate import Mesh, with_bars
from braces.mechanics.instrument import Setting, carved_again
from braces.mechanics.live_basis import Ready, learned, ready
from braces.mechanics.live_refine import refined
from braces.mechanics.loads import patch_mean
from braces.mechanics.plate_model import W
from braces.mechanics.reduced import Condensed, Reduced
from braces.mechanics.same_layout import LayoutChangedError, check_layout
from braces.mechanics.sections import section
from braces.mechanics.sensitivity import BraceGain, gains_of
from braces.mechanics.strings import StringLoad
from braces.mechanics.values import Bound, Mode, PlateStrength

__all__ = ["BraceLive", "LayoutChangedError", "LiveFigures", "LiveModel", "live_model"]

_STATIONS = 33


@dataclass(frozen=True, slots=True)
class BraceLive:
    """One brace while it is carved."""

    name: str
    mass_g: float
    stiffness_n_mm2: float  #: mean of its own E I along it
    share_fraction: float  #: its part of the sum over all braces of E I times length


@dataclass(frozen=True, slots=True, eq=False)
class LiveFigures:
    """The numbers of one carving."""

    plate: PlateStrength  #: without the braces' stresses
    braces: tuple[BraceLive, ...]
    bounds: tuple[Bound, ...]  #: of the grid, as in ``Strength``
    error_ratio: float  #: estimate of what the live model adds to the bounds

    @property
    def total_mass_g(self) -> float:
        """The plate with all that is glued on it."""
        return self.plate.plate_mass_g + self.plate.braces_mass_g


@dataclass(frozen=True, slots=True, eq=False)
class _Answer:
    """One carving solved on the basis."""

    carving: Ready
    condensed: Condensed
    still: Floats | None  #: (m, 2) under the strings, and of the adjoint
    hertz: Floats
    shapes: Floats  #: (m, modes), mass-normalised
    own: Floats  #: (elements, u, modes) movement of the bars


@dataclass(frozen=True, slots=True, eq=False)
class LiveModel:
    """One layout, ready for any carving of it. Nothing in it changes when it is asked."""

    name: str
    carved: Carved
    setting: Setting
    first: Solved
    reduced: Reduced
    tensors: tuple[Sections, ...]
    pushes: Floats | None  #: (m, 2) strings' load and functional of the turn, on the basis
    rise: Floats | None  #: (m,) functional of the bridge's rise
    rise_rows: Floats  #: (plate unknowns,) the same in the plate's unknowns, empty if there is no bridge
    plot: PlotGrid
    on_basis: Floats  #: (points of the plot, m)
    plate_mass_g: float
    error_ratio: float

    def update(self, carved: Carved) -> LiveFigures:
        """Return the numbers of another carving. Raises LayoutChangedError if more than the carving differs."""
        answer = self._answer(carved)
        turn = rise = moved = None
        if answer.still is not None and self.pushes is not None and self.rise is not None:
            still = answer.still[:, 0]
            turn, rise = degrees(float(self.pushes[:, 1] @ still)), float(self.rise @ still)
            moved = self.on_basis @ still
        return self._figures(carved, answer.hertz, self.on_basis @ answer.shapes, (turn, rise, moved), self.error_ratio)

    def refined(self, carved: Carved) -> LiveFigures:
        """Return the numbers of another carving one step nearer to the full solution, for some more time.

        ``error_ratio`` is then the greatest change that the step made. Raises LayoutChangedError as ``update`` does.
        """
        answer, (n, m) = self._answer(carved), self.reduced.basis.shape
        rough = np.zeros((m, 0)) if answer.still is None else answer.still
        movements = [
            np.concatenate([self.reduced.basis @ v, answer.condensed.inner(v)]) for v in (rough, answer.shapes)
        ]
        better = refined(self.first, answer.carving, movements[0], movements[1])
        change = float(np.abs(better.hertz / answer.hertz - 1).max())
        turn = rise = moved = None
        if better.deflection is not None and better.turn_rad is not None and self.pushes is not None:
            w = better.deflection[:n]
            turn, rise, moved = degrees(better.turn_rad), float(self.rise_rows @ w), self.plot.rows @ w
            change = max(change, abs(better.turn_rad / float(self.pushes[:, 1] @ rough[:, 0]) - 1))
        return self._figures(carved, better.hertz, self.plot.rows @ better.shapes[:n], (turn, rise, moved), change)

    def _figures(
        self,
        carved: Carved,
        hertz: Floats,
        fields: Floats,
        strung: tuple[float | None, float | None, Floats | None],
        error: float,
    ) -> LiveFigures:
        """``fields`` (points of the plot, modes); ``strung``: turn in deg, rise, movement at the plot's points."""
        turn, rise, moved = strung
        shares = brace_shares(_made(carved, self.name), self.setting)
        plate = PlateStrength(
            name=self.name,
            rim=self.first.model.plate.rim.name,
            plate_mass_g=self.plate_mass_g,
            braces_mass_g=sum(b.mass_g for b in shares),
            modes=tuple(Mode(float(f), self.plot.field(v, unit=True)) for f, v in zip(hertz, fields.T, strict=True)),
            bridge_turn_deg=turn,
            bridge_rise_mm=rise,
            deflection=None if moved is None else self.plot.field(moved),
            stresses=(),
            unknowns_count=self.first.system.count,
            step_mm=self.first.system.bound.space.grid.step_mm,
        )
        printed = bounds(plate.step_mm, has_curved(_made(carved, self.name).braces))
        return LiveFigures(plate, shares, printed, error)

    def gains(self, carved: Carved) -> tuple[BraceGain, ...]:
        """Return what a millimetre at every station of that carving gains.

        Raises LayoutChangedError as ``update`` does, and ValueError for a plate without a string load.
        """
        answer = self._answer(carved)
        if answer.still is None:
            raise ValueError("there is no string load on this plate")
        both = np.concatenate([_bars_of(self.reduced, answer.condensed, answer.still), answer.own], axis=-1)
        return gains_of(answer.carving.bound.plate.bars, both, answer.hertz)

    def _answer(self, carved: Carved) -> _Answer:
        check_layout(self.carved, carved, self.name)
        bars, laps = carved_again(self.first.model, _made(carved, self.name), self.setting)
        tensors = tuple(
            of if _same_wood(old, new) else sections(new)
            for old, new, of in zip(self.first.model.plate.bars, bars, self.tensors, strict=True)
        )
        return self._solved(ready(with_bars(self.first.system.bound, bars, laps), tensors))

    def _solved(self, carving: Ready) -> _Answer:
        from scipy.linalg import eigh

        made = carving.condensed(self.reduced)
        still = None if self.pushes is None else np.asarray(np.linalg.solve(made.stiffness, self.pushes), dtype=float)
        values, small = eigh(made.stiffness, made.mass, subset_by_index=[0, MODES - 1])
        # Rayleigh's quotient: the bars' whole movement in place of rigid sections.
        own = _bars_of(self.reduced, made, small)
        heavy = np.einsum("ij,ij->j", small, self.reduced.mass @ small)
        heavy = heavy + np.einsum("eik,eik->k", own, np.matmul(carving.mass, own))
        omega = np.sqrt(values * np.einsum("ij,ij->j", small, made.mass @ small) / heavy)
        order = np.argsort(omega, kind="stable")
        scale = 1 / np.sqrt(heavy[order])
        return _Answer(carving, made, still, omega[order] / (2 * pi), small[:, order] * scale, own[:, :, order] * scale)


def live_model(
    carved: Carved,
    plate: str = "top",
    setting: Setting | None = None,
    load: StringLoad | None = None,
    mesh: Mesh = REPORT,
) -> LiveModel:
    """Return the live model of the "top" or the "back" of an instrument. Without a load it gives modes only.

    Raises ValueError for a plate that nothing holds at its edge.
    """
    own = setting or Setting()
    if own.rim == "free":
        raise ValueError("a live model needs a plate that is held at its edge")
    first = solve_plate(carved, plate, own, load, mesh)
    reduced, error = learned(first)
    n, basis, space = first.system.bound.space.count, reduced.basis, first.system.bound.space
    pushes = rise = None
    rise_rows = np.zeros(0)
    if first.load is not None and first.turn is not None:
        pushes = basis.T @ np.column_stack([first.load, first.turn])[:n]
        rise_rows = patch_mean(space, first.model.bridge, [(W, 0, 0, 1.0)])
        rise = basis.T @ rise_rows
    plot = PlotGrid.over(first.model, space)
    return LiveModel(
        plate,
        carved,
        own,
        first,
        reduced,
        tuple(sections(b) for b in first.model.plate.bars),
        pushes,
        rise,
        rise_rows,
        plot,
        np.asarray(plot.rows @ basis),
        plate_mass_g(first.model),
        error,
    )


def _bars_of(reduced: Reduced, made: Condensed, small: Floats) -> Floats:
    """Return the movements (elements, u, k) of the bars that go with plate movements (m, k)."""
    hang = reduced.bound.hanging
    count, k = len(hang.feet), small.shape[1]
    out = np.empty((count, len(hang.foot) + len(hang.inner), k))
    out[:, hang.foot] = reduced.feet @ small
    out[:, hang.inner] = (reduced.inner.scatter.T @ made.inner(small)).reshape(count, len(hang.inner), k)
    return out


def _same_wood(a: Bar, b: Bar) -> bool:
    return a.density_kg_m3 == b.density_kg_m3 and bool((a.law == b.law).all())


def _made(carved: Carved, plate: str) -> CarvedPlate:
    return carved.top if plate == "top" else carved.back


def brace_shares(made: CarvedPlate, setting: Setting) -> tuple[BraceLive, ...]:
    """Return weight and stiffness of every brace, by its own section along it."""
    middle = (np.arange(_STATIONS) + 0.5) / _STATIONS
    woods = [setting.wood(b.wood) for b in made.braces]
    mean = np.array(
        [
            w.elastic.e_l_mpa * float(section(b, middle * b.length_mm).inertia_mm4.mean())
            for b, w in zip(made.braces, woods, strict=True)
        ]
    )
    part: Floats = mean * np.array([b.length_mm for b in made.braces])
    return tuple(
        BraceLive(b.name, float(b.volume_mm3) * w.density_kg_m3 * 1e-6, float(m), float(p))
        for b, w, m, p in zip(made.braces, woods, mean, part / max(float(part.sum()), 1e-30), strict=True)
    )
