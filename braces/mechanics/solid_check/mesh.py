"""The solid mesh: quadrilaterals in plan, stacked into 20-node bricks."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.solid_check.cases import Case, Stick

Place = tuple[float, float]
_RING_LAYERS = 4


@dataclass(slots=True)
class Bricks:
    """Nodes and elements as they are made."""

    places: list[tuple[float, float, float]] = field(default_factory=list)
    number: dict[tuple[float, float, int], int] = field(default_factory=dict)
    elements: list[list[int]] = field(default_factory=list)
    owner: list[int] = field(default_factory=list)  #: -1: plate, else the stick
    loaded: list[tuple[int, float]] = field(default_factory=list)  #: (element, outward N/mm2 on its outer face)
    edge: dict[int, tuple[float, float, int]] = field(default_factory=dict)  #: nodes of the plate's outer edge


def lines(length: float, must: list[float], longest: float) -> Floats:
    """Return lattice lines from 0 to ``length`` that pass through ``must``, no further apart than ``longest``."""
    marks = np.unique(np.round([0.0, length, *[m for m in must if 0 < m < length]], 6))
    out = [0.0]
    for a, b in itertools.pairwise(marks):
        n = max(1, int(np.ceil((b - a) / longest - 1e-9)))
        out += list(a + (b - a) * np.arange(1, n + 1) / n)
    return np.array(out)


def quads(case: Case, longest: float) -> list[tuple[Place, Place, Place, Place]]:
    """Return the plan's quadrilaterals, corners anticlockwise, in the case's own two coordinates."""
    must: tuple[list[float], list[float]] = ([], [])
    for s in case.sticks:
        half = case.width_along(s) / 2
        must[s.along].extend((s.from_mm, s.to_mm))
        must[1 - s.along].extend((s.at_mm - half, s.at_mm, s.at_mm + half))
    for a, b, c, d, _ in case.load:
        must[0].extend((a, b))
        must[1].extend((c, d))
    hx, hy, radius = case.hole
    box = 1.4 * radius
    if radius:
        must[0].extend((hx - box, hx + box))
        must[1].extend((hy - box, hy + box))
    x, y = (lines(n, m, longest) for n, m in zip(case.size_mm, must, strict=True))
    out = []
    for i in range(len(x) - 1):
        for j in range(len(y) - 1):
            if radius and abs((x[i] + x[i + 1]) / 2 - hx) < box and abs((y[j] + y[j + 1]) / 2 - hy) < box:
                continue
            out.append(((x[i], y[j]), (x[i + 1], y[j]), (x[i + 1], y[j + 1]), (x[i], y[j + 1])))
    return out + (_ring(x, y, hx, hy, box, radius) if radius else [])


def ring_nodes(x: Floats, y: Floats, hx: float, hy: float, box: float) -> list[Place]:
    """Return the lattice points on the square about a hole, anticlockwise."""
    xs = [v for v in x if abs(v - hx) <= box + 1e-9]
    ys = [v for v in y if abs(v - hy) <= box + 1e-9]
    return (
        [(v, ys[0]) for v in xs[:-1]]
        + [(xs[-1], v) for v in ys[:-1]]
        + [(v, ys[-1]) for v in xs[:0:-1]]
        + [(xs[0], v) for v in ys[:0:-1]]
    )


def _ring(
    x: Floats, y: Floats, hx: float, hy: float, box: float, radius: float
) -> list[tuple[Place, Place, Place, Place]]:
    outer = ring_nodes(x, y, hx, hy, box)

    def at(k: int, layer: int) -> Place:
        px, py = outer[k % len(outer)]
        dx, dy = px - hx, py - hy
        far = float(np.hypot(dx, dy))
        f = 1 + (radius / far - 1) * layer / _RING_LAYERS
        return hx + dx * f, hy + dy * f

    return [
        (at(k, n + 1), at(k, n), at(k + 1, n), at(k + 1, n + 1)) for n in range(_RING_LAYERS) for k in range(len(outer))
    ]


def hole_polygon(case: Case, longest: float) -> list[Place]:
    """Return the corners of the meshed hole: what both models must leave out."""
    ring = list(quads(case, longest))
    hx, hy, radius = case.hole
    found = {
        (round(p[0], 9), round(p[1], 9)) for q in ring for p in q if abs(np.hypot(p[0] - hx, p[1] - hy) - radius) < 1e-6
    }
    return sorted(found, key=lambda p: np.arctan2(p[1] - hy, p[0] - hx))


def bricks(case: Case, longest: float, plate_layers: int = 2, bar_layers: int = 4) -> Bricks:
    """Return the solid mesh of a case."""
    made = Bricks()
    for quad in quads(case, longest):
        ring = [
            *quad,
            *[((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in zip(quad, (*quad[1:], quad[0]), strict=True)],
        ]
        mx, my = np.mean([p[0] for p in quad]), np.mean([p[1] for p in quad])
        for layer in range(plate_layers):
            made.elements.append(_brick(made, case, ring, 2 * layer, plate_layers, bar_layers, None))
            made.owner.append(-1)
        for a, b, c, d, pressure in case.load:
            if a < mx < b and c < my < d:
                made.loaded.append((len(made.elements), pressure))
        here = [k for k, s in enumerate(case.sticks) if _covers(case, s, float(mx), float(my))]
        for layer in range(bar_layers if here else 0):
            made.elements.append(
                _brick(made, case, ring, -2 * (layer + 1), plate_layers, bar_layers, case.sticks[here[0]])
            )
            made.owner.append(here[0] if layer < bar_layers // 2 or len(here) == 1 else here[1])
    return made


def _covers(case: Case, s: Stick, mx: float, my: float) -> bool:
    own, other = (mx, my) if s.along == 0 else (my, mx)
    return s.from_mm < own < s.to_mm and abs(other - s.at_mm) < case.width_along(s) / 2


def _brick(
    made: Bricks, case: Case, ring: list[Place], level: int, plate_layers: int, bar_layers: int, stick: Stick | None
) -> list[int]:
    """Nodes in the order of a 20-node brick: corners below, above, edges below, above, uprights."""

    def node(k: int, up: int) -> int:
        return _node(made, case, ring[k], level + up, plate_layers, bar_layers, stick)

    return (
        [node(k, 0) for k in range(4)]
        + [node(k, 2) for k in range(4)]
        + [node(k, 0) for k in range(4, 8)]
        + [node(k, 2) for k in range(4, 8)]
        + [node(k, 1) for k in range(4)]
    )


def _node(
    made: Bricks, case: Case, place: Place, level: int, plate_layers: int, bar_layers: int, stick: Stick | None
) -> int:
    key = (round(place[0], 6), round(place[1], 6), level)
    if key in made.number:
        return made.number[key]
    xi, eta = np.array(place[0]), np.array(place[1])
    x, y = case.plan(xi, eta)
    t = float(case.thickness(x, y))
    if level >= 0 or stick is None:
        z = -t / 2 + t * level / (2 * plate_layers)
    else:
        own = xi if stick.along == 0 else eta
        z = -t / 2 + float(stick.height(own)) * level / (2 * bar_layers)
    made.places.append((float(x), float(y), z + float(case.rise(x, y))))
    n = made.number[key] = len(made.places)
    if level >= 0 and (min(place) < 1e-9 or place[0] > case.size_mm[0] - 1e-9 or place[1] > case.size_mm[1] - 1e-9):
        made.edge[n] = (float(x), float(y), level)
    return n
