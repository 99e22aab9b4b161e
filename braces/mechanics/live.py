"""A plate that follows the carving: built once for a layout, then asked again after every cut."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Carved, CarvedPlate
from braces.design.woods import Wood
from braces.mechanics.analyse import REPORT, Solved, bounds, solve_plate, solved_again, summary
from braces.mechanics.braced_plate import Mesh
from braces.mechanics.instrument import Setting, carved_again
from braces.mechanics.same_layout import LayoutChangedError, check_layout
from braces.mechanics.sections import section
from braces.mechanics.sensitivity import BraceGain, gains
from braces.mechanics.strings import StringLoad
from braces.mechanics.values import Bound, PlateStrength

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
    error_ratio: float  #: estimate of what the live model adds to the bounds, 0 if solved in full

    @property
    def total_mass_g(self) -> float:
        """The plate with all that is glued on it."""
        return self.plate.plate_mass_g + self.plate.braces_mass_g


@dataclass(frozen=True, slots=True, eq=False)
class LiveModel:
    """One layout, ready for any carving of it."""

    carved: Carved
    setting: Setting
    first: Solved

    def update(self, carved: Carved) -> LiveFigures:
        """Return the numbers of another carving. Raises LayoutChangedError if more than the carving differs."""
        name = "back" if self.first.load is None else "top"
        made = _made(carved, name)
        plate = replace(summary(self._solved(carved), made, self.setting), stresses=())
        return LiveFigures(plate, brace_shares(made, self.setting), bounds(plate.step_mm), 0.0)

    def gains(self, carved: Carved) -> tuple[BraceGain, ...]:
        """Return what a millimetre at every station of that carving gains. Raises LayoutChangedError as ``update``."""
        return gains(self._solved(carved))

    def _solved(self, carved: Carved) -> Solved:
        name = "back" if self.first.load is None else "top"
        check_layout(self.carved, carved, name)
        bars, laps = carved_again(self.first.model, _made(carved, name), self.setting)
        return solved_again(self.first, bars, laps)


def live_model(
    carved: Carved,
    plate: str = "top",
    setting: Setting | None = None,
    load: StringLoad | None = None,
    mesh: Mesh = REPORT,
) -> LiveModel:
    """Return the live model of the "top" or the "back" of an instrument. Without a load it gives modes only."""
    own = setting or Setting()
    return LiveModel(carved, own, solve_plate(carved, plate, own, load, mesh))


def _made(carved: Carved, plate: str) -> CarvedPlate:
    return carved.top if plate == "top" else carved.back


def brace_shares(made: CarvedPlate, setting: Setting) -> tuple[BraceLive, ...]:
    """Return weight and stiffness of every brace, by its own section along it."""
    middle = (np.arange(_STATIONS) + 0.5) / _STATIONS
    woods: list[Wood] = [setting.wood(b.wood) for b in made.braces]
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
