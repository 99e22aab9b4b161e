"""The first page: how heavy, how stiff, what moves, where each brace is weakest, and what a millimetre changes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from braces.mechanics.brace_figures import BENCH_LOAD_N, STRIP_THICKNESSES
from braces.mechanics.ranges import STATEMENT, bound, mode_bound
from braces.mechanics.values import PlateStrength, Strength
from braces.sheets.drawing import Box, Mark
from braces.sheets.page import Placement
from braces.sheets.strength_block import (
    Block,
    Column,
    heading,
    lines,
    paragraph,
    row,
    stacked,
    table_height_mm,
)
from braces.sheets.strength_field import ends
from braces.sheets.strength_leaf import Folder, Leaf
from braces.sheets.strength_numbers import Group, figures, fixed, n_m2, percent, signed, span
from braces.sheets.strength_pile import GAP_MM, LEAST_ROWS, Pile
from braces.sheets.strength_places import places
from braces.sheets.strength_plan import Plate
from braces.sheets.words import Hand, end_word

Tile = tuple[str, str, str]  #: what it is, the number, its range

TITLE: Final = "how heavy, how stiff, what moves"
FACE: Final = "ranges: how far the solution of the model may be off; wood and rim are less well known than that"
_MAP_TITLE: Final = "which brace is which number"
_MAP_FACE: Final = "heavy lines: where a brace is weakest"
_VALUE_MM = 5.0
_TILES_IN_A_ROW = 4
_CLOSE_MM = 2.0
#: Maps less high than this get a page of their own: with few braces, with more than that.
_LEAST_MAP_MM, _LEAST_CROWDED_MM, _FEW_COUNT = 52.0, 118.0, 14
_BRACES: Final = (
    Column(("", "no."), left=True),
    Column(("", "brace"), left=True),
    Column(("stick", "g")),
    Column(("take off", "g")),
    Column(("leaves", "g")),
    Column(("weakest", "mm from"), left=True),
    Column(("high", "mm")),
    Column(("own", "% of stick")),
    Column(("on plate", "N m²")),
    Column(("bends", "mm")),
    Column(("taps", "Hz")),
    Column(("stress", "%")),
)
_KEY: Final = (
    "stick: the blank. take off: all that comes off it, in three stages on another sheet. weakest: the softest place "
    "between two stiffer ones, a heavy line on the map; its height, its own stiffness against the stick’s, and its "
    f"stiffness together with {STRIP_THICKNESSES:g} thicknesses of plate on either side. bends: in the middle under "
    f"{BENCH_LOAD_N:g} N, on supports at both ends. taps: the lowest note of the free brace, held at 22 % of its "
    "length. stress: the greatest under the strings, of what the wood bears for ten years. These columns are beam "
    "formulas on the wood’s table values, their bounds on the sheet of the stages; test your own sticks."
)
_GAINS: Final = (
    Column(("", "no."), left=True),
    Column(("", "brace"), left=True),
    Column(("lighter by", "g")),
    Column(("bridge turns", "more by, °")),
    Column(("top’s mode 1", "changes by, Hz")),
    Column(("least felt", "mm from"), left=True),
    Column(("most felt", "mm from"), left=True),
)
_GAINS_KEY: Final = (
    "What the model says of a cut of 1 mm along the whole carved edge, laps apart, of a pair along both; good for a "
    "millimetre or two, bound not measured. Least and most felt: where a gram less turns the bridge least and most."
)


def glance_leaves(
    strength: Strength, plates: tuple[Plate, Plate], braces: Sequence[Group], folder: Folder
) -> list[Leaf]:
    """Return the first page, and more of its kind if there are very many braces."""
    window = folder.window(TITLE, FACE)
    wide = window[2] - window[0]
    hand = plates[0].view.carved.placed.design.handed
    pile = Pile(window)
    pile.add(heading(STATEMENT, wide))
    pile.add(tiles(strength, wide))
    pile.add_table(_BRACES, [_row(g, hand) for g in braces])
    pile.add(paragraph(_KEY, wide), _CLOSE_MM)
    felt = [_gain_row(g, hand) for g in braces if g.gains]
    if felt:
        head = heading("Take 1 mm off", wide)
        if pile.left_mm < head.height_mm + GAP_MM + table_height_mm(_GAINS, min(LEAST_ROWS, len(felt))):
            pile.turn()
        pile.add(head)
        pile.add_table(_GAINS, felt, _CLOSE_MM)
        pile.add(paragraph(_GAINS_KEY, wide), _CLOSE_MM)
    least = _LEAST_MAP_MM if len(braces) <= _FEW_COUNT else _LEAST_CROWDED_MM
    fits = pile.left_mm >= least
    *before, last = pile.marks(last_is_full=fits)
    leaves = [Leaf(TITLE, FACE, False, marks) for marks in before]
    if fits:
        x0, y0, x1, _ = window
        marks, placements = _maps(plates, braces, (x0, y0, x1, pile.y_mm - GAP_MM))
        return [*leaves, Leaf(TITLE, FACE, False, (*last, *marks), placements)]
    marks, placements = _maps(plates, braces, folder.window(_MAP_TITLE, _MAP_FACE, landscape=True))
    return [*leaves, Leaf(TITLE, FACE, False, last), Leaf(_MAP_TITLE, _MAP_FACE, True, marks, placements)]


def tiles(strength: Strength, width_mm: float) -> Block:
    """Return the eight numbers that say most, each above its range."""
    rows = (_moving(strength), _ringing(strength))
    each = width_mm / _TILES_IN_A_ROW
    return stacked([row([_tile(t, each - 2 * _CLOSE_MM) for t in some], width_mm) for some in rows], GAP_MM)


def _tile(words: Tile, width_mm: float) -> Block:
    name, value, below = words
    return stacked([lines([name], 0.0), lines([value], 0.0, _VALUE_MM, bold=True), paragraph(below, width_mm)], 0.6)


def _moving(strength: Strength) -> list[Tile]:
    top, load = strength.top, strength.load
    out = [("the strings pull", f"{load.total_n:.0f} N", f"{load.set_name}, {load.height_mm:g} mm above the top")]
    if top.bridge_turn_deg is not None:
        ranges = span(top.bridge_turn_deg, bound(strength, "bridge turn"), 2, "°")
        out.append(("the bridge turns", f"{fixed(top.bridge_turn_deg, 2)}°", ranges))
    if top.deflection is not None:
        _, (high, _) = ends(top.deflection)
        ranges = span(high, bound(strength, "deflection"), 2, "mm")
        out.append(("the top rises at most", f"{signed(high, 2)} mm", ranges))
    used = [s for s in top.stresses if s.used_fraction is not None]
    if used:
        worst = max(used, key=lambda s: s.used_fraction or 0.0)
        text = f"of what the wood bears for ten years: {worst.name}"
        out.append(("most stress in a brace", f"{percent(worst.used_fraction or 0.0)} %", text))
    return out


def _ringing(strength: Strength) -> list[Tile]:
    out = []
    for plate in (strength.top, strength.back):
        out.append(_weight(plate))
        if plate.modes:
            first = plate.modes[0].frequency_hz
            ranges = span(first, mode_bound(strength, 1), 0, "Hz")
            out.append((f"the {plate.name} rings first at", f"{first:.0f} Hz", ranges))
    return out


def _weight(plate: PlateStrength) -> Tile:
    total = plate.plate_mass_g + plate.braces_mass_g
    return f"the {plate.name} weighs", f"{total:.0f} g", f"its braces {plate.braces_mass_g:.0f} g of it"


def _row(group: Group, hand: Hand) -> tuple[str, ...]:
    f = group.figures
    weak = f.weakest
    used = None if group.stress is None else group.stress.used_fraction
    return (
        str(group.number),
        group.name,
        fixed(f.blank_mass_g, 1),
        fixed(f.blank_mass_g - f.mass_g, 1),
        fixed(f.mass_g, 1),
        "–" if weak is None else _from(weak.at_mm, group, hand),
        "–" if weak is None else fixed(float(np.interp(weak.at_mm, f.x_mm, f.height_mm)), 1),
        "–" if weak is None else percent(weak.of_blank_ratio),
        "–" if weak is None else figures(n_m2(weak.stiffness_n_mm2)),
        fixed(f.bench_deflection_mm, 2),
        fixed(f.tap_hz, 0),
        "–" if used is None else percent(used),
    )


def _from(at_mm: float, group: Group, hand: Hand) -> str:
    """Return a place on a brace; its start is named if all of the group start on the same side."""
    start = end_word(group.made, hand, at_end=False) if len(group.names) == 1 else "start"
    return f"{at_mm:.0f} {start}"


def _gain_row(group: Group, hand: Hand) -> tuple[str, ...]:
    mass = sum(float(g.mass_g.sum()) for g in group.gains)
    turn = sum(float(g.turn_deg.sum()) for g in group.gains)
    hertz = sum(float(g.hertz[:, 0].sum()) for g in group.gains)
    first = group.gains[0]
    # In a notch the joint sets the height: nothing is carved there.
    carved = first.mass_g > 0
    cost = -first.turn_deg[carved] / first.mass_g[carved]
    x = first.x_mm[carved]
    least, most = float(x[int(np.argmin(cost))]), float(x[int(np.argmax(cost))])
    return (
        str(group.number),
        group.name,
        fixed(mass, 2),
        signed(-turn, 3),
        signed(-hertz, 1),
        _from(least, group, hand),
        _from(most, group, hand),
    )


def _maps(plates: Sequence[Plate], braces: Sequence[Group], box: Box) -> tuple[tuple[Mark, ...], tuple[Placement, ...]]:
    """Return the maps of both plates side by side in a box of the page."""
    x0, y0, x1, y1 = box
    half = (x1 - x0 - GAP_MM) / 2
    marks: list[Mark] = []
    placements: list[Placement] = []
    for k, plate in enumerate(plates):
        left = x0 + k * (half + GAP_MM)
        drawn, placed = places(plate, [g for g in braces if g.plate == plate.name], (left, y0, left + half, y1))
        marks += drawn
        placements += placed
    return tuple(marks), tuple(placements)
