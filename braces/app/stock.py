"""Bench readings of a stick or a plate, from words to a [stock.NAME] section that can be pasted."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import hypot, isfinite

from braces.base.problems import DesignError, Problem, as_read
from braces.base.units import FORCE, FREQUENCY, MASS, UnitError, length_mm
from braces.design.own_woods import wood_key
from braces.design.woods import Wood, no_such_wood, wood, woods
from braces.mechanics.stock_tests import BarTap, BendTest, Found, PlateTap, Reading, bar_tap, bend_test, plate_tap

_NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9 _-]{0,39}$")
_SPREAD = re.compile(r"^(.*?)(?:\+-|\+/-|±)(.*)$")


@dataclass(frozen=True, slots=True)
class Quantity:
    """How a reading is written, and how well it is known if its maker does not say."""

    read: Callable[[object], float]
    unit: str
    spread_ratio: float  #: of the reading
    spread_floor: tuple[float, str]  #: in its unit, and with what it is measured


#: Standard uncertainties of careful bench work: common practice, from memory. A reading may state its own.
RULE = Quantity(length_mm, "mm", 0.0, (0.5, "a rule"))
CALIPER = Quantity(length_mm, "mm", 0.0, (0.05, "a caliper"))
DIAL = Quantity(length_mm, "mm", 0.01, (0.01, "a dial gauge"))
WEIGHT = Quantity(FORCE.read, "N", 0.005, (0.0, "a weighed load"))
SCALES = Quantity(MASS.read, "g", 0.001, (0.05, "kitchen scales"))
TAP = Quantity(FREQUENCY.read, "Hz", 0.005, (0.5, "a tone reader"))


def reading(name: str, words: str, kind: Quantity) -> Reading:
    """Return (value, standard uncertainty) of words such as "400 mm" or "412 Hz +- 2 Hz". Raises DesignError."""
    m = _SPREAD.match(words)
    value_text, spread_text = (m[1].strip(), m[2].strip()) if m else (words, None)
    try:
        value = kind.read(value_text)
        spread = hypot(kind.spread_ratio * value, kind.spread_floor[0])
        if spread_text is not None:
            spread = kind.read(spread_text if re.search(r"[A-Za-z]", spread_text) else f"{spread_text} {kind.unit}")
    except UnitError as error:
        raise _refused(f"--{name}: {error.found}", error.advice) from None
    if not (isfinite(value) and value > 0 and spread >= 0):
        raise _refused(f"--{name}: {as_read(words)} is out of range", f"write more than 0 {kind.unit}")
    return value, spread


def _refused(found: str, advice: str) -> DesignError:
    return DesignError([Problem("M02", (), found, advice)])


def stock_name(words: str) -> str:
    """Return a name that a section can have. Raises DesignError."""
    if not _NAME.match(words):
        raise _refused(f"{as_read(words)} cannot be a name", "use letters, digits, blanks and dashes, 40 at most")
    return words


def listed_wood(name: str) -> Wood:
    """Return a wood of the table. Raises DesignError with those that are alike."""
    if wood_key(name) not in woods():
        raise DesignError([no_such_wood((), name)])
    return wood(name)


def bent(words: Mapping[str, str], like: Wood) -> Found:
    """Return what a three-point bend tells."""
    kinds = {"span": RULE, "load": WEIGHT, "deflection": DIAL, "width": CALIPER, "height": CALIPER}
    r = {k: reading(k, words[k], kind) for k, kind in kinds.items()}
    if r["height"][0] > r["span"][0] / 4:
        raise _refused("the stick is too short for its height", "use a span of at least four times the height")
    test = BendTest(r["span"], r["load"], r["deflection"], r["width"], r["height"])
    return bend_test(test, like.elastic.e_l_mpa / like.elastic.g_lr_mpa)


def tapped(words: Mapping[str, str], like: Wood) -> Found:
    """Return what the tap tone of a free bar tells."""
    kinds = {"frequency": TAP, "length": RULE, "width": CALIPER, "height": CALIPER, "mass": SCALES}
    r = {k: reading(k, words[k], kind) for k, kind in kinds.items()}
    if r["height"][0] > r["length"][0] / 8:
        raise _refused("the bar is too short for its height", "tap a bar at least eight times as long as it is high")
    test = BarTap(r["frequency"], r["length"], r["width"], r["height"], r["mass"])
    return bar_tap(test, like.elastic.e_l_mpa / like.elastic.g_lr_mpa)


def tapped_plate(words: Mapping[str, str], like: Wood) -> Found:
    """Return what three tap tones of a free rectangular plate tell."""
    kinds = {"twist": TAP, "along": TAP, "across": TAP, "length": RULE, "width": RULE, "thickness": CALIPER}
    r = {k: reading(k, words[k], kind) for k, kind in (kinds | {"mass": SCALES}).items()}
    nu = (like.elastic.nu_lr_ratio, 0.05)
    test = PlateTap(
        r["twist"], r["along"], r["across"], r["length"], r["width"], r["thickness"], r["mass"], nu_ratio=nu
    )
    try:
        return plate_tap(test)
    except ValueError as error:
        raise _refused(str(error), "tap again: lines at rest show which shape it is (twist: a cross)") from None


def stock_section(name: str, like: str, found: Found, how: str) -> str:
    """Return the section to paste, its numbers rounded to what their uncertainty deserves."""
    key = name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else f'"{name}"'
    rows = [f"[stock.{key}]", f'like = "{like}"']
    if found.density_kg_m3 is not None:
        rows.append(f'density = "{found.density_kg_m3:.0f} kg/m3"')
        rows.append(f'density_spread = "{_percent(found.density_spread_kg_m3, found.density_kg_m3)} %"')
    if found.e_along_mpa is not None:
        rows.append(f'e_along = "{found.e_along_mpa / 1000:.2f} GPa"')
        rows.append(f'e_along_spread = "{_percent(found.e_along_spread_mpa, found.e_along_mpa)} %"')
    if found.e_across_mpa is not None:
        rows.append(f'e_across = "{found.e_across_mpa / 1000:.3f} GPa"')
    if found.shear_mpa is not None:
        rows.append(f'shear = "{found.shear_mpa / 1000:.3f} GPa"')
    return "\n".join([*rows, f'note = "{how}"'])


def _percent(spread: float | None, value: float) -> str:
    return f"{100 * (spread or 0.0) / value:.1f}"
