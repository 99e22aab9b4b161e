"""Pocket gauges: a go tongue in the shape of a pocket in the lining, no-go tongues for its width, height and reach."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import atan2, cos, hypot, sin

import numpy as np

from braces.carved.values import Carved, CarvedPlate, Pocket
from braces.curves.frames import Placement
from braces.curves.hits import line_hits
from braces.curves.path import Path
from braces.solids.tools.bodies import Mark, box, joined, slab, triangles
from braces.solids.tools.part import Draft, Measure, Part, finished, name_mark, stem, together
from braces.solids.tools.planar import planar_solid
from braces.solids.tools.settings import ToolSettings

Place = tuple[float, float]

HANDLE_MM = 40.0  #: least width of the handle along the rim
HANDLE_DEEP_MM = 24.0
HANDLE_HIGH_MM = 5.0
SHOULDER_MM = 4.0  #: of the handle past the pocket on either side
SUNK_MM = 1.5  #: of a tongue's root in the handle
WIDE_TONGUE_MM = 4.0  #: length of the tongues that only try a width or a height


@dataclass(frozen=True, slots=True)
class Shape:
    """A pocket seen from inside the box: u along its mouth, n into the lining, about the middle of its mouth."""

    corners: tuple[Place, Place, Place, Place]  #: mouth low u, back low u, back high u, mouth high u
    middle: Place  #: plan
    turn_rad: float  #: of u in plan

    @property
    def mouth_mm(self) -> float:
        """Chord of the mouth."""
        return self.corners[3][0] - self.corners[0][0]


@dataclass(frozen=True, slots=True)
class Pockets:
    """Pockets of one shape, or of its mirror image, which the same gauge fits turned over."""

    pocket: Pocket
    shape: Shape
    numbers: tuple[int, ...]
    names: tuple[str, ...]


def pocket_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one gauge for each different pocket."""
    return tuple(
        _gauge(carved, plate, placed.lining, same, settings)
        for plate, placed in zip(carved.plates, carved.placed.plates, strict=True)
        for same in pockets_of(plate, placed.lining)
    )


def pockets_of(plate: CarvedPlate, lining: Path, mirrored: bool = True) -> tuple[Pockets, ...]:
    """Return the pockets of a plate, those of the same shape together; ``mirrored`` counts mirror images as one."""
    groups: dict[tuple[float, ...], list[tuple[Pocket, Shape]]] = {}
    for pocket in plate.pockets:
        shape = shape_of(pocket, lining)
        keys = [_key(pocket, shape.corners)]
        if mirrored:
            keys.append(_key(pocket, _flipped(shape.corners)))
        groups.setdefault(min(keys), []).append((pocket, shape))
    return tuple(
        Pockets(
            same[0][0], same[0][1], tuple(p.number for p, _ in same), tuple(dict.fromkeys(p.brace for p, _ in same))
        )
        for same in groups.values()
    )


def _key(pocket: Pocket, corners: Iterable[Place]) -> tuple[float, ...]:
    return (*(round(v, 1) + 0.0 for c in corners for v in c), round(pocket.height_mm, 2))


def _flipped(corners: tuple[Place, Place, Place, Place]) -> tuple[Place, ...]:
    return tuple((-u, n) for u, n in reversed(corners))


def shape_of(pocket: Pocket, lining: Path) -> Shape:
    """Return a pocket in its own frame."""
    mouth_a, back_a, back_b, mouth_b = (np.array(c) for c in pocket.corners)
    middle = (mouth_a + mouth_b) / 2
    u = (mouth_b - mouth_a) / np.hypot(*(mouth_b - mouth_a))
    n = np.array([-u[1], u[0]])
    corners = [mouth_a, back_a, back_b, mouth_b]
    if (back_a - middle) @ n < 0:  # the corners were counted the other way round
        u, n, corners = -u, -n, corners[::-1]
    own = [(float((c - middle) @ u), float((c - middle) @ n)) for c in corners]
    at, turn = (float(middle[0]), float(middle[1])), atan2(float(u[1]), float(u[0]))
    return Shape((own[0], own[1], own[2], own[3]), at, turn)


def beside(path: Path, shape: Shape, half_mm: float) -> tuple[Place, ...]:
    """Return a line along the rim beside the mouth: where lines along n from well inside first meet it."""
    inside = 30.0
    u = np.array([cos(shape.turn_rad), sin(shape.turn_rad)])
    n = np.array([-u[1], u[0]])
    found = []
    for s in np.linspace(-half_mm, half_mm, 13):
        x, y = shape.middle + s * u - inside * n
        ahead = [h.t_mm for h in line_hits(path, (float(x), float(y)), (float(n[0]), float(n[1]))) if h.t_mm > 0]
        if ahead:
            found.append((float(s), min(ahead) - inside))
    return tuple(found)


