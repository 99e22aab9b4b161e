"""Clamping cauls: what lies on the carved edge of a brace and spreads the push of go-bars or clamps."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf, radians, tan

import numpy as np
from manifold3d import Manifold, OpType

from braces.base.arrays import Array, frozen_floats
from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.curves.course import STRAIGHT
from braces.curves.hermite import Hermite, from_knots
from braces.curves.section import Shape
from braces.solids.chain import Chain, build_chain
from braces.solids.layout import Layout, Line
from braces.solids.rails import Top, top_of
from braces.solids.tools.bar import Corner, Pit, Span, bar_solid, both_sides, turned_over
from braces.solids.tools.bodies import DEPTH_MM, body
from braces.solids.tools.part import Draft, Measure, Part, finished, name_mark, piece_count, stem, together
from braces.solids.tools.placing import turned_upside_down
from braces.solids.tools.profiles import Alike, alike, end_overhang_mm
from braces.solids.tools.settings import ToolSettings
from braces.solids.tools.swept import places, swept
from braces.solids.upper import upper_side
from braces.workshop.go_bars import blank_top_mm

OVER_MM = 9.0  #: of the level back above the highest place of the brace
LIP_MM = 1.5  #: of the cheeks below the edges of the top
ABOVE_PLATE_MM = 1.0  #: what the cheeks keep clear of the plate, at least
SEAT_MM = 4.0  #: half the width and the depth of a seat, at most
APART_MM = 1.0  #: between neighbouring cauls of one brace
SHORTEST_MM = 25.0
CHAMFER_MM = 0.6
ALONG_MM, ACROSS_MM, TWIST_MM = 0.005, 0.006, 0.006  #: how far the mesh may leave the floor, for each reason
SIGMA_STEPS = 6  #: across a shoulder, so that the steps along it need not be too short


@dataclass(frozen=True, slots=True)
class Saddle:
    """Where one caul of a brace lies."""

    brace: CarvedBrace
    span: Span  #: X of its ends
    back_mm: float  #: level of its back in the bench frame
    half_mm: float  #: half its width
    seats_mm: tuple[float, ...]  #: X of the seats, on the centre line
    seat_half_mm: float


def clamping_cauls(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return the cauls of every brace, one for each stretch between laps and as long as the bed allows."""
    return tuple(
        _caul(carved, plate, same, saddle, number, settings)
        for plate in carved.plates
        for same in alike(plate)
        if not same.brace.is_curved
        for number, saddle in enumerate(saddles(same.brace, settings), 1)
    )


def saddles(brace: CarvedBrace, settings: ToolSettings) -> Iterator[Saddle]:
    """Yield where the cauls of a brace lie: clear of laps, low ends and oblique end faces."""
    half = brace.width_mm / 2 + settings.clearance_mm + settings.wall_mm
    back = float(ceil(_highest_mm(brace, settings) + OVER_MM))
    seat = min(SEAT_MM, half - 1.2)
    for low, high in _stretches(brace, settings):
        n = piece_count(high - low, settings)
        length = (high - low - (n - 1) * APART_MM) / n
        count = max(1, round(length / settings.seat_every_mm))
        for k in range(n):
            start = low + k * (length + APART_MM)
            seats = tuple(start + length * (i + 0.5) / count for i in range(count))
            yield Saddle(brace, (start, start + length), back, half, seats, seat)


def _highest_mm(brace: CarvedBrace, settings: ToolSettings) -> float:
    if settings.cauls_on == "blank":
        return blank_top_mm(brace)
    x = np.linspace(0, brace.length_mm, 201)
    return float((brace.glue.z(x, 0.0) + brace.height(x)).max())


def _stretches(brace: CarvedBrace, settings: ToolSettings) -> list[Span]:
    """Return the stretches of a brace that a caul can cover, as X from and to."""
    half = brace.width_mm / 2
    low = end_overhang_mm(brace.start, half)
    high = brace.length_mm - end_overhang_mm(brace.end, half)
    x = np.arange(low, high, 0.25)
    side = brace.height(x) - brace.drop(x) - np.abs(brace.glue.z(x, half) - brace.glue.z(x, -half)) / 2
    free = (side > LIP_MM + ABOVE_PLATE_MM) | (settings.cauls_on == "blank")
    for notch in brace.notches:
        if notch.kind == "half-lap" or notch.opens == "room":
            reach = notch.width_mm / 2 + (half + 4.0) * abs(1 / tan(radians(notch.angle_deg))) + 1.0
            free &= np.abs(x - notch.at_mm) > reach
    steps = np.flatnonzero(np.diff(np.concatenate([[False], free, [False]]).astype(int)))
    found = [(float(x[a]), float(x[b - 1])) for a, b in zip(steps[::2], steps[1::2], strict=True)]
    return [(a, b) for a, b in found if b - a >= SHORTEST_MM]


