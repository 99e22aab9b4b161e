"""The last page: loads, frequencies, how far to trust which number, what was taken for granted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from braces.mechanics.brace_figures import BENCH_LOAD_N
from braces.mechanics.ranges import STATEMENT, mode_bound
from braces.mechanics.spread import DENSITY_SPREAD_RATIO, E_SPREAD_RATIO
from braces.mechanics.values import Strength
from braces.sheets.strength_block import Block, Column, heading, in_columns, listing, paragraph, stacked, table
from braces.sheets.strength_leaf import Folder, Leaf
from braces.sheets.strength_numbers import UNMEASURED, figures, fixed, percent, span

TITLE: Final = "what these numbers are worth"
_BETWEEN_MM, _GAP_MM, _CLOSE_MM = 8.0, 5.0, 1.6
#: What a reader has to know of the marks that say where a wood’s numbers come from.
_MARKS: Final = {
    "measured": "measured on the maker’s own stock",
    "text": "read in the handbook",
    "computed": "worked out from values read in the handbook",
    "memory": "handbook values from memory, not checked against the book",
    "borrowed": "some ratios borrowed from a related species",
}
LIMITS: Final = (
    "Wood varies more than the model errs. Between sticks of one species the handbook gives a coefficient of "
    f"variation of {100 * E_SPREAD_RATIO:.0f} % for the modulus of elasticity and {100 * DENSITY_SPREAD_RATIO:.0f} % "
    "for the density (from memory). A frequency follows the square root of stiffness over mass. Measure your stock.",
    "The ranges compare this model with a finer one of the same wood on the same rim. They do not say how near "
    "both are to a real instrument.",
    "What moves here moves at once. Under a load that stays wood goes on creeping, more so when its moisture changes.",
    "Stresses are those along the carved edge; at laps, ends and glue lines they are higher and are not worked out.",
    "Glue lines are taken as rigid and without thickness; finish, rosette, neck and blocks are left out.",
    "Humidity, heat and age change stiffness, shape and mass; of that only the free plates’ width is worked out.",
)


BENCH: Final = (
    "Weigh every stick and every carved brace against the table. Heavier wood is stiffer as a rule, not always: tap it "
    "too.",
    "Tap: hold the free brace at 22 % of its length from either end, strike its middle. A note below the table’s says "
    "that the stick is softer for its weight than the table’s wood, or carved lower than the drawing.",
    f"Bend: lay it on supports at both ends, glue face down, load the middle with 1 kg; the table gives the bend under "
    f"{BENCH_LOAD_N:g} N, 1 kg bends it 2 % less.",
    "Stop short of the drawn heights. Wood can still come off when the top is strung, through the soundhole; it does "
    "not go on again.",
    "Bring a new top up to pitch slowly, and watch the bridge against the movement shown here.",
)


def limits_leaves(strength: Strength, folder: Folder) -> list[Leaf]:
    """Return the last page, or as many as the words need."""
    window = folder.window(TITLE, STATEMENT)
    wide, high = window[2] - window[0], window[3] - window[1]
    parts = _parts(strength, (wide - _BETWEEN_MM) / 2)
    leaves = []
    while parts:
        count = len(parts)
        while count > 1 and _columns(parts[:count], wide, high).height_mm > high:
            count -= 1
        marks = _columns(parts[:count], wide, high).at(window[0], window[3])
        leaves.append(Leaf(TITLE, STATEMENT, False, marks))
        parts = parts[count:]
    return leaves


def _columns(parts: Sequence[Block], wide_mm: float, high_mm: float) -> Block:
    return in_columns(parts, _GAP_MM, wide_mm, _BETWEEN_MM, high_mm)


def _parts(strength: Strength, column: float) -> list[Block]:
    return [
        _part("The strings", [_strings(strength, column)], column),
        _part("Frequencies of the plates", [_modes(strength, column)], column),
        _part("How far a solution may be off", [_bounds(strength, column)], column),
        _part("Where the wood’s numbers come from", [_woods(strength, column)], column),
        _part("At the bench", [listing(BENCH, column)], column),
        _part("Taken for granted", [listing(strength.assumptions, column)], column),
        _part("The limits of the model", [listing(LIMITS, column)], column),
    ]


def _part(title: str, blocks: Sequence[Block], width_mm: float) -> Block:
    return stacked([heading(title, width_mm), *blocks], _CLOSE_MM)


def _strings(strength: Strength, width_mm: float) -> Block:
    load = strength.load
    rows = [(note, fixed(pull, 1)) for note, pull in zip(load.notes, load.tensions_n, strict=True)]
    rows.append(("together", fixed(load.total_n, 0)))
    words = (
        f"Set “{load.set_name}” at a scale of {load.scale_mm:.1f} mm, {load.height_mm:g} mm above the top at the "
        f"saddle: a torque of {fixed(load.torque_n_mm * 1e-3, 2)} N m on the bridge, and {load.total_n:.0f} N of shear "
        f"in its glue line. Source of the strings: {load.provenance}."
    )
    columns = (Column(("string",), left=True), Column(("pull, N",)))
    return stacked([table(columns, rows, width_mm / 2), paragraph(words, width_mm)], _CLOSE_MM)


def _modes(strength: Strength, width_mm: float) -> Block:
    heads = ("top, Hz", "range", "back, Hz", "range")
    columns = (Column(("mode",), left=True), *(Column((text,)) for text in heads))
    rows = []
    plates = (strength.top, strength.back)
    for k in range(max(len(p.modes) for p in plates)):
        cells = [str(k + 1)]
        for plate in plates:
            if k < len(plate.modes):
                hertz = plate.modes[k].frequency_hz
                cells += [fixed(hertz, 0), span(hertz, mode_bound(strength, k + 1), 0, "").strip()]
            else:
                cells += ["", ""]
        rows.append(tuple(cells))
    return table(columns, rows, width_mm)


def _bounds(strength: Strength, width_mm: float) -> Block:
    if not strength.bounds:
        return paragraph(f"On a grid this coarse: {UNMEASURED}.", width_mm)
    texts = [
        f"{b.quantity}: up to {percent(b.low_ratio)} % too low, up to {percent(b.high_ratio)} % too high "
        f"({b.measured_on})"
        for b in strength.bounds
    ]
    grid = (
        f"Solved with {figures(strength.top.unknowns_count)} unknowns for the top and "
        f"{figures(strength.back.unknowns_count)} for the back, on a grid of {strength.top.step_mm:g} mm."
    )
    left = (
        "Single braces: on the sheet of their stages. Stiffness with the strip of plate, laps, stresses, string "
        "tensions, plates’ masses: bound not measured."
    )
    return listing([*texts, left, grid], width_mm)


def _woods(strength: Strength, width_mm: float) -> Block:
    marks = dict.fromkeys(mark for _, mark in strength.marks)
    texts = [f"{', '.join(w for w, m in strength.marks if m == mark)}: {_MARKS.get(mark, mark)}" for mark in marks]
    return listing(texts, width_mm)
