"""The rule for fans: sticks whose lines meet in one focus."""

from __future__ import annotations

from braces.base.problems import Where
from braces.design.braces import FanBrace
from braces.placed.layout import Layout, lap_ends, stop, unit
from braces.placed.refused import refuse
from braces.placed.rim import XY, end_spec
from braces.placed.values import PlacedEnd


def fan(lay: Layout, spec: FanBrace, where: Where) -> None:
    """Lay NAME-1 to NAME-n from the bass to the treble side, each from its head to its foot.

    On the pitch line they stand evenly; the focus, which may lie beyond the neck, gives their directions. Heads and
    feet lie on lines across the plate (stepped outwards from the middle), on braces, or at the rim.
    """
    focus = (0.0, lay.y(spec.focus, (*where, "focus"), off_body=True))
    pitch_y = lay.y(spec.pitch_at, (*where, "pitch_at"))
    if abs(focus[1] - pitch_y) < spec.pitch_mm:
        raise refuse("V03", (*where, "focus"), "the focus lies on the pitch line", "move it further towards the neck")
    for i in range(spec.count):
        outward = i - (spec.count - 1) / 2
        point = (lay.hand * (spec.offset_mm + outward * spec.pitch_mm), pitch_y)
        down = unit((point[0] - focus[0], point[1] - focus[1]))
        if down[1] > 0:
            down = (-down[0], -down[1])  # a focus below the tail: sticks still run from neck to tail
        up = (-down[0], -down[1])
        start = _end(lay, spec, "start", point, up, -abs(outward) * spec.head_step_mm, where)
        end = _end(lay, spec, "end", point, down, abs(outward) * spec.foot_step_mm, where)
        lap_ends(lay, lay.add(f"{spec.name}-{i + 1}", spec, where, start, end))


def _end(lay: Layout, spec: FanBrace, which: str, point: XY, outward: XY, step_mm: float, where: Where) -> PlacedEnd:
    how = end_spec(spec, which)
    key, place = ("head", spec.head) if which == "start" else ("foot", spec.foot)
    if place is None or how.on is not None:
        return stop(lay, point, outward, how, where)
    y = lay.y(place, (*where, key)) + step_mm
    t = (y - point[1]) / outward[1]
    if t <= 0:
        found, advice = f"the {key} lies beyond the pitch line", "put the pitch line between head and foot"
        raise refuse("V03", (*where, key), found, advice)
    return PlacedEnd("nothing", "", (point[0] + t * outward[0], y), (-outward[1], outward[0]), None)
