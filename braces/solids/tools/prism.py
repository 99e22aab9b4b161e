"""A plan outline of lines, arcs and cubics, drawn up between two levels: the solid of every flat tool."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import acos, ceil, comb, cos, hypot, pi, sin

import numpy as np
from OCP.Geom import Geom_Circle, Geom_CylindricalSurface
from OCP.Geom2d import Geom2d_Line
from OCP.gp import gp_Ax2, gp_Ax3, gp_Dir, gp_Dir2d, gp_Pnt, gp_Pnt2d
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Solid, TopoDS_Vertex

from braces.base.arrays import Array, Floats
from braces.curves.spline import Spline, from_pieces
from braces.solids.kernel import (
    along_u,
    backward,
    curve_edge,
    face,
    lay_on,
    line_edge,
    plan_line,
    plane,
    solid,
    spline_curve,
    spline_surface,
    vertex,
)

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular arc from one angle to another (rad); anticlockwise if the angle grows."""

    centre: Place
    radius_mm: float
    from_rad: float
    to_rad: float

    def point(self, angle_rad: float) -> Place:
        """Place at an angle."""
        return self.centre[0] + self.radius_mm * cos(angle_rad), self.centre[1] + self.radius_mm * sin(angle_rad)

    @property
    def ends(self) -> tuple[Place, Place]:
        """Where it starts and where it stops."""
        return self.point(self.from_rad), self.point(self.to_rad)

    @property
    def turn(self) -> float:
        """1 anticlockwise, -1 clockwise."""
        return 1.0 if self.to_rad > self.from_rad else -1.0

    @property
    def own_angles(self) -> tuple[float, float]:
        """The angles in its own sense of turning, the first within one turn, as the kernel counts them."""
        first = (self.turn * self.from_rad) % (2 * pi)
        return first, first + abs(self.to_rad - self.from_rad)


@dataclass(frozen=True, slots=True, eq=False)
class Cubic:
    """A spline with poles (m, 2), walked as its parameter grows, and the Bezier pieces that it is made of."""

    spline: Spline
    pieces: Array  #: (n, degree + 1, 2)

    @property
    def ends(self) -> tuple[Place, Place]:
        """Where it starts and where it stops."""
        (x0, y0), (x1, y1) = self.spline.poles[0].tolist(), self.spline.poles[-1].tolist()
        return (x0, y0), (x1, y1)


def cubic(knots: Floats, pieces: Array) -> Cubic:
    """Return the curve through Bezier pieces (n, degree + 1, 2) that meet end to end."""
    return Cubic(from_pieces(knots, pieces), pieces)


Piece = Place | Arc | Cubic  #: a corner, or a curve between the corners beside it
_SAME_MM = 1e-9
CHORD_MM = 0.005  #: how far the chords of a mesh may leave a curve


def corner_loop(pieces: Sequence[Piece]) -> list[tuple[Place, Arc | Cubic | None]]:
    """Return each corner of a closed outline with the curve that leaves it, or None for a straight line."""
    loop: list[tuple[Place, Arc | Cubic | None]] = []
    for piece in pieces:
        if isinstance(piece, tuple):
            loop.append((piece, None))
            continue
        start, stop = piece.ends
        if loop and _same(loop[-1][0], start) and loop[-1][1] is None:
            loop.pop()
        loop += [(start, piece), (stop, None)]
    if len(loop) > 1 and _same(loop[0][0], loop[-1][0]):
        loop.pop()
    return [a for a, b in pairwise([*loop, loop[0]]) if not (_same(a[0], b[0]) and a[1] is None)]


def _same(a: Place, b: Place) -> bool:
    return hypot(a[0] - b[0], a[1] - b[1]) < _SAME_MM


def prism(pieces: Sequence[Piece], low_mm: float, high_mm: float) -> TopoDS_Solid:
    """Return the solid between two levels over an outline that runs anticlockwise."""
    loop = corner_loop(pieces)
    feet = [vertex((x, y, low_mm)) for (x, y), _ in loop]
    heads = [vertex((x, y, high_mm)) for (x, y), _ in loop]
    posts = [line_edge(a, b) for a, b in zip(feet, heads, strict=True)]
    low: list[TopoDS_Edge] = []
    high: list[TopoDS_Edge] = []
    walls: list[TopoDS_Face] = []
    for i, (place, curve) in enumerate(loop):
        j = (i + 1) % len(loop)
        foot = _edge(curve, low_mm, feet[i], feet[j])
        head = _edge(curve, high_mm, heads[i], heads[j])
        low.append(foot)
        high.append(head)
        walls.append(_wall(curve, place, loop[j][0], (foot, posts[j], head, posts[i]), (low_mm, high_mm)))
    floor = face(plane((0, 0, low_mm), (0, 0, -1)), backward(low))
    return solid([*walls, floor, face(plane((0, 0, high_mm), (0, 0, 1)), high)])


def _edge(curve: Arc | Cubic | None, z_mm: float, a: TopoDS_Vertex, b: TopoDS_Vertex) -> TopoDS_Edge:
    if curve is None:
        return line_edge(a, b)
    if isinstance(curve, Cubic):
        raised = _raised(curve.spline, z_mm)
        return curve_edge(spline_curve(raised), a, b, float(raised.knots[0]), float(raised.knots[-1]))
    ring = Geom_Circle(gp_Ax2(gp_Pnt(*curve.centre, z_mm), gp_Dir(0, 0, curve.turn), gp_Dir(1, 0, 0)), curve.radius_mm)
    return curve_edge(ring, a, b, *curve.own_angles)


