"""The chapter of the glue-up: bars in the deck, the air, what a dome does in it."""

from __future__ import annotations

from math import isinf

from braces.workshop.bench import Bench
from braces.workshop.book.blocks import Block, Chapter, Figure, Section, Table, Words
from braces.workshop.book.lengths import Lengths
from braces.workshop.go_bars import PlateBars
from braces.workshop.humidity import PlateAir

_FAR_MM = 60000.0  #: a dome flatter than this (about 200 ft) is told as flat
_FOOT_MM = 304.8
_SOURCES = {"text": "figures read in a handbook", "memory": "handbook figures from memory", "measured": "measured"}


def glue_chapter(bench: Bench, lengths: Lengths) -> Chapter | None:
    """Return the go-bars and the air of each plate, or None if neither was worked out."""
    sections = [_deck(b, bench, lengths) for b in bench.bars] + [_air_of(a) for a in bench.humidity]
    return Chapter("glue", "Glue-up", (), tuple(sections)) if sections else None


def _deck(bars: PlateBars, bench: Bench, lengths: Lengths) -> Section:
    spec = bench.spec.deck
    source = _SOURCES.get(bars.provenance, bars.provenance)
    text = (
        f"{len(bars.places)} bars of {bars.material} ({source}), {lengths.say(bars.bar_length_mm)} long, in a deck "
        f"{lengths.say(spec.deck_mm)} from the dish's lowest point to the ceiling, with a caul of "
        f"{lengths.say(spec.caul_mm)} on the brace. A bar is bent to {100 * bars.stress_fraction:.0f} % of its "
        f"strength and holds {bars.worst_energy_n_mm / 1000:.1f} J, let go at once if it slips: wear eye protection "
        f"and keep your face out of the bars' plane. All together push {bars.push_n:.0f} N on floor and ceiling. "
    )
    published = dict.fromkeys(b.published for b in bars.braces)
    small = " ".join(f"Published for clamps: {p.low_mpa:.2f} to {p.high_mpa:.2f} MPa ({p.source})." for p in published)
    key = f"deck-{bars.plate}"
    blocks: list[Block] = [
        Words(text + " ".join(bars.notes)),
        _bars(bars, lengths),
        Words(small, small=True),
        Figure(key, "bars in the deck, the plate in its dish"),
    ]
    return Section(key, f"Go-bars, {bars.plate}", tuple(blocks))


def _bars(bars: PlateBars, lengths: Lengths) -> Table:
    rows = []
    for b in bars.braces:
        gaps = [p.gap_mm for p in b.places]
        numbers = f"{b.places[0].number} to {b.places[-1].number}"
        pushes = (f"{b.places[0].bar.push_n:.0f}", f"{b.push_n:.0f}", f"{b.pressure_mpa:.3f}")
        rows.append((b.brace, numbers, lengths.cell(b.spacing_mm), lengths.cell(min(gaps)), *pushes))
    head = ("brace", "bars", "every", "room", "push, N", "together, N", "MPa")
    caption = f"Bars in the order in which the braces go on; every and room in {lengths.unit}"
    return Table(caption, head, tuple(rows), len(head) - 1)


def _air_of(air: PlateAir) -> Section:
    text = (
        "Radius across the grain, for a narrow and a wide strip of plate; every brace by itself, without the rim. "
        "Negative is hollow. "
    )
    blocks = (_dome(air), _springs(air), Words(text + " ".join(air.notes), small=True))
    return Section(f"air-{air.plate}", f"Dome and damp, {air.plate}", blocks)


def _dome(air: PlateAir) -> Table:
    rows = tuple(
        (
            f"{100 * r.humidity_fraction:.0f} %",
            f"{100 * r.moisture_fraction:.1f} %" + (" *" if r.outside_range else ""),
            *map(_radius, r.radius_mm),
        )
        for r in air.rows
    )
    return Table("Air, the wood's moisture, and the dome", ("air", "wood", "narrow strip", "wide strip"), rows, 3)


def _radius(radius_mm: float) -> str:
    if isinf(radius_mm) or abs(radius_mm) > _FAR_MM:
        return "flat"
    return f"{radius_mm:.0f} mm ({radius_mm / _FOOT_MM:.0f} ft)"


def _springs(air: PlateAir) -> Table:
    rows = []
    for b in air.braces:
        narrow, wide = b.rise_per_percent_mm
        sprung = tuple(map(_radius, b.sprung_radius_mm))
        rows.append((b.brace, f"{b.grain_angle_deg:.0f}°", f"{narrow:.2f} to {wide:.2f} mm", *sprung))
    head = ("brace", "to the grain", "rise for 1 % of moisture", "sprung back, narrow", "wide")
    return Table("Each brace: movement, and its radius out of the dish", head, tuple(rows), len(head) - 1)
