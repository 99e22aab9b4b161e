"""What the box is made from beside its bracing: plates, sides, linings and blocks."""

from __future__ import annotations

from braces.carved.values import Carved
from braces.workshop.bench import Bench
from braces.workshop.cutlist import Piece
from braces.workshop.rim import Rim

ROUND_MM = 10.0  #: wood left round a plate until it is glued to its rim: common practice
ENDS_MM = 20.0  #: left at each end of a side and of a lining until it is bent and fitted: common practice


def box_stock(carved: Carved, bench: Bench) -> tuple[Piece, ...]:
    """Return the pieces with the wood that fitting takes away; only the plates if there is no rim."""
    design = carved.placed.design
    pieces = [_halves(carved, name) for name in ("top", "back")]
    if bench.rim is not None:
        wood = design.body.side_wood or carved.placed.back.spec.wood
        pieces += [_sides(bench.rim, wood, design.body.side_mm), _linings(bench.rim, design.lining.wood)]
        pieces += _blocks(bench.rim)
    return tuple(pieces)


def _halves(carved: Carved, name: str) -> Piece:
    plate = next(p for p in carved.placed.plates if p.name == name)
    outline = plate.outline.dense()
    long = float(outline[:, 1].max() - outline[:, 1].min()) + 2 * ROUND_MM
    wide = float(abs(outline[:, 0]).max()) + ROUND_MM
    note = f"book-matched, jointed on the centre line; {ROUND_MM:g} left round the outline"
    return Piece(f"halves of the {name}", name, plate.spec.wood, 2, (long, wide, plate.spec.thickness_mm), note)


def _sides(rim: Rim, wood: str, thickness_mm: float) -> Piece:
    # Both edges rise and fall: the blank holds the highest and the lowest place of either side.
    high = max(float(s.top_z_mm.max() - s.back_z_mm.min()) for s in rim.sides) + 2 * rim.spec.sanding_mm
    long = max(s.outside_mm for s in rim.sides) + 2 * ENDS_MM
    note = f"saw to the side template; {ENDS_MM:g} left at each end, {rim.spec.sanding_mm:g} along each edge"
    return Piece("sides", "rim", wood, 2, (long, high, thickness_mm), note)


def _linings(rim: Rim, wood: str) -> Piece:
    long = max(s.inside_mm for s in rim.sides) + 2 * ENDS_MM
    note = f"top and back of both sides; {ENDS_MM:g} left at each end"
    return Piece("linings", "rim", wood, 4, (long, rim.lining_thickness_mm, rim.lining_height_mm), note)


def _blocks(rim: Rim) -> list[Piece]:
    return [
        Piece(
            b.name,
            "rim",
            "of your choice",
            1,
            (b.width_mm, b.thickness_mm, max(b.outer_height_mm, b.inner_height_mm) + 2 * rim.spec.sanding_mm),
            "its width first, then its thickness into the room; ends bevelled to both domes",
        )
        for b in rim.blocks
    ]
