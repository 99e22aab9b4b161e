"""Rigid motions between the frames in which geometry is worked out: bench, plate and body."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Array

Row = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Placement:
    """p' = rotation @ p + shift: a turn and a move, never a stretch or a mirror."""

    rotation: tuple[Row, Row, Row]
    shift: Row  #: mm

    def __post_init__(self) -> None:
        r = np.array(self.rotation)
        if r.shape != (3, 3) or len(self.shift) != 3:
            raise ValueError("a placement needs a (3, 3) rotation and a shift of 3")
        if np.abs(r @ r.T - np.eye(3)).max() > 1e-9 or np.linalg.det(r) < 0:
            raise ValueError("a placement must turn and move, not stretch or mirror")

    def __call__(self, points: Array) -> Array:
        """Move points (..., 3), mm."""
        return np.asarray(np.asarray(points, dtype=float) @ np.array(self.rotation).T + np.array(self.shift))

    def after(self, first: Placement) -> Placement:
        """Return the motion that does ``first`` and then this one."""
        return _placement(np.array(self.rotation) @ np.array(first.rotation), self(np.array(first.shift)))

    def inverse(self) -> Placement:
        """Return the motion back."""
        back = np.array(self.rotation).T
        return _placement(back, -back @ np.array(self.shift))


def _placement(rotation: Array, shift: Array) -> Placement:
    a, b, c = ((float(row[0]), float(row[1]), float(row[2])) for row in rotation)
    return Placement((a, b, c), (float(shift[0]), float(shift[1]), float(shift[2])))


def stay() -> Placement:
    """Return the motion that moves nothing."""
    return Placement(((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), (0.0, 0.0, 0.0))
