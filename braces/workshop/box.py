"""The space inside the body: its volume, and the pitch of its air with rigid walls."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from braces.base.arrays import Floats, Points
from braces.carved.values import Carved
from braces.curves.path import Path
from braces.curves.polygons import area_mm2
from braces.placed.values import Patch, Placed
from braces.workshop.along import lengths_mm
from braces.workshop.faces import back_glue_z_mm, top_glue_z_mm

_GAUSS_COUNT = 10
_T, _W = (np.asarray(a) for a in np.polynomial.legendre.leggauss(_GAUSS_COUNT))
_CUTS_PER_PIECE = 6
LIMITS = (
    "Walls that do not move: a real body sounds lower, because top and back give way.",
    "One round hole in a plate that is wide beside it; a hand, strings or a pickup over the hole lower the pitch.",
    "Linings are counted as solid and blocks as upright: the volume may be too small by the air in their kerfs.",
)


@dataclass(frozen=True, slots=True)
class BoxAir:
    """How much air a body holds, and the air resonance it would have with walls that do not move.

    Two bounds of Rayleigh's for the conductivity of a hole in a plate give two pitches; the true rigid-wall pitch
    lies between them for a wide flat box with one round hole. A real body sounds lower, by a tone or more, because
    top and back give way (common knowledge of instrument acoustics; no figure is promised here).
    """

    inside_mm3: float  #: between the inner faces of plates and sides
    wood_mm3: float  #: braces, linings, blocks, strips and patches in it
    lowest_hz: float | None  #: None without a soundhole
    highest_hz: float | None
    limits: tuple[str, ...]

    @property
    def air_mm3(self) -> float:
        """What is left for air."""
        return self.inside_mm3 - self.wood_mm3


def integral_inside(path: Path, f: Callable[[Points], Floats]) -> float:
    """Return the integral over the inside of ``path`` of ``f``, given points (n, 2), by Green's theorem.

    Gauss quadrature along the path and from x = 0 to it; ``f`` must be smooth in between.
    """
    spans = path.spans(_CUTS_PER_PIECE)
    half = np.diff(spans, axis=1) / 2
    u = (spans[:, :1] + half * (_T + 1)).ravel()
    w = (half * _W).ravel()
    xy, dy = path.point(u), path.tangent(u)[:, 1] * path.speed(u)
    x = np.outer(xy[:, 0], (_T + 1) / 2)
    y = np.repeat(xy[:, 1:], len(_T), axis=1)
    values = f(np.column_stack([x.ravel(), y.ravel()])).reshape(x.shape)
    inner = values @ (_W / 2) * xy[:, 0]
    return float(np.sum(w * inner * dy))


def inside_mm3(placed: Placed) -> float:
    """Return the volume between the inner faces of both plates within the inside of the sides."""
    wall = placed.outline.inside(placed.design.body.side_mm)
    return integral_inside(wall, lambda xy: top_glue_z_mm(placed, xy) - back_glue_z_mm(placed, xy))


def wood_mm3(carved: Carved) -> float:
    """Return the volume of the wood inside: braces without tucked-end detail, linings, blocks, strips, patches.

    Linings are taken as solid (kerfs are air) with a square section, and blocks as upright between the plates.
    """
    placed = carved.placed
    body, lining = placed.design.body, placed.design.lining
    total = sum(b.volume_mm3 for b in carved.braces)
    total += sum(s.length_mm * s.width_mm * s.thickness_mm for p in carved.plates for s in p.strip_pieces)
    total += sum(c.length_mm * c.width_mm * c.thickness_mm for p in carved.plates for c in p.caps)
    total += sum(_patch_mm3(patch) for p in placed.plates for patch in p.patches)
    spec = placed.top.spec.bridge_plate
    if spec is not None and carved.top.bridge_plate is not None:
        total += abs(area_mm2(carved.top.bridge_plate)) * spec.thickness_mm
    run = placed.outline.inside(body.side_mm + lining.thickness_mm / 2)
    u = np.linspace(0.0, run.count, run.count * 24 + 1)
    blocked = body.tail_block_width_mm * (body.tail_block_mm > 0) + body.neck_block_width_mm * (body.neck_block_mm > 0)
    total += 2 * (float(lengths_mm(run, u)[-1]) - blocked) * lining.thickness_mm * lining.height_mm
    tail = float(placed.outline.point(0.0)[1]) + body.side_mm + body.tail_block_mm / 2
    neck = float(placed.outline.point(placed.outline.count / 2)[1]) - body.side_mm - body.neck_block_mm / 2
    at = np.array([[0.0, tail], [0.0, neck]])
    tall = top_glue_z_mm(placed, at) - back_glue_z_mm(placed, at)
    total += body.tail_block_mm * body.tail_block_width_mm * float(tall[0])
    total += body.neck_block_mm * body.neck_block_width_mm * float(tall[1])
    return float(total)


def _patch_mm3(patch: Patch) -> float:
    hole = 0.0 if patch.hole is None else abs(area_mm2(patch.hole))
    return (abs(area_mm2(patch.outline)) - hole) * patch.spec.thickness_mm


def speed_of_sound_mm_s(celsius: float) -> float:
    """Return the speed of sound in dry air, 331.3 sqrt(1 + t/273.15) m/s (textbook, from memory).

    >>> round(speed_of_sound_mm_s(20.0) / 1000, 1)
    343.2
    """
    return 331300.0 * sqrt(1 + celsius / 273.15)


def neck_lengths_mm(hole_radius_mm: float, plate_mm: float) -> tuple[float, float]:
    """Return the least and the greatest effective length of a round hole's plug of air.

    The conductivity pi r^2 / length of a hole in a wide plate lies between two bounds (Rayleigh, The Theory of Sound,
    vol. 2, section 307, from memory): an end adds at least pi r / 4 (exact without thickness: conductivity 2 r) and at
    most 8 r / (3 pi) (a rigid piston in a baffle).

    >>> [round(v, 3) for v in neck_lengths_mm(50.0, 3.0)]
    [81.54, 87.883]
    """
    return plate_mm + pi * hole_radius_mm / 2, plate_mm + 16 * hole_radius_mm / (3 * pi)


def helmholtz_hz(hole_mm2: float, volume_mm3: float, length_mm: float, celsius: float = 20.0) -> float:
    """Return the pitch of a resonator with rigid walls: c / (2 pi) sqrt(A / (V l)).

    Holds while the wave is many times longer than the box. ``length_mm`` includes the end corrections.

    >>> round(helmholtz_hz(100.0, 1.0e6, 50.0, 20.0), 2)  # one litre, 1 cm2, 5 cm: 343.2/(2 pi) sqrt(2)
    77.25
    """
    return speed_of_sound_mm_s(celsius) / (2 * pi) * sqrt(hole_mm2 / (volume_mm3 * length_mm))


def box_air(carved: Carved, celsius: float = 20.0) -> BoxAir:
    """Return volume and rigid-wall air resonance of a body."""
    placed = carved.placed
    whole, wood = inside_mm3(placed), wood_mm3(carved)
    lowest = highest = None
    if placed.soundhole_y_mm is not None:
        r, thick = placed.soundhole_radius_mm, placed.top.spec.thickness_mm
        short, long = neck_lengths_mm(r, thick)
        lowest, highest = (helmholtz_hz(pi * r * r, whole - wood, n, celsius) for n in (long, short))
    return BoxAir(whole, wood, lowest, highest, LIMITS)
