"""The chapter of the rim and the closed box: sides, blocks, edges, clamps, props, the air inside."""

from __future__ import annotations

from braces.workshop.bench import Bench
from braces.workshop.book.blocks import Block, Chapter, Figure, Section, Table, Words
from braces.workshop.book.lengths import Lengths
from braces.workshop.rim import Rim


def rim_chapter(bench: Bench, lengths: Lengths) -> Chapter:
    """Return everything round the braces."""
    sections = [] if bench.rim is None else [_sides(bench.rim, lengths), _blocks(bench.rim, lengths)]
    if bench.edges:
        sections.append(_edges(bench, lengths))
    closing = _closing(bench, lengths)
    if closing:
        sections.append(Section("closing", "Closing the box", closing))
    sections.append(_air(bench))
    return Chapter("rim", "Rim and box", (), tuple(sections))


def _sides(rim: Rim, lengths: Lengths) -> Section:
    sides = rim.sides[1:] if rim.alike else rim.sides
    keys = ("rim-side",) if rim.alike else tuple(f"rim-side-{s.name}" for s in sides)
    blocks: list[Block] = [Figure(k, "side unrolled; saw from the printed sheet") for k in keys]
    rows = tuple(
        ("both" if rim.alike else s.name, m.kind, lengths.cell(m.along_mm), lengths.cell(m.height_mm))
        for s in sides
        for m in s.marks
    )
    head = ("side", "place", "from tail", "height")
    blocks.append(Table(f"Heights between the plates' inner faces, {lengths.unit}", head, rows, 2))
    blocks.append(
        Words(
            f"The bent side runs {lengths.say(rim.sides[0].outside_mm)} along its outside and "
            f"{lengths.say(rim.sides[0].inside_mm)} along its inside. Leave {lengths.say(rim.spec.sanding_mm)} on each "
            "edge for the dish."
        )
    )
    return Section("sides", "Sides", tuple(blocks))


def _blocks(rim: Rim, lengths: Lengths) -> Section:
    rows = tuple(
        (
            b.name,
            *map(lengths.cell, (b.width_mm, b.thickness_mm, b.outer_height_mm, b.inner_height_mm)),
            f"{b.top_bevel_deg:+.1f}°",
            f"{b.back_bevel_deg:+.1f}°",
        )
        for b in rim.blocks
    )
    head = ("block", "wide", "thick", "high at side", "high inside", "top", "back")
    blocks = (
        Table(f"Blocks, {lengths.unit}; a bevel is + where the inner face is the higher", head, rows, 6),
        Words(
            f"Linings {lengths.say(rim.lining_thickness_mm)} thick and {lengths.say(rim.lining_height_mm)} high, proud "
            "of the edges until the dish has levelled them."
        ),
    )
    return Section("blocks", "Blocks and linings", blocks)


def _edges(bench: Bench, lengths: Lengths) -> Section:
    rows = tuple((e.name, lengths.cell(e.length_mm), lengths.cell(e.cut_mm, 0)) for e in bench.edges)
    table = Table(f"Bindings and purflings, {lengths.unit}", ("strip", "length", "cut to"), rows, 2)
    return Section("edges", "Edges", (table,))


def _closing(bench: Bench, lengths: Lengths) -> tuple[Block, ...]:
    blocks: list[Block] = []
    rows = tuple(
        (name, str(c.count), lengths.cell(c.spacing_mm), f"{c.safe_n:.0f}", c.governs)
        for name, c in zip(("top", "back"), bench.clamps, strict=False)
    )
    if rows:
        head = ("plate", "clamps", "apart", "at most each, N", "limit")
        blocks.append(Table(f"Closing clamps; apart in {lengths.unit}", head, rows))
    props = tuple(
        (
            str(i),
            f"{p.spec.x_mm:.0f}, {p.spec.y_mm:.0f}",
            f"{p.on_back or 'back'} to {p.on_top or 'top'}",
            lengths.cell(p.length_mm),
            _bevel(p.top_bevel_deg),
            _bevel(p.back_bevel_deg),
        )
        for i, p in enumerate(bench.props, 1)
    )
    if props:
        caption = f"Props, {lengths.unit}; x across from the centre line, y from the tail; ends rise to +x and to +y"
        blocks.append(Table(caption, ("prop", "x, y", "from, to", "length", "upper end", "lower end"), props))
        blocks += [Words(f"Prop {i}: {p.advice}") for i, p in enumerate(bench.props, 1)]
    return tuple(blocks)


def _bevel(slopes_deg: tuple[float, float]) -> str:
    return " ".join("0°" if abs(s) < 0.05 else f"{s:+.1f}°" for s in slopes_deg)


def _air(bench: Bench) -> Section:
    air = bench.air
    text = (
        f"The box holds {air.air_mm3 / 1e6:.2f} litres of air ({air.inside_mm3 / 1e6:.2f} less "
        f"{air.wood_mm3 / 1e6:.2f} of wood). "
    )
    if air.lowest_hz is not None and air.highest_hz is not None:
        text += f"With rigid walls it would sound at {air.lowest_hz:.0f} to {air.highest_hz:.0f} Hz. "
    return Section("air", "The air in the box", (Words(text + " ".join(air.limits)),))
