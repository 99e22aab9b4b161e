"""What carving is to reach: the bridge's turn, a mode's frequency, or a weight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.sensitivity import BraceGain
from braces.mechanics.values import PlateStrength

Kind = Literal["turn", "mode", "braces", "plate"]


@dataclass(frozen=True, slots=True)
class Aim:
    """A number of one plate that the heights of its braces are carved to."""

    kind: Kind
    plate: Literal["top", "back"]
    number: int = 0  #: of the mode, the first being 1

    @property
    def solved(self) -> bool:
        """Whether the plate has to be solved for it; a weight only has to be added up."""
        return self.kind in ("turn", "mode")

    @property
    def unit(self) -> str:
        """Unit of the number."""
        return {"turn": "deg", "mode": "Hz"}.get(self.kind, "g")

    @property
    def words(self) -> str:
        """What it is called."""
        return {
            "turn": "turn of the bridge",
            "mode": f"mode {self.number} of the {self.plate}",
            "braces": f"weight of the {self.plate}'s braces",
            "plate": f"weight of the braced {self.plate}",
        }[self.kind]

    @property
    def bounded_by(self) -> str:
        """Name of the bound that was measured for numbers of this kind."""
        return {
            "turn": "bridge turn",
            "mode": "mode 1" if self.number == 1 else "modes 2 to 10",
            "braces": "weight of a brace or stick",
            "plate": "weight of a plate",
        }[self.kind]

    def text(self, value: float) -> str:
        """Write a value with its unit, such as "0.62 deg"."""
        return f"{value:.{2 if self.unit == 'deg' else 1}f} {self.unit}"

    def value(self, plate: PlateStrength) -> float:
        """Return the number of a plate that was solved. Raises ValueError if that plate does not have it."""
        if self.kind == "mode":
            if not 1 <= self.number <= len(plate.modes):
                raise ValueError(f"there are {len(plate.modes)} modes")
            return plate.modes[self.number - 1].frequency_hz
        if self.kind == "turn":
            if plate.bridge_turn_deg is None:
                raise ValueError("no strings pull on this plate")
            return plate.bridge_turn_deg
        return plate.braces_mass_g + (plate.plate_mass_g if self.kind == "plate" else 0.0)

    def slope(self, gain: BraceGain) -> Floats:
        """Return its change for each mm at every station of a brace, (k,). Only for what is solved."""
        return np.asarray(gain.turn_deg if self.kind == "turn" else gain.hertz[:, self.number - 1])
