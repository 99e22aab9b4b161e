"""Two designs side by side as tables for a terminal, and as a table of numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from braces.mechanics.pairing import Pair
from braces.mechanics.ranges import STATEMENT, bound, limits, mode_bound
from braces.mechanics.values import Bound, PlateStrength, Strength
from braces.reports.figures import rounded
from braces.reports.plain_tables import Page

_TEXT_COUNT = 22  #: letters of a name, or of what a file says, that a column shows
_WHERE_COUNT = 48


@dataclass(frozen=True, slots=True)
class Difference:
    """A field that two files say differently, as written; "-" where it is not there."""

    where: str
    first: str
    second: str


Pairs = tuple[Sequence[Pair], Sequence[Pair]]  #: of the tops, of the backs


def compare_tables(
    names: tuple[str, str], both: tuple[Strength, Strength], pairs: Pairs, differences: Sequence[Difference]
) -> str:
    """Return the comparison as text, at most 100 columns wide."""
    page, (a, b) = Page(), both
    one, other = (_short(n, _TEXT_COUNT) for n in names)
    page.say(STATEMENT)
    page.say()
    page.table("Weight and movement", ("", one, "range", other, "range", "change"), _moves(a, b), "lrrrrr")
    page.table(
        "Braces: weight, and bend in the middle under 10 N on supports at their ends",
        ("brace", f"g\n{one}", f"g\n{other}", f"bends mm\n{one}", f"bends mm\n{other}", "stiffer\n%"),
        _braces(a, b),
        "lrrrrr",
    )
    for title, p, q, found in (("top", a.top, b.top, pairs[0]), ("back", a.back, b.back, pairs[1])):
        page.table(
            f"Modes of the {title}, Hz, paired by shape; alike: 1 is the same shape",
            ("mode", one, "range", "mode", other, "range", "change %", "alike"),
            _modes(a, b, p, q, found),
            "lrrrrrrr",
        )
    page.table(
        "What the files say differently",
        ("field", one, other),
        (
            (_short(d.where, _WHERE_COUNT), _short(d.first, _TEXT_COUNT), _short(d.second, _TEXT_COUNT))
            for d in differences
        ),
        "lll",
    )
    if not differences:
        page.say("The files say the same.")
    page.say(
        "Ranges are those of the models' solutions; both err alike, so a change is better known than either number."
    )
    return page.text()


def compare_numbers(
    names: tuple[str, str], both: tuple[Strength, Strength], pairs: Pairs, differences: Sequence[Difference]
) -> dict[str, Any]:
    """Return the same as a table of numbers: pairs of values, units in the keys."""
    a, b = both
    return {
        "statement": STATEMENT,
        "designs": list(names),
        "movement": [
            {"what": what, "unit": unit, "values": [_ranged(p, of_a), _ranged(q, of_b)]}
            for what, unit, _, p, of_a, q, of_b in _quantities(a, b)
        ],
        "modes": {
            title: [
                {
                    "numbers": [x.first, x.second],
                    "frequencies_hz": [
                        rounded(p.modes[x.first - 1].frequency_hz),
                        None if x.second is None else rounded(q.modes[x.second - 1].frequency_hz),
                    ],
                    "alike_ratio": rounded(x.alike_ratio),
                }
                for x in found
            ]
            for title, p, q, found in (("top", a.top, b.top, pairs[0]), ("back", a.back, b.back, pairs[1]))
        },
        "differences": [{"field": d.where, "values": [d.first, d.second]} for d in differences],
    }


Quantity = tuple[str, str, int, float | None, Bound | None, float | None, Bound | None]


def _quantities(a: Strength, b: Strength) -> Iterator[Quantity]:
    """Yield (what, unit, decimals, first, its bound, second, its bound)."""
    for p, q in ((a.top, b.top), (a.back, b.back)):
        yield f"{p.name}, braced", "g", 0, _total(p), None, _total(q), None
        yield f"{p.name}'s braces", "g", 1, p.braces_mass_g, None, q.braces_mass_g, None
    yield "strings pull", "N", 0, a.load.total_n, None, b.load.total_n, None
    turns = bound(a, "bridge turn"), bound(b, "bridge turn")
    yield "bridge turns", "deg", 2, a.top.bridge_turn_deg, turns[0], b.top.bridge_turn_deg, turns[1]
    moves = bound(a, "deflection"), bound(b, "deflection")
    yield "bridge moves, + outward", "mm", 2, a.top.bridge_rise_mm, moves[0], b.top.bridge_rise_mm, moves[1]


def _total(plate: PlateStrength) -> float:
    return plate.plate_mass_g + plate.braces_mass_g


def _moves(a: Strength, b: Strength) -> Iterator[tuple[str, ...]]:
    for what, unit, digits, p, of_p, q, of_q in _quantities(a, b):
        if p is None and q is None:
            continue
        change = "" if p is None or q is None else f"{q - p:+.{digits}f}"
        yield (
            f"{what}, {unit}",
            _number(p, digits),
            _span(p, of_p, digits),
            _number(q, digits),
            _span(q, of_q, digits),
            change,
        )


def _braces(a: Strength, b: Strength) -> Iterator[tuple[str, ...]]:
    ours, theirs = ({f.name: f for f in s.braces} for s in (a, b))
    for name in [*ours, *(n for n in theirs if n not in ours)]:
        p, q = ours.get(name), theirs.get(name)
        grams = (None if f is None else f.mass_g for f in (p, q))
        bends = (None if f is None else f.bench_deflection_mm for f in (p, q))
        stiffer = "" if p is None or q is None else f"{100 * (p.bench_deflection_mm / q.bench_deflection_mm - 1):+.0f}"
        yield name, *(_number(g, 1) for g in grams), *(_number(d, 2) for d in bends), stiffer


def _modes(
    a: Strength, b: Strength, p: PlateStrength, q: PlateStrength, pairs: Sequence[Pair]
) -> Iterator[tuple[str, ...]]:
    for x in pairs:
        f = p.modes[x.first - 1].frequency_hz
        head = (str(x.first), f"{f:.0f}", _span(f, mode_bound(a, x.first), 0))
        if x.second is None:
            yield *head, "-", "-", "", "", "none"
            continue
        g = q.modes[x.second - 1].frequency_hz
        yield (
            *head,
            str(x.second),
            f"{g:.0f}",
            _span(g, mode_bound(b, x.second), 0),
            f"{100 * (g / f - 1):+.1f}",
            f"{x.alike_ratio:.2f}",
        )


def _number(value: float | None, digits: int) -> str:
    return "-" if value is None else f"{value:.{digits}f}"


def _span(value: float | None, of: Bound | None, digits: int) -> str:
    if value is None or of is None:
        return ""
    low, high = limits(value, of)
    return f"{low:.{digits}f} to {high:.{digits}f}"


def _ranged(value: float | None, of: Bound | None) -> dict[str, float | None] | None:
    if value is None:
        return None
    low, high = (None, None) if of is None else limits(value, of)
    return {"value": rounded(value), "low": rounded(low), "high": rounded(high)}


def _short(text: str, count: int) -> str:
    return text if len(text) <= count else f"{text[: count - 3]}..."
