"""From a carved plate to the model that is solved."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from math import pi
from typing import Any

import numpy as np

from braces.base.arrays import Floats
from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.design.woods import Wood, wood
from braces.mechanics.bar import Bar
from braces.mechanics.bar_ties import Lap
from braces.mechanics.braced_plate import BracedPlate, Mesh
from braces.mechanics.plate_model import Layer, Sheet
from braces.mechanics.rim import LineSpring, Rim, StripSpring
from braces.mechanics.sections import columns, faces
from braces.mechanics.wood_axes import cross_shear, plane_stress, solid_stiffness
from braces.placed.values import PlacedPlate

ALONG_Y = pi / 2  #: the plate's grain runs from tail to neck
_PATCH_MM = 0.01  #: a patch ends so near to the side of a curved brace
_RING_POINTS = 6  #: points to each piece of the outline's curve


@dataclass(frozen=True, slots=True)
class Setting:
    """What the model needs beyond the design: assumptions, each to be replaced where something better is known."""

    rim: str = "lining"  #: "free", "hinged", "clamped" or "lining"
    lining_outward: tuple[float, ...] = (40.0,)  #: N/mm3: softwood lining, 600 MPa across over 16 mm: an assumption
    rim_source: str = "assumed, not measured"  #: where those two come from
    lining_in_plane: tuple[float, ...] = (0.5,)  #: N/mm3: thin bent side standing on its edge: an assumption
    bridge_wood: str = "indian rosewood"
    bridge_height_mm: float = 8.0  #: mean height of the bridge over its foot: common practice
    string_height_mm: float = 12.0  #: strings above the outer face at the saddle: common practice
    thickness: Any = None  #: function of x and y for a graded plate; None: the design's even thickness
    woods: tuple[tuple[str, Wood], ...] = ()  #: woods of the maker's own stock, which replace those of the table

    def wood(self, name: str) -> Wood:
        """Return the maker's wood of that name, or the table's."""
        own = dict(self.woods)
        key = " ".join(name.lower().split())
        return own[key] if key in own else wood(key)


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """A plate ready to be solved."""

    plate: BracedPlate
    bridge: Any  #: shapely polygon of the bridge's foot, or None
    keep_fine: Any  #: polygon that wants a fine grid, or None
    outline: Any  #: shapely polygon of the plate without its hole
    thickness_mm: float


def plate_model(carved: Carved, name: str, setting: Setting, mesh: Mesh) -> Model:
    """Return the model of the "top" or the "back"."""
    import shapely

    placed = carved.placed.top if name == "top" else carved.placed.back
    made = carved.top if name == "top" else carved.back
    outline = shapely.Polygon(placed.outline.dense(_RING_POINTS))
    polygon = outline
    if name == "top" and carved.placed.soundhole_y_mm is not None:
        hole = shapely.Point(0.0, carved.placed.soundhole_y_mm).buffer(carved.placed.soundhole_radius_mm, quad_segs=24)
        polygon = outline.difference(hole)
    spec = placed.spec
    plate_wood = setting.wood(spec.wood).elastic
    curvature = _curvature(placed)
    sheet = Sheet(
        polygon,
        setting.thickness or spec.thickness_mm,
        plane_stress(plate_wood, ALONG_Y),
        cross_shear(plate_wood, ALONG_Y),
        setting.wood(spec.wood).density_kg_m3,
        curvature,
    )
    bars = tuple(_bar(b, setting, curvature, *_stations(b, mesh.element_mm)) for b in made.braces)
    layers, bridge = _layers(placed, made, setting)
    fine = bridge.buffer(mesh.step_mm) if bridge is not None else None
    plate = BracedPlate(sheet, layers, bars, _laps(made), _rim(placed, setting, outline, sheet))
    return Model(plate, bridge, fine, outline, spec.thickness_mm)


def _curvature(placed: PlacedPlate) -> tuple[float, float, float]:
    """w0,xx w0,yy 2 w0,xy of the dome's mid-surface; a cylinder is arched across and straight along."""
    dome = placed.dome
    if dome.shape == "flat":
        return 0.0, 0.0, 0.0
    k = -1 / (dome.radius_mm - dome.thickness_mm / 2)
    return (k, k, 0.0) if dome.shape == "sphere" else (k, 0.0, 0.0)


def carved_again(model: Model, made: CarvedPlate, setting: Setting) -> tuple[tuple[Bar, ...], tuple[Lap, ...]]:
    """Return the bars of another carving on the feet, stations and section functions of a model, and their laps."""
    bars = tuple(
        replace(_bar(b, setting, model.plate.sheet.curvature, old.stations_mm, old.breaks), scale_mm=old.scale_mm)
        for b, old in zip(made.braces, model.plate.bars, strict=True)
    )
    return bars, _laps(made)


def _bar(
    brace: CarvedBrace,
    setting: Setting,
    curvature: tuple[float, float, float],
    stations_mm: Floats,
    breaks: tuple[int, ...],
) -> Bar:
    hx, hy = brace.heading_xy if not brace.is_curved else brace.heading_at(brace.length_mm / 2)
    kx, ky, kxy = curvature
    turned = (
        kx * hx * hx + ky * hy * hy + kxy * hx * hy,
        kx * hy * hy + ky * hx * hx - kxy * hx * hy,
        2 * (ky - kx) * hx * hy + kxy * (hx * hx - hy * hy),
    )
    own = setting.wood(brace.wood)

    def wood_between(s: Floats, y: Floats) -> tuple[Floats, Floats]:
        return faces(brace, s, y)

    return Bar(
        brace.name,
        brace.origin_xy_mm,
        brace.heading_at(0.0),
        brace.width_mm,
        stations_mm,
        breaks,
        wood_between,
        float(brace.height.y_mm.max()),
        columns(brace),
        solid_stiffness(own.elastic),
        own.density_kg_m3,
        turned,
        -brace.radius_mm if brace.plate == "top" and brace.is_curved else brace.radius_mm,
    )


