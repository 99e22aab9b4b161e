"""Where curved braces run, what they may not run into, what is refused. Outside checks: shapely, plane geometry."""

from itertools import combinations
from math import hypot

import numpy as np
import pytest
from shapely import LineString, Point, Polygon
from support.curved import BENT_ROD, BOW, ROD, codes, lapped, with_braces
from support.designs import carved_of, placed_of

from braces.curves.polygons import gap_mm
from braces.placed.footprint import convex_parts, corners, footprint
from braces.placed.values import PlacedBrace


def brace(placed, name: str) -> PlacedBrace:
    return next(b for plate in placed.plates for b in plate.braces if b.name == name)


def test_the_bow_is_what_was_asked() -> None:
    """Between the points of the file, which lie on the lining, the arc rises by the bow: measured from its chord."""
    bow = brace(placed_of("curlew"), "upper bow")
    line = LineString(bow.course.point(np.linspace(0, bow.length_mm, 4001)))
    between = [np.array(end.rim_at) for end in (bow.start, bow.end)]
    middle = (between[0] + between[1]) / 2
    assert float(hypot(*(np.array(bow.course.at(bow.length_mm / 2)) - middle))) == pytest.approx(26.0, abs=1e-6)
    assert line.length == pytest.approx(bow.length_mm, rel=1e-7)
    assert bow.course.at(bow.length_mm / 2)[1] > between[0][1]  # towards the neck


def test_the_ends_lie_in_the_lining() -> None:
    placed = placed_of("curlew")
    bow = brace(placed, "upper bow")
    pocket = Polygon(placed.top.lining.inside(-5.0).dense(200))
    lining = Polygon(placed.top.lining.dense(200))
    for end in (bow.start, bow.end):
        assert pocket.exterior.distance(Point(end.at)) < 2e-3
        assert lining.exterior.distance(Point(end.rim_at)) < 2e-3


@pytest.mark.parametrize("name", ["bow", "rod"])
def test_the_footprint_is_the_arc_widened(name: str) -> None:
    placed = lapped(BENT_ROD, "bow").placed
    b = brace(placed, name)
    plan = Polygon(footprint(b))
    assert plan.is_valid
    assert plan.exterior.is_ccw
    wide = LineString(b.course.point(np.linspace(-20, b.length_mm + 20, 4001))).buffer(b.width_mm / 2, cap_style="flat")
    assert plan.difference(wide).area < 1e-3 * b.length_mm
    assert max(plan.exterior.distance(Point(c)) for c in corners(b)) < 1e-9
    whole = Polygon()
    for part in convex_parts(b):
        piece = Polygon(part)
        assert piece.exterior.is_ccw
        assert piece.convex_hull.area == pytest.approx(piece.area, rel=1e-9)
        whole = whole.union(piece)
    assert whole.symmetric_difference(plan).area < 0.01 * b.length_mm


def test_gaps_are_shapelys() -> None:
    placed = with_braces(BOW, ROD | {"to": {"off": "30 mm", "at": "250 mm from the tail"}}).placed
    for a, b in combinations(placed.back.braces, 2):
        found = min(gap_mm(p, q) for p in convex_parts(a) for q in convex_parts(b))
        assert found == pytest.approx(Polygon(footprint(a)).distance(Polygon(footprint(b))), abs=0.011)


def test_what_it_runs_into() -> None:
    assert codes(BOW, ROD) == ["L03"]
    near = ROD | {
        "from": {"off": "20 mm", "at": "330 mm from the tail"},
        "to": {"off": "30 mm", "at": "245 mm from the tail"},
    }
    assert codes(BOW, near) == ["L13"]
    inside = ROD | {"to": {"off": "30 mm", "at": "241 mm from the tail"}}
    assert codes(BOW, inside) == ["L08"]


def test_a_lap_where_it_crosses() -> None:
    placed = lapped(ROD, "rod").placed
    (lap,) = placed.back.crossings
    a, b = brace(placed, "bow"), brace(placed, "rod")
    lines = [LineString(x.course.point(np.linspace(0, x.length_mm, 20001))) for x in (a, b)]
    there = lines[0].intersection(lines[1])
    assert lap.at == pytest.approx((there.x, there.y), abs=1e-4)
    t, u = a.course.heading_at(a.course.where(lap.at)[0]), b.heading
    assert np.sin(np.radians(lap.angle_deg)) == pytest.approx(abs(t[0] * u[1] - t[1] * u[0]), rel=1e-12)