def inset(shape: Shape, sides_mm: float, back_mm: float, front_n: float) -> list[Place]:
    """Return the pocket's outline drawn in at both sides and at the back (out if negative), from a level in front."""
    a0, a1, b1, b0 = shape.corners
    right = _parallel(a0, a1, -sides_mm)
    back = _parallel(a1, b1, -back_mm)
    left = _parallel(b1, b0, -sides_mm)
    front = ((0.0, front_n), (1.0, 0.0))
    return [_meet(front, left), _meet(front, right), _meet(right, back), _meet(back, left)]


Ray = tuple[Place, Place]  #: a place and a direction


def _parallel(a: Place, b: Place, left_mm: float) -> Ray:
    length = hypot(b[0] - a[0], b[1] - a[1])
    d = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    return (a[0] - left_mm * d[1], a[1] + left_mm * d[0]), d


def _meet(p: Ray, q: Ray) -> Place:
    (px, py), (dx, dy) = p
    (qx, qy), (ex, ey) = q
    t = ((qx - px) * ey - (qy - py) * ex) / (dx * ey - dy * ex)
    return px + t * dx, py + t * dy


def _gauge(carved: Carved, plate: CarvedPlate, lining: Path, same: Pockets, settings: ToolSettings) -> Part:
    pocket, shape, g = same.pocket, same.shape, settings.gauge_mm
    half = max(shape.mouth_mm / 2 + SHOULDER_MM, HANDLE_MM / 2)
    deep = max(HANDLE_DEEP_MM, shape.mouth_mm + g + 4)
    low = pocket.height_mm - g
    front = beside(lining, shape, half)
    behind = [(-u, -deep - n) for u, n in front]
    reach = inset(shape, g, -g, -SUNK_MM)  # narrow, and deeper than the pocket
    wide, width = shape.mouth_mm + g, shape.mouth_mm - 2 * g
    y0 = -deep / 2
    net = joined(
        [
            slab([*front, *behind], 0.0, HANDLE_HIGH_MM),
            slab(inset(shape, g / 2, g, -SUNK_MM), 0.0, low),
            slab([(-u, -deep - n) for u, n in reach], 0.0, low),
            box((half - SUNK_MM, y0 - wide / 2, 0.0), (half + WIDE_TONGUE_MM, y0 + wide / 2, low)),
            box((-half - WIDE_TONGUE_MM, y0 - width / 2, 0.0), (-half + SUNK_MM, y0 + width / 2, pocket.height_mm + g)),
        ]
    )
    name = together(same.names)
    z, tip = HANDLE_HIGH_MM, half + WIDE_TONGUE_MM + 3
    numbers = " ".join(f"{n}" for n in same.numbers)
    marks = (
        Mark("go", (0.0, -3.2, z), (2 * half, 4.4), 3.0),
        Mark("reach", (0.0, -deep + 3.2, z), (2 * half, 4.4), 3.0),
        Mark("wide", (half - 3.0, y0, z), (deep - 10, 4.4), 2.8, 90.0),
        Mark("high", (-half + 3.0, y0, z), (deep - 10, 4.4), 2.8, 90.0),
        name_mark(carved, settings, f"{plate.name} {numbers}", (0.0, y0, z), (2 * half - 11, deep - 12), 3.2),
    )
    return finished(
        Draft(
            f"pocket-gauge-{plate.name}-{same.numbers[0]}-{stem(name)}",
            f"pocket gauge, {plate.name} {' '.join(map(str, same.numbers))}, {name}",
            planar_solid(*triangles(net)),
            "flat, marks up",
            f"Go: {g:g} mm under in width, height and reach; it enters until its shoulders touch the lining. Reach: "
            f"{g:g} mm too long; its shoulders stay off. Wide and high: {g:g} mm over; they stay out. Turned over it "
            f"fits the mirror image.",
            (
                ("mouth mm", shape.mouth_mm),
                ("width along the rim mm", pocket.width_mm),
                ("height mm", pocket.height_mm),
                ("reach mm", pocket.reach_mm),
            ),
            same.names,
            marks,
            net=net,
            home=home_of(shape),
            measures=(
                Measure("above", (tip, y0 - wide / 2, 0.0), (tip, y0 + wide / 2, 0.0), "wide"),
                Measure("front", (tip, 0.0, low), (tip, 0.0, 0.0), "go"),
                Measure("front", (-tip, 0.0, pocket.height_mm + g), (-tip, 0.0, 0.0), "high"),
            ),
        ),
        settings,
    )


def home_of(shape: Shape) -> Placement:
    """Return the way from a pocket's frame into the plan, on the pocket's floor."""
    c, s = cos(shape.turn_rad), sin(shape.turn_rad)
    return Placement(((c, -s, 0.0), (s, c, 0.0), (0.0, 0.0, 1.0)), (*shape.middle, 0.0))
