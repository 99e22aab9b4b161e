"""The chapter of the mechanics: what moves, how it rings, and how far each number is known."""

from __future__ import annotations

from collections.abc import Iterator

from braces.mechanics.brace_figures import BENCH_LOAD_N
from braces.mechanics.ranges import STATEMENT, bound, extreme, formula_bounds, limits, mode_bound
from braces.mechanics.values import Bound, PlateStrength, Strength
from braces.workshop.book.blocks import Chapter, Section, Table, Words

_MODES_TOLD = 4
_UNMEASURED = "not measured"
_NOT_MEASURED = (
    "Stiffness with the strip of plate, laps, stresses, string tensions and the plates' masses: bound not measured."
)


def numbers_chapter(strength: Strength) -> Chapter:
    """Return the numbers of the mechanics with their ranges."""
    load = strength.load
    first = Words(
        f"{STATEMENT} Strings: {load.set_name}, {load.total_n:.0f} N together, {load.height_mm:g} mm above the top. A "
        "range says how far the solution of the model may be off; wood and rim are less well known than that."
    )
    sections = (
        Section("moves", "What moves and how it rings", (_plates(strength),)),
        Section("sticks", "Brace by brace", (_braces(strength),)),
        Section("bounds", "How far to trust it", tuple(_trust(strength))),
    )
    return Chapter("numbers", "Numbers of the mechanics", (first,), sections)


def _plates(strength: Strength) -> Table:
    rows = [row for plate in (strength.top, strength.back) for row in _rows(plate, strength)]
    return Table("Solved numbers", ("what", "number", "range"), tuple(rows), 2)


def _rows(plate: PlateStrength, strength: Strength) -> Iterator[tuple[str, str, str]]:
    mass = f"{plate.plate_mass_g + plate.braces_mass_g:.0f} g, braces {plate.braces_mass_g:.0f} g of it"
    yield f"{plate.name}, mass", mass, ""
    moves = bound(strength, "deflection")
    if plate.bridge_turn_deg is not None:
        turn = plate.bridge_turn_deg
        yield "bridge turns", f"{turn:.2f}°", _span(turn, bound(strength, "bridge turn"), 2, "°")
    if plate.deflection is not None:
        for sign, word in ((1, "rises at most"), (-1, "sinks at most")):
            value = extreme(plate.deflection, sign)[0]
            yield f"{plate.name} {word}", f"{value:+.2f} mm", _span(value, moves, 2, " mm")
    for k, mode in enumerate(plate.modes[:_MODES_TOLD], 1):
        hertz = mode.frequency_hz
        yield f"{plate.name}, mode {k}", f"{hertz:.0f} Hz", _span(hertz, mode_bound(strength, k), 0, " Hz")


def _span(value: float, of: Bound | None, digits: int, unit: str) -> str:
    if of is None:
        return _UNMEASURED
    low, high = limits(value, of)
    return f"{low:.{digits}f} to {high:.{digits}f}{unit}"


def _braces(strength: Strength) -> Table:
    used = {s.name: s.used_fraction for s in (*strength.top.stresses, *strength.back.stresses)}
    rows = []
    for b in strength.braces:
        weak, stress = b.weakest, used.get(b.name)
        rows.append(
            (
                b.name,
                f"{b.mass_g:.1f}",
                f"{b.tap_hz:.0f}",
                f"{b.bench_deflection_mm:.2f}",
                "–" if weak is None else f"{weak.at_mm:.0f}",
                "–" if weak is None else f"{weak.stiffness_n_mm2 * 1e-6:.1f}",
                "–" if stress is None else f"{100 * stress:.0f} %",
            )
        )
    head = ("brace", "g", "taps, Hz", "bends, mm", "weakest at, mm", "there, N m²", "stress")
    caption = (
        f"Beam formulas: free brace; under {BENCH_LOAD_N:g} N on two supports; softest place with its strip of plate; "
        "greatest stress of what the wood bears for ten years"
    )
    return Table(caption, head, tuple(rows), len(head) - 1)


def _trust(strength: Strength) -> Iterator[Table | Words]:
    rows = tuple(
        (b.quantity, f"{100 * b.low_ratio:.1f} %", f"{100 * b.high_ratio:.1f} %", b.measured_on)
        for b in (*strength.bounds, *formula_bounds())
    )
    head = ("number", "too low by", "too high by", "measured on")
    yield Table("How far off a number may be", head, rows)
    yield Words(_NOT_MEASURED)
    if strength.marks:
        yield Table("How sure the woods' figures are", ("wood", "from"), strength.marks)
    yield Words(f"Taken for granted: {'; '.join(strength.assumptions)}.", small=True)
