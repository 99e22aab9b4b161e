"""The design as tables for a terminal, 100 columns at most."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from math import isinf

from braces.base.units import inch_text, mm_text
from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.workshop.cutlist import cut_list

WIDTH = 100


def tables(carved: Carved) -> str:
    """Return every table, one under the other."""
    from rich.console import Console

    out = Console(file=io.StringIO(), width=WIDTH, color_system=None, legacy_windows=False, markup=False)
    design = carved.placed.design
    out.print(
        f"{design.name}, revision {design.revision}, {design.handed}-handed. Lengths in mm, angles in degrees.\n",
        highlight=False,
    )
    for plate in carved.plates:
        _plate(out, plate)
    _table(
        out,
        "Cut list (blanks)",
        ("piece", "wood", "length", "width", "height", "inches"),
        (
            (p.piece, p.wood, *(f"{v:.1f}" for v in p.size_mm), " x ".join(inch_text(v) for v in p.size_mm))
            for p in cut_list(carved)
        ),
        "llrrrl",
    )
    text = out.file.getvalue()  # type: ignore[attr-defined]
    return "\n".join(line.rstrip() for line in text.rstrip().splitlines())


def _plate(out, plate: CarvedPlate) -> None:  # type: ignore[no-untyped-def]
    name = plate.name.capitalize()
    _table(
        out,
        f"{name}: braces",
        ("brace", "length", "width", "height", "arc radius", "bevel", "tightest hollow", "mass g"),
        (_brace(b) for b in plate.braces),
        "lrrrrrrr",
    )
    if len(plate.order) > 1:
        out.print("Onto the plate in this order: " + ", ".join(plate.order) + ".\n", highlight=False)
    _table(
        out,
        f"{name}: cuts",
        ("brace", "over", "from start", "wide", "deep", "left", "angle", "opens to the"),
        (
            (
                b.name,
                n.with_,
                f"{n.at_mm:.1f}",
                f"{n.width_mm:.2f}",
                f"{n.depth_mm:.2f}",
                f"{n.left_mm:.2f}",
                f"{n.angle_deg:.1f}",
                n.opens,
            )
            for b in plate.braces
            for n in b.notches
        ),
        "llrrrrrl",
    )
    _table(
        out,
        f"{name}: relief cuts",
        ("brace", "from start", "deep from the blank's top", "left"),
        (
            (b.name, f"{r.at_mm:.1f}", f"{r.depth_mm:.1f}", f"{r.left_mm:.1f}")
            for b in plate.braces
            for r in b.relief_cuts
        ),
        "lrrr",
    )
    _table(
        out,
        f"{name}: lining pockets, counted from the tail up the treble side",
        ("no", "brace", "end", "side", "from tail, inside", "outside", "wide", "high", "reach"),
        (
            (
                str(p.number),
                p.brace,
                p.end,
                p.side,
                f"{p.along_rim_mm:.1f}",
                f"{p.along_outline_mm:.1f}",
                f"{p.width_mm:.1f}",
                f"{p.height_mm:.1f}",
                f"{p.reach_mm:.1f}",
            )
            for p in plate.pockets
        ),
        "rlllrrrrr",
    )
    _table(
        out,
        f"{name}: centre strip, from the tail",
        ("piece", "begins at", "length", "width", "thick"),
        (
            (
                str(s.number),
                f"{s.from_mm:.1f}",
                f"{s.length_mm:.1f}",
                f"{s.width_mm:.1f}",
                f"{s.thickness_mm:.1f}",
            )
            for s in plate.strip_pieces
        ),
        "rrrrr",
    )


def _brace(b: CarvedBrace) -> tuple[str, ...]:
    tightest = min((h.radius_mm for h in b.hollows), default=None)
    return (
        b.name,
        f"{b.length_mm:.1f}",
        mm_text(b.width_mm, 2),
        mm_text(max(float(v) for v in b.height.y_mm), 2),
        "flat" if isinf(b.glue_arc_radius_mm) else "dish" if b.is_curved else f"{b.glue_arc_radius_mm:.0f}",
        f"{abs(b.bevel_deg):.2f}",
        "-" if tightest is None else f"{tightest:.0f}",
        f"{b.mass_g:.1f}",
    )


def _table(out, title: str, header: Sequence[str], rows: Iterable[Sequence[str]], align: str) -> None:  # type: ignore[no-untyped-def]
    from rich import box
    from rich.table import Table

    body = list(rows)
    if not body:
        return
    table = Table(title=title, title_justify="left", title_style="", box=box.SIMPLE_HEAD, pad_edge=False)
    for name, side in zip(header, align, strict=True):
        table.add_column(name, justify="right" if side == "r" else "left")
    for row in body:
        table.add_row(*row)
    out.print(table)
