"""Stiffness, weights, movement and modes as tables for a terminal, 100 columns at most."""

from __future__ import annotations

import io
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from braces.mechanics.ranges import STATEMENT, bound, extreme, formula_bounds, limits, mode_bound

if TYPE_CHECKING:
    from braces.mechanics.brace_figures import BraceFigures
    from braces.mechanics.values import Bound, BraceStress, Strength

WIDTH = 100
_NAME_COUNT = 22  #: letters of a name that stay on one line
_KEY = (
    "Weakest: the softest place between two stiffer ones, from the start; own: stiffness of the brace alone there, and "
    "as a share of the blank's. Bends: in the middle under 10 N, on supports at its ends. Taps: free, held at 22 % of "
    "its length. Stress: the greatest under the strings, as a share of what the wood bears for ten years."
)


def strength_tables(strength: Strength) -> str:
    """Return the tables for a terminal, at most 100 columns wide."""
    from rich.console import Console

    out = Console(file=io.StringIO(), width=WIDTH, color_system=None, legacy_windows=False, markup=False)
    _say(out, STATEMENT + "\n")
    stresses = {s.name: s for s in strength.top.stresses + strength.back.stresses}
    _table(
        out,
        "Braces: beam formulas on the wood's table values; ranges below",
        (
            "brace",
            "mass\ng",
            "blank\ng",
            "weakest\nmm",
            "own\nN m2",
            "blank\nN m2",
            "own\n%",
            "bends\nmm",
            "taps\nHz",
            "stress\n%",
        ),
        (_brace_row(b, stresses.get(b.name)) for b in strength.braces),
        "lrrrrrrrrr",
    )
    _say(out, f"{_KEY}\n")
    _laps(out, strength)
    _strings(out, strength)
    _table(out, "Weight and movement", ("", "number", "range"), _moves(strength), "lrr")
    _table(
        out, "Modes of the plates alone, Hz", ("mode", "top", "range", "back", "range"), _mode_rows(strength), "lrrrr"
    )
    _trust(out, strength)
    text = out.file.getvalue()  # type: ignore[attr-defined]
    return "\n".join(line.rstrip() for line in text.rstrip().splitlines())


def _say(out: Any, text: str, indent: str = "") -> None:
    """Print words, broken at the width; a newline at their end leaves a line free."""
    lines = textwrap.fill(text.rstrip(), WIDTH, subsequent_indent=indent)
    out.print(lines + "\n" * text.endswith("\n"), highlight=False)


def _strings(out: Any, strength: Strength) -> None:
    load = strength.load
    rows = [(n, f"{t:.1f}") for n, t in zip(load.notes, load.tensions_n, strict=True)]
    title = f"Strings: {load.set_name}, scale {load.scale_mm:.1f} mm (provenance: {load.provenance})"
    _table(out, title, ("string", "pull N"), [*rows, ("together", f"{load.total_n:.0f}")], "lr")
    torque = load.torque_n_mm / 1000
    _say(out, f"They pull {load.height_mm:g} mm above the top at the saddle: a torque of {torque:.2f} N m.\n")


def _trust(out: Any, strength: Strength) -> None:
    """Say how far the numbers go."""
    for b in (*strength.bounds, *formula_bounds()):
        low, high = 100 * b.low_ratio, 100 * b.high_ratio
        _say(out, f"Range of {b.quantity}: up to {low:.1f} % too low, {high:.1f} % too high ({b.measured_on}).", "  ")
    if not strength.bounds:
        _say(out, "No bound was measured on a grid this coarse.")
    _say(out, "The ranges are those of the model's solution; wood and rim are less well known than that.")
    out.print("\nTaken for granted:", highlight=False)
    for text in strength.assumptions:
        _say(out, f"- {text}", "  ")
    out.print("\nWhere the wood's numbers come from, the least sure mark of each:", highlight=False)
    for wood, mark in strength.marks:
        _say(out, f"- {wood}: {mark}", "  ")


