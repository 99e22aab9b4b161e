"""The best mirror line of a closed line through points, also where only part of it is symmetric."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Floats, Points
from braces.traced.polylines import Nearest, length_mm, resampled

_STARTS = 24  #: directions tried, 7.5 degrees apart
_MOST_COMPARED = 600
_STEP_MM = 5.0  #: spacing of the points compared
ASYMMETRIC_MM = 1.5  #: what stands further than this off its mirror image is not meant to be symmetric


@dataclass(frozen=True, slots=True)
class MirrorLine:
    """A straight line through ``at`` along ``direction`` (unit)."""

    at: tuple[float, float]
    direction: tuple[float, float]

    def mirrored(self, points: Points) -> Points:
        """Return the points' images."""
        n = np.array([-self.direction[1], self.direction[0]])
        return np.asarray(points - 2 * ((points - np.array(self.at)) @ n)[:, None] * n)


@dataclass(frozen=True, slots=True)
class Symmetry:
    """How well a line is its own mirror image."""

    greatest_mm: float  #: farthest any point stands off the mirror image
    rms_mm: float  #: root mean square of all
    share_fraction: float  #: of the length that lies within ASYMMETRIC_MM


def symmetry(points: Points, line: MirrorLine) -> Symmetry:
    """Measure a closed line's symmetry."""
    even = resampled(points, _STEP_MM / 2, closed=True)
    off, _, _ = Nearest(points, closed=True)(line.mirrored(even))
    return Symmetry(float(off.max()), float(np.sqrt(np.mean(off**2))), float(np.mean(off <= ASYMMETRIC_MM)))


def mirror_lines(points: Points) -> list[tuple[float, MirrorLine]]:
    """Return candidate mirror lines of a closed line, best first, each with its score, 0 for an exact one to 1."""
    even = resampled(points, max(_STEP_MM, length_mm(points, closed=True) / _MOST_COMPARED), closed=True)
    nearest, rough = Nearest(points, closed=True), Nearest(even, closed=True, step_mm=_STEP_MM)
    caps = (0.3, ASYMMETRIC_MM, 0.02 * float(np.max(np.ptp(even, axis=0))))
    found: list[tuple[float, MirrorLine]] = []
    for k in range(_STARTS):
        angle = pi * k / _STARTS
        line = _settled(even, rough, _through(even.mean(axis=0), angle))
        score = _score(even, rough, line, caps)
        if all(_apart(line, other) for _, other in found):
            found.append((score, line))
    found.sort(key=lambda pair: pair[0])
    polished = [_polished(even, nearest, line) for _, line in found[:4]]
    return sorted(((_score(even, nearest, line, caps), line) for line in polished), key=lambda pair: pair[0])


def _through(point: NDArray[np.float64], angle_rad: float) -> MirrorLine:
    return MirrorLine((float(point[0]), float(point[1])), (cos(angle_rad), sin(angle_rad)))


def _score(even: Points, nearest: Nearest, line: MirrorLine, caps: tuple[float, ...]) -> float:
    """Mean distance to the mirror image, each counted up to a cap only, in units of that cap; mean over the caps.

    A cutaway then costs the same wherever it is and does not draw the axis to itself; the narrow caps reward a line
    about which most of the body is exactly symmetric, the wide one a body that is nowhere quite so.
    """
    off, _, _ = nearest(line.mirrored(even))
    return float(np.mean([np.mean(np.minimum(off, cap)) / cap for cap in caps]))


def _apart(a: MirrorLine, b: MirrorLine) -> bool:
    """Whether two lines are different candidates."""
    cross = a.direction[0] * b.direction[1] - a.direction[1] * b.direction[0]
    gap = abs((b.at[0] - a.at[0]) * a.direction[1] - (b.at[1] - a.at[1]) * a.direction[0])
    return abs(cross) > 0.01 or gap > 3.0


def _settled(even: Points, nearest: Nearest, line: MirrorLine) -> MirrorLine:
    """Pair each image with the nearest place, find the best mirror for the closest two thirds, and again."""
    for _ in range(12):
        off, foot, _ = nearest(line.mirrored(even))
        close = off <= np.quantile(off, 0.67)
        p, q = even[close], foot[close]
        pm, qm = p.mean(axis=0), q.mean(axis=0)
        a, b = p - pm, q - qm
        # The reflection [[cos 2t, sin 2t], [sin 2t, -cos 2t]] that takes a to b best has this angle 2t.
        double = atan2(
            float(np.sum(a[:, 0] * b[:, 1] + a[:, 1] * b[:, 0])), float(np.sum(a[:, 0] * b[:, 0] - a[:, 1] * b[:, 1]))
        )
        new = _through((pm + qm) / 2, double / 2)
        if not _apart(new, line) and _near(new, line):
            return new
        line = new
    return line


def _near(a: MirrorLine, b: MirrorLine) -> bool:
    cross = a.direction[0] * b.direction[1] - a.direction[1] * b.direction[0]
    return abs(cross) < 1e-5


def _polished(even: Points, nearest: Nearest, line: MirrorLine) -> MirrorLine:
    """Newton steps on the distance square to the curve; what is not symmetric weighs less and less (Tukey).

    In the end only what agrees as well as the better part of the line usually does has any weight: an exact drawing's
    symmetric part then settles the axis exactly, and scattered points' own scatter is let pass.
    """
    middle = even.mean(axis=0)
    for limit in (12.0, 6.0, 3.0, ASYMMETRIC_MM, ASYMMETRIC_MM):
        line = _step(even, nearest, line, middle, limit)
    for _ in range(10):
        off, _, _ = nearest(line.mirrored(even))
        usual = float(np.median(off[off < ASYMMETRIC_MM])) if np.any(off < ASYMMETRIC_MM) else ASYMMETRIC_MM
        line = _step(even, nearest, line, middle, min(max(4 * usual, 0.02), ASYMMETRIC_MM))
    return line


def _step(even: Points, nearest: Nearest, line: MirrorLine, middle: Points, limit_mm: float) -> MirrorLine:
    image = line.mirrored(even)
    off, foot, along = nearest(image)
    normal = np.column_stack([-along[:, 1], along[:, 0]])
    signed = np.einsum("ij,ij->i", image - foot, normal)
    weight = _tukey(off, limit_mm)
    if float(np.sum(weight)) < 8:
        return line
    # Turning the line by a about a point of its own turns every image by 2 a about that point; shifting it by c
    # moves every image by 2 c.
    along_line = np.array(line.direction)
    pivot = np.array(line.at) + ((middle - np.array(line.at)) @ along_line) * along_line
    across = np.array([-along_line[1], along_line[0]])
    arm = image - pivot
    turn = 2 * np.einsum("ij,ij->i", np.column_stack([-arm[:, 1], arm[:, 0]]), normal)
    rows = np.column_stack([turn, 2 * normal @ across]) * np.sqrt(weight)[:, None]
    (a, c), *_ = np.linalg.lstsq(rows, -signed * np.sqrt(weight), rcond=None)
    return _through(pivot + c * across, atan2(line.direction[1], line.direction[0]) + float(a))


def _tukey(off: Floats, limit_mm: float) -> Floats:
    return np.asarray(np.where(off < limit_mm, (1 - (off / limit_mm) ** 2) ** 2, 0.0))
