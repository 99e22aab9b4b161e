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
    """Return the answers of the workshop to what the design says of closing the box."""
    from braces.app.bench_spec import bench_spec
    from braces.workshop.bench import bench

    return bench(carved, bench_spec(carved.placed.design))


def rim_drawings(carved: Carved, bench: Bench, inches: bool = False) -> tuple[Drawing, ...]:
    """Return what is printed to close the box: sides, pocket tapes, bending forms, rosette, strips, props."""
    from braces.sheets.prop_plan import prop_drawing
    from braces.sheets.rim_bend import rim_form_drawings
    from braces.sheets.rim_side import side_drawings
    from braces.sheets.rim_tape import tape_drawings
    from braces.sheets.rosette_sheet import rosette_drawing
    from braces.sheets.strip_pieces import strip_drawings
    from braces.workshop.book.lengths import Lengths

    lengths = Lengths(inches)

    hand = carved.placed.design.handed
    sides = side_drawings(bench.rim, hand, lengths) if bench.rim is not None else ()
    rosette = (rosette_drawing(carved.placed, bench.rosette, lengths),) if bench.rosette is not None else ()
    props = (prop_drawing(carved, bench.props, lengths),) if bench.props else ()
    forms = rim_form_drawings(carved.placed)
    tapes, strips = tape_drawings(bench.tapes, hand, lengths), strip_drawings(bench.strips, lengths)
    return (*sides, *tapes, *forms, *rosette, *strips, *props)


def deck_drawings(carved: Carved, bench: Bench, inches: bool = False) -> tuple[Drawing, ...]:
    """Return the go-bar deck from above, for each plate."""
    from braces.sheets.deck_plan import deck_drawing
    from braces.workshop.book.lengths import Lengths

    lengths = Lengths(inches)
    return tuple(deck_drawing(carved, bars, bench.spec.deck, lengths) for bars in bench.bars)


def fonts() -> Mapping[str, bytes]:
    """Return the typeface that goes into the book, by weight."""
    folder = files("braces.sheets").joinpath("fonts")
    return {
        weight: folder.joinpath(f"IBMPlexSans-{name}.ttf").read_bytes()
        for weight, name in (("400", "Regular"), ("700", "Bold"))
    }
