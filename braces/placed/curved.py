"""The rule for curved braces: an arc of a circle between two points, carried on to whatever stops it."""

from __future__ import annotations

from dataclasses import replace
from math import asin, degrees, hypot, pi

import numpy as np

from braces.base.problems import Where
from braces.curves.course import Course
from braces.curves.course import between as course_between
from braces.curves.hits import Hit, course_hits, line_hits
from braces.curves.path import Path
from braces.design.braces import CurvedBrace
from braces.design.shapes import EndSpec
from braces.placed.between import host_of, point, side_of
from braces.placed.layout import Layout, against, crossing
from braces.placed.refused import refuse
from braces.placed.rim import LEAST_MEETING_DEG, XY, end_spec
from braces.placed.values import PlacedBrace, PlacedEnd

_LEAST_SINE = 0.3  #: a brace bows to one side of its line, not along it
_MOST_TURN_RAD = 0.8 * pi
_TOWARDS: dict[str, XY] = {"tail": (0.0, -1.0), "neck": (0.0, 1.0), "bass": (-1.0, 0.0), "treble": (1.0, 0.0)}
_LAP_SHARE_RATIO, _LAP_PLAY_MM = 0.5, 0.1  #: of a lap at the end of a brace


def curved(lay: Layout, spec: CurvedBrace, where: Where) -> None:
    """Lay an arc between two points, and its mirror image if asked."""
    a, on_a = point(lay, spec.from_, spec, (*where, "from"))
    b, on_b = point(lay, spec.to, spec, (*where, "to"))
    for flip in (1, -1) if spec.mirrored else (1,):
        first, last = (flip * a[0], a[1]), (flip * b[0], b[1])
        arc = _arc(lay, spec, first, last, flip, where)
        name = f"{spec.name}-{side_of(lay, first, last)}" if spec.mirrored else spec.name
        hosts = (host_of(lay, on_a, flip), host_of(lay, on_b, flip))
        start = _end(lay, spec, "start", arc, hosts[0], where)
        end = _end(lay, spec, "end", arc, hosts[1], where)
        brace = lay.add(name, spec, where, start, end, arc.radius_mm)
        if brace.length_mm > _MOST_TURN_RAD * abs(arc.radius_mm):
            lay.braces.remove(brace)
            found = f'"{name}" would turn by {degrees(brace.length_mm / abs(arc.radius_mm)):.0f} degrees'
            raise refuse("V03", (*where, "bow"), found, "bow it less")
        for which, host, at in (("start", hosts[0], first), ("end", hosts[1], last)):
            if host is not None and end_spec(spec, which, which == "start").lapped:
                lay.crossings.append(crossing(brace, host, at, _LAP_SHARE_RATIO, _LAP_PLAY_MM, where))


