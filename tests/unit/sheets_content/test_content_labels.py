"""The placer of labels."""

from __future__ import annotations

import pytest
from shapely.geometry import LineString, Polygon

from braces.sheets.drawing import Label, polyline
from braces.sheets.place_labels import Note, Room, block, block_size, led_note


def rooms(note: Note) -> list[Polygon]:
    return [Polygon(label.corners) for label in note.labels]


def crowd() -> tuple[Room, list[Note]]:
    room, notes = Room([polyline([(-60, 0), (60, 0)], "cut")]), []
    for k in range(9):
        note = led_note(room, (12.0 * k - 50, 0.0), [f"place {k}", "in a crowd"])
        assert note is not None
        room.add(note)
        notes.append(note)
    return room, notes


def test_a_crowd_of_notes_keeps_apart_and_off_the_line():
    _, notes = crowd()
    all_rooms = [r for n in notes for r in rooms(n)]
    assert all(not a.intersects(b) for i, a in enumerate(all_rooms) for b in all_rooms[i + 1 :])
    line = LineString([(-60, 0), (60, 0)])
    assert all(not r.intersects(line) for r in all_rooms)


def test_leaders_cross_neither_words_nor_each_other():
    _, notes = crowd()
    leaders = [LineString(n.leader.points) for n in notes]
    assert all(not a.crosses(b) for i, a in enumerate(leaders) for b in leaders[i + 1 :])
    others = [(a, r) for i, a in enumerate(leaders) for j, n in enumerate(notes) if i != j for r in rooms(n)]
    assert all(not a.intersects(r) for a, r in others)


def test_the_same_crowd_falls_the_same_way_twice():
    assert [n.labels for n in crowd()[1]] == [n.labels for n in crowd()[1]]


def test_no_room_is_said_not_hidden():
    grid = [polyline([(-200, y), (200, y)], "cut") for y in range(-200, 201, 3)]
    assert led_note(Room(grid), (0.0, 0.0), ["no room"]) is None


def test_a_small_label_inside_a_large_one_is_noticed():
    room = Room([])
    room.add(Note((Label(0, 0, "WIDE AND TALL", 8.0),)))
    assert not room.fits(Note((Label(20, 2, "i", 2.5),)))
    assert room.fits(Note((Label(20, 20, "i", 2.5),)))


def test_a_turned_label_is_measured_along_its_own_axes():
    # At 45 degrees an upright box would touch the line; the words do not.
    room = Room([polyline([(14, 0), (30, 0)], "cut")])
    assert room.fits(Note((Label(0, 0, "along a brace", 2.5, 45.0),)))
    assert not room.fits(Note((Label(0, -1, "along a brace", 2.5, 0.0),)))


@pytest.mark.parametrize("count", [1, 2, 5])
def test_the_size_of_a_block_is_the_room_of_its_lines(count):
    lines = [f"line {k}" for k in range(count)]
    labels = block(lines, 3.0, 4.0)
    boxes = [a.ink for a in labels]
    width, height = block_size(lines)
    assert min(b[0] for b in boxes) == pytest.approx(3)
    assert min(b[1] for b in boxes) == pytest.approx(4)
    assert max(b[2] for b in boxes) - 3 == pytest.approx(width)
    assert max(b[3] for b in boxes) - 4 == pytest.approx(height)
