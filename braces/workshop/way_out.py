"""Whether a stick can be turned and drawn out through the soundhole: a search over its places and directions.

A pose of a round rod has five numbers: its middle, where it points in plan, and how steeply. The search steps on a
grid of poses, nearest to the hole first. A step counts only if the whole movement is free: it is halved until the
clearances at both ends of each piece together exceed the furthest that any point of the rod moves in it.

A way that is found is a way. None found means none on this grid: with finer steps, or with a plate pressed out by
hand, there may still be one. Hands and eyes, which have to reach in as well, are not looked at.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from math import degrees, hypot, radians, sin, sqrt

import numpy as np

from braces.base.arrays import Array, Floats
from braces.workshop.space import Rod, Space, clearances

Node = tuple[int, int, int, int, int]
_STEPS_MM = (10.0, 10.0, 4.0)
_TURN_DEG, _LEAN_DEG = 15.0, 10.0
_TURNS, _LEANS = 24, 10  #: leans from upright (0) to level (9)
_STEEPEST_LEAN = 7  #: drawn out only if it leans no more than 70 degrees from upright
_GREED = 1.5
_SMALLEST_MM = 0.02


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a stick is and how it points."""

    x_mm: float  #: its middle, body axes
    y_mm: float
    z_mm: float
    turn_deg: float  #: direction in plan of its upper end, anticlockwise from the treble side of a right-handed body
    lean_deg: float  #: from upright


@dataclass(frozen=True, slots=True)
class WayOut:
    """The answer of a search."""

    found: bool
    poses: tuple[Pose, ...]  #: from where it stands to where it is drawn straight out along itself
    least_clearance_mm: float  #: at the poses of the way; nearest misses lie between them
    looked_at_count: int


def way_out(space: Space, rod: Rod, at: tuple[float, float, float], most_count: int = 4000) -> WayOut:
    """Return a way out of a rod that stands upright with its middle at ``at``, looking at no more poses than given."""
    search = _Search(space, rod, at)
    first: Node = (0, 0, 0, 0, 0)
    start = float(search.clear([first])[0])
    nothing = WayOut(False, (), start, 0)
    if start <= 0 or rod.radius_mm >= space.hole_radius_mm:
        return nothing
    queue: list[tuple[float, Node, Node | None, float, float]] = [(0.0, first, None, 0.0, start)]
    before: dict[Node, Node | None] = {}
    free: dict[Node, float] = {first: start}
    looked = 0
    while queue and looked < most_count:
        _, node, parent, cost, clear = heapq.heappop(queue)
        if node in before:
            continue
        if parent is not None and not search.passes(parent, node, free[parent], clear):
            continue
        before[node] = parent
        looked += 1
        if search.draws_out(node):
            return WayOut(True, *search.told(before, free, node), looked)
        nexts = [n for n in _neighbours(node) if n not in before]
        clears = search.clear([n for n in nexts if n not in free])
        free |= dict(zip([n for n in nexts if n not in free], map(float, clears), strict=True))
        for n in nexts:
            if free[n] > 0:
                far = cost + search.moved(node, n)
                heapq.heappush(queue, (far + _GREED * search.left(n), n, node, far, free[n]))
    return WayOut(False, (), start, looked)


def _neighbours(node: Node) -> list[Node]:
    x, y, z, a, e = node
    out = [(x + 1, y, z, a, e), (x - 1, y, z, a, e), (x, y + 1, z, a, e), (x, y - 1, z, a, e)]
    out += [(x, y, z + 1, a, e), (x, y, z - 1, a, e)]
    if e == 0:  # upright: it may lean any way
        return [*out, *((x, y, z, k, 1) for k in range(_TURNS))]
    out += [(x, y, z, (a + 1) % _TURNS, e), (x, y, z, (a - 1) % _TURNS, e)]
    out.append((x, y, z, a, e - 1) if e > 1 else (x, y, z, 0, 0))
    if e < _LEANS - 1:
        out.append((x, y, z, a, e + 1))
    return out


