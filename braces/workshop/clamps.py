"""Closing the box: how many clamps round the rim, and how hard each may push.

Three limits for one clamp, each a share of what clear wood stands:

- bearing: the pad's area on the ledge of side and lining, times the compression across the grain of the softest wood;
- bowing: the free height of the side between the linings as a wide column with free-turning edges, pi^2 E I / H^2
  (Euler). The wood stands across its grain there. The side's curve, which helps a great deal, is left out;
- cracking: the push runs through the middle of the ledge, not of the side, and bends it: the secant formula
  (textbook) against tension across the grain.

The last two do not hold where the rim stands in a mould: the side can only bow outwards under a push inside its
middle, and the mould is there. Limits: no kerfs, knots or short grain; a lining that is glued all along.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, pi, sqrt
from typing import Literal

import numpy as np

from braces.carved.values import Carved
from braces.design.own_woods import wood_of
from braces.design.woods import Wood
from braces.workshop.along import from_tail_mm
from braces.workshop.go_bars import PressureRange, published_pressure
from braces.workshop.habits import table
from braces.workshop.rim import Rim, SideName

FLAT_RADIUS_MM = 500.0  #: a side straighter than this gets little help from its curve: an assumption
_SAMPLES = 1200


@dataclass(frozen=True, slots=True)
class ClampSpec:
    """The clamps and how the rim is held."""

    spacing_mm: float = 45.0  #: along the outline, middle to middle
    pad_mm: float = 20.0  #: length of a clamp's pad or caul along the rim
    lining_wood: str = "basswood"
    side_wood: str | None = None  #: the back's wood if not given
    held: Literal["in a mould", "free"] = "in a mould"
    safe_fraction: float = 0.5  #: of each limit that is used


@dataclass(frozen=True, slots=True)
class FlatStretch:
    """A nearly straight stretch of a side, which bows first."""

    side: SideName
    from_mm: float  #: along the outside, from the tail
    to_mm: float


@dataclass(frozen=True, slots=True)
class ClosingClamps:
    """Clamps for one plate, all round."""

    count: int
    spacing_mm: float
    ledge_mm: float  #: width of side and lining together
    bearing_n: float | None  #: each limit for one clamp, the safe share not yet taken; None if the table has no figure
    bowing_n: float  #: of a rim that stands free
    cracking_n: float
    safe_n: float  #: what one clamp may push
    governs: Literal["bearing", "bowing", "cracking"]
    pressure_mpa: float  #: on the glue line at the safe push
    published: PressureRange
    flat_stretches: tuple[FlatStretch, ...]
    notes: tuple[str, ...]


def closing_clamps(
    carved: Carved, rim: Rim, plate: Literal["top", "back"], spec: ClampSpec | None = None
) -> ClosingClamps:
    """Return number, spacing and safe push of the clamps that close a plate. Raises KeyError for an unknown wood."""
    spec = spec or ClampSpec()
    placed = carved.placed
    design = placed.design
    plate_wood = wood_of(design, (design.top if plate == "top" else design.back).wood)
    side_wood, lining_wood = wood_of(design, spec.side_wood or design.back.wood), wood_of(design, spec.lining_wood)
    count = max(4, ceil(placed.outline.perimeter_mm / spec.spacing_mm - 1e-9))
    spacing = placed.outline.perimeter_mm / count
    thick, ledge = design.body.side_mm, design.body.side_mm + design.lining.thickness_mm
    free = max(float(s.height_mm.max()) for s in rim.sides) - 2 * rim.lining_height_mm
    wide = min(spacing, spec.pad_mm + free)  # the push spreads at 45 degrees on its way down
    e = min(side_wood.elastic.e_r_mpa, side_wood.elastic.e_t_mpa)
    bowing = bowing_push_n(e, wide, thick, free)
    cracking = cracking_push_n(bowing, wide, thick, (ledge - thick) / 2, table("glue_up")["side"]["tension_across_mpa"])
    bearing = _bearing_n((plate_wood, lining_wood, side_wood), spec.pad_mm * ledge)
    limits: list[tuple[float, Literal["bearing", "bowing", "cracking"]]] = []
    if bearing is not None:
        limits.append((bearing, "bearing"))
    if spec.held == "free" or bearing is None:
        limits += [(bowing, "bowing"), (cracking, "cracking")]
    least, governs = min(limits)
    safe = spec.safe_fraction * least
    return ClosingClamps(
        count,
        spacing,
        ledge,
        bearing,
        bowing,
        cracking,
        safe,
        governs,
        safe / (spacing * ledge),
        published_pressure(lining_wood, plate_wood),
        flat_stretches(carved),
        _notes(spec, safe, min(bowing, cracking) * spec.safe_fraction),
    )


def bowing_push_n(e_mpa: float, width_mm: float, thickness_mm: float, free_mm: float) -> float:
    """Return the push at which a strip of side bows: Euler's load with free-turning edges.

    >>> round(bowing_push_n(1000.0, 45.0, 2.0, 60.0), 2)  # pi^2 1000 (45 8 / 12) / 3600
    82.25
    """
    return pi**2 * e_mpa * width_mm * thickness_mm**3 / 12 / free_mm**2


def cracking_push_n(
    bowing_n: float, width_mm: float, thickness_mm: float, offset_mm: float, tension_mpa: float
) -> float:
    """Return the push at which the side's outer face is stretched to ``tension_mpa`` across the grain.

    Secant formula: stress = P / A (offset c / r^2 sec(pi/2 sqrt(P / P_bow)) - 1), tension positive.
    """
    from scipy.optimize import brentq

    area = width_mm * thickness_mm
    lever = 6 * offset_mm / thickness_mm  # offset c / r^2 of a rectangle: e (t/2) / (t^2/12)

    def over(push: float) -> float:
        return push / area * (lever / cos(pi / 2 * sqrt(push / bowing_n)) - 1) - tension_mpa

    nearly = bowing_n * (1 - 1e-9)
    return float(brentq(over, 0.0, nearly)) if over(nearly) > 0 else bowing_n


def _bearing_n(parts: tuple[Wood, ...], area_mm2: float) -> float | None:
    known = [w.strength.crush_across_mpa for w in parts if w.strength.crush_across_mpa is not None]
    return min(known) * area_mm2 if known else None


def flat_stretches(carved: Carved) -> tuple[FlatStretch, ...]:
    """Return where the outline is straighter than ``FLAT_RADIUS_MM``, blocks left out, from the tail up each side."""
    placed = carved.placed
    outline, body = placed.outline, placed.design.body
    treble = 1 if placed.design.handed == "right" else -1
    u = np.linspace(0.0, outline.count, _SAMPLES + 1)[:-1] + outline.count / _SAMPLES / 2
    x = outline.point(u)[:, 0]
    blocked = max(body.tail_block_width_mm, body.neck_block_width_mm) / 2
    flat = (np.abs(outline.curvature(u)) < 1 / FLAT_RADIUS_MM) & (np.abs(x) > blocked)
    stretches = []
    sides: tuple[tuple[SideName, int], ...] = (("bass", -treble), ("treble", treble))
    for name, sign in sides:
        at = np.array([from_tail_mm(outline, float(v)) for v in u[flat & (x * sign > 0)]])
        at.sort()
        for group in np.split(at, np.flatnonzero(np.diff(at) > 5.0) + 1):
            if len(group) > 1:
                stretches.append(FlatStretch(name, float(group[0]), float(group[-1])))
    return tuple(stretches)


def _notes(spec: ClampSpec, safe_n: float, free_n: float) -> tuple[str, ...]:
    notes = ["A screw clamp turned by hand pushes many times this: stop when a bead of glue stands all along."]
    if spec.held == "in a mould":
        notes.append(
            "The push holds for a rim in its mould. One that stands free may bow or crack: by the cautious figures "
            f"here at most {free_n:.0f} N."
        )
    else:
        notes.append("A free rim may bow or crack at a small push (cautious figures): better leave it in the mould.")
    if safe_n < 30:
        notes.append("This is little more than a spring clamp or tape gives.")
    return tuple(notes)
