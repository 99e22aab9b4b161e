"""The work around the braces: its drawings and the book that carries the whole job."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import files
from typing import TYPE_CHECKING

from braces.carved.values import Carved

if TYPE_CHECKING:
    from braces.sheets.drawing import Drawing
    from braces.workshop.bench import Bench


def bench_of(carved: Carved) -> Bench:
    """Return the answers of the workshop, with the deck as the design's tools have it."""
    from braces.workshop.bench import BenchSpec, bench
    from braces.workshop.go_bars import BarSpec, DeckSpec

    tools = carved.placed.design.tools
    if tools is None:
        return bench(carved)
    bars = BarSpec(shape=tools.bar_shape, width_mm=tools.bar_width_mm, thickness_mm=tools.bar_thickness_mm)
    return bench(carved, BenchSpec(deck=DeckSpec(deck_mm=tools.deck_mm, bars=bars, over_mm=tools.bar_over_mm)))


def rim_drawings(carved: Carved, bench: Bench) -> tuple[Drawing, ...]:
    """Return the templates of the rim: sides unrolled, pocket tapes, bending forms."""
    from braces.sheets.rim_bend import rim_form_drawings
    from braces.sheets.rim_side import side_drawings
    from braces.sheets.rim_tape import tape_drawings

    hand = carved.placed.design.handed
    sides = side_drawings(bench.rim, hand) if bench.rim is not None else ()
    return (*sides, *tape_drawings(bench.tapes, hand), *rim_form_drawings(carved.placed))


def deck_drawings(carved: Carved, bench: Bench) -> tuple[Drawing, ...]:
    """Return the go-bar deck from above, for each plate."""
    from braces.sheets.deck_plan import deck_drawing

    return tuple(deck_drawing(carved, bars, bench.spec.deck) for bars in bench.bars)


def fonts() -> Mapping[str, bytes]:
    """Return the typeface that goes into the book, by weight."""
    folder = files("braces.sheets").joinpath("fonts")
    return {
        weight: folder.joinpath(f"IBMPlexSans-{name}.ttf").read_bytes()
        for weight, name in (("400", "Regular"), ("700", "Bold"))
    }
