"""Notch gauges: a go and a no-go tongue at a lap's own angle, with steps that feel its depth."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, tan

from manifold3d import Manifold

from braces.carved.values import Carved, CarvedBrace, CarvedPlate, Notch
from braces.curves.frames import Placement
from braces.solids.tools.bodies import Mark, joined, slab, triangles
from braces.solids.tools.part import Angle, Draft, Measure, Part, finished, name_mark, stem, together
from braces.solids.tools.planar import planar_solid
from braces.solids.tools.settings import ToolSettings

Place = tuple[float, float]

BAR_LONG_MM = 76.0  #: of the bar that lies along the brace's side
BAR_WIDE_MM = 20.0
PAST_MM = 3.0  #: of a tongue beyond the far side of the brace
SUNK_MM = 1.0  #: of a tongue's root in the bar
CORNER_MM = 2.0  #: cut off the bar's outer corners


@dataclass(frozen=True, slots=True)
class Lap:
    """Notches of the same shape, and whose they are."""

    brace: CarvedBrace
    notch: Notch
    names: tuple[str, ...]


def notch_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one gauge for each different notch: laps, inlets, cuts over the centre strip and passages."""
    return tuple(
        _gauge(carved, plate, lap, number, settings)
        for plate in carved.plates
        for number, lap in enumerate(laps_of(plate), 1)
    )


def laps_of(plate: CarvedPlate) -> tuple[Lap, ...]:
    """Return the notches of a plate, those of the same shape together."""
    groups: dict[tuple[object, ...], list[tuple[CarvedBrace, Notch]]] = {}
    for brace in plate.braces:
        for notch in brace.notches:
            sizes = (notch.across_mm, notch.angle_deg, brace.width_mm, notch.y_from_mm, notch.y_to_mm)
            shape = (notch.opens, *(round(v, 2) for v in sizes))
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


@dataclass(frozen=True, slots=True)
class Seat:
    """Where the gauge's bar and its tongue stand across a notch, in the gauge's own frame."""

    side_mm: float  #: level of the bar's face beside the brace
    split_mm: float  #: where the two steps of the tongue meet
    far_mm: float  #: where the tongue ends
    angle_deg: float  #: of the tongue to the bar
    steps_mm: tuple[float, float]  #: of the tongue, low and high
    mirrored: bool  #: whether the bar lies on the right of the brace


def seat_of(brace: CarvedBrace, notch: Notch, settings: ToolSettings) -> Seat:
    """Return how a gauge lies on a brace: across all of it, or from the side at which an inlet is open."""
    half, g = brace.width_mm / 2, settings.gauge_mm
    inlet = notch.kind == "inlet"
    mirrored = inlet and notch.y_to_mm < half - 1e-6
    inner = (-notch.y_to_mm if mirrored else notch.y_from_mm) if inlet else -half
    places = [(-1.0 if mirrored else 1.0) * (inner + (half - inner) * share) for share in (0.75, 0.25)]
    shallow, deep = (depth_at(brace, notch, y) for y in places)
    # A notch in the glue face is gauged with the brace, and so its angle, turned over.
    angle = notch.angle_deg if notch.opens == "room" else 180 - notch.angle_deg
    far = inner + g if inlet else inner - PAST_MM
    return Seat(half + settings.clearance_mm, (half + inner) / 2, far, angle, (shallow - g, deep + g), mirrored)


def gauge_net(notch: Notch, seat: Seat, settings: ToolSettings) -> Manifold:
    """Return the gauge: a bar beside the brace, the go tongue on one side of it, the no-go tongue on the other."""
    g, side, out = settings.gauge_mm, seat.side_mm, seat.side_mm + BAR_WIDE_MM
    low_step, high_step = seat.steps_mm
    # A no-go tongue at the other side of the bar stands at the same angle once the gauge is turned half round.
    back = out + side - seat.far_mm
    end, cut = BAR_LONG_MM / 2, CORNER_MM
    bar = [(-end, side), (end, side), (end, out - cut), (end - cut, out), (cut - end, out), (-end, out - cut)]
    go, no_go = notch.across_mm - g, notch.across_mm + g
    return joined(
        [
            slab(bar, 0.0, max(high_step, 4.0)),
            slab(tongue(seat.angle_deg, go, seat.split_mm, side + SUNK_MM), 0.0, low_step),
            slab(tongue(seat.angle_deg, go, seat.far_mm, seat.split_mm), 0.0, high_step),
            slab(tongue(seat.angle_deg, no_go, out - SUNK_MM, back), 0.0, low_step),
        ]
    )


