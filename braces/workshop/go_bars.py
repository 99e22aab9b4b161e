"""The go-bar deck: where each bar stands on each brace, how hard it pushes, and what the glue line feels of it.

What is measured: the stack at a place is the rise of the dish over its lowest point, the plate, the brace and the
caul; the gap is what the room from that lowest point to the ceiling leaves for the bar. Pushes come from the elastica.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, pi
from typing import Literal

import numpy as np

from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.design.own_woods import wood_of
from braces.design.woods import Wood, wood, woods
from braces.workshop.elastica import BentBar, bent_bar, refuse_gap
from braces.workshop.habits import table

_CLEAR_OF_NOTCH_MM = 6.0
_SPACING_MM = (25.0, 80.0)  #: bars closer or wider than this only if asked for: common practice
_SAFE_STRESS_FRACTION = 0.5  #: of the bar's bending strength; bars stay bent for hours, and wood creeps


@dataclass(frozen=True, slots=True)
class BarSpec:
    """The bars: all alike."""

    material: str = "white ash"  #: a wood of the table, or "glass fibre"
    shape: Literal["slat", "rod"] = "slat"
    thickness_mm: float = 5.0  #: the thin way of a slat, in which it bends; a rod's diameter
    width_mm: float = 18.0  #: of a slat
    length_mm: float | None = None  #: as cut; worked out from ``over_mm`` if not given


@dataclass(frozen=True, slots=True)
class DeckSpec:
    """The deck and the way of working."""

    deck_mm: float = 600.0  #: lowest point of the dish to the ceiling
    caul_mm: float = 6.0  #: strip between brace and bars
    bars: BarSpec = BarSpec()
    over_mm: float = 6.0  #: how much longer than its room a bar is cut, where it has most room
    spacing_mm: float | None = None  #: twice the height of brace and caul if not given
    glued: Literal["as blanks", "carved"] = "as blanks"


@dataclass(frozen=True, slots=True)
class BarPlace:
    """One bar on one brace."""

    number: int  #: counted over the plate, in the order in which the braces go on
    brace: str
    along_mm: float  #: on the brace's centre line from its start
    at: tuple[float, float]  #: the same in plan, the plate's own
    stack_mm: float
    gap_mm: float
    bar: BentBar
    serves_mm: float  #: length of glue line that it presses
    pressure_mpa: float  #: its push over that length and the brace's width
    length_mm: float | None = None  #: as cut, where not all bars of the plate are alike


@dataclass(frozen=True, slots=True)
class PressureRange:
    """What is published for the wood."""

    low_mpa: float
    high_mpa: float
    provenance: str
    source: str


@dataclass(frozen=True, slots=True)
class BraceBars:
    """The bars on one brace."""

    brace: str
    places: tuple[BarPlace, ...]
    spacing_mm: float
    push_n: float  #: all together
    pressure_mpa: float  #: over the whole glue line
    published: PressureRange  #: for the softer of brace and plate


@dataclass(frozen=True, slots=True)
class PlateBars:
    """All bars of one plate."""

    plate: Literal["top", "back"]
    bar_length_mm: float
    stress_fraction: float  #: greatest bending stress in a bar over its material's strength
    braces: tuple[BraceBars, ...]  #: in the order in which they go on
    push_n: float  #: on floor and ceiling if all bars stand at once
    worst_energy_n_mm: float  #: of one bar
    material: str
    provenance: str  #: of the bar's stiffness
    notes: tuple[str, ...]

    @property
    def places(self) -> tuple[BarPlace, ...]:
        """Every bar."""
        return tuple(p for b in self.braces for p in b.places)


def plate_bars(carved: Carved, plate: Literal["top", "back"], spec: DeckSpec | None = None) -> PlateBars:
    """Return the bars for gluing the braces of a plate in its dish.

    Raises ValueError if a bar of the given length does not bow somewhere, bends too far, or the deck is too low.
    """
    spec = spec or DeckSpec()
    placed = carved.placed.top if plate == "top" else carved.placed.back
    spots, stacks, length = _laid_out(carved, plate, spec)
    bar, design = _bar_figures(spec.bars), carved.placed.design
    made, number = [], 1
    for brace, along in spots:
        published = published_pressure(wood_of(design, brace.wood), wood_of(design, placed.spec.wood))
        row = _brace_bars(brace, published, along, stacks[brace.name], spec, (length, bar), number)
        made.append(row)
        number += len(along)
    return _plate(plate, length, bar, made)


def refuse_bars(carved: Carved, plate: Literal["top", "back"], spec: DeckSpec) -> None:
    """Raise ValueError where the bars of a plate do not fit the deck; quick, since no push is worked out."""
    _, stacks, length = _laid_out(carved, plate, spec)
    for row in stacks.values():
        for stack in row:
            refuse_gap(length, spec.deck_mm - stack)


def bar_materials() -> tuple[str, ...]:
    """Return what bars can be made of that is no wood of the table."""
    return tuple(table("glue_up")["bars"])


def _laid_out(
    carved: Carved, plate: Literal["top", "back"], spec: DeckSpec
) -> tuple[list[tuple[CarvedBrace, list[float]]], dict[str, list[float]], float]:
    """Return the places along each brace, the stacks there by the braces' names, and the bars' length."""
    spots = [(b, _spots(b, spec)) for b in _in_order(carved.top if plate == "top" else carved.back)]
    stacks = {b.name: [float(v) for v in stack_mm(b, np.array(s), spec)] for b, s in spots}
    gaps = [spec.deck_mm - s for row in stacks.values() for s in row]
    if not gaps:
        raise ValueError(f"the {plate} has no braces to glue")
    if min(gaps) <= 0:
        raise ValueError(f"a deck of {spec.deck_mm:.0f} mm has no room over the braces of the {plate}")
    return spots, stacks, spec.bars.length_mm or float(ceil(max(gaps) + spec.over_mm - 1e-9))


def stack_mm(brace: CarvedBrace, along: np.ndarray, spec: DeckSpec) -> np.ndarray:
    """Return the height (n,) of plate, brace and caul over the dish's lowest point at places (n,) on a brace, mm."""
    if spec.glued == "carved":
        top = brace.glue.z(along, 0.0) + brace.height(along)
    else:
        top = np.full(len(along), blank_top_mm(brace))
    return np.asarray(brace.glue_depth_mm + top + spec.caul_mm)