def _raised(spline: Spline, z_mm: float) -> Spline:
    poles = np.column_stack([spline.poles, np.full(len(spline.poles), z_mm)])
    return Spline(spline.degree, spline.knots, spline.multiplicities, poles)


def _wall(
    curve: Arc | Cubic | None,
    a: Place,
    b: Place,
    edges: tuple[TopoDS_Edge, TopoDS_Edge, TopoDS_Edge, TopoDS_Edge],
    levels: tuple[float, float],
) -> TopoDS_Face:
    """Return one wall; edges are foot, post at b, head, post at a."""
    foot, far, head, near = edges
    loop = (foot, far, head.Reversed(), near.Reversed())
    if curve is None:
        return face(plane((*a, levels[0]), (b[1] - a[1], a[0] - b[0], 0.0)), loop)
    if isinstance(curve, Arc):
        axis = gp_Ax3(gp_Pnt(*curve.centre, levels[0]), gp_Dir(0, 0, 1), gp_Dir(1, 0, 0))
        barrel = Geom_CylindricalSurface(axis, curve.radius_mm)
        turn = curve.turn
        # The parameters of the surface are the angle and the height above its foot.
        for edge, z in ((foot, 0.0), (head, levels[1] - levels[0])):
            lay_on(edge, barrel, Geom2d_Line(gp_Pnt2d(0.0, z), gp_Dir2d(turn, 0.0)))
        for edge, angle in zip((near, far), curve.own_angles, strict=True):
            lay_on(edge, barrel, Geom2d_Line(gp_Pnt2d(turn * angle, 0.0), gp_Dir2d(0.0, 1.0)))
        return face(barrel, loop, flipped=turn < 0)
    spline = curve.spline
    u0, u1 = float(spline.knots[0]), float(spline.knots[-1])
    lines = [_raised(spline, z).poles for z in levels]
    wall = spline_surface(_raised(spline, levels[0]), lines, levels)
    lay_on(foot, wall, along_u(levels[0]))
    lay_on(head, wall, along_u(levels[1]))
    lay_on(near, wall, plan_line((u0, levels[0]), (u0, levels[1])))
    lay_on(far, wall, plan_line((u1, levels[0]), (u1, levels[1])))
    return face(wall, loop)


def area_mm2(pieces: Sequence[Piece]) -> float:
    """Return the area inside an outline: Green's theorem, closed forms for lines and arcs, Gauss for cubics."""
    loop = corner_loop(pieces)
    total = 0.0
    for ((x0, y0), curve), ((x1, y1), _) in pairwise([*loop, loop[0]]):
        total += (x0 * y1 - x1 * y0) / 2
        if isinstance(curve, Arc):
            angle = curve.to_rad - curve.from_rad
            total += curve.radius_mm**2 / 2 * (angle - sin(angle))
        elif isinstance(curve, Cubic):
            total += _bulge_mm2(curve.pieces)
    return total


def _bulge_mm2(pieces: Array) -> float:
    """Area between a chain of Bezier pieces and its chord, positive on the right of the chord."""
    nodes, weights = np.polynomial.legendre.leggauss(4)
    t = (nodes + 1) / 2
    at = _bezier(pieces, t) - pieces[0, 0]
    rate = _bezier(np.diff(pieces, axis=1) * (pieces.shape[1] - 1), t)
    cross = (at[..., 0] * rate[..., 1] - at[..., 1] * rate[..., 0]) / 2
    return float(np.sum(cross @ weights / 2))


def _bezier(pieces: Array, t: Floats) -> Array:
    """Return points (n, k, 2) of Bezier pieces (n, degree + 1, 2) at ``t`` (k,)."""
    degree = pieces.shape[1] - 1
    weights = np.stack([comb(degree, i) * t**i * (1 - t) ** (degree - i) for i in range(degree + 1)], axis=1)
    return np.asarray(np.einsum("ki,nid->nkd", weights, pieces))


def polygon(pieces: Sequence[Piece], tolerance_mm: float = CHORD_MM) -> list[Place]:
    """Return an outline with its curves as chords that leave them by no more than the tolerance."""
    found: list[Place] = []
    for place, curve in corner_loop(pieces):
        found.append(place)
        if isinstance(curve, Arc):
            step = 2 * acos(max(0.0, 1 - tolerance_mm / curve.radius_mm))
            n = max(1, ceil(abs(curve.to_rad - curve.from_rad) / step))
            found += [curve.point(a) for a in np.linspace(curve.from_rad, curve.to_rad, n + 1)[1:-1].tolist()]
        elif isinstance(curve, Cubic):
            found += _chords(curve.pieces, tolerance_mm)
    return found


def _chords(pieces: Array, tolerance_mm: float) -> list[Place]:
    """Return the places within a chain of Bezier pieces, its ends left out.

    A chord over a share h of a piece leaves it by at most h^2 / 8 times its largest second derivative, which is
    no more than degree * (degree - 1) times the largest second difference of its poles.
    """
    degree = pieces.shape[1] - 1
    found: list[Place] = []
    for piece in pieces:
        bend = degree * (degree - 1) * float(np.linalg.norm(np.diff(piece, n=2, axis=0), axis=1).max())
        n = max(1, ceil((bend / (8 * tolerance_mm)) ** 0.5))
        found += [(x, y) for x, y in _bezier(piece[None], np.linspace(0, 1, n + 1)[1:])[0].tolist()]
    return found[:-1]
