"""Every piece of wood that a bracing starts from."""

from __future__ import annotations

from dataclasses import dataclass

from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.workshop.strips import strip_cuts


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
            b.blank.laminations_count,
            (b.blank.length_mm, b.blank.strip_mm, b.blank.height_mm),
            f"finished {b.length_mm:.1f} long, {b.mass_g:.1f} g; {_grain(b)}",
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
    pieces += _caps(plate, carved)
    for patch in next(p for p in carved.placed.plates if p.name == plate.name).patches:
        (x0, y0), (x1, y1) = patch.outline.min(axis=0), patch.outline.max(axis=0)
        size = (float(x1 - x0), float(y1 - y0), patch.spec.thickness_mm)
        pieces.append(Piece(patch.spec.name, plate.name, patch.spec.wood, 1, size, "cut to the plan"))
    for cut in (c for c in strip_cuts(carved) if c.plate == plate.name):
        size = (cut.cut_mm, cut.width_mm, cut.thickness_mm)
        ends = "; ".join(f"{e.meets}: {e.words}" for e in (cut.tail_end, cut.neck_end))
        pieces.append(
            Piece(f"centre strip {cut.number}", plate.name, cut.wood, 1, size, f"grain across; ends at {ends}")
        )
    return pieces


def _grain(brace: CarvedBrace) -> str:
    if not brace.is_curved:
        return "rings upright, grain along"
    return f"strips bent and glued side by side to {brace.width_mm:.1f} wide; straight grain along, no knots"


def _caps(plate: CarvedPlate, carved: Carved) -> list[Piece]:
    """Strips along carved edges, and patches over laps."""
    placed = {b.name: b for p in carved.placed.plates if p.name == plate.name for b in p.braces}
    pieces = []
    for b in plate.braces:
        strip = placed[b.name].spec.cap_strip
        if strip is not None:
            size = (b.length_mm, b.width_mm, strip.thickness_mm)
            pieces.append(Piece(f"cap strip {b.name}", plate.name, strip.wood, 1, size, "glued along the carved edge"))
    for cap in plate.caps:
        size = (cap.length_mm, cap.width_mm, cap.thickness_mm)
        note = f"grain along {cap.along}, whose edge the lap cuts"
        pieces.append(Piece(cap.name, plate.name, cap.wood, 1, size, note))
    return pieces
