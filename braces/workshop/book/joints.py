"""The chapter of what meets: laps, butts and the pockets in the linings."""

from __future__ import annotations

from braces.carved.values import Carved, CarvedBrace, CarvedPlate, Joint, Notch
from braces.workshop.bench import Bench
from braces.workshop.book.blocks import Block, Chapter, Figure, Section, Table, Words
from braces.workshop.book.lengths import Lengths
from braces.workshop.tape import Tape


def joint_chapter(carved: Carved, bench: Bench, lengths: Lengths) -> Chapter | None:
    """Return laps and pockets, or None if nothing meets."""
    sections = [s for plate in carved.plates if (s := _laps(plate, lengths)) is not None]
    sections += [_tape(t, lengths) for t in bench.tapes if t.pockets]
    return Chapter("joints", "Laps and pockets", (), tuple(sections)) if sections else None


def _laps(plate: CarvedPlate, lengths: Lengths) -> Section | None:
    by_name = {b.name: b for b in plate.braces}
    laps = [row for j in plate.joints if (row := _lap(j, by_name, lengths)) is not None]
    if not laps:
        return None
    head = ("goes on last", "wide", "deep", "glued first", "wide", "deep", "angle")
    text = (
        "Of two that cross, the brace cut from its glue face bridges the other and goes on last. Try each pair "
        "together off the plate, carved edges level with each other where they cross."
    )
    table = Table(f"Half-laps of the {plate.name}, {lengths.unit}", head, tuple(laps))
    return Section(f"laps-{plate.name}", f"Laps of the {plate.name}", (Words(text), table))


def _lap(joint: Joint, braces: dict[str, CarvedBrace], lengths: Lengths) -> tuple[str, ...] | None:
    first, second = (_notch(braces[a], b) for a, b in (joint.between, joint.between[::-1]))
    if joint.kind != "half-lap" or first is None or second is None:
        return None
    pairs = [(joint.between[0], first), (joint.between[1], second)]
    over, under = sorted(pairs, key=lambda pair: pair[1].opens)  # "plate" comes before "room"
    sizes = [(name, lengths.cell(n.width_mm, 2), lengths.cell(n.depth_mm, 2)) for name, n in (over, under)]
    return (*sizes[0], *sizes[1], f"{joint.angle_deg:.1f}°")


def _notch(brace: CarvedBrace, other: str) -> Notch | None:
    return next((n for n in brace.notches if n.with_ == other), None)


def _tape(tape: Tape, lengths: Lengths) -> Section:
    key = f"rim-strip-{tape.side}"
    rows = tuple(
        (f"{p.plate} {p.number}", p.brace, *map(lengths.cell, (p.from_mm, p.to_mm, p.height_mm, p.reach_mm)))
        for p in tape.pockets
    )
    head = ("pocket", "brace", "from", "to", "high", "deep")
    blocks: list[Block] = [
        Figure(key, "pockets in the linings"),
        Table(f"Pockets, along the face of the linings from the tail, {lengths.unit}", head, rows, 4),
    ]
    return Section(key, f"Pockets, {tape.side} side", tuple(blocks))
