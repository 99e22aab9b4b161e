"""Props coming out of the box: cases solved by hand, and real ways checked point by point with other geometry.

Sources: Pythagoras (a rod stands on its diagonal before it leans); what is wider than a hole, or walled in, stays in;
a planar flood over all cutting lines for the cross; spheres, shapely and the carved profiles for the real body.
"""

from __future__ import annotations

from itertools import pairwise
from math import hypot, inf, pi

import numpy as np
import pytest
from shapely import contains_xy
from shapely.geometry import Polygon
from support.designs import carved_of

from braces.carved.values import Carved
from braces.curves.frames import Placement, stay
from braces.curves.surface import Surface
from braces.workshop.props import PropSpec, fit_prop
from braces.workshop.space import Boxes, Face, Rod, Space, clearances
from braces.workshop.way_out import Pose, cross_stays_in, level_slack_mm, way_out

DEEP_MM = 100.0
WALL = np.array([(-200.0, -200.0), (200.0, -200.0), (200.0, 200.0), (-200.0, 200.0)])
DOWN = Placement(((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, -1.0)), (0.0, 0.0, 0.0))


def flat_box(hole_mm: float, boxes: tuple[Boxes, ...] = ()) -> Space:
    """A square room 100 deep under a flat lid without thickness, its hole at (0, 100)."""
    top = Face(Surface("plane", inf, 0.0, 0.0, 0.0), DOWN)
    back = Face(Surface("plane", inf, 0.0, 0.0, 0.0), Placement(stay().rotation, (0.0, 0.0, -DEEP_MM)))
    return Space(top, back, WALL, (0.0, 100.0), hole_mm / 2, 0.0, boxes)


def ring(height_mm: float, half_mm: float = 90.0) -> Boxes:
    """Four walls from the floor round the place (0, -60)."""
    h, t, low = half_mm, 6.0, -DEEP_MM - 5.0
    top, y = -DEEP_MM + height_mm, -60.0
    rows = [
        (-h - t, y - h - t, low, h + t, y - h, top),
        (-h - t, y + h, low, h + t, y + h + t, top),
        (-h - t, y - h, low, -h, y + h, top),
        (h, y - h, low, h + t, y + h, top),
    ]
    return Boxes("ring", stay(), np.array(rows))


def middle(y: float = -60.0) -> tuple[float, float, float]:
    return (0.0, y, -DEEP_MM / 2)


def test_a_rod_longer_than_the_hole_is_wide_leaves_endwise() -> None:
    found = way_out(flat_box(60.0), Rod(97.0, 5.0), middle())
    assert found.found
    assert found.poses[0] == Pose(0.0, -60.0, -50.0, 0.0, 0.0)


def test_a_rod_thicker_than_the_hole_stays() -> None:
    assert not way_out(flat_box(60.0), Rod(40.0, 30.5), middle()).found


def test_a_rod_under_a_box_without_reach_of_the_hole_stays() -> None:
    """Walled in all round to within less than its thickness of the lid: whatever it does, it is too thick to pass."""
    gap = 9.0
    assert not way_out(flat_box(60.0, (ring(DEEP_MM - gap, 50.0),)), Rod(80.0, 5.0), middle(), 1500).found


def test_a_rod_lies_down_over_a_wall_it_fits_over() -> None:
    """Walls that leave 30 mm under the lid: a rod 10 thick passes lying or leaning."""
    space = flat_box(60.0, (ring(DEEP_MM - 30.0),))
    found = way_out(space, Rod(80.0, 5.0), middle())
    assert found.found
    assert max(p.lean_deg for p in found.poses) > 60  # it cannot stay upright: 80 + walls is more than the room


@pytest.mark.parametrize("radius", [4.0, 7.0])
def test_slack_to_lean_is_the_diagonal(radius: float) -> None:
    """Low walls keep it from walking upright under the hole, so it has to lean: Pythagoras says with what slack."""
    space = flat_box(80.0, (ring(25.0, 45.0),))
    least = DEEP_MM - (DEEP_MM**2 - (2 * radius) ** 2) ** 0.5
    assert level_slack_mm(DEEP_MM, radius) == pytest.approx(least, rel=1e-12)
    # The end is looked at as a polygon of 16 corners round its circle: 2 % thicker; a hair of room is kept.
    assert way_out(space, Rod(DEEP_MM - 1.10 * least - 0.05, radius), middle()).found
    assert not way_out(space, Rod(DEEP_MM - 0.97 * least, radius), middle()).found


