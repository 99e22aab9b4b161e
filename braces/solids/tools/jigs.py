"""Lining pocket jigs: a saddle that clips over the rim and guides the cut of one pocket."""

from __future__ import annotations

from braces.carved.values import Carved, CarvedPlate
from braces.placed.values import PlacedPlate
from braces.solids.tools.bodies import DEPTH_MM, GROOVE_MM, Mark, joined, slab, triangles
from braces.solids.tools.part import Draft, Part, finished, label, stem, together
from braces.solids.tools.planar import planar_solid
from braces.solids.tools.pockets import Place, Pockets, beside, inset, pockets_of
from braces.solids.tools.settings import ToolSettings

GUIDE_MM = 6.0  #: thickness of the top plate, which guides the blade
LEG_MM = 4.0  #: thickness of the legs
INNER_MM = 11.0  #: length of the inner leg, at most; never past the lining
OUTER_MM = 18.0
ASIDE_MM = 16.0  #: past the pocket on either side
MUST_STAND_MM = 1.5  #: of the inner leg under its slot


def pocket_jigs(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one jig for each different pocket; mirror images need their own."""
    lining = carved.placed.design.lining.height_mm
    return tuple(
        _jig(carved, plate, placed, same, min(INNER_MM, lining), settings)
        for plate, placed in zip(carved.plates, carved.placed.plates, strict=True)
        for same in pockets_of(plate, placed.lining, mirrored=False)
    )


def _jig(
    carved: Carved,
    plate: CarvedPlate,
    placed: PlacedPlate,
    same: Pockets,
    leg_mm: float,
    settings: ToolSettings,
) -> Part:
    pocket, shape, c = same.pocket, same.shape, settings.clearance_mm
    leg = max(leg_mm, pocket.height_mm + MUST_STAND_MM)
    half = shape.mouth_mm / 2 + ASIDE_MM
    # Seen with the room upwards: the plan of the back as it is, that of the top mirrored.
    hand = 1.0 if plate.name == "back" else -1.0
    inner, outer = ([(hand * u, n) for u, n in beside(path, shape, half)] for path in (placed.lining, placed.outline))
    window = [(hand * u, n) for u, n in inset(shape, 0.0, 0.0, min(n for _, n in inner) - c - LEG_MM - 1.0)]
    net = joined(
        [
            slab(_band(inner, -c - LEG_MM, outer, c + LEG_MM), 0.0, GUIDE_MM),
            slab(_band(inner, -c - LEG_MM, inner, -c), GUIDE_MM - 1.0, GUIDE_MM + leg),
            slab(_band(outer, c, outer, c + LEG_MM), GUIDE_MM - 1.0, GUIDE_MM + OUTER_MM),
        ]
    ) - slab(window, -1.0, GUIDE_MM + pocket.height_mm)
    name = together(same.names)
    low, high = pocket.reach_mm + 1.5, min(n for _, n in outer) + c + LEG_MM - 1
    numbers = " ".join(map(str, same.numbers))
    words = f"{label(carved, settings)}|{plate.name} {numbers} {name}"
    return finished(
        Draft(
            f"pocket-jig-{plate.name}-{same.numbers[0]}-{stem(name)}",
            f"pocket jig, {plate.name} {numbers}, {name}",
            planar_solid(*triangles(net)),
            "top plate down, legs up",
            f"Clips over the rim, {c:g} mm free on either side of lining and side, following their curve. The walls "
            f"of its window guide the blade along the pocket's walls and back; the floor of the slot in its inner leg "
            f"is {pocket.height_mm:g} mm below the top of the lining: stop there.",
            (
                ("mouth mm", shape.mouth_mm),
                ("height mm", pocket.height_mm),
                ("reach mm", pocket.reach_mm),
                ("guide mm", GUIDE_MM),
                ("clearance mm", c),
            ),
            same.names,
            (Mark(words, (0.0, (low + high) / 2, 0.0), (2 * half - 6, high - low), 3.4, under=True),),
            net=net,
            bridges=f"the grooves of the mark on the bed, {GROOVE_MM:g} mm wide and {DEPTH_MM:g} mm deep",
        ),
        settings,
    )


def _band(near: list[Place], near_mm: float, far: list[Place], far_mm: float) -> list[Place]:
    """Return the plan between two lines along the rim, each moved outwards by so much."""
    return [*((u, n + near_mm) for u, n in near), *((u, n + far_mm) for u, n in reversed(far))]
