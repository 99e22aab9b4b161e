"""Templates of the rim: what is drawn against what was worked out, words whole and apart, pieces that fit paper."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon
from support.designs import carved_of

from braces.sheets.drawing import Drawing, Label
from braces.sheets.joins import pieces
from braces.sheets.lettering import lacking
from braces.sheets.rim_bend import rim_form_drawings
from braces.sheets.rim_side import side_drawings
from braces.sheets.rim_tape import tape_drawings
from braces.workshop.rim import rim
from braces.workshop.tape import tapes

NAMES = ("fieldfare", "linnet", "wren", "whimbrel")


@cache
def all_of(name: str) -> tuple[Drawing, ...]:
    carved = carved_of(name)
    hand = carved.placed.design.handed
    sides = side_drawings(rim(carved.placed), hand)
    return (*sides, *tape_drawings(tapes(carved), hand), *rim_form_drawings(carved.placed))


def by_key(name: str, key: str) -> Drawing:
    return next(d for d in all_of(name) if d.key == key)


@pytest.mark.parametrize("name", NAMES)
def test_words_keep_apart_and_can_be_printed(name: str) -> None:
    for drawing in all_of(name):
        rooms = [(w, Polygon(w.corners).buffer(-0.05)) for w in drawing.labels]
        for (a, ra), (b, rb) in itertools.combinations(rooms, 2):
            assert not ra.intersects(rb), f"{drawing.key}: {a.text!r} on {b.text!r}"
        assert not lacking("".join(w.text for w in drawing.labels))


@pytest.mark.parametrize("name", NAMES)
def test_words_stay_off_the_edges(name: str) -> None:
    for drawing in all_of(name):
        edges = [s for s in drawing.strokes if s.layer in ("cut", "glue")]
        for label in drawing.labels:
            room = Polygon(label.corners).buffer(-0.05)
            for edge in edges:
                ends = np.vstack([edge.points, edge.points[:1]]) if edge.closed else edge.points
                assert not room.intersects(LineString(ends)), f"{drawing.key}: {label.text!r} on a {edge.layer} line"


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width_mm", [180.0, 250.0, 380.0])
def test_strips_fit_paper_with_all_their_words(name: str, width_mm: float) -> None:
    for drawing in all_of(name):
        if drawing.kind != "strip":
            continue
        parts = pieces(drawing, width_mm, iter("ABCDEFGHIJKLMNOP"))
        assert all(p.box[2] - p.box[0] <= width_mm + 1e-6 for p in parts)
        whole = [m for p in parts for m in p.marks if isinstance(m, Label)]
        assert {w.text for w in drawing.labels} <= {w.text for w in whole}
        for part in (p for p in parts if p.box[2] - p.box[0] > 100):  # a cut strip still says what it is
            assert any(isinstance(m, Label) and drawing.title in m.text for m in part.marks)


@pytest.mark.parametrize("name", NAMES)
def test_side_template_is_as_high_as_the_side_and_what_is_left_for_sanding(name: str) -> None:
    made = rim(carved_of(name).placed)
    drawing = by_key(name, "rim-side")
    cut = next(s for s in drawing.strokes if s.layer == "cut")
    side = made.side("treble")
    assert np.ptp(cut.points[:, 0]) == pytest.approx(side.length_mm, abs=1e-6)
    outline = Polygon(cut.points)
    right = name != "linnet"  # a left-handed treble side seen from outside has its tail on the right
    for mark in side.marks[1:-1]:
        x = mark.along_mm if right else -mark.along_mm
        span = outline.intersection(LineString([(x, -500), (x, 500)]))
        assert span.length == pytest.approx(mark.height_mm + 2 * made.spec.sanding_mm, abs=0.01)
        assert any(f"{mark.kind} {mark.height_mm:.1f}" == w.text for w in drawing.labels)
    assert ("tail on the left" in drawing.face) == right


@pytest.mark.parametrize("name", NAMES)
def test_tape_reads_from_inside(name: str) -> None:
    """Looking outwards with the top up, the right hand is look x up: towards the tail on the side at x > 0."""
    carved = carved_of(name)
    treble = 1.0 if carved.placed.design.handed == "right" else -1.0
    for tape, sign in zip(tapes(carved), (-treble, treble), strict=True):
        right = np.cross([sign, 0.0, 0.0], [0.0, 0.0, 1.0])
        drawing = by_key(name, f"rim-strip-{tape.side}")
        cuts = [s for s in drawing.strokes if s.layer == "cut"]
        assert len(cuts) == 1 + len(tape.pockets)
        for pocket, stroke in zip(tape.pockets, cuts[1:], strict=True):
            x = sorted(abs(v) for v in (stroke.points[:, 0].min(), stroke.points[:, 0].max()))
            assert x == pytest.approx([pocket.from_mm, pocket.to_mm], abs=1e-9)
            assert np.sign(stroke.points[0, 0]) == np.sign(right[1])  # neck to the right where right is +y
            top = float(cuts[0].points[:, 1].max())
            assert (stroke.points[:, 1].mean() > top / 2) == (pocket.plate == "top")
            assert any(w.text == f"{pocket.number} {pocket.brace}" for w in drawing.labels)
        assert (f"tail on the {'right' if right[1] < 0 else 'left'}") in drawing.face


def test_forms_follow_the_outline() -> None:
    placed = carved_of("fieldfare").placed
    outline = LineString(placed.outline.point(np.linspace(0, 8, 20001)))
    for drawing in rim_form_drawings(placed):
        cut = next(s for s in drawing.strokes if s.layer == "cut")
        near = [p for p in cut.points if p[0] < 188.1 and -0.1 <= p[1] <= 482.1]
        assert len(near) > 200
        assert max(outline.distance(LineString([p, p + 1e-9])) for p in near[::7]) < 0.01
        assert "treble side on the right" in drawing.face


def test_sides_that_differ_get_a_template_each() -> None:
    made = rim(carved_of("fieldfare").placed)
    long = replace(made.sides[0], along_mm=made.sides[0].along_mm * 1.01)
    drawings = side_drawings(replace(made, sides=(long, made.sides[1]), alike=False, differ_mm=7.2), "right")
    assert [d.key for d in drawings] == ["rim-side-bass", "rim-side-treble"]
    assert "tail on the right" in drawings[0].face
    assert any("differ by up to 7.2" in w.text for w in drawings[0].labels)
