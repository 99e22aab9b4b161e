"""Finished braces: heights where the file says, square where they are joined, closed by an order of work."""

import numpy as np
import pytest
from support.designs import carved_of

from braces.carved.values import CarvedBrace

NAMES = ("fieldfare", "dunnock", "siskin")
BRACES = [(name, b.name) for name in NAMES for b in carved_of(name).braces]


def find(design: str, name: str) -> CarvedBrace:
    return next(b for b in carved_of(design).braces if b.name == name)


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_heights_are_those_of_the_file(design: str, name: str) -> None:
    carved = carved_of(design)
    b = find(design, name)
    spec = next(p.spec for plate in carved.placed.plates for p in plate.braces if p.name == name)
    assert b.height.y_mm.max() == pytest.approx(spec.height_mm, abs=1e-9)
    for which, x in (("start", 0.0), ("end", b.length_mm)):
        cut, own = getattr(b, which), getattr(spec, which) or spec.ends
        assert cut.height_mm == pytest.approx(b.height.at(x), abs=1e-9)
        if own is not None and own.height_mm is not None and not cut.meets.startswith(("x-", "back")):
            assert cut.height_mm == pytest.approx(own.height_mm, abs=1e-9)
    for f in b.features:
        assert b.height.at(f.at_mm) == pytest.approx(f.height_mm, abs=1e-9)


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_square_at_joints_and_ends(design: str, name: str) -> None:
    b = find(design, name)
    for n in b.notches:
        assert b.drop.at(n.at_mm) == pytest.approx(0.0, abs=1e-9)
    assert b.drop.at(0.0) == pytest.approx(0.0, abs=1e-9)
    assert b.drop.at(b.length_mm) == pytest.approx(0.0, abs=1e-9)
    assert np.array_equal(b.height.x_mm, b.drop.x_mm)  # common knots
    x = np.linspace(b.height.lo_mm, b.height.hi_mm, 3001)
    assert np.all(b.drop(x) >= -1e-9)
    assert np.all(b.height(x) - b.drop(x) >= 0.29)  # a shoulder never reaches the glue face


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_profile_is_level_where_an_oblique_end_cuts(design: str, name: str) -> None:
    b = find(design, name)
    for x, inward in ((b.height.lo_mm, 1), (b.height.hi_mm, -1)):
        edge = 0.0 if inward == 1 else b.length_mm
        across = np.linspace(x, edge + inward * abs(x - edge), 9)
        assert np.ptp(b.height(across)) == pytest.approx(0.0, abs=1e-9)


def test_scallop_is_where_the_file_puts_it() -> None:
    """Fieldfare's X: valley at 40 % and peak at 70 % of the leg, 8.5 and 13 mm high, measured from the crossing."""
    b = find("fieldfare", "x-treble")
    crossing = b.notches[0].at_mm
    leg = b.length_mm - crossing
    marks = {f.kind: f for f in b.features if f.kind in ("valley", "peak")}
    assert marks["valley"].at_mm == pytest.approx(crossing + 0.40 * leg, abs=1e-9)
    assert marks["valley"].height_mm == 8.5
    assert marks["peak"].at_mm == pytest.approx(crossing + 0.70 * leg, abs=1e-9)
    assert marks["peak"].height_mm == 13.0


@pytest.mark.parametrize(("design", "name"), BRACES)
def test_hollows_by_circles_through_three_points(design: str, name: str) -> None:
    """The tightest radius stated is the tightest found along the carved edge, arch included."""
    b = find(design, name)
    for hollow in b.hollows:
        x = hollow.at_mm + np.array([-0.2, 0.0, 0.2]) + (0.2 if hollow.at_mm < 100 else -0.2) * 0
        tight = []
        for middle in np.linspace(x[1] - 0.4, x[1] + 0.4, 9):
            at = middle + np.array([-0.05, 0.0, 0.05])
            z = b.glue.z(at, 0.0) + b.height(at)
            bend = (z[0] - 2 * z[1] + z[2]) / 0.05**2
            slope = (z[2] - z[0]) / 0.1
            tight.append((1 + slope**2) ** 1.5 / bend if bend > 0 else np.inf)
        assert hollow.radius_mm == pytest.approx(min(tight), rel=0.02)


@pytest.mark.parametrize("design", NAMES)
def test_braces_go_on_in_an_order_that_closes(design: str) -> None:
    """Of two that are lapped, the one that opens to the room is glued first; a butted one follows what it meets."""
    carved = carved_of(design)
    for plate, placed in zip(carved.plates, carved.placed.plates, strict=True):
        place = {name: i for i, name in enumerate(plate.order)}
        for c in placed.crossings:
            assert place[c.opens_to_room] < place[c.opens_to_plate]
        for b in placed.braces:
            for end in (b.start, b.end):
                if end.brace and end.inlet_mm == 0:
                    assert place[end.brace] < place[b.name]


def test_bars_are_no_higher_than_what_they_meet() -> None:
    carved = carved_of("fieldfare")
    for joint in carved.top.joints:
        if joint.kind == "butt":
            bar, other = find("fieldfare", joint.between[0]), find("fieldfare", joint.between[1])
            along = np.dot(np.subtract(joint.at, other.origin_xy_mm), other.heading_xy)
            assert bar.height.at(0.0) <= other.height.at(float(along)) + 0.01


def test_length_at_the_sides() -> None:
    """The two sides of an oblique brace differ by what its end faces lean, and the middle is their mean."""
    for _, name in [c for c in BRACES if c[0] == "fieldfare"]:
        b = find("fieldfare", name)
        half = b.width_mm / 2
        assert (b.length_at(half) + b.length_at(-half)) / 2 == pytest.approx(b.length_mm, abs=1e-9)
