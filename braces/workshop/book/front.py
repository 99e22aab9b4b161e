"""What the front page says: the instrument in a few lines, and what gives way to whom."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from braces.carved.values import Carved, CarvedPlate
from braces.placed.values import PlacedPlate
from braces.workshop.bench import Bench
from braces.workshop.book.blocks import Block, Table, Warned, Words
from braces.workshop.book.job import DEFER
from braces.workshop.book.lengths import Lengths

_FOOT_MM = 304.8
_TO_WRITE = (
    "number, made for",
    "begun",
    "woods, from whom and when",
    "glue, its batch and date",
    "air when the top was braced",
    "air when the back was braced",
    "closed",
    "strung",
)
_RECORD = Table("This instrument", ("", ""), tuple((what, "") for what in _TO_WRITE), written=True)


def front_blocks(carved: Carved, bench: Bench, lengths: Lengths) -> tuple[Block, ...]:
    """Return the blocks of the front page, under its pictures."""
    rows = tuple(_rows(carved, lengths))
    problems = (Warned(f"Not worked out: {p}") for p in bench.problems)
    return (Table("", ("", ""), rows), *problems, Words(DEFER), _RECORD)


def _rows(carved: Carved, lengths: Lengths) -> Iterator[tuple[str, str]]:
    placed, design, say = carved.placed, carved.placed.design, lengths.say
    body = design.body
    widths = f"{say(body.lower_bout.width_mm)}, {say(body.waist.width_mm)} and {say(body.upper_bout.width_mm)} wide"
    deep = f"{say(body.depth.tail_mm)} deep at the tail, {say(body.depth.neck_mm)} at the neck"
    yield "body", f"{say(body.length_mm)} long; {widths} at lower bout, waist and upper bout; {deep}"
    for plate, place in zip(carved.plates, placed.plates, strict=True):
        yield plate.name, _plate(plate, place, lengths)
    lining = f"{say(design.lining.thickness_mm)} × {say(design.lining.height_mm)}"
    yield "sides", f"{say(body.side_mm, 2)} thick; linings {lining}"
    neck = float(placed.outline.point(placed.outline.count / 2)[1])
    if placed.soundhole_y_mm is not None:
        across = say(2 * placed.soundhole_radius_mm)
        yield "soundhole", f"{across} across, its middle {say(neck - placed.soundhole_y_mm)} from the neck end"
    saddle = f"saddle line {say(neck - placed.saddle_y_mm)} from the neck end"
    yield "strings", f"scale {say(design.strings.scale_mm)}; {saddle}"


def _plate(plate: CarvedPlate, placed: PlacedPlate, lengths: Lengths) -> str:
    radius = placed.dome.radius_mm
    dome = "flat" if isinf(radius) else f"dome radius {lengths.say(radius, 0)} = {radius / _FOOT_MM:.1f} ft"
    mass = sum(b.mass_g for b in plate.braces)
    text = f"{placed.spec.wood}, {lengths.say(placed.spec.thickness_mm, 2)} thick, {dome}"
    return f"{text}; {len(plate.braces)} braces, {mass:.0f} g" if plate.braces else text