def _stations(brace: CarvedBrace, longest_mm: float) -> tuple[Floats, tuple[int, ...]]:
    """Element ends: the walls of the notches, the profile's marked places, and no element longer than asked."""
    reach = [n.walls(0.0) for n in brace.notches]
    walls = [min(max(w, 0.0), brace.length_mm) for pair in reach for w in pair]  # a notch may run out at an end
    marks = [0.0, brace.length_mm, *walls]
    for f in brace.features:
        if min(abs(f.at_mm - m) for m in marks) > longest_mm / 4 and 0 < f.at_mm < brace.length_mm:
            marks.append(f.at_mm)
    out: list[Floats] = []
    ordered = [float(m) for m in np.unique(np.round(marks, 6))]
    for a, b in itertools.pairwise(ordered):
        out.append(np.linspace(a, b, max(1, int(np.ceil((b - a) / longest_mm - 1e-6))) + 1)[:-1])
    stations = np.append(np.concatenate(out), brace.length_mm)
    return stations, tuple(int(np.argmin(np.abs(stations - w))) for w in sorted(walls))


def _laps(made: CarvedPlate) -> tuple[Lap, ...]:
    number = {b.name: i for i, b in enumerate(made.braces)}
    out = []
    for joint in made.joints:
        if joint.kind != "half-lap":
            continue
        pair = [
            (number[n], next(c for c in made.braces[number[n]].notches if c.with_ == other))
            for n, other in (joint.between, joint.between[::-1])
        ]
        low = next(p for p in pair if p[1].opens == "room")
        up = next(p for p in pair if p[1].opens == "plate")
        high = made.braces[low[0]].height.at(low[1].at_mm)
        out.append(Lap(low[0], up[0], low[1].at_mm, up[1].at_mm, high - low[1].depth_mm, up[1].depth_mm, high))
    return tuple(out)


def _layers(placed: PlacedPlate, made: CarvedPlate, setting: Setting) -> tuple[tuple[Layer, ...], Any]:
    import shapely

    t = placed.spec.thickness_mm
    layers, bridge = [], None
    if placed.bridge is not None:
        bridge = shapely.Polygon(placed.bridge)
        layers.append(_patch(bridge, setting.wood(setting.bridge_wood), t / 2, t / 2 + setting.bridge_height_mm))
    if placed.bridge_plate is not None and placed.spec.bridge_plate is not None:
        spec = placed.spec.bridge_plate
        layers.append(
            _patch(shapely.Polygon(placed.bridge_plate), setting.wood(spec.wood), -t / 2 - spec.thickness_mm, -t / 2)
        )
    if placed.strip is not None and placed.spec.centre_strip is not None:
        strip = placed.spec.centre_strip
        left = shapely.Polygon(placed.strip)
        for brace in made.braces:
            left = left.difference(_footprint(brace))
        layers.append(_patch(left, setting.wood(strip.wood), -t / 2 - strip.thickness_mm, -t / 2))
    for patch in placed.patches:
        shape = shapely.Polygon(patch.outline, [] if patch.hole is None else [patch.hole])
        for brace in made.braces:
            shape = shape.difference(_footprint(brace))
        layers.append(_patch(shape, setting.wood(patch.spec.wood), -t / 2 - patch.spec.thickness_mm, -t / 2))
    return tuple(layers), bridge


def _patch(polygon: Any, own: Wood, low: float, high: float) -> Layer:
    """A patch whose grain runs across the body, as bridges, bridge plates and centre strips do."""
    return Layer(polygon, plane_stress(own.elastic), cross_shear(own.elastic), own.density_kg_m3, low, high)


def _footprint(brace: CarvedBrace) -> Any:
    import shapely

    half, s = brace.width_mm / 2, brace.course.stations(0.0, brace.length_mm, _PATCH_MM)
    right, left = ([brace.plan_at(float(x), y) for x in run] for run, y in ((s, -half), (s[::-1], half)))
    return shapely.Polygon([*right, *left])


def _rim(placed: PlacedPlate, setting: Setting, outline: Any, sheet: Sheet) -> Rim:
    import shapely

    if setting.rim == "free":
        return Rim("free")
    inner = placed.lining.dense(_RING_POINTS)
    strip = outline.difference(shapely.Polygon(inner))
    if setting.rim == "hinged":
        closed = np.concatenate([inner, inner[:1]])
        # Stiff against the plate, but not so stiff that the grid locks on the curved line.
        thick = placed.spec.thickness_mm
        bend = float(sheet.stiffness[1, 1]) * thick**3 / 12
        return Rim("hinged", (LineSpring(closed, 10 * bend, 2.0 * float(sheet.stiffness[1, 1])),))
    if setting.rim == "clamped":
        stiff = (float(sheet.stiffness[1, 1]),)
        return Rim("clamped", (), (StripSpring(strip, stiff, stiff, placed.spec.thickness_mm),))
    if setting.rim == "lining":
        return Rim(
            "lining",
            (),
            (StripSpring(strip, setting.lining_outward, setting.lining_in_plane, placed.spec.thickness_mm),),
        )
    raise ValueError(f'a rim is "free", "hinged", "clamped" or "lining", not "{setting.rim}"')
