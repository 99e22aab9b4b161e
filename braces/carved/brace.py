"""One brace: its glue face, profile, section, notches, relief cuts and blank, from where it runs."""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, atan, ceil, degrees, hypot, inf, sqrt

import numpy as np

from braces.base.problems import Problem
from braces.carved.caps import cap_zones
from braces.carved.joints import Cut, angle_to, bench_radius_mm, lateral_of, notch
from braces.carved.profile import Span, profile
from braces.carved.sections import Zone, section_shape, with_drop
from braces.carved.solidity import volume_mm3
from braces.carved.values import Blank, CarvedBrace, EndCut, Feature, Hollow, ReliefCut
from braces.curves.course import between, cut_station
from braces.curves.hermite import Hermite
from braces.curves.surface import Along, Face
from braces.design.braces import CurvedBrace
from braces.design.model import Design
from braces.design.own_woods import wood_of
from braces.design.shapes import EndSpec, StationsProfile
from braces.placed.dome import on_bench
from braces.placed.footprint import end_skew
from braces.placed.rim import end_spec
from braces.placed.values import PlacedBrace, PlacedEnd, PlacedPlate

XY = tuple[float, float]
LEAST_SIDE_MM = 0.1
_BEND_RATIO = 100.0  #: least radius of a strip bent cold and dry, in its thicknesses: common practice
_FEATHER_MM = 0.3  #: thinnest end that is still wood


@dataclass(frozen=True, slots=True, eq=False)
class Blocked:
    """A brace with its height, before its laps have depths: what the braces it meets need to know of it."""

    placed: PlacedBrace
    glue: Face
    glue_depth_mm: float
    height: Hermite
    features: tuple[Feature, ...]
    cuts: tuple[Cut, ...]
    butted_by: tuple[Zone, ...]  #: stretches of its side that other braces stand against

    def height_at(self, x_mm: float) -> float:
        """Height at X, before notches."""
        return self.height.at(x_mm)


def block(
    brace: PlacedBrace,
    plate: PlacedPlate,
    cuts: tuple[Cut, ...],
    butted_by: tuple[Zone, ...],
    problems: list[Problem],
) -> Blocked:
    """Return a brace's glue face and profile."""
    course, length = brace.course, brace.length_mm
    run = course.point(np.linspace(0, length, 401))
    w = plate.dome.inner.z(run[:, 0], run[:, 1])
    apex = course.where((0.0, plate.dome.apex_y_mm))[0]
    lowest = float(np.clip(apex, 0, length)) if plate.dome.shape != "flat" else 0.0
    depth = min(plate.dome.inner.at(*course.at(lowest)), float(w.min()))
    span = _span(brace, cuts, problems)
    height, features = profile(brace.spec.profile, span, brace.where, problems)
    return Blocked(brace, _glue(brace, plate, depth), depth, height, features, cuts, butted_by)


def _glue(brace: PlacedBrace, plate: PlacedPlate, depth_mm: float) -> Face:
    """The plate's inner face over X and Y: of a curved brace, seen along its arc."""
    (hx, hy), chord = brace.heading, hypot(*np.subtract(brace.end.at, brace.start.at))
    across = (hy, -hx) if brace.plate == "top" else (-hy, hx)
    bed = on_bench(plate.dome.inner, brace.start.at, brace.heading, across, depth_mm)
    if brace.is_straight:
        return bed
    return Along(bed, between((0.0, 0.0), (float(chord), 0.0), bench_radius_mm(brace)))


def _span(brace: PlacedBrace, cuts: tuple[Cut, ...], problems: list[Problem]) -> Span:
    spec, length = brace.spec, brace.length_mm
    start, end = _ends(brace)
    skews = _reaches(brace)
    heights = [_end_height(brace, e, which, problems) for e, which in ((start, "start"), (end, "end"))]
    laps = [c for c in cuts if c.kind == "half-lap"]
    if not isinstance(spec.profile, StationsProfile) and spec.profile.high_at is not None:
        high = spec.profile.high_at.along(length)
    elif laps:
        high = laps[0].at_mm
    elif heights[0] >= spec.height_mm > heights[1]:
        high = 0.0
    elif heights[1] >= spec.height_mm > heights[0]:
        high = length
    else:
        high = length / 2
    keep = tuple(sorted((c.at_mm - c.half_mm - 1.0, c.at_mm + c.half_mm + 1.0) for c in laps))
    return Span(
        length,
        spec.height_mm,
        heights[0],
        heights[1],
        start.length_mm,
        end.length_mm,
        skews[0],
        skews[1],
        min(max(high, 0.0), length),
        keep,
    )