def test_crossing_twice_is_refused() -> None:
    flat = {"off": "-85 mm", "at": "229 mm from the tail"}, {"off": "85 mm", "at": "229 mm from the tail"}
    twice = ROD | {"from": flat[0], "to": flat[1]}
    found = codes(BOW, twice, laps=[{"between": ["bow", "rod"], "opens_to_plate": "bow"}])
    assert "L12" in found


def test_ends_on_braces() -> None:
    """One end of an arc stands against a straight brace, cut parallel to it and let in as far as asked."""
    arm = BOW | {
        "name": "arm",
        "from": {"brace": "back 2", "along": "50 %"},
        "to": {"off": "40 mm", "at": "230 mm from the tail"},
        "bow_to": "bass",
        "bow": "9 mm",
        "height": "7 mm",
        "start": {"kind": "butted", "inlet": "1.5 mm"},
        "end": {"kind": "free", "height": "3 mm"},
    }
    carved = with_braces(arm)
    host, b = brace(carved.placed, "back 2"), brace(carved.placed, "arm")
    assert abs(abs(host.course.where(b.start.at)[1]) - (host.width_mm / 2 - 1.5)) < 1e-9
    assert b.start.face == host.heading
    assert next(x for x in carved.braces if x.name == "back 2").notches[-1].kind == "inlet"


@pytest.mark.parametrize("handed", ["right", "left"])
def test_a_mirrored_pair_is_one_brace_and_its_image(handed: str) -> None:
    side = BOW | {
        "name": "side",
        "from": {"rim": "treble", "at": "170 mm from the tail"},
        "to": {"off": "40 mm", "at": "270 mm from the tail"},
        "bow": "6 mm",
        "bow_to": "tail",
        "mirrored": True,
        "start": {"kind": "tucked", "height": "3 mm", "length": "12 mm", "reach": "4 mm"},
        "end": {"kind": "free", "height": "3 mm"},
    }
    placed = with_braces(side, handed=handed).placed
    a, b = brace(placed, "side-treble"), brace(placed, "side-bass")
    assert np.abs(np.sort(footprint(a) * (-1, 1), axis=0) - np.sort(footprint(b), axis=0)).max() < 1e-6
    assert a.radius_mm == -b.radius_mm
    assert a.end.at[0] * (1 if handed == "right" else -1) > 0


def test_a_left_handed_one_is_the_mirror_image() -> None:
    aside = BOW | {"to": {"rim": "treble", "at": "260 mm from the tail"}}
    right, left = (brace(with_braces(aside, handed=h).placed, "bow") for h in ("right", "left"))
    assert np.abs(np.sort(footprint(right) * (-1, 1), axis=0) - np.sort(footprint(left), axis=0)).max() < 1e-6


def test_radius_or_bow() -> None:
    given = {k: v for k, v in BOW.items() if k != "bow"} | {"radius": "400 mm"}
    assert abs(brace(with_braces(given).placed, "bow").radius_mm) == 400.0
    assert codes(given | {"bow": "20 mm"}) == ["K02"]
    assert codes(given | {"radius": "80 mm"}) == ["V03"]
    assert codes(BOW | {"bow": "120 mm"}) == ["V03"]
    assert codes(
        BOW | {w: {"off": x, "at": "222 mm from the tail"} for w, x in (("from", "5 mm"), ("to", "15 mm"))}
    ) == ["L06"]
    on = BOW | {"start": {"kind": "butted", "on": "back 2"}}
    assert codes(on) == ["V03"]


def test_pockets_lie_between_the_sides() -> None:
    """Both mouths on the lining and on a side of the brace; the width along the lining by shapely."""
    carved = carved_of("curlew")
    plan = Polygon(footprint(brace(carved.placed, "upper bow")))
    lining = carved.placed.top.lining.dense(400)
    for pocket in (p for p in carved.top.pockets if p.brace == "upper bow"):
        mouth = (pocket.corners[0], pocket.corners[3])
        assert max(plan.exterior.distance(Point(c)) for c in pocket.corners) < 2e-3
        ends = [int(np.argmin(np.hypot(*(lining - c).T))) for c in mouth]
        assert max(float(np.hypot(*(lining[i] - c))) for i, c in zip(ends, mouth, strict=True)) < 0.5
        inside = LineString(lining[min(ends) : max(ends) + 1]).length
        assert pocket.width_mm == pytest.approx(inside, abs=1.0)
        over = LineString(np.vstack([lining, lining[:1]])).intersection(plan)
        assert min(abs(pocket.width_mm - part.length) for part in over.geoms) < 5e-3
