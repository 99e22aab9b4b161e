"""Faces of the plates over the body's plan: how high the glue side of top and back stands above a place."""

from __future__ import annotations

from math import atan, degrees

import numpy as np

from braces.base.arrays import Floats, Points
from braces.curves.frames import Placement
from braces.curves.surface import Surface
from braces.placed.values import Placed

_TURNS = 40
_CLOSE_MM = 1e-11


def face_z_mm(face: Surface, pose: Placement, xy: Points) -> Floats:
    """Return the body heights (n,) at which upright lines through plan points (n, 2) meet a plate's face, mm.

    ``face`` is given in the plate's frame and ``pose`` takes that frame to the body.
    """
    rotation, shift = np.array(pose.rotation), np.array(pose.shift)
    z = np.zeros(len(xy))
    for _ in range(_TURNS):  # the face is nearly level: each turn is right to the square of its slope
        local = (np.column_stack([xy, z]) - shift) @ rotation
        step = (face.z(local[:, 0], local[:, 1]) - local[:, 2]) / rotation[2, 2]
        z = z + step
        if np.max(np.abs(step), initial=0.0) < _CLOSE_MM:
            break
    return z


def top_glue_z_mm(placed: Placed, xy: Points) -> Floats:
    """Return the height (n,) of the top's inner face over plan points (n, 2), body axes, mm."""
    return face_z_mm(placed.top.dome.inner, placed.top_pose, xy)


def back_glue_z_mm(placed: Placed, xy: Points) -> Floats:
    """Return the height (n,) of the back's inner face over plan points (n, 2), body axes, mm."""
    return face_z_mm(placed.back.dome.inner, placed.back_pose, xy)


def gap_mm(placed: Placed, x_mm: float, y_mm: float) -> float:
    """Return the upright distance between the two inner faces at one place."""
    at = np.array([[x_mm, y_mm]])
    return float(top_glue_z_mm(placed, at)[0] - back_glue_z_mm(placed, at)[0])


def slopes_deg(placed: Placed, x_mm: float, y_mm: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return how the inner faces of top and back rise towards +x and +y at a place, degrees."""
    step = 0.5
    at = np.array([[x_mm - step, y_mm], [x_mm + step, y_mm], [x_mm, y_mm - step], [x_mm, y_mm + step]])
    out = []
    for z in (top_glue_z_mm(placed, at), back_glue_z_mm(placed, at)):
        rises = (z[1] - z[0]) / (2 * step), (z[3] - z[2]) / (2 * step)
        out.append((degrees(atan(rises[0])), degrees(atan(rises[1]))))
    return out[0], out[1]
