"""Every piece of wood that a bracing starts from."""

from __future__ import annotations

from dataclasses import dataclass

from braces.carved.values import Carved, CarvedPlate


@dataclass(frozen=True, slots=True)
class Piece:
    """One line of the cut list."""

    piece: str
    plate: str
    wood: str
    count: int
    size_mm: tuple[float, float, float]  #: length, width, height
    note: str


def cut_list(carved: Carved) -> tuple[Piece, ...]:
    """Return the pieces: brace blanks, bridge plate, centre strip; the top's first."""
    return tuple(p for plate in carved.plates for p in _plate(plate, carved))


def _plate(plate: CarvedPlate, carved: Carved) -> list[Piece]:
    spec = next(p.spec for p in carved.placed.plates if p.name == plate.name)
    pieces = [
        Piece(
            b.name,
            plate.name,
            b.wood,
            1,
            (b.blank.length_mm, b.blank.width_mm, b.blank.height_mm),
            f"finished {b.length_mm:.1f} long, {b.mass_g:.1f} g; rings upright, grain along",
        )
        for b in plate.braces
    ]
    if spec.bridge_plate is not None and plate.bridge_plate is not None:
        (x0, y0), (x1, y1) = plate.bridge_plate.min(axis=0), plate.bridge_plate.max(axis=0)
        pieces.append(
            Piece(
                "bridge plate",
                plate.name,
                spec.bridge_plate.wood,
                1,
                (float(x1 - x0), float(y1 - y0), spec.bridge_plate.thickness_mm),
                "trim to the plan between the braces",
            )
        )
    if spec.centre_strip is not None:
        pieces += [
            Piece(
                f"centre strip {s.number}",
                plate.name,
                spec.centre_strip.wood,
                1,
                (s.length_mm, s.width_mm, s.thickness_mm),
                "grain across the strip",
            )
            for s in plate.strip_pieces
        ]
    return pieces
