"""What can hurt, as texts that give way to makers' instructions, local rules and qualified people."""

from __future__ import annotations

from dataclasses import dataclass

from braces.carved.values import Carved
from braces.workshop.habits import table


@dataclass(frozen=True, slots=True)
class Caution:
    """One warning."""

    key: str
    title: str  #: in two or three words
    text: str
    provenance: str


def caution(key: str) -> Caution:
    """Return a warning by its key. Raises KeyError."""
    row = table("cautions")[key]
    return Caution(key, row["title"], row["text"], row["provenance"])


def trade_cautions(carved: Carved) -> tuple[Caution, ...]:
    """Return a note for each wood of a design that trade lists name, in the order of the list."""
    used = woods_used(carved)
    rows = table("cautions")["trade"]
    return tuple(
        Caution(key, row["title"], row["text"], row["provenance"])
        for key, row in rows.items()
        if used.intersection(row["woods"])
    )


def woods_used(carved: Carved) -> frozenset[str]:
    """Return the names of all woods of a design, in lower case."""
    design = carved.placed.design
    names = {b.wood for b in carved.braces} | {design.lining.wood, design.body.side_wood or design.back.wood}
    for plate in (design.top, design.back):
        names.add(plate.wood)
        names |= {p.wood for p in plate.patches}
        names |= {s.wood for s in (plate.bridge_plate, plate.centre_strip) if s is not None}
    return frozenset(" ".join(n.lower().split()) for n in names)
