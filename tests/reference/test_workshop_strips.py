"""Pieces of a centre strip on the dome.

Sources: arcs and tangents of a circle (geometry); a slat bent to a radius has its inner face shorter by
thickness / radius than it was flat (bending, neutral face at the glue line); angles between unit vectors.
"""

from __future__ import annotations

from math import acos, asin, degrees

import numpy as np
import pytest
from support.designs import carved_of

from braces.workshop.strips import strip_cuts


@pytest.mark.parametrize("name", ["fieldfare", "linnet", "curlew"])
def test_lengths_of_both_faces_are_arcs_between_the_braces_walls(name: str) -> None:
    """Between two braces the walls stand parallel to the plate's axis: both faces span the same stretch of plan."""
    carved = carved_of(name)
    dome = carved.placed.back.dome
    r, y0 = dome.inner_radius_mm, dome.apex_y_mm
    pieces = carved.back.strip_pieces
    for piece, cut in list(zip(pieces, strip_cuts(carved), strict=True))[1:-1]:
        a, b, t = piece.from_mm - y0, piece.from_mm + piece.length_mm - y0, piece.thickness_mm
        assert cut.glue_mm == pytest.approx(r * (asin(b / r) - asin(a / r)), abs=1e-9)
        inner = (r - t) * (asin(b / (r - t)) - asin(a / (r - t)))
        assert cut.room_mm * (1 - t / r) == pytest.approx(inner, abs=2e-4)
        assert cut.neck_end.bevel_deg == pytest.approx(degrees(asin(b / r)), abs=1e-9)
        assert cut.tail_end.bevel_deg == pytest.approx(-degrees(asin(a / r)), abs=1e-9)


@pytest.mark.parametrize("name", ["fieldfare", "dunnock", "redstart"])
def test_ends_at_the_blocks_stand_upright_in_the_body(name: str) -> None:
    """The angle between the dome's radius at the end and the upright, both as vectors in the body."""
    carved = carved_of(name)
    placed = carved.placed
    dome, pose = placed.back.dome, placed.back_pose
    centre = pose(np.array([0.0, dome.apex_y_mm, dome.radius_mm]))
    cuts, pieces = strip_cuts(carved), carved.back.strip_pieces
    for y, end, sign in (
        (pieces[0].from_mm, cuts[0].tail_end, -1.0),
        (pieces[-1].from_mm + pieces[-1].length_mm, cuts[-1].neck_end, 1.0),
    ):
        foot = pose(np.array([0.0, y, dome.inner.at(0.0, y)]))
        normal = (centre - foot) / np.linalg.norm(centre - foot)
        lean = degrees(acos(min(1.0, float(normal[2]))))
        # A square end leans with the radius; where that leans away from the block, the face in the room must reach out.
        away = -sign * float(normal[1])
        assert end.bevel_deg == pytest.approx(np.copysign(lean, away), abs=1e-6)
        assert end.meets == ("neck block" if sign > 0 else "tail block")


def test_ends_name_the_braces_they_stop_at() -> None:
    cuts = strip_cuts(carved_of("fieldfare"))
    assert [c.tail_end.meets for c in cuts] == ["tail block", "back 4", "back 3", "back 2", "back 1"]
    assert [c.neck_end.meets for c in cuts] == ["back 4", "back 3", "back 2", "back 1", "neck block"]
    assert cuts[2].neck_end.words == "square"  # the apex lies there
    assert cuts[0].neck_end.words == "2.6 deg, top set back"