def _ends(brace: PlacedBrace) -> tuple[EndSpec, EndSpec]:
    return (
        end_spec(brace.spec, "start", brace.start.meets == "brace"),
        end_spec(brace.spec, "end", brace.end.meets == "brace"),
    )


def _skews(brace: PlacedBrace) -> tuple[float, float]:
    """mm along the brace for each mm towards bench Y, of the two end faces where the centre line meets them."""
    if brace.is_straight:
        lateral = lateral_of(brace)
        return end_skew(brace.heading, brace.start, lateral), end_skew(brace.heading, brace.end, lateral)
    first, last = (
        end_skew(brace.course.heading_at(x), end, lateral_of(brace, x))
        for end, x in ((brace.start, 0.0), (brace.end, brace.length_mm))
    )
    return first, last


def _reaches(brace: PlacedBrace) -> list[float]:
    """How far, at most, the two end faces stand from square, mm along the brace."""
    half, radius = brace.width_mm / 2, bench_radius_mm(brace)
    return [max(abs(cut_station(s, y, radius)) for y in (-half, half)) for s in _skews(brace)]


def _end_height(brace: PlacedBrace, end: EndSpec, which: str, problems: list[Problem]) -> float:
    where = (*brace.where, which if getattr(brace.spec, which) is not None else "ends")
    if end.height_mm is None:
        if end.kind == "feathered":
            return _FEATHER_MM
        if end.kind == "tucked":
            problems.append(
                Problem(
                    "K02",
                    (*where, "height"),
                    '"height" is missing',
                    'add height = "2.5 mm" to the tucked end',
                )
            )
        return brace.spec.height_mm
    if end.height_mm > brace.spec.height_mm:
        problems.append(
            Problem(
                "C03",
                (*where, "height"),
                f"an end {end.height_mm:.1f} mm high on a brace {brace.spec.height_mm:.1f} mm high",
                "make the end lower, or the brace higher",
            )
        )
        return brace.spec.height_mm
    return end.height_mm


def carve_brace(
    blocked: Blocked, cuts: tuple[Cut, ...], design: Design, plate: PlacedPlate, problems: list[Problem]
) -> CarvedBrace:
    """Return the finished brace. ``cuts`` are those of ``blocked``, with their depths."""
    brace, glue = blocked.placed, blocked.glue
    spec, length, where = brace.spec, brace.length_mm, brace.where
    shape = section_shape(spec.section, spec.width_mm, spec.height_mm, where, problems)
    zones = (*_square_zones(blocked), *cap_zones(brace, plate))
    height, drop = with_drop(spec.section, blocked.height, spec.height_mm, spec.width_mm, zones)
    notches = tuple(notch(c, glue, height.at(c.at_mm)) for c in sorted(cuts, key=lambda c: c.at_mm))
    skews = _skews(brace)
    blank_top, blank = _blank(blocked, height, design)
    hollows = _hollows(glue, height, blocked.features)
    problems += (
        _too_tight(brace, hollows, design)
        + _under_laps(blocked)
        + _stiff_strips(brace)
        + _sides_run_out(brace, glue, height, drop)
    )
    name = spec.wood or plate.spec.brace_wood
    return CarvedBrace(
        name=brace.name,
        plate=brace.plate,
        wood=name,
        width_mm=spec.width_mm,
        length_mm=length,
        glue=glue,
        height=height,
        drop=drop,
        shape=shape,
        start=_end_cut(brace, 0, height.at(0.0)),
        end=_end_cut(brace, 1, height.at(length)),
        notches=notches,
        features=blocked.features,
        relief_cuts=_reliefs(blocked, blank_top, design),
        hollows=hollows,
        blank=blank,
        glue_arc_radius_mm=_arc_radius(glue),
        bevel_deg=_bevel(glue),
        volume_mm3=volume_mm3(glue, height, drop, shape, length, *skews, notches, bench_radius_mm(brace)),
        density_kg_m3=wood_of(design, name).density_kg_m3,
        origin_xy_mm=brace.start.at,
        heading_xy=brace.heading,
        glue_depth_mm=blocked.glue_depth_mm,
        radius_mm=bench_radius_mm(brace),
    )


