"""Sanding cauls: a block with the dome's true sphere for the glue faces of braces, fences to hold them upright.

A flat plate gets a flat block, a cylindrical one a cylinder for braces that run square to its axis.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, ceil, cos, degrees, isinf, radians, sqrt, tan

from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.curves.frames import Placement, stay
from braces.curves.surface import Surface
from braces.placed.dome import Dome
from braces.solids.chain import Chain
from braces.solids.tools.bar import Corner, bar_solid, both_sides, dome_patch
from braces.solids.tools.bodies import Mark
from braces.solids.tools.part import (
    Draft,
    Join,
    Measure,
    Part,
    bed_length_mm,
    finished,
    name_mark,
    piece_count,
    stem,
    together,
)
from braces.solids.tools.placing import turned_upside_down
from braces.solids.tools.settings import ToolSettings

BASE_MM = 12.0  #: wood under the lowest place of the sphere
FENCE_MM = 10.0  #: of a fence above the highest place of the sphere
FLAT_MM = 14.0  #: width of the flats for clamps on either side
FLAT_HIGH_MM = 8.0
CHAMFER_MM = 0.6
OVER_MM = 10.0  #: longer than the longest brace, at either end
LINER_MM = 1.6  #: least thickness of a liner
LEDGE_MM = 5.0  #: of the convex block's marked flats below its face
TWIN_MM = (180.0, 60.0, 20.0)  #: length, width and least height of the convex block


def sagitta_mm(radius_mm: float, half_mm: float) -> float:
    """Return how far an arc falls away from its tangent at a distance: R - sqrt(R^2 - x^2).

    >>> round(sagitta_mm(8534.4, 250.0), 4)
    3.6624
    """
    return 0.0 if isinf(radius_mm) else radius_mm - sqrt(radius_mm**2 - half_mm**2)


def bowl(dome: Dome, radius_mm: float, lowest_mm: float) -> Surface:
    """Return a surface of the dome's kind about the middle of a block; a cylinder is arched along the block.

    Raises:
        ValueError: if the plate is flat.
    """
    if dome.shape == "flat":
        raise ValueError("a flat plate has no bowl")
    return Surface(dome.shape, radius_mm, 0.0, 0.0, lowest_mm + radius_mm)


@dataclass(frozen=True, slots=True)
class Channel:
    """The channel of a caul and what it was worked out from."""

    length_mm: float
    width_mm: float  #: between the fences
    radius_mm: float  #: of the printed face
    rim_mm: float  #: height of the fences above the bed

    @property
    def half_mm(self) -> float:
        """Half the length."""
        return self.length_mm / 2


@dataclass(frozen=True, slots=True)
class Stick:
    """Braces that are sanded with the same liner."""

    width_mm: float
    lean_deg: float  #: bevel of the glue face, to a tenth of a degree
    names: tuple[str, ...]


def sanding_cauls(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return for every dome its caul, the liners that narrow it to each brace and, if wanted, the convex block."""
    found: list[Part] = []
    for placed, plate in zip(carved.placed.plates, carved.plates, strict=True):
        if not straight(plate):
            continue
        channel = channel_of(placed.dome, plate, settings)
        found.append(_caul(carved, placed.dome, plate, channel, settings))
        found += [_liner(carved, plate, channel, stick, settings) for stick in sticks(plate)]
        if settings.convex_twin and placed.dome.shape != "flat":
            found.append(_twin(carved, placed.dome, plate.name, settings))
    return tuple(found)


def straight(plate: CarvedPlate) -> tuple[CarvedBrace, ...]:
    """Return the braces that pass along a straight channel; a curved one is fitted in the dish."""
    return tuple(b for b in plate.braces if not b.is_curved)


def sticks(plate: CarvedPlate) -> tuple[Stick, ...]:
    """Return the braces of a plate by width and bevel, the widest first."""
    groups: dict[tuple[float, float], list[str]] = {}
    for brace in straight(plate):
        groups.setdefault((round(brace.width_mm, 3), abs(round(brace.bevel_deg, 1))), []).append(brace.name)
    return tuple(Stick(w, lean, tuple(names)) for (w, lean), names in sorted(groups.items(), reverse=True))


