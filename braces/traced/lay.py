"""The joined outline laid in body axes: axis, ends and side settled, ready to be fitted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Points
from braces.base.problems import Problem
from braces.traced.axis import Axis, Way, directed, found_axis, given_axis
from braces.traced.course import Course, folded, half_course, whole_course
from braces.traced.half import Half, anticlockwise
from braces.traced.join import Chain
from braces.traced.mirror import MirrorLine, Symmetry, symmetry
from braces.traced.pieces import refusal
from braces.traced.polylines import calmed, resampled, with_straights_filled

NOT_ALIKE_MM = 8.0  #: sides that differ by more than this are meant to differ
Ends = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Wish:
    """What of the laying is asked for."""

    axis: Ends | None  #: tail and neck in the drawing, mm
    neck: Way | None
    symmetrise: bool
    mirrored: bool  #: treble side on the left when the neck is up
    corner_deg: float


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A course and how it came to be there."""

    course: Course
    axis: Axis
    flipped: bool  #: x was turned over
    alike: Symmetry | None  #: None for a half
    treatment: str  #: "kept", "symmetrised" or "mirrored half"
    straight_mm: float  #: longest side taken as drawn straight, 0 if none

    def to_body(self, points: Points) -> Points:
        """Return points (n, 2) of the drawing, mm, in the course's axes."""
        body = self.axis.to_body(points)
        return body * [-1.0 if self.flipped else 1.0, 1.0] - [0.0, self.course.tail_mm]


def laid_half(half: Half, wish: Wish, name: str, notes: list[Problem]) -> Laid:
    """Return half an outline laid on the treble side of the axis through its ends."""
    points, straight = with_straights_filled(half.points, closed=False)
    a, b = points[0], points[-1]
    length = float(np.hypot(*(b - a)))
    u = (b - a) / length
    found = "through the half's ends" + (", where a straight side is drawn" if half.centre_line else "")
    axis = Axis(MirrorLine((float(a[0]), float(a[1])), (float(u[0]), float(u[1]))), found)
    if wish.axis is not None:
        given = given_axis(wish.axis, name).line.direction
        neck_first = u[0] * given[0] + u[1] * given[1] < 0
    else:
        neck_first = directed(resampled(points, 2.0), axis, wish.neck, name, notes) is not axis
    if neck_first:
        points = points[::-1]
        axis = Axis(MirrorLine((float(b[0]), float(b[1])), (-float(u[0]), -float(u[1]))), axis.found)
    body = axis.to_body(points)
    flipped = bool(abs(body[:, 0].min()) > body[:, 0].max())
    body = body * [-1.0 if flipped else 1.0, 1.0]
    body[[0, -1], 0] = 0.0
    return Laid(half_course(body, wish.corner_deg), axis, flipped, None, "mirrored half", straight)


def laid_whole(outline: Chain, wish: Wish, name: str, notes: list[Problem]) -> Laid:
    """Return a closed outline laid from its tail. Raises DesignError if it has no axis, or none that it meets."""
    points, straight = with_straights_filled(outline.points, closed=True)
    even = calmed(points, closed=True)
    if wish.axis is not None:
        axis = given_axis(wish.axis, name)
        alike = symmetry(even, axis.line)
    else:
        axis, alike = found_axis(even, wish.neck, name, notes)
    if wish.symmetrise and alike.greatest_mm > NOT_ALIKE_MM:
        raise refusal(
            "T12",
            name,
            f"its sides differ by up to {alike.greatest_mm:.1f} mm, so they are not made alike",
            "leave --symmetrise out to keep the body as it is drawn, or check the axis",
        )
    body = anticlockwise(axis.to_body(points) * [-1.0 if wish.mirrored else 1.0, 1.0])
    course = whole_course(body, wish.corner_deg)
    if course is None:
        raise refusal(
            "T08",
            name,
            "the axis given does not cross the outline at both ends",
            "give two places on the centre line, tail first, in the drawing's own units",
        )
    if wish.symmetrise:
        return Laid(folded(course), axis, wish.mirrored, alike, "symmetrised", straight)
    return Laid(course, axis, wish.mirrored, alike, "kept", straight)