def _square_zones(blocked: Blocked) -> tuple[Zone, ...]:
    """Laps, butts on either side of the joint, and the low ends that fill a pocket."""
    brace, length = blocked.placed, blocked.placed.length_mm
    zones = [(c.at_mm - c.half_mm - 0.5, c.at_mm + c.half_mm + 0.5) for c in blocked.cuts]
    skews = _reaches(brace)
    for (end, skew), at_start in zip(zip(_ends(brace), skews, strict=True), (True, False), strict=True):
        run = max(end.length_mm, skew + 0.5)
        zones.append((-skew, run) if at_start else (length - run, length + skew))
    return (*zones, *blocked.butted_by)


def _end_cut(brace: PlacedBrace, which: int, height_mm: float) -> EndCut:
    spec = _ends(brace)[which]
    end: PlacedEnd = (brace.start, brace.end)[which]
    angle = angle_to(brace, (0.0, brace.length_mm)[which], end.face)
    meets = end.brace or end.meets.replace("nothing", "")
    kind = "butted" if end.meets == "brace" else spec.kind
    reach = spec.reach_mm if kind == "tucked" else 0.0
    return EndCut(kind, height_mm, spec.length_mm, reach, angle, meets, bench_radius_mm(brace))


def _blank(blocked: Blocked, height: Hermite, design: Design) -> tuple[float, Blank]:
    """Level of the blank's top edge over Z = 0, and its size."""
    brace, half = blocked.placed, blocked.placed.width_mm / 2
    x = np.linspace(height.lo_mm, height.hi_mm, 401)
    top = float(np.max(blocked.glue.z(x, 0.0) + height(x))) + design.stock.extra_height_mm
    lowest = min(0.0, float(np.min(blocked.glue.z(x, half))), float(np.min(blocked.glue.z(x, -half))))
    longest = brace.length_mm + sum(_reaches(brace))
    strips = 1
    if isinstance(brace.spec, CurvedBrace):
        strips = brace.spec.laminations
        longest *= 1 + half / abs(brace.radius_mm)  # the outermost strip runs round the outside of the bend
    return top, Blank(longest + design.stock.extra_length_mm, brace.width_mm, top - lowest, strips)


def _reliefs(blocked: Blocked, blank_top: float, design: Design) -> tuple[ReliefCut, ...]:
    cuts = []
    for f in blocked.features:
        if f.kind == "valley":
            left = f.height_mm + design.stock.relief_left_mm
            depth = blank_top - blocked.glue.at(f.at_mm, 0.0) - left
            if depth > 0:
                cuts.append(ReliefCut(f.at_mm, depth, left, f.height_mm))
    return tuple(cuts)


def _hollows(glue: Face, height: Hermite, features: tuple[Feature, ...]) -> tuple[Hollow, ...]:
    """The tightest concave curvature of the carved edge near each valley, between the convex places beside it."""
    valleys = [f for f in features if f.kind == "valley"]
    marks = sorted(f.at_mm for f in features if f.kind in ("peak", "land", "top"))
    found = []
    for v in valleys:
        low = max((m for m in marks if m < v.at_mm), default=height.lo_mm)
        high = min((m for m in marks if m > v.at_mm), default=height.hi_mm)
        x = np.unique(
            np.concatenate(
                [
                    np.linspace(low + 1e-6, high - 1e-6, 801),
                    [k + e for k in height.x_mm for e in (-1e-7, 1e-7) if low < k < high],
                ]
            )
        )
        slope = height.slope(x) + glue.slope(x, 0.0)[0]
        bend = (height.second(x) + _glue_bend(glue)) / (1 + slope**2) ** 1.5
        i = int(np.argmax(bend))
        if bend[i] > 0:
            found.append(Hollow(float(x[i]), float(1 / bend[i])))
    return tuple(found)


def _glue_bend(glue: Face) -> float:
    """Second derivative of the glue line, to first order of its small slope."""
    radius = _arc_radius(glue)
    return 0.0 if radius == inf else 1 / radius


