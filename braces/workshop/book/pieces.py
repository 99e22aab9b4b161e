"""The chapter of what goes on or into the plates beside the braces: the rosette's channel and the strip's pieces."""

from __future__ import annotations

from braces.workshop.bench import Bench
from braces.workshop.book.blocks import Chapter, Section, Table, Words
from braces.workshop.book.lengths import Lengths
from braces.workshop.rosette import RosetteCut
from braces.workshop.strips import StripCut


def piece_chapter(bench: Bench, lengths: Lengths) -> Chapter | None:
    """Return rosette and centre strips, or None if the design has neither."""
    sections = [] if bench.rosette is None else [_rosette(bench.rosette, lengths)]
    for plate in dict.fromkeys(c.plate for c in bench.strips):
        sections.append(_strip([c for c in bench.strips if c.plate == plate], lengths))
    return Chapter("pieces", "Rosette and strip", (), tuple(sections)) if sections else None


def _rosette(cut: RosetteCut, lengths: Lengths) -> Section:
    depths = ", ".join(lengths.say(d, 2) for d in cut.depths_mm)
    text = (
        f"The channel runs from radius {lengths.say(cut.inner_radius_mm, 2)} to {lengths.say(cut.outer_radius_mm, 2)}; "
        f"a bit of {lengths.say(cut.cutter_mm, 2)} goes round on every circle in each pass, down to {depths}. The hole "
        "is cut last. Its sheet shows all circles full size."
    )
    rows = tuple((str(k), lengths.cell(r, 2), lengths.cell(2 * r, 2)) for k, r in enumerate(cut.circles_mm, 1))
    table = Table(f"The bit's middle, from the inside out, {lengths.unit}", ("circle", "radius", "across"), rows, 2)
    return Section("rosette", "Rosette", (Words(text), table))


def _strip(cuts: list[StripCut], lengths: Lengths) -> Section:
    plate, first = cuts[0].plate, cuts[0]
    rows = tuple(
        (
            str(c.number),
            lengths.cell(c.glue_mm, 2),
            lengths.cell(c.room_mm, 2),
            c.tail_end.meets,
            c.tail_end.words,
            c.neck_end.meets,
            c.neck_end.words,
        )
        for c in cuts
    )
    text = (
        f"{first.wood}, {lengths.say(first.width_mm)} wide and {lengths.say(first.thickness_mm, 2)} thick, grain "
        "across the joint. The lengths are of the glue face and of the face in the room. A bevel is measured off "
        "square: it makes an end close against a brace or block that stands upright on the dome. Sawn square, an end "
        "stands off a little at one face."
    )
    head = ("piece", "glue face", "room face", "tail end at", "sawn", "neck end at", "sawn")
    table = Table(f"Pieces from the tail, {lengths.unit}", head, rows)
    return Section(f"strip-{plate}", f"Centre strip of the {plate}", (Words(text), table))