def _brace_row(b: BraceFigures, stress: BraceStress | None) -> tuple[str, ...]:
    weak = b.weakest
    used = None if stress is None else stress.used_fraction
    own = None if weak is None else weak.of_blank_ratio * b.blank_n_mm2
    return (
        b.name,
        f"{b.mass_g:.1f}",
        f"{b.blank_mass_g:.1f}",
        "-" if weak is None else f"{weak.at_mm:.0f}",
        "-" if own is None else f"{own * 1e-6:.2f}",
        f"{b.blank_n_mm2 * 1e-6:.2f}",
        "-" if weak is None else f"{100 * weak.of_blank_ratio:.1f}",
        f"{b.bench_deflection_mm:.2f}",
        f"{b.tap_hz:.0f}",
        "-" if used is None else f"{100 * used:.1f}",
    )


def _laps(out: Any, strength: Strength) -> None:
    _table(
        out,
        "What the deepest lap of each brace leaves",
        ("brace", "laps", "at mm", "with", "height %", "own stiffness %"),
        (
            (
                b.name,
                str(len(b.laps)),
                f"{deepest.at_mm:.0f}",
                deepest.with_name,
                f"{100 * deepest.height_ratio:.0f}",
                f"{100 * deepest.stiffness_ratio:.1f}",
            )
            for b in strength.braces
            if b.laps
            for deepest in [min(b.laps, key=lambda lap: lap.stiffness_ratio)]
        ),
        "lrrlrr",
    )


def _moves(strength: Strength) -> Iterable[tuple[str, str, str]]:
    for plate in (strength.top, strength.back):
        yield f"{plate.name}, with what is glued on it but braces", f"{plate.plate_mass_g:.0f} g", "not measured"
        yield f"{plate.name}: its braces", f"{plate.braces_mass_g:.1f} g", "not measured"
    top, moves = strength.top, bound(strength, "deflection")
    if top.bridge_turn_deg is not None:
        turn = bound(strength, "bridge turn")
        yield (
            "bridge turns towards the neck",
            f"{top.bridge_turn_deg:.2f} deg",
            _span(top.bridge_turn_deg, turn, 2, "deg"),
        )
    if top.bridge_rise_mm is not None:
        yield "bridge moves, + outward", f"{top.bridge_rise_mm:+.2f} mm", _span(top.bridge_rise_mm, moves, 2, "mm")
    if top.deflection is not None:
        for words, sign in (("top moves most outward", 1), ("top moves most inward", -1)):
            value, _, _ = extreme(top.deflection, sign)
            yield words, f"{value:+.2f} mm", _span(value, moves, 2, "mm")


def _mode_rows(strength: Strength) -> Iterable[tuple[str, ...]]:
    plates = (strength.top, strength.back)
    for k in range(max(len(p.modes) for p in plates)):
        row = [str(k + 1)]
        for plate in plates:
            hertz = plate.modes[k].frequency_hz if k < len(plate.modes) else None
            row.append("" if hertz is None else f"{hertz:.0f}")
            row.append("" if hertz is None else _span(hertz, mode_bound(strength, k + 1), 0, ""))
        yield tuple(row)


def _span(value: float, of: Bound | None, digits: int, unit: str) -> str:
    if of is None:
        return "not measured"
    low, high = limits(value, of)
    return f"{low:.{digits}f} to {high:.{digits}f} {unit}".rstrip()


def _table(out: Any, title: str, header: Sequence[str], rows: Iterable[Sequence[str]], align: str) -> None:
    from rich import box
    from rich.table import Table

    body = list(rows)
    if not body:
        return
    # A title of the table itself would be broken at the table's width.
    out.print(title, highlight=False)
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False)
    least = min(_NAME_COUNT, max(len(row[0]) for row in body))
    for k, (name, side) in enumerate(zip(header, align, strict=True)):
        table.add_column(name, justify="right" if side == "r" else "left", min_width=least if k == 0 else None)
    for row in body:
        table.add_row(*row)
    out.print(table)
