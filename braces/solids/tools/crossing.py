"""Crossing gauges: a wedge that lies between two crossing braces and shows the plate's centre line."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, pi, radians, sin, tan

from braces.carved.values import Carved, CarvedBrace, CarvedPlate, Joint
from braces.curves.frames import Placement
from braces.solids.tools.bodies import slab
from braces.solids.tools.part import Angle, Draft, Part, bed_length_mm, finished, name_mark, stem, together
from braces.solids.tools.prism import prism
from braces.solids.tools.settings import ToolSettings

Place = tuple[float, float]

THICK_MM = 4.0
LEG_MM = 90.0  #: along the faces of the braces, at most
TIP_MM = 12.0  #: cut off at the tip, along the faces: glue and the lap stay free
SIGHT_MM = 2.0  #: depth of the sight notches on the centre line
CENTRED_MM = 0.5  #: a crossing nearer to the centre line than this is on it


@dataclass(frozen=True, slots=True)
class Crotch:
    """The room between two legs of a crossing: the directions of the legs and half the widths of the braces."""

    at: Place  #: where the centre lines cross, plan
    right_rad: float  #: direction of the leg on the right of someone who looks out of the crotch
    left_rad: float
    right_half_mm: float
    left_half_mm: float
    centred: bool  #: whether the plate's centre line runs through the crossing and out of this crotch

    @property
    def included_deg(self) -> float:
        """Angle between the two faces."""
        return degrees(self.left_rad - self.right_rad)


def crossing_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one gauge for each angle at which braces of a plate are lapped."""
    found: dict[tuple[str, float, float], tuple[CarvedPlate, Joint, Crotch]] = {}
    for plate in carved.plates:
        braces = {b.name: b for b in plate.braces}
        for joint in plate.joints:
            if joint.kind != "half-lap":
                continue
            crotch = crotch_of(joint, braces[joint.between[0]], braces[joint.between[1]])
            widths = crotch.right_half_mm + crotch.left_half_mm
            found.setdefault((plate.name, round(crotch.included_deg, 2), round(widths, 2)), (plate, joint, crotch))
    return tuple(
        _gauge(carved, plate, joint, crotch, number, settings)
        for number, (plate, joint, crotch) in enumerate(found.values(), 1)
    )


def crotch_of(joint: Joint, a: CarvedBrace, b: CarvedBrace) -> Crotch:
    """Return the crotch that holds the centre line towards the tail, or, off the centre line, the narrower one."""
    ways = [(_way_at(a, b.name), a.width_mm / 2), (_way_at(b, a.name), b.width_mm / 2)]
    lines = [(atan2(hy, hx), half) for (hx, hy), half in ways]
    legs = sorted(((angle + turn) % (2 * pi), half) for angle, half in lines for turn in (0.0, pi))
    crotches = []
    for (right, right_half), (left, left_half) in pairwise([*legs, (legs[0][0] + 2 * pi, legs[0][1])]):
        holds_tail = right < 1.5 * pi < left
        centred = holds_tail and abs(joint.at[0]) < CENTRED_MM
        crotches.append(Crotch(joint.at, right, left, right_half, left_half, centred))
    centred_ones = [c for c in crotches if c.centred]
    return centred_ones[0] if centred_ones else min(crotches, key=lambda c: c.included_deg)


def _way_at(brace: CarvedBrace, other: str) -> tuple[float, float]:
    """Return the direction in which a brace runs where it crosses another."""
    return brace.heading_at(next((n.at_mm for n in brace.notches if n.with_ == other), 0.0))


def wedge(crotch: Crotch, clearance_mm: float, leg_mm: float) -> list[Place]:
    """Return the outline in plan, anticlockwise, about the crossing as (0, 0); its middle line looks along +x.

    Both faces stand off the braces by the clearance.
    """
    half = radians(crotch.included_deg) / 2
    off_right, off_left = crotch.right_half_mm + clearance_mm, crotch.left_half_mm + clearance_mm
    # Where the two offset faces meet: so far from the line of the right leg and of the left one.
    x = (off_right + off_left) / 2 / sin(half)
    y = (off_right - off_left) / 2 / cos(half)
    right, left = (cos(half), -sin(half)), (cos(half), sin(half))
    corners = [(x + s * right[0], y + s * right[1]) for s in (TIP_MM, leg_mm)]
    corners += [(x + s * left[0], y + s * left[1]) for s in (leg_mm, TIP_MM)]
    if not crotch.centred:
        return corners
    tilt = 1.5 * pi - (crotch.right_rad + crotch.left_rad) / 2  # of the centre line, off the middle line
    tip, back = corners[0], corners[1]
    return [tip, back, *_sight(back[0], tilt, -1.0), corners[2], corners[3], *_sight(tip[0], tilt, 1.0)]


def _opening(outline: list[Place], crotch: Crotch) -> Angle:
    """Return the angle between the faces, drawn beyond the place where they would meet."""
    half = crotch.included_deg / 2
    right, left = outline[0], outline[-1]
    along = (left[1] - right[1]) / 2 / sin(radians(half))  # from the apex to either corner of the tip
    apex = (right[0] - along * cos(radians(half)), right[1] + along * sin(radians(half)))
    return Angle(apex, 180.0 - half, 180.0 + half, 13.0)


def _sight(x_mm: float, tilt_rad: float, inwards: float) -> list[Place]:
    """Return a notch in an edge across at ``x_mm`` whose point lies on the centre line."""
    point = (x_mm + inwards * SIGHT_MM, (x_mm + inwards * SIGHT_MM) * tan(tilt_rad))
    mouth = x_mm * tan(tilt_rad)
    ends = [(x_mm, mouth + inwards * SIGHT_MM), (x_mm, mouth - inwards * SIGHT_MM)]
    return [ends[0], point, ends[1]]


def _gauge(
    carved: Carved, plate: CarvedPlate, joint: Joint, crotch: Crotch, number: int, settings: ToolSettings
) -> Part:
    half = radians(crotch.included_deg) / 2
    across = 2 * (LEG_MM + 10) * sin(half)
    leg = LEG_MM * min(1.0, bed_length_mm(settings) / across)
    outline = wedge(crotch, settings.clearance_mm, leg)
    middle = (crotch.right_rad + crotch.left_rad) / 2
    x, y = crotch.at
    home = Placement(((cos(middle), -sin(middle), 0.0), (sin(middle), cos(middle), 0.0), (0.0, 0.0, 1.0)), (x, y, 0.0))
    name = together(joint.between)
    wide = outline[1][0] - outline[0][0]
    at = (outline[0][0] + 0.62 * wide, 0.0, THICK_MM)
    room = 1.1 * wide * tan(half)
    sight = " Its notches stand on the plate's centre line." if crotch.centred else ""
    words = f"{name} {crotch.included_deg:.2f} deg"
    lines = name_mark(carved, settings, words, at, (room, 0.6 * wide), 5.0, 90.0)
    return finished(
        Draft(
            f"crossing-gauge-{plate.name}-{number}-{stem(name)}",
            f"crossing gauge, {plate.name}, {name}",
            prism(outline, 0.0, THICK_MM),
            "flat, marks up",
            "Lies in the crotch with both its sides on the braces' sides; shown standing off each by "
            f"{settings.clearance_mm:g} mm.{sight}",
            (
                ("included angle deg", crotch.included_deg),
                ("leg mm", leg - TIP_MM),
                ("thickness mm", THICK_MM),
            ),
            joint.between,
            (lines,),
            net=slab(outline, 0.0, THICK_MM),
            home=home,
            measures=(_opening(outline, crotch),),
        ),
        settings,
    )
