"""How a plate sits in the body: the top as it lies, the back tilted until it meets both depths.

A plate's own frame is what one sees standing inside the box with the neck up: u to the right, v to the neck,
w towards the eye. For the top u = -x, for the back u = +x.
"""

from __future__ import annotations

from collections.abc import Callable
from math import asin, atan2, cos, hypot, sin

import numpy as np

from braces.base.arrays import Points
from braces.curves.frames import Placement
from braces.design.model import BodySpec
from braces.placed.dome import Dome

TOP = Placement(((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)), (0.0, 0.0, 0.0))


def back_pose(body: BodySpec, top: Dome, back: Dome) -> tuple[Placement, float]:
    """Return the back plate's place in the body and its tilt in radians, positive if the neck end is the nearer.

    The back's outer face must lie ``depth.tail`` under the top's outer edge at the tail and ``depth.neck`` at the
    neck, both on the centre line. In its own frame the back's tail end stays at v = 0.
    """
    length = body.length_mm
    z_tail = -top.outer.at(0.0, 0.0) - body.depth.tail_mm
    z_neck = -top.outer.at(0.0, length) - body.depth.neck_mm
    slope = atan2(z_neck - z_tail, length)
    if back.shape == "sphere":
        radius, chord = back.radius_mm, hypot(length, z_neck - z_tail)
        rise = (radius**2 - chord**2 / 4) ** 0.5
        yc = length / 2 - rise * sin(slope)
        zc = (z_tail + z_neck) / 2 + rise * cos(slope)
        tilt = asin((0.0 - yc) / radius) - asin((0.0 - back.apex_y_mm) / radius)
    else:
        tilt = slope
    # The plate frame turned about x by the tilt: v leans up (towards the top) at the neck end.
    c, s = cos(tilt), sin(tilt)
    rotation = ((1.0, 0.0, 0.0), (0.0, c, -s), (0.0, s, c))
    if back.shape == "sphere":
        # The sphere's centre, at (apex, radius) in the plate frame, must land on (yc, zc).
        shift = (
            0.0,
            yc - (c * back.apex_y_mm - s * back.radius_mm),
            zc - (s * back.apex_y_mm + c * back.radius_mm),
        )
    else:
        shift = (0.0, 0.0, z_tail)
    return Placement(rotation, shift), tilt


def seen_on_plate(dome: Dome, pose: Placement) -> Callable[[Points], Points]:
    """Return the map from body plan to plate plan, (n, 2) to (n, 2): an upright line meets the plate's outer face."""
    rotation, shift = np.array(pose.rotation), np.array(pose.shift)

    def seen(xy: Points) -> Points:
        z = np.zeros(len(xy))
        for _ in range(40):  # the face is nearly level, so following it converges by the square of its slope
            local = (np.column_stack([xy, z]) - shift) @ rotation
            z_next = z + (dome.outer.z(local[:, 0], local[:, 1]) - local[:, 2]) / rotation[2, 2]
            if np.max(np.abs(z_next - z)) < 1e-12:
                break
            z = z_next
        return np.asarray(((np.column_stack([xy, z]) - shift) @ rotation)[:, :2])

    return seen