def _gauge(carved: Carved, plate: CarvedPlate, lap: Lap, number: int, settings: ToolSettings) -> Part:
    brace, notch, g = lap.brace, lap.notch, settings.gauge_mm
    seat = seat_of(brace, notch, settings)
    net = gauge_net(notch, seat, settings)
    name, other = together(lap.names), notch.with_
    title = f"{name}, {other}" if notch.kind == "cut-out" else f"{name} for {other}"
    words = (f"{name} / {other}", f"{notch.across_mm:g} x {notch.depth_mm:.2f}")
    return finished(
        Draft(
            f"notch-gauge-{plate.name}-{number}-{stem(name)}",
            f"notch gauge, {title}",
            planar_solid(*triangles(net)),
            "flat, marks up",
            _use(name, notch, settings),
            (
                ("across mm", notch.across_mm),
                ("angle deg", notch.angle_deg),
                ("depth mm", notch.depth_mm),
                ("go mm", notch.across_mm - g),
                ("no-go mm", notch.across_mm + g),
                ("low step mm", seat.steps_mm[0]),
                ("high step mm", seat.steps_mm[1]),
            ),
            lap.names,
            _marks(carved, words, seat, settings),
            net=net,
            home=_home(notch, seat),
            measures=_measures(notch, seat, settings),
        ),
        settings,
    )


def _use(name: str, notch: Notch, settings: ToolSettings) -> str:
    g = settings.gauge_mm
    reach = f" It stops {g:g} mm short of the inlet's end." if notch.kind == "inlet" else ""
    return (
        f"The bar lies along the side of {name}, so the tongue stands at the notch's own angle. The go tongue is "
        f"{g:g} mm under in width and enters; the no-go tongue, the gauge turned half round, is {g:g} mm over and "
        f"stays out. With the go tongue on the floor the brace's edge lies between its two steps, {g:g} mm under and "
        f"over in depth.{reach}"
    )


def _measures(notch: Notch, seat: Seat, settings: ToolSettings) -> tuple[Measure | Angle, ...]:
    """Return both tongues' widths square to their walls, their angle to the bar, and the steps."""
    g, turn = settings.gauge_mm, radians(seat.angle_deg)
    out = seat.side_mm + BAR_WIDE_MM
    back = out + seat.side_mm - seat.far_mm

    def across(y: float, wide: float) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        middle, n = (y / tan(turn), y), (sin(turn) * wide / 2, -cos(turn) * wide / 2)
        return (middle[0] - n[0], middle[1] - n[1], 0.0), (middle[0] + n[0], middle[1] + n[1], 0.0)

    low, high = seat.steps_mm
    right = BAR_LONG_MM / 2 + 3
    return (
        Measure("above", *across((seat.far_mm + seat.split_mm) / 2, notch.across_mm - g), "go"),
        Measure("above", *across((back + out) / 2, notch.across_mm + g), "no go"),
        Angle((seat.side_mm / tan(turn), seat.side_mm), 180.0, 180.0 + seat.angle_deg, 9.0),
        Measure("front", (right + 18, 0.0, low), (right + 18, 0.0, 0.0), "low"),
        Measure("front", (right, 0.0, high), (right, 0.0, 0.0), "high"),
    )


def _marks(carved: Carved, words: tuple[str, str], seat: Seat, settings: ToolSettings) -> tuple[Mark, ...]:
    """Return the instrument, the notch and its size in three rows, and which tongue is which."""
    side, out, z = seat.side_mm, seat.side_mm + BAR_WIDE_MM, max(seat.steps_mm[1], 4.0)
    left, middle, row = 11.0 - BAR_LONG_MM / 2 + 7.0, (side + out) / 2, 5.4
    at, room = ((left + BAR_LONG_MM / 2) / 2, middle), (BAR_LONG_MM / 2 - left - 3, row)
    return (
        name_mark(carved, settings, "", (at[0], middle + row, z), room, 3.2),
        Mark(words[0], (*at, z), room, 3.2, others=tuple(words[0].split(" / ")[:1])),
        Mark(words[1], (at[0], middle - row, z), room, 3.2),
        Mark("go", (9.0 - BAR_LONG_MM / 2, side + 4.0, z), (14, 5), 3.2),
        Mark("no", (9.0 - BAR_LONG_MM / 2, out - 4.0, z), (14, 5), 3.2),
    )


def _home(notch: Notch, seat: Seat) -> Placement:
    """Return the way from the gauge into the bench frame of the brace, its feet on the floor of the notch."""
    at = (notch.at_mm, 0.0, notch.floor_z_mm)
    if notch.opens == "room":
        return Placement(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), at)
    if seat.mirrored:  # over about the brace's own line, so that its left side becomes its right one
        return Placement(((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)), at)
    # Turned over about an axis square to the brace, as the brace itself lies with its glue face up.
    return Placement(((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)), at)
