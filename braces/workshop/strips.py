"""The pieces of a centre strip as they are cut on the bench: lengths of both faces and the bevels of their ends.

A piece lies on the dome while what it stops at stands upright: a brace upright to its plate, a block upright to the
body. An end that is to close against it is sawn off square by the dome's slope there. What is measured: the length
of the glue face along the dome, and that of the face in the room when the piece lies flat on the bench; the strip's
own bending changes neither by more than thickness / (2 radius), some hundredths of a millimetre.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, degrees, hypot, radians, tan
from typing import Literal

import numpy as np

from braces.carved.values import Carved, CarvedPlate, StripPiece
from braces.curves.frames import Placement
from braces.placed.footprint import convex_parts, footprint
from braces.placed.values import PlacedBrace, PlacedPlate

_GAUSS_T, _GAUSS_W = (np.asarray(a) for a in np.polynomial.legendre.leggauss(12))
_NEAR_MM = 6.0  #: a brace this near an end, clearance included, is what the end stops at
SQUARE_DEG = 0.25  #: an end that leans less is sawn square: over a thickness of 3 mm that is 0.01 mm


@dataclass(frozen=True, slots=True)
class StripEnd:
    """One end of a piece."""

    meets: str  #: a brace's name, or "tail block", "neck block"
    bevel_deg: float  #: off square; + where the face in the room is the longer

    @property
    def words(self) -> str:
        """How to saw it."""
        if abs(self.bevel_deg) < SQUARE_DEG:
            return "square"
        return f"{abs(self.bevel_deg):.1f} deg, {'top overhangs' if self.bevel_deg > 0 else 'top set back'}"


@dataclass(frozen=True, slots=True)
class StripCut:
    """One piece, sizes for the bench."""

    plate: Literal["top", "back"]
    number: int  #: from the tail
    wood: str
    glue_mm: float  #: length of the glue face
    room_mm: float  #: length of the face in the room, with both bevels
    width_mm: float
    thickness_mm: float
    tail_end: StripEnd
    neck_end: StripEnd

    @property
    def cut_mm(self) -> float:
        """Length to cut to before the ends are bevelled."""
        return max(self.glue_mm, self.room_mm)


def strip_cuts(carved: Carved) -> tuple[StripCut, ...]:
    """Return every piece of both plates' centre strips, the top's first, from the tail."""
    placed = carved.placed
    rows = zip(carved.plates, placed.plates, (placed.top_pose, placed.back_pose), strict=True)
    return tuple(_cut(plate, where, pose, piece) for plate, where, pose in rows for piece in plate.strip_pieces)


def _cut(plate: CarvedPlate, where: PlacedPlate, pose: Placement, piece: StripPiece) -> StripCut:
    assert where.spec.centre_strip is not None  # there are pieces of it
    low, high = piece.from_mm, piece.from_mm + piece.length_mm
    ends = [_end(where, pose, y, sign) for y, sign in ((low, -1), (high, 1))]
    glue = _along_mm(where, low, high)
    room = glue + piece.thickness_mm * sum(tan(radians(e.bevel_deg)) for e in ends)
    wood = where.spec.centre_strip.wood
    return StripCut(plate.name, piece.number, wood, glue, room, piece.width_mm, piece.thickness_mm, ends[0], ends[1])


def _along_mm(where: PlacedPlate, low: float, high: float) -> float:
    """Length of the centre line of the glue face between two heights of the plate's plan."""
    y = low + (high - low) * (_GAUSS_T + 1) / 2
    rise = where.dome.inner.slope(0.0, y)[1]
    return float(np.sum(_GAUSS_W * np.hypot(1.0, rise)) * (high - low) / 2)


def _end(where: PlacedPlate, pose: Placement, y: float, sign: int) -> StripEnd:
    """What stands at an end, and how the end leans to close against it; ``sign`` is 1 for the end to the neck."""
    slope = degrees(atan(float(where.dome.inner.slope(0.0, y)[1])))
    for brace in where.braces:
        across = _at_the_joint(brace)
        near = float(np.min(np.abs(across[:, 1] - y))) if _crosses(across) else np.inf
        if near < _NEAR_MM or _holds(across, y + sign * _NEAR_MM):
            return StripEnd(brace.name, sign * slope + 0.0)
    # A block stands upright in the body: the plate's own tilt comes to the dome's slope.
    upright = np.array(pose.rotation).T @ np.array([0.0, 0.0, 1.0])
    lean = degrees(atan(float(upright[1] / hypot(upright[0], upright[2]))))
    lean = lean if upright[2] > 0 else -lean
    return StripEnd("neck block" if sign > 0 else "tail block", sign * (slope + lean) + 0.0)


def _at_the_joint(brace: PlacedBrace) -> np.ndarray:
    """A brace's footprint; of a curved one only the piece over the centre line, since its ends lie elsewhere."""
    over = [p for p in convex_parts(brace) if p[:, 0].min() <= 0 <= p[:, 0].max()]
    return footprint(brace) if brace.is_straight or not over else over[0]


def _crosses(across: np.ndarray) -> bool:
    return bool(across[:, 0].min() < 0 < across[:, 0].max())


def _holds(across: np.ndarray, y: float) -> bool:
    """Whether a brace's footprint covers the centre line at a height."""
    return _crosses(across) and bool(across[:, 1].min() < y < across[:, 1].max())