def test_clearance_of_a_lying_rod_by_hand() -> None:
    space = flat_box(60.0, (Boxes("step", stay(), np.array([(50.0, -50.0, -105.0, 60.0, 50.0, -60.0)])),))
    rod = Rod(80.0, 5.0)
    level = np.array([[1.0, 0.0, 0.0]])
    high = clearances(space, rod, np.array([[0.0, 0.0, -30.0]]), level)[0]
    assert 19.8 < high < 25.0  # 25 to the lid; told no further than 25 less its radius
    over = clearances(space, rod, np.array([[0.0, 0.0, -80.0]]), level)[0]
    # 15 to the floor less the polygon's corners (2 % of 5) and 1 %; the step is 10 off its end, seen as a ball's round.
    assert 5.0 < over <= 10.0
    low = clearances(space, rod, np.array([[-40.0, 0.0, -90.0]]), level)[0]
    assert 4.8 < low <= 5.0
    touching = clearances(space, rod, np.array([[15.0, 0.0, -80.0]]), level)[0]
    assert touching < 0
    beside = clearances(space, rod, np.array([[-158.0, 0.0, -50.0]]), level)[0]
    assert -3.5 < beside < 2.0  # its end is 2 from the wall at x = -200: seen as a ball it may already touch


def test_clearance_is_never_too_great() -> None:
    """Random moves by less than the clearance touch nothing."""
    space = flat_box(60.0, (ring(60.0),))
    rod, dice = Rod(70.0, 5.0), np.random.default_rng(7)
    middles = dice.uniform((-150, -150, -90), (150, 150, -10), (400, 3))
    ways = dice.normal(size=(400, 3))
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    clear = clearances(space, rod, middles, ways)
    free = clear > 0.05
    assert 30 < free.sum() < 370
    push = dice.normal(size=(400, 3))
    push *= (0.98 * clear / np.linalg.norm(push, axis=1))[:, None]
    assert clearances(space, rod, middles + push, ways)[free].min() > -1e-9


def test_a_cross_with_long_arms_stays_and_with_short_ones_may_leave() -> None:
    for arm, hole, leaves in ((60.0, 50.0, False), (50.5, 50.0, False), (49.0, 50.0, True), (20.0, 50.0, True)):
        assert sweeps_over(arm, hole) == leaves
        assert not (cross_stays_in((arm,) * 4, hole) and leaves)
    assert cross_stays_in((60.0,) * 4, 50.0)
    assert not cross_stays_in((60.0, 60.0, 60.0, 45.0), 50.0)


def sweeps_over(arm: float, hole: float) -> bool:
    """Whether the hole's plane can sweep from outside a flat cross to its middle; the rest is the same backwards.

    The plane cuts the cross's own plane in the line s x + t y = 1, that is at 1/s and 1/t on the arms, where these
    are no longer than an arm; what it cuts must fit into the hole. A flood over (s, t), outwards from no cut at all.
    """
    s = np.linspace(0.0, 12.0, 600) / arm
    on = s >= 1 / arm
    with np.errstate(divide="ignore"):
        span = np.where(np.outer(on, on), np.hypot(1 / s[:, None], 1 / s[None, :]), 0.0)
    fits, seen, stack = span <= hole, set(), [(0, 0)]
    while stack:
        i, j = stack.pop()
        if (i, j) in seen or not (0 <= i < len(s) and 0 <= j < len(s)) or not fits[i, j]:
            continue
        seen.add((i, j))
        stack += [(i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)]
    return (len(s) - 1, len(s) - 1) in seen


@pytest.mark.parametrize(
    ("name", "x", "y"), [("fieldfare", -90.0, 150.0), ("fieldfare", 100.0, 380.0), ("dunnock", -60.0, 260.0)]
)
def test_a_way_out_touches_nothing(name: str, x: float, y: float) -> None:
    """Points all over the prop, at 40 places of every stretch and while it is drawn out, against other geometry."""
    carved = carved_of(name)
    fit = fit_prop(carved, PropSpec(x, y), advise=False)
    assert fit.way is not None
    assert fit.way.found
    rod = Rod(fit.length_mm - fit.spec.freed_by_mm, hypot(12.0, 12.0) / 2)
    for a, b in pairwise(fit.way.poses):
        for t in np.linspace(0, 1, 40):
            assert not touches(carved, *between(a, b, float(t)), rod)
    at, way = between(fit.way.poses[-1], fit.way.poses[-1], 0.0)
    for out in np.linspace(0, 200, 200):
        assert not touches(carved, at + out * way, way, rod)
    assert (at + 200 * way)[2] - rod.length_mm / 2 * way[2] > 0


