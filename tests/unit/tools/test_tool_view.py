"""Line drawings of parts: isometric projection shortens the three axes alike, by sqrt(2/3) (ISO 5456-3)."""

from math import sqrt

import numpy as np
import pytest
from support.tool_parts import parts_of

from braces.solids.tools.bodies import box, triangles
from braces.solids.tools.part import Piece
from braces.solids.tools.view import outline_view, piece_view


def drawn_mm(lines) -> float:
    return float(sum(np.linalg.norm(np.diff(line, axis=0), axis=1).sum() for line in lines))


def test_a_block_shows_nine_of_its_twelve_edges():
    lines = piece_view(Piece("block", *triangles(box((0, 0, 0), (40, 30, 20)))), np.zeros(3))
    assert drawn_mm(lines) == pytest.approx(3 * (40 + 30 + 20) * sqrt(2 / 3), rel=0.01)


def test_what_lies_behind_is_not_drawn():
    hidden = box((0, 0, 0), (40, 30, 20)) + box((10, 40, 0), (12, 42, 3))
    lines = piece_view(Piece("two", *triangles(hidden)), np.zeros(3))
    alone = piece_view(Piece("one", *triangles(box((0, 0, 0), (40, 30, 20)))), np.zeros(3))
    assert drawn_mm(lines) == pytest.approx(drawn_mm(alone), rel=0.01)


@pytest.mark.parametrize("name", ["sanding-caul-top", "carving-gauge-top-x-bass", "go-bar-cup-caul"])
def test_a_view_is_as_wide_as_its_part(name):
    made = next(p for p in parts_of("fieldfare") if p.name == name)
    lines = outline_view(made)
    points = np.concatenate(lines)
    first = made.pieces[0].size_mm
    assert np.ptp(points[:, 0]) >= (first[0] + first[1]) / sqrt(2) * 0.98
