"""Lining pocket jigs: a saddle that clips over the rim and guides the cut of one pocket."""

from __future__ import annotations

from math import atan, degrees

import numpy as np

from braces.carved.values import Carved, CarvedPlate
from braces.placed.values import PlacedPlate
from braces.solids.kernel import Xyz
from braces.solids.tools.bodies import DEPTH_MM, GROOVE_MM, Face, Mark, joined, slab, triangles
from braces.solids.tools.part import Draft, Measure, Part, finished, name_mark, stem, together
from braces.solids.tools.planar import planar_solid
from braces.solids.tools.pockets import Place, Pockets, beside, inset, pockets_of
from braces.solids.tools.settings import ToolSettings

GUIDE_MM = 6.0  #: thickness of the top plate, which guides the blade
LEG_MM = 4.0  #: thickness of the legs
INNER_MM = 11.0  #: length of the inner leg, at most; never past the lining
OUTER_MM = 18.0
ASIDE_MM = 30.0  #: past the pocket on either side
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
    half = max(abs(u) for u, _ in shape.corners) + ASIDE_MM
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
    back = min(n for _, n in inner) - c - LEG_MM - 4.0
    numbers = " ".join(map(str, same.numbers))
    beyond = {side: max(side * u for u, _ in window) + 1.5 for side in (-1.0, 1.0)}
    roomy = min(beyond, key=lambda side: beyond[side])
    places = [_place(side, (beyond[side], half - 1.5), inner, outer, settings) for side in (roomy, -roomy)]
    marks = (
        name_mark(carved, settings, "", *places[0]),
        _own_name(f"{plate.name} {numbers}", name, *places[1]),
    )
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
            marks,
            net=net,
            has_end_view=True,
            measures=(
                Measure("above", (-shape.mouth_mm / 2, back, GUIDE_MM), (shape.mouth_mm / 2, back, GUIDE_MM), "mouth"),
                Measure("front", (half + 3, 0.0, GUIDE_MM), (half + 3, 0.0, GUIDE_MM + pocket.height_mm), "stop"),
            ),
            bridges=f"the grooves of the mark on the bed, {GROOVE_MM:g} mm wide and {DEPTH_MM:g} mm deep",
        ),
        settings,
    )


def _own_name(number: str, name: str, at: Xyz, room: Place, height_mm: float, turn_deg: float, face: Face) -> Mark:
    return Mark(f"{number} {name}", at, room, height_mm, turn_deg, face, (number,))


def _place(
    side: float, span: Place, inner: list[Place], outer: list[Place], settings: ToolSettings
) -> tuple[Xyz, Place, float, float, Face]:
    """Return where under the top plate a mark beside the window lies: place, room, height, turn along the rim."""
    reach = settings.clearance_mm + LEG_MM
    u = side * np.linspace(*span, 9)
    low, high = (np.interp(u, [p[0] for p in line], [p[1] for p in line]) for line in (sorted(inner), sorted(outer)))
    slope = float(np.polyfit(u, (low + high) / 2, 1)[0])
    lean = slope * (u - u.mean())
    floor, top = float((low - lean).max()) - reach + 1.0, float((high - lean).min()) + reach - 1.0
    long = (1 + slope**2) ** 0.5
    room = ((span[1] - span[0]) * long, (top - floor) / long)
    # Seen from below right and left change places, and so does the sense of a turn.
    return (float(u.mean()), (floor + top) / 2, 0.0), room, 3.4, -degrees(atan(slope)), "under"


def _band(near: list[Place], near_mm: float, far: list[Place], far_mm: float) -> list[Place]:
    """Return the plan between two lines along the rim, each moved outwards by so much."""
    return [*((u, n + near_mm) for u, n in near), *((u, n + far_mm) for u, n in reversed(far))]
