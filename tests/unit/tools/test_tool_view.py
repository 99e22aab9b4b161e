"""Line drawings of parts: isometric projection shortens the three axes alike, by sqrt(2/3) (ISO 5456-3, from memory);
lengths of hidden lines worked out by hand beside each value."""

from math import sqrt

import numpy as np
import pytest
from support.tool_parts import parts_of

from braces.solids.tools.bodies import box, set_text, triangles
from braces.solids.tools.hidden import drawn_edges, skin_of, visible
from braces.solids.tools.strokes import text_lines
from braces.solids.tools.view import ABOVE, FRONT, LEFT, SLANT, UNDER, chained, views_of

BED = (220.0, 220.0, 250.0)


def drawn(made, gaze):
    vertices, faces = triangles(made)
    seen = gaze.seen(vertices)
    return visible(seen[drawn_edges(skin_of(vertices, faces), gaze)], seen[faces])


def run_mm(lines) -> float:
    return sum(float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) for line in lines)


def length_mm(pieces) -> float:
    return float(np.linalg.norm(pieces[:, 1] - pieces[:, 0], axis=1).sum())


def test_a_block_shows_nine_of_its_twelve_edges():
    block = box((0, 0, 0), (40, 30, 20))
    assert length_mm(drawn(block, SLANT)) == pytest.approx(3 * (40 + 30 + 20) * sqrt(2 / 3), abs=1e-9)
    for gaze, around in ((ABOVE, 140), (UNDER, 140), (FRONT, 120), (LEFT, 100)):
        assert length_mm(drawn(block, gaze)) == pytest.approx(around, abs=1e-9)


def test_what_lies_behind_is_not_drawn():
    block = box((0, 0, 0), (40, 30, 20))
    hidden = block + box((10, 40, 0), (12, 42, 3))
    assert length_mm(drawn(hidden, SLANT)) == pytest.approx(length_mm(drawn(block, SLANT)), abs=1e-6)


def test_a_bar_behind_a_block_shows_its_two_ends():
    """From the front: a block 20 x 20 before the middle of a bar 40 long and 5 high. The block's outline is 80; of the
    bar's, 10 at either end of both long edges and both short edges of 5 are seen."""
    both = box((10, 0, 0), (30, 5, 20)) + box((0, 10, 5), (40, 15, 10))
    assert length_mm(drawn(both, FRONT)) == pytest.approx(80 + 4 * 10 + 2 * 5, abs=0.01)
    # From behind, which is the left view turned: nothing of the bar is hidden, and it hides 2 x 5 of the block's sides.
    back = both.rotate((0, 0, 180))
    assert length_mm(drawn(back, FRONT)) == pytest.approx(90 + 80 - 10, abs=0.01)


def test_an_edge_through_the_plane_of_what_hides_it_goes_under_where_it_crosses():
    """A sloping edge from z = 0 to z = 20 over 40 mm under a level plate at z = 10, seen from above: it is seen from
    where it is higher than the plate, but for the play against edges on the surface itself, 0.08 mm in height."""
    plate = np.array(
        [[[0, -10, 10], [40, -10, 10], [40, 10, 10]], [[0, -10, 10], [40, 10, 10], [0, 10, 10]]], dtype=float
    )
    edge = np.array([[[0, 0, 0], [40, 0, 20]]], dtype=float)
    assert length_mm(visible(edge, plate)) == pytest.approx(20 + 0.08 * 2, abs=1e-6)


def test_pieces_that_meet_are_one_line():
    square = np.array([[[0, 0], [1, 0]], [[1, 1], [1, 0]], [[1, 1], [0, 1]], [[0, 0], [0, 1]]], dtype=float)
    (line,) = chained(square)
    assert len(line) == 5
    cross = np.array([[[0, 0], [1, 0]], [[1, 0], [2, 0]], [[1, 0], [1, 1]]], dtype=float)
    assert len(chained(cross)) == 3  # a line is not led round a corner of three


@pytest.mark.parametrize("made", parts_of("fieldfare"), ids=lambda p: p.name)
def test_views_are_as_large_as_their_part(made):
    views = views_of(made, BED)
    vertices = np.concatenate([p.vertices for p in made.pieces])
    size = vertices.max(axis=0) - vertices.min(axis=0)
    for view, axes in ((views.above, (0, 1)), (views.front, (0, 2)), (views.under, (0, 1)), (views.left, (1, 2))):
        if view is not None:
            points = np.concatenate(view.edges)
            assert np.ptp(points, axis=0) == pytest.approx(size[list(axes)], abs=0.1)
    if made.printed:
        assert views.bed is not None
        assert sum(len(v.words) for v in (views.above, views.front, views.under) if v) > 3


@pytest.mark.parametrize(
    "made", [p for p in parts_of("fieldfare") if p.name.startswith("sanding-liner")], ids=lambda p: p.name
)
def test_words_on_a_leaning_face_are_drawn_whole(made):
    text, height = set_text(made.marks[0])
    whole = [np.array(line) for line in text_lines(text, height)]
    assert run_mm(views_of(made, BED).above.words) == pytest.approx(run_mm(whole), rel=0.01)