def _too_tight(brace: PlacedBrace, hollows: tuple[Hollow, ...], design: Design) -> list[Problem]:
    tool = design.stock.tightest_tool_radius_mm
    return [
        Problem(
            "C01",
            (*brace.where, "profile"),
            f'"{brace.name}" has a hollow of {h.radius_mm:.1f} mm radius {h.at_mm:.0f} mm from its start',
            f"the tightest tool is {tool:.1f} mm: make the valley shallower, or move valley and peak apart",
        )
        for h in hollows
        if h.radius_mm < tool
    ]


def _sides_run_out(brace: PlacedBrace, glue: Face, height: Hermite, drop: Hermite) -> list[Problem]:
    """The glue face of a brace off the apex leans: a low end may have no wood left on its lower side."""
    half, length = brace.width_mm / 2, brace.length_mm
    problems = []
    for which, x in (("start", 0.0), ("end", length)):
        low = max(glue.at(x, half), glue.at(x, -half)) - glue.at(x, 0.0)
        left = height.at(x) - drop.at(x) - low
        if left < LEAST_SIDE_MM:
            where = (*brace.where, which if getattr(brace.spec, which) is not None else "ends")
            found = f'the leaning glue face leaves {max(left, 0.0):.2f} mm on one side of the {which} of "{brace.name}"'
            problems.append(
                Problem("C07", where, found, f"make it at least {low + 2 * LEAST_SIDE_MM:.1f} mm high there")
            )
    return problems


def _stiff_strips(brace: PlacedBrace) -> list[Problem]:
    """Common practice: a dry strip of sound, straight-grained wood bends cold to a hundred times its thickness."""
    if not isinstance(brace.spec, CurvedBrace):
        return []
    inside, strips = abs(brace.radius_mm) - brace.width_mm / 2, brace.spec.laminations
    thickest = inside / _BEND_RATIO
    if brace.width_mm / strips <= thickest:
        return []
    found = f'strips {brace.width_mm / strips:.1f} mm thick in "{brace.name}" bend to {inside:.0f} mm'
    advice = (
        f"write laminations = {ceil(brace.width_mm / thickest)} or more, {thickest:.1f} mm thick at most; "
        "thicker ones must be bent hot"
    )
    return [Problem("C08", (*brace.where, "laminations"), found, advice, fatal=False)]


def _under_laps(blocked: Blocked) -> list[Problem]:
    brace = blocked.placed
    return [
        Problem(
            "C06",
            (*brace.where, "profile"),
            f'a valley of "{brace.name}" is {abs(f.at_mm - c.at_mm):.1f} mm from the middle of its lap with {c.with_}',
            "move the valley away from the crossing",
            fatal=False,
        )
        for f in blocked.features
        if f.kind == "valley"
        for c in blocked.cuts
        if c.kind == "half-lap" and abs(f.at_mm - c.at_mm) < 2 * c.half_mm
    ]


def _arc_radius(glue: Face) -> float:
    """Radius of the glue line: a plane at distance d from a sphere's centre cuts a circle of sqrt(r^2 - d^2).

    The glue line of a curved brace, unrolled, is no circle: its least radius is told.
    """
    if isinstance(glue, Along):
        s = np.linspace(0.0, glue.course.length_mm, 201)
        bend = np.gradient(glue.slope(s, 0.0)[0], s)
        sharpest = float(np.max(np.abs(bend)))
        return 1 / sharpest if sharpest > 1e-12 else inf
    if glue.kind == "sphere":
        return sqrt(glue.radius_mm**2 - glue.y_mm**2)
    if glue.kind == "cylinder":
        across = abs(glue.axis[1])  # curvature in a direction at angle a to the axis is sin^2 a / r (Euler)
        return glue.radius_mm / across**2 if across > 1e-9 else inf
    return inf


def _bevel(glue: Face) -> float:
    """Tilt of the glue face across the brace at the belly of its arch, degrees; of a curved brace, half way along."""
    if isinstance(glue, Along):
        return -degrees(atan(float(glue.slope(glue.course.length_mm / 2, 0.0)[1])))
    if glue.kind == "sphere":
        return degrees(asin(glue.y_mm / glue.radius_mm))
    if glue.kind == "cylinder":
        return -degrees(np.arctan(glue.slope(glue.x_mm, 0.0)[1]))
    return 0.0
