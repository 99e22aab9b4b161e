"""The shop book's pages of the bench: glue-up, air, rim, closing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isinf

from braces.reports.book_html import heading, paragraph, picture, table
from braces.workshop.bench import Bench
from braces.workshop.go_bars import PlateBars
from braces.workshop.humidity import PlateAir
from braces.workshop.order import length_words
from braces.workshop.rim import Rim

Svgs = Mapping[str, str | bytes]
_FAR_MM = 60000.0  #: a dome flatter than this (about 200 ft) is told as flat


def glue_pages(bench: Bench, svgs: Svgs, inches: bool) -> Iterator[str]:
    """Return the go-bars and the air of each plate."""
    for bars in bench.bars:
        yield heading(3, f"Go-bars, {bars.plate}", f"deck-{bars.plate}")
        key = f"deck-{bars.plate}"
        if key in svgs:
            yield picture(svgs[key], f"bars on the {bars.plate}, seen from the ceiling of the deck; not to scale")
        yield _bars(bars, inches)
        yield paragraph(
            f"Bars of {bars.material} ({bars.provenance} figures), {length_words(bars.bar_length_mm, inches)} long; "
            f"bent to {100 * bars.stress_fraction:.0f} % of their strength; one holds "
            f"{bars.worst_energy_n_mm / 1000:.1f} J, let go at once if it slips. All together push {bars.push_n:.0f} "
            "N. " + " ".join(bars.notes)
        )
        seen = dict.fromkeys(b.published for b in bars.braces)
        for p in seen:
            text = f"Published for clamps: {p.low_mpa:.2f} to {p.high_mpa:.2f} MPa ({p.source})."
            yield paragraph(text, small=True)
    for air in bench.humidity:
        yield heading(3, f"Dome and damp, {air.plate}", f"air-{air.plate}")
        yield _air(air)
        yield _springs(air, inches)
        yield paragraph(
            "Radius across the grain, for a narrow and a wide strip of plate; every brace by itself, without the rim. "
            "Negative is hollow. " + " ".join(air.notes),
            small=True,
        )


def _bars(bars: PlateBars, inches: bool) -> str:
    rows = []
    for b in bars.braces:
        gaps = [p.gap_mm for p in b.places]
        rows.append(
            [
                b.brace,
                f"{b.places[0].number} to {b.places[-1].number}",
                length_words(b.spacing_mm, inches),
                length_words(min(gaps), inches),
                f"{b.places[0].bar.push_n:.0f} N",
                f"{b.push_n:.0f} N",
                f"{b.pressure_mpa:.3f} MPa",
            ]
        )
    head = ("brace", "bars", "every", "room", "push of one", "together", "on the glue line")
    return table("Bars, in the order in which the braces go on", head, rows)


def _air(air: PlateAir) -> str:
    rows = [
        [
            f"{100 * r.humidity_fraction:.0f} %",
            f"{100 * r.moisture_fraction:.1f} %" + (" *" if r.outside_range else ""),
            *(_radius(v) for v in r.radius_mm),
        ]
        for r in air.rows
    ]
    return table("Air, the wood's moisture, and the dome", ("air", "wood", "narrow strip", "wide strip"), rows)


def _radius(radius_mm: float) -> str:
    if isinf(radius_mm) or abs(radius_mm) > _FAR_MM:
        return "flat"
    return f"{radius_mm:.0f} mm ({radius_mm / 304.8:.0f} ft)"


def _springs(air: PlateAir, inches: bool) -> str:
    rows = []
    for b in air.braces:
        narrow, wide = b.rise_per_percent_mm
        rises = f"{narrow:.2f} to {wide:.2f} mm"
        rows.append([b.brace, f"{b.grain_angle_deg:.0f} deg", rises, *map(_radius, b.sprung_radius_mm)])
    head = ("brace", "to the grain", "rise for 1 % of moisture", "sprung back, narrow", "wide")
    return table("Each brace: movement, and its radius out of the dish", head, rows)


def rim_pages(bench: Bench, svgs: Svgs, inches: bool) -> Iterator[str]:
    """Return sides, blocks, tapes, edges, the box's air."""
    if bench.rim is not None:
        keys = ("rim-side", "rim-side-bass", "rim-side-treble")
        for key in (k for k in keys if k in svgs):
            yield picture(svgs[key], "side unrolled; not to scale: saw from the printed sheet")
        yield _marks(bench.rim, inches)
        yield _blocks(bench.rim, inches)
    for tape in bench.tapes:
        yield heading(3, f"Rim strip, {tape.side}", f"rim-strip-{tape.side}")
        if f"rim-strip-{tape.side}" in svgs:
            yield picture(svgs[f"rim-strip-{tape.side}"], "seen from inside the box; not to scale")
        rows = []
        for p in tape.pockets:
            sizes = (p.from_mm, p.to_mm, p.height_mm, p.reach_mm)
            rows.append([f"{p.plate} {p.number}", p.brace, *(length_words(v, inches) for v in sizes)])
        head = ("pocket", "brace", "from", "to", "high", "deep")
        yield table("Pockets, along the linings from the tail", head, rows, 4)
    if bench.edges:
        rows = [[e.name, length_words(e.length_mm, inches), length_words(e.cut_mm, inches)] for e in bench.edges]
        yield table("Bindings and purflings", ("strip", "length", "cut to"), rows)
    if bench.strips:
        yield _strips(bench, inches)
    yield _box(bench)
    rows = []
    for name, c in zip(("top", "back"), bench.clamps, strict=False):
        rows.append([name, str(c.count), length_words(c.spacing_mm, inches), f"{c.safe_n:.0f} N", c.governs])
    if rows:
        yield table("Closing clamps", ("plate", "clamps", "apart", "at most each", "limit"), rows)
    if bench.props and "props" in svgs:
        yield picture(svgs["props"], "inside of the back, what hangs from the top dashed; not to scale")
    rows = [
        [
            str(i),
            f"{p.spec.x_mm:.0f} across, {p.spec.y_mm:.0f} up",
            f"{p.on_back or 'back'} to {p.on_top or 'top'}",
            length_words(p.length_mm, inches),
            p.advice,
        ]
        for i, p in enumerate(bench.props, 1)
    ]
    if rows:
        yield table("Props", ("prop", "place, mm", "from, to", "length", ""), rows, 0)


