"""How the plates sit on the rim.

Sources: closed form of a sphere through two given points; rigid motions; upright walls are common practice.
"""

from math import sqrt

import numpy as np
import pytest
from support.designs import TWO, placed_of

from braces.placed.values import Placed

CASES = [(name, ()) for name in TWO] + [
    ("fieldfare", (('tail = "104 mm", neck = "85 mm"', 'tail = "120 mm", neck = "72 mm"'),)),
    ("fieldfare", (('radius = "15 ft", apex = "at the waist"', 'radius = "10 ft", apex = "at the lower bout"'),)),
    ("fieldfare", (('dome = { shape = "sphere", radius = "15 ft"', 'dome = { shape = "cylinder", radius = "15 ft"'),)),
    ("fieldfare", (('dome = { shape = "sphere", radius = "15 ft", apex', 'dome = { shape = "flat", apex'),)),
]
IDS = ["fieldfare", "dunnock", "steep", "tight", "cylinder", "flat"]


@pytest.mark.parametrize(("name", "changes"), CASES, ids=IDS)
def test_back_meets_both_depths(name: str, changes: tuple[tuple[str, str], ...]) -> None:
    """On the centre line the back's outer face lies the depth below the top's outer face, at tail and neck."""
    placed = placed_of(name, *changes)
    body = placed.design.body
    for y, depth in ((0.0, body.depth.tail_mm), (body.length_mm, body.depth.neck_mm)):
        top_z = -placed.top.dome.outer.at(0.0, y)
        assert outer_face(placed, y) == pytest.approx(top_z - depth, abs=1e-6)


def outer_face(placed: Placed, y: float) -> float:
    """Height of the back's outer face over a place of the centre line, in the body: found by halving."""
    dome, pose = placed.back.dome, placed.back_pose
    low, high = y - 50.0, y + 50.0
    for _ in range(80):
        v = (low + high) / 2
        at = pose(np.array([0.0, v, dome.outer.at(0.0, v)]))
        low, high = (v, high) if at[1] < y else (low, v)
    return float(at[2])


@pytest.mark.parametrize("name", TWO)
def test_back_is_the_sphere_through_both_depths(name: str) -> None:
    """Its centre, put into the body, is R away from both points; its apex lies where the file says, measured on it."""
    placed = placed_of(name)
    body, dome = placed.design.body, placed.back.dome
    centre = placed.back_pose(np.array([0.0, dome.apex_y_mm, dome.radius_mm]))
    for y, depth in ((0.0, body.depth.tail_mm), (body.length_mm, body.depth.neck_mm)):
        z = -placed.top.dome.outer.at(0.0, y) - depth
        assert sqrt(centre[0] ** 2 + (centre[1] - y) ** 2 + (centre[2] - z) ** 2) == pytest.approx(
            dome.radius_mm, abs=1e-6
        )
    assert centre[2] > 0  # the back bulges outwards: its centre is on the top's side


@pytest.mark.parametrize(("name", "changes"), CASES, ids=IDS)
def test_poses_are_rigid(name: str, changes: tuple[tuple[str, str], ...]) -> None:
    for pose in (placed_of(name, *changes).top_pose, placed_of(name, *changes).back_pose):
        r = np.array(pose.rotation)
        assert r @ r.T == pytest.approx(np.eye(3), abs=1e-12)
        assert np.linalg.det(r) == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize(("name", "changes"), CASES, ids=IDS)
def test_back_outline_stands_on_upright_walls(name: str, changes: tuple[tuple[str, str], ...]) -> None:
    """Every point of the back's outline, raised onto its outer face and put into the body, is over the body outline."""
    placed = placed_of(name, *changes)
    back, dome = placed.back.outline, placed.back.dome
    ratio = back.count // placed.outline.count
    u = back.grid(23)
    plan = back.point(u)
    raised = placed.back_pose(np.column_stack([plan, dome.outer.z(plan[:, 0], plan[:, 1])]))
    assert raised[:, :2] == pytest.approx(placed.outline.point(u / ratio), abs=1e-3)


@pytest.mark.parametrize(("name", "changes"), CASES, ids=IDS)
def test_tilt_is_the_angle_between_the_chords(name: str, changes: tuple[tuple[str, str], ...]) -> None:
    """The chord from tail to neck slopes one way in the body, another in the plate's frame: the tilt is the rest."""
    placed = placed_of(name, *changes)
    body, outer = placed.design.body, placed.back.dome.outer
    tops = [-placed.top.dome.outer.at(0.0, y) for y in (0.0, body.length_mm)]
    in_body = np.arctan((tops[1] - body.depth.neck_mm - tops[0] + body.depth.tail_mm) / body.length_mm)
    v = float(placed.back.outline.point(placed.back.outline.count / 2)[1])
    in_plate = np.arctan((outer.at(0.0, v) - outer.at(0.0, 0.0)) / v)
    assert placed.back_tilt_deg == pytest.approx(np.degrees(in_body - in_plate), abs=1e-4)
