"""The rule for fans: sticks whose lines meet in one focus."""

from __future__ import annotations

from braces.base.problems import Problem, Where
from braces.design.braces import FanBrace
from braces.placed.layout import Layout, lapped_ends, stop, unit
from braces.placed.rim import XY, end_spec
from braces.placed.values import PlacedEnd


def fan(lay: Layout, spec: FanBrace, where: Where) -> None:
    """Lay NAME-1 to NAME-n from the bass to the treble side, each from its head to its foot.

    On the pitch line they stand evenly; the focus, which may lie beyond the neck, gives their directions. Heads and
    feet lie on lines across the plate (stepped outwards from the middle), on braces, or at the rim.
    """
    focus = (0.0, lay.anchors.y(spec.focus, (*where, "focus"), lay.problems, off_body=True))
    pitch_y = lay.anchors.y(spec.pitch_at, (*where, "pitch_at"), lay.problems)
    if abs(focus[1] - pitch_y) < spec.pitch_mm:
        lay.problems.append(
            Problem("V03", (*where, "focus"), "the focus lies on the pitch line", "move it further towards the neck")
        )
        return
    for i in range(spec.count):
        outward = i - (spec.count - 1) / 2
        x = lay.hand * (spec.offset_mm + outward * spec.pitch_mm)
        down = unit((x - focus[0], pitch_y - focus[1]))
        if down[1] > 0:
            down = (-down[0], -down[1])  # a focus below the tail: sticks still run from neck to tail
        name = f"{spec.name}-{i + 1}"
        point = (x, pitch_y)
        up = (-down[0], -down[1])
        start = _end(lay, spec, "start", point, up, -abs(outward) * spec.head_step_mm, where)
        end = _end(lay, spec, "end", point, down, abs(outward) * spec.foot_step_mm, where) if start else None
        lapped_ends(lay, lay.add(name, spec, where, start, end))


def _end(
    lay: Layout, spec: FanBrace, which: str, point: XY, outward: XY, step_mm: float, where: Where
) -> PlacedEnd | None:
    how = end_spec(spec, which)
    place = spec.head if which == "start" else spec.foot
    if place is None or how.on is not None:
        return stop(lay, point, outward, how, where)
    y = lay.anchors.y(place, (*where, "head" if which == "start" else "foot"), lay.problems) + step_mm
    t = (y - point[1]) / outward[1]
    at = (point[0] + t * outward[0], y)
    return PlacedEnd("nothing", "", at, (-outward[1], outward[0]), None)