def _strips(bench: Bench, inches: bool) -> str:
    rows = []
    for c in bench.strips:
        lengths = (length_words(v, inches, 2) for v in (c.glue_mm, c.room_mm))
        ends = (f"{e.meets}: {e.words}" for e in (c.tail_end, c.neck_end))
        rows.append([c.plate, str(c.number), *lengths, *ends])
    head = ("plate", "piece", "glue face", "face in the room", "end to the tail", "end to the neck")
    return table("Centre strip, from the tail; bevels off square", head, rows, 0)


def _marks(rim: Rim, inches: bool) -> str:
    rows = []
    for side in rim.sides[1:] if rim.alike else rim.sides:
        name = "both" if rim.alike else side.name
        for m in side.marks:
            rows.append([name, m.kind, length_words(m.along_mm, inches), length_words(m.height_mm, inches)])
    head = ("side", "place", "from tail", "height")
    return table("Heights of the sides, between the plates' inner faces", head, rows, 2)


def _blocks(rim: Rim, inches: bool) -> str:
    rows = [
        [
            b.name,
            *(length_words(v, inches) for v in (b.width_mm, b.thickness_mm, b.outer_height_mm, b.inner_height_mm)),
            f"{b.top_bevel_deg:+.1f} deg",
            f"{b.back_bevel_deg:+.1f} deg",
        ]
        for b in rim.blocks
    ]
    head = ("block", "wide", "thick", "high at the side", "high inside", "bevel, top", "bevel, back")
    return table("Blocks; a bevel is + where the inner face is the higher", head, rows)


def _box(bench: Bench) -> str:
    air = bench.air
    text = (
        f"The box holds {air.air_mm3 / 1e6:.2f} litres of air ({air.inside_mm3 / 1e6:.2f} less "
        f"{air.wood_mm3 / 1e6:.2f} of wood). "
    )
    if air.lowest_hz is not None and air.highest_hz is not None:
        text += f"With rigid walls it would sound at {air.lowest_hz:.0f} to {air.highest_hz:.0f} Hz. "
    return paragraph(text + " ".join(air.limits))