@dataclass(frozen=True, slots=True)
class Faces:
    """What the underside of a caul lies over: the floor above the top of the brace, the cheeks beside it."""

    right: Top
    floor: Top
    left: Top


def faces_of_caul(saddle: Saddle, settings: ToolSettings) -> Faces:
    """Return the three strips of a caul's underside in the bench frame."""
    c, inner, outer = settings.clearance_mm, saddle.brace.width_mm / 2 + settings.clearance_mm, saddle.half_mm
    top = _top(saddle, settings)
    low = _lifted(top.ridge, -LIP_MM)
    return Faces(
        Top(low, top.drop, _shoulder(-outer, -inner), top.course),
        Top(_lifted(top.ridge, c), top.drop, _wider(top.shape, c), top.course),
        Top(low, top.drop, _shoulder(inner, outer), top.course),
    )


def _top(saddle: Saddle, settings: ToolSettings) -> Top:
    """Return the top of the brace under a caul: carved, or the straight edge of its blank."""
    if settings.cauls_on == "carved edge":
        return top_of(saddle.brace, *saddle.span, saddle.span)
    half, level = saddle.brace.width_mm / 2, blank_top_mm(saddle.brace)
    flat, none = (from_knots(saddle.span, (v, v)) for v in (level, 0.0))
    return Top(flat, none, _shoulder(-half, half), STRAIGHT)


def caul_border(saddle: Saddle, faces: Faces) -> list[Chain | Corner]:
    """Return the section of a caul in the bench frame: cheek, floor, cheek, and the back above them."""
    chains = [_chain(t, saddle.span) for t in (faces.right, faces.floor, faces.left)]
    return [*chains, *_back(saddle)]


def _back(saddle: Saddle) -> list[Corner]:
    half, back = saddle.half_mm, saddle.back_mm
    return both_sides([(half, back - CHAMFER_MM), (half - CHAMFER_MM, back)])


def caul_net(saddle: Saddle, faces: Faces) -> Manifold:
    """Return the mesh of a caul in the bench frame, its seats sunk."""
    y = _across(faces)
    # Two triangles leave a twisted four-sided cell by a quarter of its twist: the rise of the drop times that of sigma.
    twist = float(np.abs(np.diff(faces.floor.shape(y))).max())
    most_rise = 4 * TWIST_MM / twist if twist else inf
    x = places((faces.floor.ridge, faces.floor.drop), saddle.span, ALONG_MM, most_rise)
    strips = [_strip(t, at, x) for t, at in ((faces.right, None), (faces.floor, y), (faces.left, None))]
    back = np.broadcast_to(np.array(_back(saddle)), (len(x), 4, 2))
    made = body(*swept(x, np.concatenate([*strips, back], axis=1)))
    h = saddle.seat_half_mm + 1.0  # a little of the cutter stands out of the back
    pit = Manifold.cylinder(h, h / np.cos(np.pi / 8), 0.0, 8).rotate((0, 0, 22.5)).rotate((180, 0, 0))
    pits = [pit.translate((at, 0.0, saddle.back_mm + 1.0)) for at in saddle.seats_mm]
    return Manifold.batch_boolean([made, *pits], OpType.Subtract)


def _across(faces: Faces) -> Array:
    """Return places across the floor: its strip borders, and between them what a curved section needs."""
    shape = faces.floor.shape
    found = [shape.y_mm[:1]]
    deepest = float(faces.floor.drop.y_mm.max())
    strips = zip(shape.y_mm[:-1], shape.y_mm[1:], shape.border[:-1], shape.middle, shape.border[1:], strict=True)
    for lo, hi, a, m, b in strips:
        rise = deepest * abs(a - 2 * m + b) / 2  # of the strip's middle over its chord
        n = max(1, ceil(float(np.sqrt(rise / ACROSS_MM))), ceil(SIGMA_STEPS * abs(b - a)))
        found.append(np.linspace(lo, hi, n + 1)[1:])
    return np.concatenate(found)


def _strip(top: Top, y: Array | None, x: Array) -> Array:
    """Return the places (k, m, 2) of one strip of the underside."""
    across = top.shape.y_mm if y is None else y
    z = top.z(x[:, None], across[None, :])
    return np.stack([np.broadcast_to(across, z.shape), z], axis=-1)


def _lifted(curve: Hermite, by_mm: float) -> Hermite:
    return Hermite(curve.x_mm, frozen_floats(curve.y_mm + by_mm), curve.slope_in, curve.slope_out)


