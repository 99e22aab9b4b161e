"""The rule for braces between two points, each on the rim, on another brace, or free in the plan."""

from __future__ import annotations

import numpy as np

from braces.base.problems import Where
from braces.design.braces import BetweenBrace, CurvedBrace, PointSpec
from braces.placed.layout import Layout, against, lap_ends, stop, unit
from braces.placed.lays import point_on, rim_point
from braces.placed.refused import refuse
from braces.placed.rim import XY, end_spec
from braces.placed.values import PlacedBrace, PlacedEnd


def between(lay: Layout, spec: BetweenBrace, where: Where) -> None:
    """Lay a stick between two points, and its mirror image if asked."""
    a, on_a = point(lay, spec.from_, spec, (*where, "from"))
    b, on_b = point(lay, spec.to, spec, (*where, "to"))
    for flip in (1, -1) if spec.mirrored else (1,):
        ends = ((flip * a[0], a[1]), (flip * b[0], b[1]))
        name = f"{spec.name}-{side_of(lay, *ends)}" if spec.mirrored else spec.name
        hosts = (host_of(lay, on_a, flip), host_of(lay, on_b, flip))
        heading = unit(np.subtract(ends[1], ends[0]))
        start = _end(lay, spec, "start", ends[0], ends[1], (-heading[0], -heading[1]), hosts[0], where)
        end = _end(lay, spec, "end", ends[1], ends[0], heading, hosts[1], where)
        lap_ends(lay, lay.add(name, spec, where, start, end))


def host_of(lay: Layout, host: PlacedBrace | None, flip: int) -> PlacedBrace | None:
    """The brace on the other side that matches ``host``, or ``host`` itself if it has no side."""
    if host is None or flip == 1:
        return host
    for side, other in (("-bass", "-treble"), ("-treble", "-bass")):
        if host.name.endswith(side):
            return next((b for b in lay.braces if b.name == host.name.removesuffix(side) + other), host)
    return host


def side_of(lay: Layout, a: XY, b: XY) -> str:
    """The side on which most of a stick lies."""
    return "treble" if (a[0] + b[0]) * lay.hand > 0 else "bass"


def point(
    lay: Layout, spec: PointSpec, brace: BetweenBrace | CurvedBrace, where: Where
) -> tuple[XY, PlacedBrace | None]:
    """Return the point and, if it is on a brace, that brace. Raises Refused."""
    if spec.brace is not None and spec.along is not None:
        other = lay.find(spec.brace, (*where, "brace"))
        return point_on(lay, other, spec.along, spec.past, brace.width_mm, where), other
    if spec.rim is not None and spec.at is not None:
        return rim_point(lay, spec.rim, spec.at, 1, where), None
    if spec.off_mm is not None and spec.at is not None:
        return (lay.hand * spec.off_mm, lay.y(spec.at, (*where, "at"))), None
    advice = 'write rim and at, or brace and along, or off and at, such as { off = "20 mm", at = "at the saddle" }'
    raise refuse("K02", where, "the point is not complete", advice)


def _end(
    lay: Layout, spec: BetweenBrace, which: str, at: XY, far: XY, outward: XY, on: PlacedBrace | None, where: Where
) -> PlacedEnd:
    """Return the end of a stick at one of its points, travelling ``outward`` from the ``far`` one."""
    own = spec.from_ if which == "start" else spec.to
    how = end_spec(spec, which, on is not None)
    if on is not None:
        return against(on, at, outward, how, where)
    if own.rim is not None or how.on is not None:
        return stop(lay, ((at[0] + far[0]) / 2, (at[1] + far[1]) / 2), outward, how, where)
    return PlacedEnd("nothing", "", at, (-outward[1], outward[0]), None)