def channel_of(dome: Dome, plate: CarvedPlate, settings: ToolSettings) -> Channel:
    """Return the channel that takes every brace of a plate with a liner beside it."""
    length = max(b.length_mm for b in straight(plate)) + 2 * OVER_MM
    width = max(s.width_mm / cos(radians(s.lean_deg)) + FENCE_MM * tan(radians(s.lean_deg)) for s in sticks(plate))
    width = ceil(width + LINER_MM + 2 * settings.clearance_mm + 0.1)
    radius = dome.inner_radius_mm + settings.abrasive_mm
    return Channel(length, float(width), radius, BASE_MM + sagitta_mm(radius, length / 2) + FENCE_MM)


def _caul(carved: Carved, dome: Dome, plate: CarvedPlate, channel: Channel, settings: ToolSettings) -> Part:
    half, g, top = channel.half_mm, channel.width_mm / 2, channel.rim_mm
    flat = dome.shape == "flat"
    floor: list[Chain | Corner] = [(-g, BASE_MM), (g, BASE_MM)]
    if not flat:
        floor = [dome_patch(bowl(dome, channel.radius_mm, BASE_MM), g, (-half, half))]
    fence = max(settings.wall_mm, 2.4) + 1.6
    out = g + fence + FLAT_MM
    side = [
        (g, top),
        (g + fence - CHAMFER_MM, top),
        (g + fence, top - CHAMFER_MM),
        (g + fence, FLAT_HIGH_MM),
        (out - CHAMFER_MM, FLAT_HIGH_MM),
        (out, FLAT_HIGH_MM - CHAMFER_MM),
        (out, CHAMFER_MM),
        (out - CHAMFER_MM, 0.0),
    ]
    border = [*floor, *both_sides(side)]
    middle = g + fence + FLAT_MM / 2
    pin = max(g - settings.dowel_mm, settings.dowel_mm * 0.8)
    n = piece_count(channel.length_mm, settings)
    first = -half + channel.length_mm / n / 2
    room = (channel.length_mm / n - 26.0, FLAT_MM - 2)
    marks = (
        name_mark(carved, settings, f"{plate.name} sanding", (first, middle, FLAT_HIGH_MM), room),
        Mark(
            "flat" if flat else f"R {channel.radius_mm:.1f} = {dome.inner_radius_mm:.1f} + {settings.abrasive_mm:g}",
            (first, -middle, FLAT_HIGH_MM),
            room,
        ),
    )
    rounded = (("radius mm", channel.radius_mm), ("sagitta mm", sagitta_mm(channel.radius_mm, half)))
    return finished(
        Draft(
            f"sanding-caul-{plate.name}",
            f"sanding caul, {plate.name}",
            bar_solid(border, (-half, half)),
            "flat on its base, channel up",
            _use(dome, settings),
            (("length mm", channel.length_mm), ("channel mm", channel.width_mm), *(() if flat else rounded)),
            tuple(b.name for b in straight(plate)),
            marks,
            join=Join(((-pin, BASE_MM / 2), (pin, BASE_MM / 2)), settings.dowel_mm, (middle, FLAT_HIGH_MM)),
            home=Placement(stay().rotation, (0.0, 0.0, -BASE_MM - settings.abrasive_mm)),
            has_end_view=True,
            measures=(
                Measure("left", (-half, -g, top + 5), (-half, g, top + 5), "channel"),
                Measure("left", (-half, -out - 3, FLAT_HIGH_MM), (-half, -out - 3, 0.0)),
            ),
        ),
        settings,
    )


def _use(dome: Dome, settings: ToolSettings) -> str:
    """Return how the block's radius was worked out, and what to do with it."""
    handling = (
        " Clamp the block by its flats, put the brace's liner against one fence, press the brace to it and move it "
        "along."
    )
    if dome.shape == "flat":
        return "Flat, for the glue faces of the braces of a flat plate; the abrasive changes nothing." + handling
    square = " Right for braces that run square to the cylinder's axis." if dome.shape == "cylinder" else ""
    return (
        f"Concave {dome.shape} for the glue faces of the braces. The dish is named by the outer face, "
        f"{dome.radius_mm:.1f} mm; the glue faces lie on the inner face, {dome.inner_radius_mm:.1f} mm; the "
        f"abrasive lies on the block, so the block's own radius is larger by its {settings.abrasive_mm:g} mm."
        f"{square}{handling}"
    )


