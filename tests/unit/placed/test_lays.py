"""How each rule lays its sticks; the body's sizes may change and the layout follows."""

from math import atan2, cos, degrees, radians, sin

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon
from support.designs import placed_of

from braces.placed.footprint import footprint
from braces.placed.values import PlacedBrace, PlacedPlate


def brace(plate: PlacedPlate, name: str) -> PlacedBrace:
    return next(b for b in plate.braces if b.name == name)


@pytest.mark.parametrize("hand", [1, -1])
def test_across_starts_on_the_bass_side(hand: int) -> None:
    changes = () if hand == 1 else (('handed = "right"', 'handed = "left"'),)
    upper = brace(placed_of("siskin", *changes).top, "upper")
    assert upper.heading == pytest.approx((hand, 0.0))
    assert upper.start.at[1] == pytest.approx(328 + 46 + 34)
    assert upper.start.at[0] == pytest.approx(-upper.end.at[0])


def test_slanted_brace_leans_to_the_neck_on_the_treble_side() -> None:
    """Under 90 degrees the treble end is nearer the neck."""
    b = brace(placed_of("dunnock").top, "ladder 3")
    assert degrees(atan2(b.heading[0], b.heading[1])) == pytest.approx(84.0)
    assert b.end.at[1] > b.start.at[1]
    assert b.end.at[0] > 0


@pytest.mark.parametrize("angle", [92, 96, 110])
def test_crossing_pair(angle: int) -> None:
    plate = placed_of("siskin", ('angle = "96 deg"', f'angle = "{angle} deg"')).top
    bass, treble = brace(plate, "x-bass"), brace(plate, "x-treble")
    assert treble.heading == pytest.approx((sin(radians(angle / 2)), -cos(radians(angle / 2))))
    assert bass.heading == pytest.approx((-treble.heading[0], treble.heading[1]))
    assert bass.end.at[0] < 0 < treble.end.at[0]  # named by where they run to in the lower bout
    meeting = LineString([bass.start.at, bass.end.at]).intersection(LineString([treble.start.at, treble.end.at]))
    assert (meeting.x, meeting.y) == pytest.approx((0.0, 328 - 46 - 32), abs=1e-9)
    crossing = plate.crossings[0]
    assert crossing.angle_deg == pytest.approx(min(angle, 180 - angle))
    assert (crossing.opens_to_plate, crossing.opens_to_room) == ("x-treble", "x-bass")


def test_offset_moves_the_crossing_to_the_treble_side() -> None:
    change = ('crossing = "32 mm below the soundhole"', 'crossing = "32 mm below the soundhole"\noffset = "6 mm"')
    assert placed_of("siskin", change).top.crossings[0].at == pytest.approx((6.0, 250.0))


def test_bar_butts_against_the_near_side_of_its_brace() -> None:
    plate = placed_of("siskin").top
    bar, treble = brace(plate, "bar"), brace(plate, "x-treble")
    assert bar.heading == pytest.approx((-sin(radians(62)), -cos(radians(62))))
    axis = LineString([treble.start.at, treble.end.at])
    assert axis.distance(Point(bar.start.at)) == pytest.approx(treble.width_mm / 2, abs=1e-9)
    foot = np.array(plate.crossings[0].at) + 120 * np.array(treble.heading)
    back = np.array(bar.start.at) - foot
    assert np.cross(np.array([*back, 0]), np.array([*bar.heading, 0]))[2] == pytest.approx(0.0, abs=1e-9)
    overlap = Polygon(footprint(bar)).intersection(Polygon(footprint(treble)))
    assert overlap.area == pytest.approx(0.0, abs=1e-6)
    assert Polygon(footprint(bar)).distance(Polygon(footprint(treble))) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", ["fieldfare", "dunnock", "siskin"])
def test_ends_stand_where_they_should(name: str) -> None:
    """A tucked end stands its reach outside the lining's inner face, a butted one on it, a short one inside."""
    from braces.placed.rim import end_spec

    for plate in placed_of(name).plates:
        lining = Polygon(plate.lining.dense(400))
        for b in plate.braces:
            for which, end in (("start", b.start), ("end", b.end)):
                if end.meets == "brace":
                    continue
                spec = end_spec(b.spec, which)
                distance = lining.exterior.distance(Point(end.at))
                inside = lining.contains(Point(end.at))
                if spec.kind == "tucked":
                    assert not inside
                    assert distance == pytest.approx(spec.reach_mm, abs=2e-3)
                elif spec.kind == "butted":
                    assert distance == pytest.approx(0.0, abs=2e-3)
                else:
                    assert inside or spec.short_mm == 0
                    assert distance <= spec.short_mm + 2e-3


@pytest.mark.parametrize("name", ["fieldfare", "dunnock", "siskin"])
def test_footprints_are_as_wide_as_the_braces(name: str) -> None:
    for plate in placed_of(name).plates:
        for b in plate.braces:
            polygon = Polygon(footprint(b))
            assert polygon.is_valid
            assert polygon.exterior.is_ccw
            assert polygon.area == pytest.approx(b.width_mm * b.length_mm, rel=1e-9)  # oblique ends take and give alike


def test_layout_follows_the_body() -> None:
    """A longer body: what is measured from the neck, the hole and the saddle moves along with them."""
    longer = placed_of("siskin", ('length = "470 mm"', 'length = "480 mm"'), ('at = "388 mm"', 'at = "398 mm"')).top
    first = placed_of("siskin").top
    assert brace(longer, "upper").start.at[1] == pytest.approx(brace(first, "upper").start.at[1] + 10)
    assert longer.crossings[0].at[1] == pytest.approx(first.crossings[0].at[1] + 10)


def test_mirrored_fingers_are_mirror_images() -> None:
    plate = placed_of("fieldfare").top
    for n in (1, 2):
        bass, treble = brace(plate, f"finger {n}-bass"), brace(plate, f"finger {n}-treble")
        assert bass.start.at == pytest.approx((-treble.start.at[0], treble.start.at[1]), abs=1e-9)
        assert bass.end.at == pytest.approx((-treble.end.at[0], treble.end.at[1]), abs=1e-9)


def test_bridge_plate_keeps_clear_of_the_braces() -> None:
    plate = placed_of("fieldfare").top
    assert plate.bridge_plate is not None
    patch = Polygon(plate.bridge_plate)
    assert patch.is_valid
    for b in plate.braces:
        assert patch.distance(Polygon(footprint(b))) >= 0.5 - 1e-9
    assert patch.area < 150 * 36