class _Search:
    """A rod in a space, and its poses on a grid about the place where it stands."""

    def __init__(self, space: Space, rod: Rod, at: tuple[float, float, float]) -> None:
        self._space, self._rod, self._at = space, rod, np.array(at)

    def _poses(self, nodes: list[Node]) -> tuple[Array, Array]:
        """Middles and unit vectors (m, 3)."""
        n = np.array(nodes, dtype=float).reshape(-1, 5)
        return self._at + n[:, :3] * np.array(_STEPS_MM), _ways(n[:, 3] * _TURN_DEG, n[:, 4] * _LEAN_DEG)

    def clear(self, nodes: list[Node]) -> Floats:
        if not nodes:
            return np.zeros(0)
        return clearances(self._space, self._rod, *self._poses(nodes))

    def _angles(self, a: Node, b: Node) -> tuple[float, float]:
        """Turn of the first and how much it turns, degrees; an upright rod has the other's turn."""
        ta, tb = (b[3], b[3]) if a[4] == 0 else (a[3], a[3] if b[4] == 0 else b[3])
        by = (tb - ta + _TURNS // 2) % _TURNS - _TURNS // 2
        return ta * _TURN_DEG, by * _TURN_DEG

    def moved(self, a: Node, b: Node) -> float:
        """The furthest that any point of the rod moves in a step, or a little more."""
        shift = hypot(*((q - p) * s for p, q, s in zip(a[:3], b[:3], _STEPS_MM, strict=True)))
        _, turn = self._angles(a, b)
        widest = max(sin(radians(a[4] * _LEAN_DEG)), sin(radians(b[4] * _LEAN_DEG)))
        swing = abs(radians(turn)) * widest + abs(radians((b[4] - a[4]) * _LEAN_DEG))
        return shift + swing * (self._rod.length_mm / 2 + self._rod.radius_mm)

    def passes(self, a: Node, b: Node, clear_a: float, clear_b: float) -> bool:
        """Whether the whole step from a to b is free."""
        whole = self.moved(a, b)
        turn, by = self._angles(a, b)
        pa, pb = self._at + np.array(a[:3]) * _STEPS_MM, self._at + np.array(b[:3]) * _STEPS_MM
        t, c = np.array([0.0, 1.0]), np.array([clear_a, clear_b])
        while True:
            gap = np.flatnonzero(c[:-1] + c[1:] < whole * np.diff(t))
            if not len(gap):
                return True
            if whole * (t[gap[0] + 1] - t[gap[0]]) < _SMALLEST_MM:
                return False
            more = (t[gap] + t[gap + 1]) / 2
            middles = pa + more[:, None] * (pb - pa)
            ways = _ways(turn + more * by, (a[4] + more * (b[4] - a[4])) * _LEAN_DEG)
            found = clearances(self._space, self._rod, middles, ways)
            if float(found.min()) <= 0:
                return False
            t, c = np.insert(t, gap + 1, more), np.insert(c, gap + 1, found)

    def _tip(self, node: Node) -> tuple[Floats, Floats]:
        middle, way = self._poses([node])
        return middle[0] + way[0] * self._rod.length_mm / 2, way[0]

    def left(self, node: Node) -> float:
        """A guess of how far it still has to go: its upper end to the hole, and its axis to point through it."""
        tip, way = self._tip(node)
        hole = np.array([*self._space.hole_at, self._space.outside_z_mm])
        low = tip - way * self._rod.length_mm
        off = hole - low
        aim = off - float(off @ way) * way  # how far its axis passes from the hole's middle
        return float(np.linalg.norm(hole - tip)) + 0.5 * float(np.linalg.norm(aim))

    def draws_out(self, node: Node) -> bool:
        """Whether the rod, drawn along itself from here, comes out clear: the room it sweeps is a longer rod."""
        if node[4] > _STEEPEST_LEAN:
            return False
        tip, way = self._tip(node)
        hole = np.array([*self._space.hole_at, self._space.outside_z_mm])
        through = tip + way * ((hole[2] - tip[2]) / way[2])
        if hypot(through[0] - hole[0], through[1] - hole[1]) > self._space.hole_radius_mm:
            return False
        low = tip - way * self._rod.length_mm
        far = (self._space.outside_z_mm - low[2]) / way[2] + 2 * self._rod.radius_mm
        long = self._rod.length_mm + far
        swept = Rod(long, self._rod.radius_mm)
        return bool(clearances(self._space, swept, (low + way * long / 2)[None], way[None])[0] > 0)

    def told(
        self, before: dict[Node, Node | None], free: dict[Node, float], last: Node
    ) -> tuple[tuple[Pose, ...], float]:
        """The way to a pose, without those in the middle of a straight stretch."""
        nodes, at = [], last
        while True:
            nodes.append(at)
            previous = before[at]
            if previous is None:
                break
            at = previous
        nodes.reverse()
        kept = [n for i, n in enumerate(nodes) if not _straight_on(nodes, i)]
        return tuple(self._pose(n) for n in kept), min(free[n] for n in nodes)

    def _pose(self, node: Node) -> Pose:
        middle, way = self._poses([node])
        turn = degrees(float(np.arctan2(way[0, 1], way[0, 0]))) % 360 if node[4] else 0.0
        x, y, z = (float(v) for v in middle[0])
        return Pose(x, y, z, turn, node[4] * _LEAN_DEG)


def _straight_on(nodes: list[Node], i: int) -> bool:
    if not 0 < i < len(nodes) - 1:
        return False
    return [b - a for a, b in zip(nodes[i - 1], nodes[i], strict=True)] == [
        b - a for a, b in zip(nodes[i], nodes[i + 1], strict=True)
    ]


def _ways(turn_deg: Floats, lean_deg: Floats) -> Array:
    a, e = np.radians(turn_deg), np.radians(lean_deg)
    return np.column_stack([np.sin(e) * np.cos(a), np.sin(e) * np.sin(a), np.cos(e)])


def cross_stays_in(arms_mm: tuple[float, float, float, float], hole_mm: float) -> bool:
    """Return True if a flat cross of four arms surely cannot leave through a hole of a diameter.

    So it is if every arm is longer than the hole is wide. When the second tip stands in the hole's plane, the plane
    also cuts another arm that lies square to it or in line beyond the middle, at least an arm's length away: both
    cannot be within the hole. False means only that this says nothing.

    >>> cross_stays_in((60.0, 60.0, 60.0, 60.0), 50.0), cross_stays_in((60.0, 60.0, 60.0, 40.0), 50.0)
    (True, False)
    """
    return min(arms_mm) > hole_mm


def level_slack_mm(gap_mm: float, radius_mm: float) -> float:
    """Return how much shorter than the gap between two parallel faces a rod has to be to lean over at all.

    On its way it stands on its diagonal: length^2 + (2 r)^2 <= gap^2.

    >>> round(level_slack_mm(100.0, 7.0), 3)
    0.985
    """
    return gap_mm - sqrt(gap_mm**2 - 4 * radius_mm**2)