def _arc(lay: Layout, spec: CurvedBrace, a: XY, b: XY, flip: int, where: Where) -> Course:
    """Return the arc between the two points of the file. Raises Refused if there is none."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    chord = hypot(dx, dy)
    if chord < 2 * spec.width_mm:
        raise refuse("L06", where, f"its two points are {chord:.1f} mm apart", "move them apart")
    tx, ty = _TOWARDS[spec.bow_to]
    aside = (dx * ty - dy * tx * lay.hand * flip) / chord  # of the bow's direction, + to the left
    if abs(aside) < _LEAST_SINE:
        found = f"the brace runs almost straight to the {spec.bow_to}, so it cannot bow that way"
        raise refuse("V03", (*where, "bow_to"), found, "name the side it bows to as seen along it")
    # What bows to the left turns to the right.
    return course_between(a, b, -_radius(spec, chord, where) * (1 if aside > 0 else -1))


def _radius(spec: CurvedBrace, chord: float, where: Where) -> float:
    if (spec.bow_mm is None) == (spec.radius_mm is None):
        found = '"bow" and "radius" are both given' if spec.bow_mm is not None else '"bow" is missing'
        raise refuse("K02", (*where, "bow"), found, 'write one of them, such as bow = "30 mm"')
    if spec.bow_mm is not None:
        if spec.bow_mm > 0.45 * chord:
            found = f"a bow of {spec.bow_mm:.1f} mm over {chord:.1f} mm is almost half a circle or more"
            raise refuse("V03", (*where, "bow"), found, f"bow it by less than {0.45 * chord:.0f} mm")
        return (chord**2 / 4 + spec.bow_mm**2) / (2 * spec.bow_mm)
    assert spec.radius_mm is not None
    if 2 * spec.radius_mm < 1.02 * chord:
        found = f"a radius of {spec.radius_mm:.1f} mm does not reach over {chord:.1f} mm"
        raise refuse("V03", (*where, "radius"), found, f"make it more than {0.51 * chord:.0f} mm")
    return spec.radius_mm


def _end(lay: Layout, spec: CurvedBrace, which: str, arc: Course, host: PlacedBrace | None, where: Where) -> PlacedEnd:
    """Return where one end of a brace on ``arc``, which runs between the points of the file, stops."""
    own = spec.from_ if which == "start" else spec.to
    how = end_spec(spec, which, host is not None)
    sign = -1 if which == "start" else 1
    at_mm = 0.0 if which == "start" else arc.length_mm
    if how.on is not None:
        advice = f'write {"from" if which == "start" else "to"} = {{ brace = "{how.on}", along = "50 %" }}'
        raise refuse("V03", (*where, which, "on"), "a curved brace cannot look for the brace it ends on", advice)
    if host is not None:
        hx, hy = arc.heading_at(at_mm)
        straight = against(host, arc.at(at_mm), (sign * hx, sign * hy), how, where)
        # The end face is the line that a straight brace would end at; the arc meets it a little aside.
        return replace(straight, at=arc.at(arc.slice_at(straight.at, straight.face, 0.0)))
    if own.rim is not None:
        return _rim_end(lay.lining, arc, sign, how, where)
    tx, ty = arc.heading_at(at_mm)
    return PlacedEnd("nothing", "", arc.at(at_mm), (-ty, tx), None)


def _rim_end(lining: Path, arc: Course, sign: int, spec: EndSpec, where: Where) -> PlacedEnd:
    """Follow an arc outwards from its middle (back if ``sign`` is -1) to the rim. Raises Refused."""
    wall = lining.inside(-spec.reach_mm) if spec.kind == "tucked" else lining
    inner, stop = _first(lining, arc, sign), _first(wall, arc, sign)
    if inner is None or stop is None:
        found, advice = "the brace leaves the lining or never reaches it", "bow it less, or move it inside"
        raise refuse("L01", where, found, advice)
    s, (tx, ty) = stop.t_mm, stop.along
    hx, hy = arc.heading_at(s)
    meets = degrees(asin(min(1.0, abs(hx * ty - hy * tx))))
    if meets < LEAST_MEETING_DEG:
        found = f"the brace meets the rim at only {meets:.0f} degrees"
        advice = f"bow or turn it until it meets the rim at {LEAST_MEETING_DEG:.0f} degrees or more"
        raise refuse("L01", where, found, advice)
    if spec.kind in ("tucked", "butted"):
        return PlacedEnd("lining", "", stop.at, (tx, ty), inner.at)
    return PlacedEnd("nothing", "", arc.at(s - sign * spec.short_mm), (tx, ty), inner.at)


def _first(wall: Path, arc: Course, sign: int) -> Hit | None:
    """Return the first meeting outwards, if the middle of the arc lies inside the wall."""
    middle = arc.length_mm / 2
    ahead = [h for h in line_hits(wall, arc.at(middle), arc.heading_at(middle)) if h.t_mm > 0]
    if len(ahead) % 2 == 0:
        return None
    found = [replace(h, t_mm=_about(arc, h.t_mm, middle)) for h in course_hits(wall, arc)]
    out = [h for h in found if sign * (h.t_mm - middle) > 0]
    return min(out, key=lambda h: sign * h.t_mm, default=None)


def _about(arc: Course, s: float, middle: float) -> float:
    """Return a station within half a turn of the middle."""
    round_mm = 2 * pi * abs(arc.radius_mm)
    return middle + float(np.remainder(s - middle + round_mm / 2, round_mm)) - round_mm / 2
