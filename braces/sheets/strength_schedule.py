"""The page to carve by: each brace in three stages from the stick, and how the plates follow the air."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from braces.mechanics.brace_figures import BENCH_LOAD_N
from braces.mechanics.movement import GLUED_FRACTION, TEMPERATURE_DEG, Air
from braces.mechanics.outlook import Band, Outlook, SpreadBands
from braces.mechanics.ranges import formula_bounds
from braces.mechanics.schedule import Schedule
from braces.mechanics.values import Strength
from braces.sheets.strength_block import Block, Column, heading, paragraph, row, stacked, table
from braces.sheets.strength_leaf import Folder, Leaf
from braces.sheets.strength_numbers import Group, fixed, percent, signed
from braces.sheets.strength_pile import Pile

TITLE: Final = "carving in three stages, to be checked at the bench"
FACE: Final = "weigh and tap each stick at each stage; stop early if yours is lighter or rings lower than the table’s"
_CLOSE_MM = 2.0
_BETWEEN_MM = 10.0
_MODES_SHOWN = 4
_COLUMNS: Final = (
    Column(("", "no."), left=True),
    Column(("", "brace"), left=True),
    Column(("stick", "g")),
    Column(("taps", "Hz")),
    Column(("1 high", "mm")),
    Column(("off", "g")),
    Column(("stiff", "%")),
    Column(("taps", "Hz")),
    Column(("2 profile,", "off g")),
    Column(("stiff", "%")),
    Column(("taps", "Hz")),
    Column(("3 section,", "off g")),
    Column(("stiff", "%")),
    Column(("taps", "Hz")),
    Column(("then", "g")),
    Column(("off in all", "g")),
)
_KEY: Final = (
    "Stage 1: cut to length and planed to its greatest height, square. Stage 2: the profile carved, still square. "
    "Stage 3: the section shaped and the laps cut. stiff: what is left of the stage before, as a beam on supports at "
    f"its ends loaded in the middle with {BENCH_LOAD_N:g} N. taps: the lowest note of the free brace, held at 22 % of "
    "its length, struck in the middle. Beam formulas with shear, on the wood’s table values or your own stock: "
    "a stick may stand 10 to 20 % off in stiffness, half of that in its note."
)
_AIR: Final = (
    Column(("humidity", "%")),
    Column(("wood’s moisture", "%")),
    Column(("top wider by", "mm")),
    Column(("back wider by", "mm")),
)


def schedule_leaves(strength: Strength, braces: Sequence[Group], outlook: Outlook, folder: Folder) -> list[Leaf]:
    """Return the pages of the schedule; none if it was not worked out."""
    if not outlook.schedules:
        return []
    window = folder.window(TITLE, FACE, landscape=True)
    wide = window[2] - window[0]
    of = {s.brace: s for s in outlook.schedules}
    pile = Pile(window)
    pile.add(heading("From the stick to the brace", wide))
    pile.add_table(_COLUMNS, [_row(g, of[g.names[0]]) for g in braces], _CLOSE_MM)
    pile.add(paragraph(f"{_KEY} {_bounds()}", wide), _CLOSE_MM)
    half = (wide - _BETWEEN_MM) / 2
    below = [_air(outlook.air, half)] if outlook.air else []
    if outlook.spread is not None:
        below.append(_spread(strength, outlook.spread, half))
    if below:
        pile.add(row(below, wide + _BETWEEN_MM))
    return [Leaf(TITLE, FACE, True, marks) for marks in pile.marks(last_is_full=False)]


def _bounds() -> str:
    each = (
        f"{b.quantity} {percent(b.low_ratio)} % too low, {percent(b.high_ratio)} % too high" for b in formula_bounds()
    )
    return f"How far a formula may be off by itself: {'; '.join(each)}."


def _row(group: Group, found: Schedule) -> tuple[str, ...]:
    blank, square, profile, done = found.stages
    return (
        str(group.number),
        group.name,
        fixed(blank.mass_g, 1),
        fixed(blank.tap_hz, 0),
        fixed(float(group.made.height.y_mm.max()), 1),
        *(
            cell
            for s in (square, profile, done)
            for cell in (fixed(s.taken_off_g, 1), percent(s.stiffness_ratio), fixed(s.tap_hz, 0))
        ),
        fixed(done.mass_g, 1),
        fixed(blank.mass_g - done.mass_g, 1),
    )


def _air(air: Sequence[Air], width_mm: float) -> Block:
    rows = [
        (
            fixed(100 * a.humidity_fraction, 0),
            fixed(100 * a.moisture_fraction, 1),
            "–" if a.top_mm is None else signed(a.top_mm, 2),
            "–" if a.back_mm is None else signed(a.back_mm, 2),
        )
        for a in air
    ]
    words = (
        f"Free quartersawn plates across the grain at the lower bout, {TEMPERATURE_DEG:.0f} °C, against "
        f"{100 * GLUED_FRACTION:.0f} % humidity: Wood Handbook equation 4-5 (single pieces scatter by 1 % of moisture) "
        "and the coefficients of its table 13-5, which hold from 6 to 14 % of moisture. Braces and rim hold the plate "
        "back: what cannot move is stress, or a crack."
    )
    return stacked([heading("The air", width_mm), table(_AIR, rows, width_mm), paragraph(words, width_mm)], _CLOSE_MM)


def _spread(strength: Strength, spread: SpreadBands, width_mm: float) -> Block:
    top = strength.top
    rows = []
    if top.bridge_turn_deg is not None:
        rows.append(("turn of the bridge", *_band(top.bridge_turn_deg, spread.turn, 2, "°")))
    for k, band in enumerate(spread.modes[:_MODES_SHOWN]):
        rows.append((f"top’s mode {k + 1}", *_band(top.modes[k].frequency_hz, band, 0, " Hz")))
    columns = (Column(("",), left=True), Column(("here",)), Column(("nine of ten between",)))
    what = "; ".join(f"{w.what} {percent(w.ratio)} % ({w.source})" for w in spread.woods)
    words = (
        f"{spread.samples_count} solutions on a Latin hypercube, each of these drawn by itself, coefficients of "
        f"variation: {what}."
    )
    parts = [heading("The same design in other sticks", width_mm), table(columns, rows, width_mm)]
    return stacked([*parts, paragraph(words, width_mm)], _CLOSE_MM)


def _band(value: float, band: Band, digits: int, unit: str) -> tuple[str, str]:
    low, high = fixed(value * band.low_ratio, digits), fixed(value * band.high_ratio, digits)
    return f"{fixed(value, digits)}{unit}", f"{low} to {high}{unit}"