def _wider(shape: Shape, by_mm: float) -> Shape:
    """Return a shape carried on level beyond both sides."""
    y = [shape.y_mm[0] - by_mm, *shape.y_mm, shape.y_mm[-1] + by_mm]
    middle = [shape.border[0], *shape.middle, shape.border[-1]]
    border = [shape.border[0], *shape.border, shape.border[-1]]
    return Shape(frozen_floats(y), frozen_floats(middle), frozen_floats(border), shape.degree)


def _shoulder(from_mm: float, to_mm: float) -> Shape:
    """Return the shape of a strip level with the sides of the brace."""
    return Shape(frozen_floats([from_mm, to_mm]), frozen_floats([1]), frozen_floats([1, 1]), 1)


def _chain(top: Top, span: Span) -> Chain:
    kinks = [abs(c.slope_out[:-1] - c.slope_in[1:]) > 1e-9 for c in (top.ridge, top.drop)]
    inner = top.ridge.x_mm[1:-1][kinks[0] | kinks[1]]
    lines = [Line(span[0]), *(Line(float(x)) for x in inner if span[0] + 1e-3 < x < span[1] - 1e-3), Line(span[1])]
    layout = Layout(
        course=top.course,
        half_mm=float(top.shape.y_mm[-1]),
        start=lines[0],
        end=lines[-1],
        room=(),
        plate=(),
        inlets=(),
        creases=(),
        tangled=(),
    )
    return turned_over(build_chain(upper_side(top, layout), [lines], ()))


def _edge(settings: ToolSettings) -> str:
    return "carved edge" if settings.cauls_on == "carved edge" else "straight edge of the blank"


def _measures(saddle: Saddle, settings: ToolSettings) -> tuple[Measure, ...]:
    """Return the groove's width and, from the caul's low end, the ways from seat to seat to its high end."""
    groove, low = saddle.brace.width_mm / 2 + settings.clearance_mm, saddle.span[0]
    beside = saddle.half_mm + 8.0
    seats = (
        Measure("under", (a, beside, 0.0), (b, beside, 0.0))
        for a, b in pairwise((low, *saddle.seats_mm, saddle.span[1]))
    )
    high = saddle.back_mm + 4.0
    return (*seats, Measure("left", (low, groove, high), (low, -groove, high), "groove"))


def _caul(carved: Carved, plate: CarvedPlate, same: Alike, saddle: Saddle, number: int, settings: ToolSettings) -> Part:
    pits = [Pit(x, 0.0, saddle.seat_half_mm) for x in saddle.seats_mm]
    faces = faces_of_caul(saddle, settings)
    shape = bar_solid(caul_border(saddle, faces), saddle.span, pits, 4)
    made, home = turned_upside_down(shape, saddle.back_mm)
    net = caul_net(saddle, faces).rotate((180, 0, 0)).translate((0, 0, saddle.back_mm))
    name = together(same.names)
    length = saddle.span[1] - saddle.span[0]
    # The cheeks begin above the solid back, whose front wall takes the words.
    wall = OVER_MM - CHAMFER_MM
    at = ((saddle.span[0] + saddle.span[1]) / 2, -saddle.half_mm, CHAMFER_MM + wall / 2)
    mark = name_mark(carved, settings, f"{name} {number}", at, (length - 3, wall - 0.6), 4.0, face="front")
    seats = ", ".join(f"{x:.0f}" for x in saddle.seats_mm)
    return finished(
        Draft(
            f"clamping-caul-{plate.name}-{stem(name)}-{number}",
            f"clamping caul {number}, {name}",
            made,
            "on its level back, groove up",
            f"For {name} from {saddle.span[0]:.0f} to {saddle.span[1]:.0f} mm of its start. Its floor stands "
            f"{settings.clearance_mm:g} mm off the {_edge(settings)}, measured along the push, so it bears everywhere "
            f"at once; its cheeks stand off the sides by as much. Seats at {seats} mm. It leaves laps free: push there "
            "with a bar of its own.",
            (
                ("from mm", saddle.span[0]),
                ("to mm", saddle.span[1]),
                ("width mm", 2 * saddle.half_mm),
                ("clearance mm", settings.clearance_mm),
                *((f"seat {k} mm", x) for k, x in enumerate(saddle.seats_mm, 1)),
            ),
            same.names,
            (mark,),
            net=net,
            count=len(same.names),
            home=home,
            has_end_view=True,
            measures=_measures(saddle, settings),
            bridges=f"the grooves of its mark, {DEPTH_MM:g} mm deep, and its seats are open to the bed",
        ),
        settings,
    )