def liner_section(channel: Channel, stick: Stick, settings: ToolSettings) -> tuple[float, float, float]:
    """Return a liner's thickness at its foot and at its head, and the lean of its face in degrees.

    The brace stands aside from the middle of the channel, where the sphere itself already leans; the face
    makes up the rest.
    """
    foot = channel.width_mm - stick.width_mm / cos(radians(stick.lean_deg)) - 2 * settings.clearance_mm
    aside = channel.width_mm / 2 - settings.clearance_mm - stick.width_mm / 2
    lean = stick.lean_deg + degrees(atan(aside / channel.radius_mm))
    return foot, foot - FENCE_MM * tan(radians(lean)), lean


def _liner(carved: Carved, plate: CarvedPlate, channel: Channel, stick: Stick, settings: ToolSettings) -> Part:
    foot, head, lean = liner_section(channel, stick, settings)
    n = piece_count(channel.length_mm, settings)
    length = channel.length_mm / n
    # Drawn lying on its leaning face's back: the flat back is on the bed and the leaning face looks up.
    border = [(0.0, 0.0), (FENCE_MM, 0.0), (FENCE_MM, head), (0.0, foot)]
    name = together(stick.names)
    # The face is level but for its small lean, which makes a groove a little deeper at one edge of the text.
    middle = (length / 2, FENCE_MM / 2, (foot + head) / 2)
    return finished(
        Draft(
            f"sanding-liner-{plate.name}-{stem(name)}-{stick.width_mm:g}".replace(".", "_"),
            f"liner of the {plate.name} sanding caul for {name}",
            bar_solid(border, (0.0, length)),
            "on its back, the face that the brace touches up",
            f"Narrows the channel to {stick.width_mm:g} mm and leans by {lean:.2f} deg, so that the glue face "
            f"comes out with its bevel of {stick.lean_deg:g} deg; the lower side of the brace lies against it, the "
            "thicker edge is down.",
            (("foot mm", foot), ("head mm", head), ("lean deg", lean), ("length mm", length)),
            stick.names,
            (name_mark(carved, settings, f"{name} {stick.width_mm:.3g}", middle, (length - 4, 7.0), 4.0),),
            count=n,
            has_end_view=True,
            measures=(Measure("left", (0.0, FENCE_MM + 2.5, head), (0.0, FENCE_MM + 2.5, 0.0), "head"),),
        ),
        settings,
    )


def _twin(carved: Carved, dome: Dome, plate: str, settings: ToolSettings) -> Part:
    length, width, high = min(TWIN_MM[0], bed_length_mm(settings)), *TWIN_MM[1:]
    radius = dome.radius_mm - settings.abrasive_mm
    surface = bowl(dome, radius, 0.0)
    half, side, back = length / 2, width / 2, high + sagitta_mm(radius, length / 2)
    c, out, ledge = CHAMFER_MM, side + FLAT_MM, sagitta_mm(radius, length / 2) + LEDGE_MM
    edge = [(side, ledge), (out - c, ledge), (out, ledge + c), (out, back - c), (out - c, back)]
    border: list[Chain | Corner] = [dome_patch(surface, side, (-half, half)), *both_sides(edge)]
    middle, room = side + FLAT_MM / 2, (length - 10, FLAT_MM - 2)
    made, home = turned_upside_down(bar_solid(border, (-half, half)), back)
    return finished(
        Draft(
            f"sanding-block-convex-{plate}",
            f"convex sanding block, {plate}",
            made,
            "flat on its back, the convex face up",
            f"Hollows a dish of {dome.radius_mm:.1f} mm. The abrasive lies on the block, so the block's own radius "
            f"is smaller by its {settings.abrasive_mm:g} mm.",
            (("length mm", length), ("width mm", width), ("radius mm", radius)),
            (),
            (
                name_mark(carved, settings, f"{plate} convex", (0.0, middle, back - ledge), room),
                Mark(f"R {radius:.1f}", (0.0, -middle, back - ledge), room),
            ),
            home=home,
            has_end_view=True,
            measures=(Measure("left", (-half, side, back + 4), (-half, -side, back + 4), "face"),),
        ),
        settings,
    )
