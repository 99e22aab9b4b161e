"""What the strings pull with, and what that does to the bridge."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from math import pi

from braces.design.strings import OwnStringSpec

_INCH_MM = 25.4
STEEL_KG_M3 = 7807.0  #: what published unit-weight charts of plain strings imply; the handbook value of steel is 7850
BRONZE_KG_M3 = 8800.0  #: phosphor bronze, from memory
GRAVITY_M_S2 = 9.80665
DEFAULT_SET = "light"
#: Strings above the top's outer face at the saddle: common practice for a steel-string guitar.
STRING_HEIGHT_MM = 12.0
_STEPS = {"C": -9, "D": -7, "E": -5, "F": -4, "G": -2, "A": 0, "B": 2}


@dataclass(frozen=True, slots=True)
class String:
    """One string. ``tension_n`` overrides what its mass would give."""

    note: str  #: scientific pitch name, such as "E4" or "F#3"
    metre_mass_g: float | None = None  #: mass of one metre of it
    tension_n: float | None = None
    label: str = ""


@dataclass(frozen=True, slots=True)
class StringSet:
    """The strings of an instrument and where the numbers come from."""

    name: str
    use: str
    strings: tuple[String, ...]
    provenance: str
    source: str
    tension_scale_mm: float | None = None  #: the scale that given tensions belong to


@dataclass(frozen=True, slots=True)
class StringLoad:
    """The strings' pull on the bridge."""

    set_name: str
    notes: tuple[str, ...]
    tensions_n: tuple[float, ...]
    scale_mm: float
    height_mm: float  #: of the strings above the top's outer face at the saddle
    provenance: str

    @property
    def total_n(self) -> float:
        """Sum of the tensions: also the shear force that the bridge's glue line carries."""
        return sum(self.tensions_n)

    @property
    def torque_n_mm(self) -> float:
        """Turning moment of the strings about the top's outer face under the saddle."""
        return self.total_n * self.height_mm


def pitch_hz(note: str, a4_hz: float = 440.0) -> float:
    """Return the frequency of a note in equal temperament, A4 = 440 Hz (ISO 16).

    >>> round(pitch_hz("E2"), 4)
    82.4069
    """
    name, octave = note[:-1], int(note[-1])
    sharp = name.count("#") - name[1:].count("b")
    return float(a4_hz * 2 ** ((_STEPS[name[0].upper()] + sharp) / 12 + octave - 4))


def plain_mass_g_m(diameter_mm: float, density_kg_m3: float = STEEL_KG_M3) -> float:
    """Return the mass of a metre of plain wire: density times pi d^2 / 4."""
    return density_kg_m3 * pi * diameter_mm**2 / 4 * 1e-3


def wound_mass_g_m(diameter_mm: float, core_mm: float, wrap_kg_m3: float = BRONZE_KG_M3) -> float:
    """Return the mass of a metre of a wound string: core, and a round wrap that fills pi/4 of its annulus."""
    return plain_mass_g_m(core_mm) + wrap_kg_m3 * (pi / 4) ** 2 * (diameter_mm**2 - core_mm**2) * 1e-3


def tension_n(mass_g_m: float, scale_mm: float, frequency_hz: float) -> float:
    """Return T = mu (2 L f)^2: the ideal string (textbook; bending stiffness of the wire left out).

    >>> round(tension_n(plain_mass_g_m(0.010 * 25.4), 25.5 * 25.4, 329.6276) / 4.448222, 2)
    16.2
    """
    return mass_g_m * 1e-3 * (2 * scale_mm * 1e-3 * frequency_hz) ** 2


def from_unit_weight_g_m(unit_weight_lb_in: float) -> float:
    """Return g/m of a string chart's pounds per inch."""
    return unit_weight_lb_in * 453.59237 / 0.0254


@cache
def string_sets() -> dict[str, StringSet]:
    """The sets of the table, by name."""
    text = files("braces.mechanics").joinpath("data", "strings.toml").read_text(encoding="utf-8")
    made = {}
    for name, row in tomllib.loads(text).items():
        strings = []
        for s in row["strings"]:
            if "tension_n" in s:
                strings.append(String(s["note"], None, s["tension_n"], s["note"]))
                continue
            if "density_kg_m3" in s:
                mass = plain_mass_g_m(s["diameter_mm"], s["density_kg_m3"])
                strings.append(String(s["note"], mass, None, f"{s['diameter_mm']:.2f} mm"))
                continue
            d = s["diameter_in"] * _INCH_MM
            mass = wound_mass_g_m(d, s["core_in"] * _INCH_MM) if "core_in" in s else plain_mass_g_m(d)
            strings.append(String(s["note"], mass, None, f"{s['diameter_in']:.3f} in"))
        made[name] = StringSet(
            name, row["use"], tuple(strings), row["provenance"], row["source"], row.get("tension_scale_mm")
        )
    return made


def string_load(strings: StringSet, scale_mm: float, height_mm: float = STRING_HEIGHT_MM) -> StringLoad:
    """Return the tension of each string at a scale length, and with it the load on the bridge.

    A tension given for another scale is carried over with the square of the length. Raises ValueError for a string
    with neither a mass nor a tension.
    """
    pulls = []
    for s in strings.strings:
        if s.tension_n is not None:
            pulls.append(s.tension_n * (scale_mm / (strings.tension_scale_mm or scale_mm)) ** 2)
        elif s.metre_mass_g is not None:
            pulls.append(tension_n(s.metre_mass_g, scale_mm, pitch_hz(s.note)))
        else:
            raise ValueError(f"string {s.note} has neither a mass nor a tension")
    return StringLoad(
        strings.name, tuple(s.note for s in strings.strings), tuple(pulls), scale_mm, height_mm, strings.provenance
    )


def own_strings(each: Sequence[OwnStringSpec]) -> StringSet:
    """Return the strings that a design describes one by one; each has a tension or a mass."""
    strings = tuple(String(s.note, s.metre_mass_g, s.tension_n, s.note) for s in each)
    return StringSet("your own strings", "as the design says", strings, "the design's own figures", "the design")


def with_total(load: StringLoad, total_n: float) -> StringLoad:
    """Return the load scaled to a total the user knows."""
    k = total_n / load.total_n
    return replace(load, tensions_n=tuple(t * k for t in load.tensions_n), provenance="the user's own figure")
