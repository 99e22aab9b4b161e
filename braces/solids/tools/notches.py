"""Notch gauges: a go and a no-go tongue at a lap's own angle, with steps that feel its depth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians, sin, tan

from braces.carved.values import Carved, CarvedBrace, CarvedPlate, Notch
from braces.curves.frames import Placement
from braces.solids.tools.bodies import Mark, box, joined, slab, triangles
from braces.solids.tools.part import Draft, Part, finished, label, stem, together
from braces.solids.tools.planar import planar_solid
from braces.solids.tools.settings import ToolSettings

Place = tuple[float, float]

BAR_LONG_MM = 76.0  #: of the bar that lies along the brace's side
BAR_WIDE_MM = 20.0
PAST_MM = 3.0  #: of a tongue beyond the far side of the brace
SUNK_MM = 1.0  #: of a tongue's root in the bar


@dataclass(frozen=True, slots=True)
class Lap:
    """Notches of the same shape, and whose they are."""

    brace: CarvedBrace
    notch: Notch
    names: tuple[str, ...]


def notch_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one gauge for each different notch across a brace: laps and cuts over the centre strip."""
    return tuple(
        _gauge(carved, plate, lap, number, settings)
        for plate in carved.plates
        for number, lap in enumerate(laps_of(plate), 1)
    )


def laps_of(plate: CarvedPlate) -> tuple[Lap, ...]:
    """Return the notches of a plate that run across a whole brace, those of the same shape together."""
    groups: dict[tuple[object, ...], list[tuple[CarvedBrace, Notch]]] = {}
    for brace in plate.braces:
        for notch in brace.notches:
            if notch.kind in ("half-lap", "strip"):
                shape = (notch.opens, *(round(v, 2) for v in (notch.across_mm, notch.angle_deg, brace.width_mm)))
                depth = tuple(round(depth_at(brace, notch, y), 2) for y in _places(brace))
                groups.setdefault((*shape, depth), []).append((brace, notch))
    return tuple(Lap(same[0][0], same[0][1], tuple(dict.fromkeys(b.name for b, _ in same))) for same in groups.values())


def _places(brace: CarvedBrace) -> tuple[float, float]:
    return brace.width_mm / 4, -brace.width_mm / 4


def depth_at(brace: CarvedBrace, notch: Notch, y_mm: float) -> float:
    """Return the depth of a notch on the line Y = ``y_mm``, on the middle line of the notch."""
    x = notch.at_mm + y_mm / tan(radians(notch.angle_deg))
    glue = brace.glue.at(x, y_mm)
    if notch.opens == "plate":
        return notch.floor_z_mm - glue
    top = brace.glue.at(x, 0.0) + brace.height.at(x) - brace.drop.at(x) * float(brace.shape(y_mm))
    return top - notch.floor_z_mm


def tongue(angle_deg: float, across_mm: float, y_from: float, y_to: float) -> list[Place]:
    """Return the plan of a tongue between two lines along the brace, about the notch as (0, 0)."""
    cot = 1 / tan(radians(angle_deg))
    half = across_mm / 2 / sin(radians(angle_deg))
    return [
        (y_from * cot - half, y_from),
        (y_from * cot + half, y_from),
        (y_to * cot + half, y_to),
        (y_to * cot - half, y_to),
    ]


def _gauge(carved: Carved, plate: CarvedPlate, lap: Lap, number: int, settings: ToolSettings) -> Part:
    brace, notch, g = lap.brace, lap.notch, settings.gauge_mm
    side = brace.width_mm / 2 + settings.clearance_mm
    far, out = -brace.width_mm / 2 - PAST_MM, side + BAR_WIDE_MM
    shallow, deep = (depth_at(brace, notch, y) for y in _places(brace))
    low_step, high_step = shallow - g, deep + g
    bar_high = max(high_step, 4.0)
    go, no_go = notch.across_mm - g, notch.across_mm + g
    # A notch in the glue face is gauged with the brace, and so its angle, turned over.
    angle = notch.angle_deg if notch.opens == "room" else 180 - notch.angle_deg
    # A no-go tongue at the other side of the bar stands at the same angle once the gauge is turned half round.
    back = out + side + brace.width_mm / 2 + PAST_MM
    net = joined(
        [
            box((-BAR_LONG_MM / 2, side, 0.0), (BAR_LONG_MM / 2, out, bar_high)),
            slab(tongue(angle, go, 0.0, side + SUNK_MM), 0.0, low_step),
            slab(tongue(angle, go, far, 0.0), 0.0, high_step),
            slab(tongue(angle, no_go, out - SUNK_MM, back), 0.0, low_step),
        ]
    )
    name, other = together(lap.names), notch.with_
    middle = (side + out) / 2
    long = BAR_LONG_MM - 4
    words = (label(carved, settings), f"{name} / {other}", f"{notch.across_mm:g} x {notch.depth_mm:.2f}")
    marks = _words(words, middle, bar_high, long)
    marks += (
        Mark("go", (-long / 2 + 7, side + 4.0, bar_high), (14, 5), 3.2),
        Mark("no", (-long / 2 + 7, out - 4.0, bar_high), (14, 5), 3.2),
    )
    return finished(
        Draft(
            f"notch-gauge-{plate.name}-{number}-{stem(name)}",
            f"notch gauge, {name} for {other}",
            planar_solid(*triangles(net)),
            "flat, marks up",
            f"The bar lies along the side of {name}, so the tongue stands at the notch's own angle. The go tongue is "
            f"{g:g} mm under in width and enters; the no-go tongue, with the gauge turned half round, is {g:g} mm over "
            f"and stays out. With the go tongue on the floor, the brace's edge lies between its two steps, {g:g} mm "
            "under and over in depth, within the tilt of the glue face.",
            (
                ("across mm", notch.across_mm),
                ("angle deg", notch.angle_deg),
                ("depth mm", notch.depth_mm),
                ("go mm", go),
                ("no-go mm", no_go),
                ("low step mm", low_step),
                ("high step mm", high_step),
            ),
            lap.names,
            marks,
            net=net,
            home=_home(notch),
        ),
        settings,
    )


def _words(lines: Sequence[str], y_mm: float, z_mm: float, room_mm: float) -> tuple[Mark, ...]:
    step = 5.4
    return tuple(
        Mark(line, (8.0, y_mm + step * ((len(lines) - 1) / 2 - k), z_mm), (room_mm - 18, step), 3.2)
        for k, line in enumerate(lines)
    )


def _home(notch: Notch) -> Placement:
    """Return the way from the gauge into the bench frame of the brace, its feet on the floor of the notch."""
    if notch.opens == "room":
        return Placement(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), (notch.at_mm, 0.0, notch.floor_z_mm))
    # Turned over about an axis square to the brace, as the brace itself lies with its glue face up.
    return Placement(((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)), (notch.at_mm, 0.0, notch.floor_z_mm))
