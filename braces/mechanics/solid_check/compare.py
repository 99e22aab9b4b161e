"""The plate model of a case, and its distance from the solid model."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from time import perf_counter
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.bar import Bar
from braces.mechanics.bar_ties import Lap
from braces.mechanics.braced_plate import BracedPlate, Mesh, assemble, bind, modes
from braces.mechanics.loads import pressure
from braces.mechanics.plate_model import Sheet, W
from braces.mechanics.rim import LineSpring, Rim
from braces.mechanics.solid_check.calculix import RIGID, SolidResult
from braces.mechanics.solid_check.cases import DENSITY_KG_M3, TEST_WOOD, Case, Stick
from braces.mechanics.solid_check.mesh import hole_polygon
from braces.mechanics.wood_axes import cross_shear, plane_stress, solid_stiffness

_ON_MM = 0.01  #: a node so near to a patch lies on it: chords of its bent sides
_STIFF = 1e4  #: of held edges, against the plate's own stiffness over a cell; ten times more changes nothing printed


@dataclass(frozen=True, slots=True, eq=False)
class Errors:
    """Plate model against solid model, in ratios (0.01 = 1 %)."""

    case: str
    edge: str
    modes_ratio: Floats  #: (10,) signed, paired by MAC
    least_mac_ratio: float
    deflection_ratio: float | None  #: rms of the difference over rms of the field
    turn_ratio: float | None  #: signed, of the mean slope of the loaded patch: what a bridge's turn is
    unknowns_count: int
    seconds: tuple[float, float]  #: plate model, solid model


def corner_polygon(case: Case, longest_mm: float) -> Any:
    """The plate's outline with its meshed hole, shapely."""
    import shapely

    a, b = case.size_mm
    ring = np.array([(0, 0), (a, 0), (a, b), (0, b)], dtype=float)
    outline = shapely.Polygon(np.stack(case.plan(ring[:, 0], ring[:, 1]), axis=1))
    if case.hole[2]:
        inner = np.array(hole_polygon(case, longest_mm))
        outline = outline.difference(shapely.Polygon(np.stack(case.plan(inner[:, 0], inner[:, 1]), axis=1)))
    return outline


def _bar(case: Case, stick: Stick, mesh: Mesh, scale: float, curvature: float) -> tuple[Bar, list[tuple[int, float]]]:
    d = case.directions
    head = d[stick.along]
    cross = [
        (k, o.at_mm)
        for k, o in enumerate(case.sticks)
        if o.along != stick.along and stick.from_mm < o.at_mm < stick.to_mm and o.from_mm < stick.at_mm < o.to_mm
    ]
    walls = [at + side * case.width_along(case.sticks[k]) / 2 for k, at in cross for side in (-1, 1)]
    marks = np.unique(np.round([*stick.stations_mm, *walls], 6)) - stick.from_mm
    stations = [0.0]
    for a, b in itertools.pairwise(marks):
        n = max(1, int(np.ceil((b - a) / mesh.element_mm - 1e-6)))
        stations += list(a + (b - a) * np.arange(1, n + 1) / n)
    s = np.array(stations)
    lower = case.sticks.index(stick)
    # Along this bar, a place n to its left lies on the crossing bar's middle line at s = at + lean n.
    lean = float(np.dot(d[0], d[1])) / (head[0] * d[1 - stick.along][1] - head[1] * d[1 - stick.along][0])

    def faces(x: Floats, y: Floats) -> tuple[Floats, Floats]:
        top = np.repeat(stick.height(x + stick.from_mm)[:, None], len(y), axis=1)
        bottom = np.zeros_like(top)
        for k, at in cross:
            inside = np.abs(x[:, None] - (at - stick.from_mm) - lean * y) < case.width_along(case.sticks[k]) / 2
            half = np.where(inside, top / 2, top)
            if lower < k:
                top = half
            else:
                bottom = np.where(inside, half, bottom)
        return bottom, top

    t, w = np.polynomial.legendre.leggauss(4)
    line = case.course(stick)
    bar = Bar(
        f"bar {lower + 1}",
        line.start,
        line.heading,
        stick.width_mm,
        s,
        tuple(int(np.argmin(np.abs(s - (v - stick.from_mm)))) for v in walls),
        faces,
        scale,
        (t * stick.width_mm / 2, w * stick.width_mm / 2),
        solid_stiffness(TEST_WOOD),
        DENSITY_KG_M3,
        (curvature, curvature, 0.0),
        line.radius_mm,
    )
    return bar, cross