def between(a: Pose, b: Pose, t: float) -> tuple[np.ndarray, np.ndarray]:
    """Middle and direction on the way from a to b; an upright stick turns as the other one."""
    turns = [b.turn_deg if a.lean_deg == 0 else a.turn_deg, a.turn_deg if b.lean_deg == 0 else b.turn_deg]
    by = (turns[1] - turns[0] + 180) % 360 - 180
    turn, lean = np.radians(turns[0] + t * by), np.radians(a.lean_deg + t * (b.lean_deg - a.lean_deg))
    at = np.array([p + t * (q - p) for p, q in ((a.x_mm, b.x_mm), (a.y_mm, b.y_mm), (a.z_mm, b.z_mm))])
    return at, np.array([np.sin(lean) * np.cos(turn), np.sin(lean) * np.sin(turn), np.cos(lean)])


def touches(carved: Carved, at: np.ndarray, way: np.ndarray, rod: Rod) -> bool:
    placed = carved.placed
    side = np.cross(way, [0.3, 0.5, 0.8])
    side /= np.linalg.norm(side)
    other = np.cross(way, side)
    turn = np.arange(16) * pi / 8
    skin = rod.radius_mm * (np.cos(turn)[:, None] * side + np.sin(turn)[:, None] * other)
    along = np.linspace(-rod.length_mm / 2, rod.length_mm / 2, 25)
    p = (at + along[:, None, None] * way + skin[None]).reshape(-1, 3)
    x, y, z = p.T
    top, back = placed.top.dome, placed.back.dome
    under = z <= np.sqrt(top.inner_radius_mm**2 - x**2 - (y - top.apex_y_mm) ** 2) - top.radius_mm
    in_hole = np.hypot(x, y - placed.soundhole_y_mm) <= placed.soundhole_radius_mm
    if not np.all(under | in_hole | (z >= 0)):
        return True
    centre = placed.back_pose(np.array([0.0, back.apex_y_mm, back.radius_mm]))
    low = centre[2] - np.sqrt(back.inner_radius_mm**2 - (x - centre[0]) ** 2 - (y - centre[1]) ** 2)
    if np.any(z < low):
        return True
    wall = Polygon(placed.outline.inside(placed.design.body.side_mm + placed.design.lining.thickness_mm).dense(60))
    if not np.all(contains_xy(wall, x, y) | (z >= 0)):
        return True
    plate = carved.top.bridge_plate
    if plate is not None:
        thick = placed.top.spec.bridge_plate.thickness_mm
        if np.any(contains_xy(Polygon(plate), x, y) & (z > -top.thickness_mm - thick) & (z < 0)):
            return True
    return any(in_brace(carved, b, p) for b in carved.braces)


def in_brace(carved: Carved, brace, p: np.ndarray) -> bool:
    """Bench coordinates from the axes' own words; what stands above the top is out of the box."""
    pose = carved.placed.top_pose if brace.plate == "top" else carved.placed.back_pose
    q = (p - np.array(pose.shift)) @ np.array(pose.rotation)  # plate frame: u, v, w
    flip = -1 if brace.plate == "top" else 1
    origin = np.array([flip * brace.origin_xy_mm[0], brace.origin_xy_mm[1], brace.glue_depth_mm])
    ahead = np.array([flip * brace.heading_xy[0], brace.heading_xy[1], 0.0])
    left = np.cross([0.0, 0.0, 1.0], ahead)
    d, z_body = q - origin, p[:, 2]
    bx, by, bz = d @ ahead, d @ left, d[:, 2]
    near = (z_body < 0) & (bx >= 0) & (bx <= brace.length_mm) & (np.abs(by) <= brace.width_mm / 2)
    if not near.any():
        return False
    return bool(np.any(bz[near] < brace.glue.z(bx[near], 0.0) + brace.height(bx[near])))


def test_the_check_itself_sees_a_prop_in_a_brace_a_plate_or_a_wall() -> None:
    carved = carved_of("fieldfare")
    up, rod = np.array([0.0, 0.0, 1.0]), Rod(60.0, 8.0)
    assert not touches(carved, np.array([-90.0, 150.0, -53.0]), up, rod)
    assert touches(carved, np.array([-90.0, 150.0, -25.0]), up, rod)  # through the top
    assert touches(carved, np.array([-90.0, 150.0, -80.0]), up, rod)  # through the back
    assert touches(carved, np.array([-178.0, 150.0, -53.0]), up, rod)  # in the lining
    brace = next(b for b in carved.back.braces if b.name == "back 2")
    assert touches(carved, np.array([40.0, brace.origin_xy_mm[1], -70.0]), up, rod)
