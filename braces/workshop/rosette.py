"""The rosette's channel: where a router on a circle jig runs, and how deep in each pass."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from braces.placed.values import Placed


@dataclass(frozen=True, slots=True)
class RosetteSpec:
    """The channel and the cutter."""

    land_mm: float = 4.0  #: top left between the soundhole's edge and the channel
    depth_mm: float = 1.5
    cutter_mm: float = 3.0  #: diameter of the bit
    pass_mm: float = 0.8  #: deepest cut in one pass
    share_ratio: float = 0.9  #: step from one circle to the next, of the cutter's diameter


@dataclass(frozen=True, slots=True)
class RosetteCut:
    """The channel's edges, and the circles of the cutter's middle from the inside out."""

    inner_radius_mm: float
    outer_radius_mm: float
    circles_mm: tuple[float, ...]
    depths_mm: tuple[float, ...]  #: of each pass, the last one full
    cutter_mm: float  #: diameter of the bit


def rosette_cut(placed: Placed, spec: RosetteSpec | None = None) -> RosetteCut | None:
    """Return the channel of a design with a rosette, else None.

    The rosette's width is from the hole's edge to the channel's outer edge. Raises ValueError if the land leaves no
    room for the cutter or the channel would go through the top.
    """
    spec = spec or RosetteSpec()
    hole = placed.top.spec.soundhole
    if hole is None or hole.rosette_mm <= 0:
        return None
    inner, outer = placed.soundhole_radius_mm + spec.land_mm, placed.soundhole_radius_mm + hole.rosette_mm
    if outer - inner < spec.cutter_mm:
        raise ValueError(f"a channel of {outer - inner:.1f} mm has no room for a cutter of {spec.cutter_mm:.1f} mm")
    if spec.depth_mm >= placed.top.spec.thickness_mm:
        raise ValueError(f"a channel {spec.depth_mm:.1f} mm deep goes through the top")
    first, last = inner + spec.cutter_mm / 2, outer - spec.cutter_mm / 2
    steps = ceil((last - first) / (spec.share_ratio * spec.cutter_mm) - 1e-9)
    circles = tuple(first + (last - first) * k / steps for k in range(steps + 1)) if steps else (first,)
    passes = ceil(spec.depth_mm / spec.pass_mm - 1e-9)
    return RosetteCut(
        inner, outer, circles, tuple(spec.depth_mm * (k + 1) / passes for k in range(passes)), spec.cutter_mm
    )