def plate_case(case: Case, mesh: Mesh, longest_mm: float) -> BracedPlate:
    """Return the plate model of a case."""
    polygon = corner_polygon(case, longest_mm)
    k = -1 / case.dome_radius_mm if case.dome_radius_mm else 0.0
    thickness = case.thickness if case.grading_ratio else case.thickness_mm
    sheet = Sheet(polygon, thickness, plane_stress(TEST_WOOD), cross_shear(TEST_WOOD), DENSITY_KG_M3, (k, k, 0.0))
    made = [_bar(case, s, mesh, max(s.heights_mm), k) for s in case.sticks]
    laps = []
    for i, (_, cross) in enumerate(made):
        for j, at in cross:
            if i < j:
                low, up = case.sticks[i], case.sticks[j]
                high = float(low.height(np.array([at]))[0])
                laps.append(Lap(i, j, at - low.from_mm, low.at_mm - up.from_mm, high / 2, high / 2, high))
    return BracedPlate(sheet, (), tuple(b for b, _ in made), tuple(laps), _rim(case, sheet, mesh))


def _rim(case: Case, sheet: Sheet, mesh: Mesh) -> Rim:
    a, b = case.size_mm
    ring = np.array([(0, 0), (a, 0), (a, b), (0, b), (0, 0)], dtype=float)
    line = np.stack(case.plan(ring[:, 0], ring[:, 1]), axis=1)
    h, t = mesh.step_mm, case.thickness_mm
    bend, stretch = float(sheet.stiffness[0, 0]) * t**3 / 12, float(sheet.stiffness[0, 0]) * t
    out, flat, turn = _STIFF * bend / h**3, _STIFF * stretch / h, _STIFF * bend / h
    springs = {
        "free": (),
        "supported": (LineSpring(line, out),),
        "hinged": (LineSpring(line, out, flat),),
        "clamped": (LineSpring(line, out, flat, turn, flat),),
    }[case.edge]
    return Rim(case.edge, springs)


def compare(case: Case, solid: SolidResult, mesh: Mesh, longest_mm: float) -> Errors:
    """Return the errors of the plate model; modes paired by the largest MAC of outward movement."""

    start = perf_counter()
    system = assemble(bind(plate_case(case, mesh, longest_mm), mesh))
    rigid = RIGID.get(case.edge, 0)
    factor = None if rigid else system.stiffness.factor()
    hertz, shapes = modes(system, len(solid.hertz) + 2, rigid, factor)
    moved = None
    space = system.bound.space
    if factor is not None and solid.deflection_mm is not None:
        force = np.zeros(system.count)
        for *sides, p in case.load:
            patch = _patch(case, *sides)
            force[: space.count] += pressure(space, patch, p * patch.area)
        moved = factor.solve(force)
    took = perf_counter() - start
    rows = space.rows(*_inside(solid, system), [(W, 0, 0, 1.0)])
    own = np.asarray(rows @ shapes[: space.count])
    ours, theirs = own / np.linalg.norm(own, axis=0), solid.shapes / np.linalg.norm(solid.shapes, axis=0)
    mac = (ours.T @ theirs) ** 2
    best = mac.argmax(axis=0)
    count = min(10, len(solid.hertz))
    ratio = np.array([hertz[best[k]] / solid.hertz[k] - 1 for k in range(count)])
    rms = turn = None
    if moved is not None and solid.deflection_mm is not None:
        w = np.asarray(rows @ moved[: space.count])
        rms = float(np.sqrt(np.mean((w - solid.deflection_mm) ** 2) / np.mean(solid.deflection_mm**2)))
        turn = _slope(case, solid, w) / _slope(case, solid, solid.deflection_mm) - 1
    return Errors(
        case.name,
        case.edge,
        ratio,
        float(mac.max(axis=0)[:count].min()),
        rms,
        turn,
        system.count,
        (took, solid.seconds[0]),
    )


def _patch(case: Case, a: float, b: float, c: float, d: float) -> Any:
    """A patch in plan, shapely; its sides follow bent coordinates."""
    import shapely

    sides = shapely.segmentize(shapely.box(a, c, b, d), 1.0 if case.bent else max(case.size_mm))
    return shapely.transform(sides, lambda p: np.stack(case.plan(p[:, 0], p[:, 1]), axis=1))


def _slope(case: Case, solid: SolidResult, w: Floats) -> float:
    """Slope along the first direction of the plane that fits ``w`` best at the nodes of the loaded patches."""
    import shapely

    own = np.linalg.solve(case.directions.T, np.stack([solid.x_mm, solid.y_mm]))
    loaded = _patch(case, *(f(p[k] for p in case.load) for k, f in enumerate((min, max, min, max))))
    here = shapely.intersects_xy(loaded.buffer(_ON_MM), solid.x_mm, solid.y_mm)
    plane = np.stack([np.ones(int(here.sum())), own[0][here], own[1][here]], axis=1)
    return float(np.linalg.lstsq(plane, w[here], rcond=None)[0][1])


def _inside(solid: SolidResult, system: Any) -> tuple[Floats, Floats]:
    """Nodes on the border are taken a hair inwards, so that they fall on a living cell."""
    polygon = system.bound.plate.sheet.polygon
    c = polygon.centroid
    return c.x + (solid.x_mm - c.x) * (1 - 1e-9), c.y + (solid.y_mm - c.y) * (1 - 1e-9)
