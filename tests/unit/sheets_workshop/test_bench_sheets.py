"""Sheets of rosette, centre strip and props: what is drawn against what was worked out, words whole and apart."""

from __future__ import annotations

import itertools
from functools import cache

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon
from support.designs import carved_of

from braces.app.workshop import rim_drawings
from braces.sheets.drawing import Drawing
from braces.sheets.lettering import lacking
from braces.workshop.bench import Bench, BenchSpec, bench
from braces.workshop.props import PropSpec, way_words

NAMES = ("fieldfare", "linnet", "wren", "redstart", "dunnock", "curlew")
#: Places whose props come out: on the bass side and on the centre line. + x is a left-handed body's bass side.
PROPS = {"fieldfare": (PropSpec(-95.0, 263.0), PropSpec(0.0, 45.0)),
         "linnet": (PropSpec(95.0, 263.0), PropSpec(0.0, 45.0))}  # fmt: skip
NEW = ("rosette", "strip-back", "strip-top", "props")


@cache
def made(name: str) -> tuple[Bench, dict[str, Drawing]]:
    carved = carved_of(name)
    work = bench(carved, BenchSpec(props=PROPS.get(name, ())))
    return work, {d.key: d for d in rim_drawings(carved, work) if d.key in NEW}


@pytest.mark.parametrize("name", NAMES)
def test_words_keep_apart_and_off_the_cut_lines(name: str) -> None:
    for drawing in made(name)[1].values():
        rooms = [(w, Polygon(w.corners).buffer(-0.05)) for w in drawing.labels]
        for (a, ra), (b, rb) in itertools.combinations(rooms, 2):
            assert not ra.intersects(rb), f"{drawing.key}: {a.text!r} on {b.text!r}"
        for stroke in (s for s in drawing.strokes if s.layer == "cut"):
            ends = np.vstack([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
            for w, room in rooms:
                assert not room.intersects(LineString(ends)), f"{drawing.key}: {w.text!r} on a cut line"
        assert not lacking("".join(w.text for w in drawing.labels))


@pytest.mark.parametrize("name", ["fieldfare", "wren", "redstart"])
def test_the_routers_circles_are_drawn_at_their_radii(name: str) -> None:
    work, drawings = made(name)
    assert work.rosette is not None
    found = [np.hypot(*s.points.T) for s in drawings["rosette"].strokes if s.layer == "relief" and s.closed]
    assert [float(r.mean()) for r in found] == pytest.approx(list(work.rosette.circles_mm), abs=1e-9)
    assert all(np.ptp(r) < 1e-9 for r in found)
    words = {w.text for w in drawings["rosette"].labels}
    for radius in work.rosette.circles_mm:
        assert f"{radius:.2f}" in words
        assert f"{2 * radius:.2f}" in words


def test_strip_pieces_are_as_long_as_their_glue_faces() -> None:
    work, drawings = made("fieldfare")
    boxes = [s for s in drawings["strip-back"].strokes if s.layer == "cut"]
    assert [float(np.ptp(s.points[:, 0])) for s in boxes] == pytest.approx([c.glue_mm for c in work.strips])
    assert [float(np.ptp(s.points[:, 1])) for s in boxes] == pytest.approx([c.width_mm for c in work.strips])
    words = " ".join(w.text for w in drawings["strip-back"].labels)
    for cut in work.strips:
        assert f"{cut.glue_mm:.2f} ({cut.room_mm:.2f})" in words
        assert f"{cut.tail_end.meets}: {cut.tail_end.words}" in words


@pytest.mark.parametrize("name", ["fieldfare", "linnet"])
def test_props_stand_on_the_plan_where_the_file_has_them(name: str) -> None:
    """Seen from inside with the neck up, a back shows x to the right: the treble side of a right-handed body."""
    work, drawings = made(name)
    feet = [s for s in drawings["props"].strokes if s.layer == "cut"]
    for foot, prop in zip(feet, PROPS[name], strict=True):
        # 0.6: the plan is the tilted back's own, up to half a millimetre longer than the body's.
        assert foot.points.mean(axis=0) == pytest.approx((prop.x_mm, prop.y_mm), abs=0.6)
        assert np.ptp(foot.points, axis=0) == pytest.approx((prop.width_mm, prop.thickness_mm))
    words = [w.text for w in drawings["props"].labels]
    assert "95.0 bass, 263.0 from tail" in words
    for k, fit in enumerate(work.props, 1):
        assert f"{fit.length_mm:.1f} long" in words
        assert f"prop {k}" in words
    assert sum(w.startswith("lean it") for w in words) == len(PROPS[name])


def test_the_arrow_ends_under_the_hole() -> None:
    """Where a prop is drawn out, its upper end lies under the soundhole, and the words say to which side it leans."""
    carved = carved_of("fieldfare")
    hole = Point(0.0, carved.placed.soundhole_y_mm).buffer(carved.placed.soundhole_radius_mm)
    work, drawings = made("fieldfare")
    arrows = [s for s in drawings["props"].strokes if s.layer == "note" and len(s.points) == 2 and not s.closed]
    tips = [s.points[1] for s in arrows]
    for fit in work.props:
        assert fit.way is not None
        last = fit.way.poses[-1]
        # Its axis, drawn on to the outside of the top, goes through the hole.
        turn, lean = np.radians(last.turn_deg), np.radians(last.lean_deg)
        rise = -last.z_mm * np.tan(lean)
        assert hole.contains(Point(last.x_mm + rise * np.cos(turn), last.y_mm + rise * np.sin(turn)))
        reach = (fit.length_mm - fit.spec.freed_by_mm) / 2 * np.sin(lean)
        tip = np.array([last.x_mm + reach * np.cos(turn), last.y_mm + reach * np.sin(turn)])
        assert min(float(np.hypot(*(t - tip))) for t in tips) < 1e-6
    assert "treble" in way_words(work.props[0], "right")  # from the bass side it leans to the middle
    assert "bass" in way_words(work.props[0], "left")
    assert "neck" in way_words(work.props[1], "right")