def blank_top_mm(brace: CarvedBrace) -> float:
    """Return the level of the blank's top edge over Z = 0 of the bench frame."""
    x = np.linspace(brace.height.lo_mm, brace.height.hi_mm, 401)
    low = min(0.0, *(float(np.min(brace.glue.z(x, s * brace.width_mm / 2))) for s in (-1, 1)))
    return low + brace.blank.height_mm


def published_pressure(brace_wood: Wood, plate_wood: Wood) -> PressureRange:
    """Return the published clamp pressure for the softer of two woods."""
    rows = table("glue_up")
    softer = min(brace_wood.density_kg_m3, plate_wood.density_kg_m3)
    row = rows["pressure"]["light" if softer < rows["limits"]["light_below_kg_m3"] else "dense"]
    return PressureRange(row["low_mpa"], row["high_mpa"], row["provenance"], row["source"])


@dataclass(frozen=True, slots=True)
class _Bar:
    stiffness_n_mm2: float
    modulus_mm3: float  #: section modulus
    strength_mpa: float | None
    material: str
    provenance: str


def _bar_figures(spec: BarSpec) -> _Bar:
    """Stiffness and strength of a bar. Raises ValueError for a material that is not known."""
    t = spec.thickness_mm
    inertia = pi * t**4 / 64 if spec.shape == "rod" else spec.width_mm * t**3 / 12
    rows = table("glue_up")["bars"]
    name = " ".join(spec.material.lower().split())
    if name in rows:
        row = rows[name]
        return _Bar(row["modulus_mpa"] * inertia, 2 * inertia / t, row["bending_mpa"], name, row["provenance"])
    if name not in woods():
        raise ValueError(f'"{spec.material}" is neither {" nor ".join(rows)} nor a wood of the table')
    strength = wood(name).strength
    return _Bar(strength.moe_mpa * inertia, 2 * inertia / t, strength.bending_mpa, name, strength.provenance)


def _in_order(plate: CarvedPlate) -> list[CarvedBrace]:
    by_name = {b.name: b for b in plate.braces}
    return [by_name[n] for n in plate.order]


def _spots(brace: CarvedBrace, spec: DeckSpec) -> list[float]:
    """Places along a brace: each bar serves an equal length, and stands off what is cut from the room side."""
    spacing = spec.spacing_mm or min(max(2 * (brace.blank.height_mm + spec.caul_mm), _SPACING_MM[0]), _SPACING_MM[1])
    count = max(2, ceil(brace.length_mm / spacing - 1e-9))
    share = brace.length_mm / count
    return [_off_notches(brace, (k + 0.5) * share) for k in range(count)]


def _off_notches(brace: CarvedBrace, x: float) -> float:
    for notch in brace.notches:
        keep = notch.width_mm / 2 + _CLEAR_OF_NOTCH_MM
        if notch.opens == "room" and abs(x - notch.at_mm) < keep:
            moved = notch.at_mm + (keep if x >= notch.at_mm else -keep)
            return moved if 0 < moved < brace.length_mm else 2 * notch.at_mm - moved
    return x


def _brace_bars(
    brace: CarvedBrace,
    published: PressureRange,
    along: list[float],
    stacks: list[float],
    spec: DeckSpec,
    bars: tuple[float, _Bar],
    first: int,
) -> BraceBars:
    length, bar = bars
    serves = brace.length_mm / len(along)
    places = []
    for k, (at, stack) in enumerate(zip(along, stacks, strict=True)):
        gap = spec.deck_mm - stack
        bent = bent_bar(length, gap, bar.stiffness_n_mm2)
        where = brace.plan_at(at)
        pressure = bent.push_n / (serves * brace.width_mm)
        places.append(BarPlace(first + k, brace.name, at, where, stack, gap, bent, serves, pressure))
    push = sum(p.bar.push_n for p in places)
    return BraceBars(brace.name, tuple(places), serves, push, push / (brace.length_mm * brace.width_mm), published)


def _plate(plate: Literal["top", "back"], length: float, bar: _Bar, braces: list[BraceBars]) -> PlateBars:
    bent = [p.bar for b in braces for p in b.places]
    stress = max(b.moment_n_mm for b in bent) / bar.modulus_mm3
    used = stress / bar.strength_mpa if bar.strength_mpa else float("nan")
    push = sum(b.push_n for b in braces)
    notes = []
    if used > _SAFE_STRESS_FRACTION:
        notes.append(
            f"The bars are bent to {100 * used:.0f} % of their strength: use thinner or longer ones, or bend them less."
        )
    if any(b.pressure_mpa < b.published.low_mpa for b in braces):
        notes.append(
            "The glue lines get less pressure than is published for clamps; go-bars rarely reach it. "
            "Well fitted faces matter more than push: check the fit dry, against the light."
        )
    if any(b.pressure_mpa > b.published.high_mpa for b in braces):
        notes.append("Some glue lines get more pressure than is published: fewer or softer bars will do.")
    worst = max(b.energy_n_mm for b in bent)
    return PlateBars(plate, length, used, tuple(braces), push, worst, bar.material, bar.provenance, tuple(notes))
