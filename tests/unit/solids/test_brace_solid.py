"""Braces as solids: read back from STEP, they are what the numbers say."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad
from solid_reading import assert_one_good_solid, planes, reread, spheres
from solid_specimens import (
    barrel,
    brace,
    column_mm,
    dome,
    falling,
    flat,
    inlet,
    level,
    notch,
    scalloped,
    straight_taper,
    x_bass,
)

from braces.curves.section import gabled, rounded
from braces.solids.brace import brace_solid
from braces.solids.check import faces_of, glue_points, volume_mm3
from braces.solids.kernel import SolidError
from braces.solids.step import step_bytes

H500, T400 = scalloped(500.0), straight_taper(400.0)
LATTICE = [
    notch(40 + 36 * i, dome().at(40 + 36 * i, 0) + 1.2, "room" if i % 2 else "plate", 50.0 if i % 2 else 130.0, 5.0)
    for i in range(12)
]
#: A short stick of a lattice far from its dome's axis, cut from below near both falling ends: its laps are so nearly
#: square that the arcs of their walls on the dome look like lines of constant latitude.
SHORT = straight_taper(80.0, 2.5, 6.0)
FAR = dome(10971.0, 58.0, -124.0)
NEAR_ENDS = [notch(x, FAR.at(x, 0) + 1.4, "plate", 84.0, 3.6) for x in (9.0, 40.0, 71.0)]
TWELVE = straight_taper(400.0, 2.5, 6.0)
FALLING_LAPS = [
    notch(14 + 33.8 * i, FAR.at(14 + 33.8 * i, 0) + 2.4, "room" if i % 2 else "plate", 84.0, 3.6) for i in range(12)
]
FLOOR_OVER_THE_TOP = [notch(65.0, 9.0, "room", 70.0, 30.0), notch(435.0, 9.5, "room", 100.0, 40.0)]
MIXED = [
    inlet(60.0, 4.0, (-4.0, -2.5), 72.0),
    notch(100.0, dome().at(100, 0) + 5, "plate", 90.0, 12.0, kind="cut-out"),
    inlet(140.0, 5.0, (1.0, 4.0), 118.0),
    notch(180.0, 6.0, "room", 90.0, 12.0, kind="cut-out"),
    inlet(250.0, 6.0, (-4.0, -0.5), 100.0),
    inlet(250.0, 5.0, (0.5, 4.0), 100.0),
    notch(330.0, dome().at(330, 0) + 2, "plate", 81.0, 20.0, kind="strip"),
]
BRACES = {
    "square": brace(H500, level(H500), gabled(8, 8), dome(), 500.0),
    "gabled, lap to the room": x_bass(),
    "gabled, lap to the plate": x_bass(notches=[notch(250.0, 9.0, "plate")]),
    "laps on both sides of one place": x_bass(notches=[notch(250, 7, "plate"), notch(255, 12, "room", 115.0)]),
    "sharp ridge": x_bass(shape=gabled(8, 0)),
    "rounded": x_bass(shape=rounded(8)),
    "wide, rounded, very skew": x_bass(shape=rounded(20), ends=(35.0, 150.0)),
    "flat plate": x_bass(glue=flat(), notches=[notch(250.0, 8.0, "plate"), notch(100.0, 1.5, "plate", 90.0)]),
    "barrel, across": x_bass(glue=barrel(90.0)),
    "barrel, along": x_bass(glue=barrel(0.0)),
    "barrel, askew": x_bass(glue=barrel(37.0)),
    "kinks, one under an oblique wall": brace(
        T400, falling(T400), gabled(12, 3), dome(4000, 200, 30), 400.0, notches=[notch(150.0, 8.0, "room", 40.0)]
    ),
    "feathered": brace(scalloped(500.0, 0.05), level(H500), gabled(6, 6), dome(), 500.0),
    "two notches run into one another": x_bass(notches=[notch(250, 9, "plate"), notch(252, 5, "plate", 115.0)]),
    "laps over both ends": x_bass(notches=[notch(2, 5, "plate", 80.0), notch(498, 5, "room", 70.0)]),
    "short lattice stick": brace(SHORT, level(SHORT), gabled(3.5, 3.5), FAR, 80.0, notches=NEAR_ENDS),
    "twelve laps, the last ones where the ends fall": brace(
        TWELVE, level(TWELVE), gabled(3.5, 3.5), FAR, 400.0, notches=FALLING_LAPS
    ),
    "level floors that meet a falling top": x_bass(drop=level(H500), notches=FLOOR_OVER_THE_TOP),
    "level floors that meet falling shoulders": x_bass(drop=falling(H500, 0.2), notches=FLOOR_OVER_THE_TOP),
    "inlets, a strip and cut-outs": x_bass(notches=MIXED),
    "inlets on a flat plate": x_bass(glue=flat(), notches=[n for n in MIXED if n.kind == "inlet"]),
    "inlets on a barrel": x_bass(glue=barrel(37.0), notches=[n for n in MIXED if n.kind == "inlet"]),
    "an inlet over an end": x_bass(notches=[inlet(2.0, 5.0, (-4.0, -2.0), 80.0)]),
    "an inlet that runs into a lap": x_bass(notches=[inlet(246.0, 4.0, (-4.0, 1.0)), notch(252, 7, "plate", 100.0)]),
    "lattice stick": brace(H500, level(H500), gabled(5, 5), dome(), 500.0, notches=LATTICE),
}


@pytest.fixture(scope="module", params=BRACES.values(), ids=BRACES)
def stick(request):
    return request.param


@pytest.fixture(scope="module")
def read_back(stick):
    return reread(step_bytes(brace_solid(stick), stick.name))


def test_one_closed_valid_solid(read_back):
    assert_one_good_solid(read_back)


def test_volume_is_that_of_the_quadrature(stick, read_back):
    """Gauss quadrature of the contract's own words over the plan, in the specimens."""
    assert volume_mm3(read_back) == pytest.approx(stick.volume_mm3, rel=5e-6)


def test_glue_face_lies_on_the_plate(stick, read_back):
    points = glue_points(read_back, stick.glue)
    assert len(points) > 20
    assert np.abs(points[:, 2] - stick.glue.z(points[:, 0], points[:, 1])).max() < 1e-3


def test_glue_face_is_the_plates_sphere(stick, read_back):
    if stick.glue.kind == "sphere":
        found = spheres(read_back)
        assert found
        for centre, radius in found:
            assert radius == pytest.approx(stick.glue.radius_mm, abs=1e-3)
            assert centre == pytest.approx([stick.glue.x_mm, stick.glue.y_mm, stick.glue.z_mm], abs=1e-3)


def test_the_quadrature_agrees_with_scipy():
    """scipy.integrate.dblquad (QUADPACK) on a brace without jumps."""
    stick = brace(T400, level(T400), rounded(12), dome(4000, 200, 30), 400.0)
    cuts = [0.0, 20.0, 160.0, 240.0, 380.0, 400.0]
    total = sum(
        dblquad(lambda y, x: float(column_mm(stick, np.array(x), y)), a, b, -6.0, 6.0, epsabs=1e-6)[0]
        for a, b in pairwise(cuts)
    )
    assert stick.volume_mm3 == pytest.approx(total, rel=1e-9)


@pytest.mark.parametrize(("opens", "floor", "angle"), [("room", 9.0, 65.0), ("plate", 7.0, 112.0)])
def test_walls_and_floor_of_a_lap(opens, floor, angle):
    """Trigonometry: walls across apart and at the lap's angle to X; what is cut out is a parallelogram prism."""
    cut = notch(250.0, floor, opens, angle, 8.1)
    solid = reread(step_bytes(brace_solid(x_bass(notches=[cut])), "x-bass"))
    a = np.radians(angle)
    square_to_wall = np.array([np.sin(a), -np.cos(a), 0.0])
    walls = [p for p, n in planes(solid) if abs(n @ square_to_wall) > 1 - 1e-9]
    assert len(walls) == 2
    offsets = sorted((p - [250.0, 0, 0]) @ square_to_wall for p in walls)
    assert offsets == pytest.approx([-4.05, 4.05], abs=1e-6)
    floors = [p for p, n in planes(solid) if abs(n[2]) > 1 - 1e-9]
    assert [p[2] for p in floors] == pytest.approx([floor], abs=1e-6)


@pytest.mark.parametrize(("y", "end_wall"), [((-4.0, -2.5), -2.5), ((0.5, 4.0), 0.5)])
def test_walls_floor_and_end_wall_of_an_inlet(y, end_wall):
    """Two walls along the guest, one end wall along the brace at the depth it is let in, one floor; six faces else."""
    cut = inlet(250.0, 6.0, y, 72.0, 6.1)
    solid = reread(step_bytes(brace_solid(x_bass(notches=[cut])), "x-bass"))
    a = np.radians(72.0)
    square_to_wall = np.array([np.sin(a), -np.cos(a), 0.0])
    offsets = sorted(
        (p - [250.0, 0, 0]) @ square_to_wall for p, n in planes(solid) if abs(n @ square_to_wall) > 1 - 1e-9
    )
    assert offsets == pytest.approx([-3.05, 3.05], abs=1e-6)
    along = sorted(p[1] for p, n in planes(solid) if abs(n[1]) > 1 - 1e-9)
    assert along == pytest.approx(sorted([-4.0, end_wall, 4.0]), abs=1e-6)
    assert [p[2] for p, n in planes(solid) if abs(n[2]) > 1 - 1e-9] == pytest.approx([6.0], abs=1e-6)
    whole = len(faces_of(brace_solid(x_bass(notches=[]))))
    assert len(faces_of(solid)) == whole + 4


def test_a_lap_takes_out_a_parallelogram_prism_from_a_level_stick():
    """Area of a parallelogram = width * across / sin(angle); on a flat plate under a level square stick."""
    tall = level(H500, 15.0)
    plain = brace(tall, level(H500), gabled(8, 8), flat(), 500.0)
    cut = brace(tall, level(H500), gabled(8, 8), flat(), 500.0, notches=[notch(250.0, 6.0, "plate", 65.0, 8.1)])
    taken = volume_mm3(brace_solid(plain)) - volume_mm3(brace_solid(cut))
    assert volume_mm3(brace_solid(plain)) == pytest.approx(500 * 8 * 15, rel=1e-9)
    assert taken == pytest.approx(8 * 8.1 / np.sin(np.radians(65.0)) * 6, rel=1e-7)


@pytest.mark.parametrize("ends", [(90.0, 90.0), (62.0, 118.0), (135.0, 50.0)])
def test_end_faces_stand_upright_at_their_angles(ends):
    stick = x_bass(ends=ends, notches=[])
    solid = reread(step_bytes(brace_solid(stick), "x-bass"))
    for at, angle in ((0.0, ends[0]), (500.0, ends[1])):
        a = np.radians(angle)
        normal = np.array([np.sin(a), -np.cos(a), 0.0])
        faces = [p for p, n in planes(solid) if abs(n @ normal) > 1 - 1e-9]
        assert min(abs((p - [at, 0, 0]) @ normal) for p in faces) < 1e-6


def test_an_inlet_as_wide_as_the_brace_is_a_lap():
    cut, let_in = (x_bass(notches=[inlet(250.0, 6.0, y)]) for y in ((-np.inf, np.inf), (-4.0, 4.0)))
    assert step_bytes(brace_solid(cut), "x") == step_bytes(brace_solid(let_in), "x")


def test_only_the_faces_that_a_maker_sees():
    """Square stick: top, glue face, two sides, two ends."""
    assert len(faces_of(brace_solid(BRACES["square"]))) == 6


def test_a_wrong_statement_of_volume_is_our_mistake():
    stick = x_bass()
    object.__setattr__(stick, "volume_mm3", stick.volume_mm3 * 1.0002)
    with pytest.raises(SolidError, match="volume"):
        brace_solid(stick)


def test_an_end_feathered_to_nothing_is_refused():
    with pytest.raises(SolidError, match=r"no wood left on one side at X = 0\.0"):
        brace_solid(brace(scalloped(500.0, 0.0), level(H500), gabled(6, 6), dome(), 500.0))


def test_shoulders_that_fall_through_the_glue_face_are_refused():
    with pytest.raises(SolidError, match="no wood left on one side at X = "):
        brace_solid(x_bass(drop=falling(H500, 1.1, 0.5)))


def test_a_notch_through_the_brace_is_refused():
    with pytest.raises(SolidError, match="2 pieces"):
        brace_solid(x_bass(glue=flat(), notches=[notch(250.0, -1.0, "room")]))


@settings(max_examples=15, deadline=None, derandomize=True)
@given(
    width=st.floats(4, 20),
    scale=st.floats(0.7, 1.4),
    radius=st.floats(2500, 12000),
    off=st.floats(-200, 200),
    ends=st.tuples(st.floats(45, 135), st.floats(45, 135)),
    lap=st.floats(45, 135),
    opens=st.sampled_from(["room", "plate"]),
    land=st.sampled_from([0.0, 0.3, 1.0, None]),
)
def test_any_reasonable_brace(width, scale, radius, off, ends, lap, opens, land):
    height = scalloped(500.0, 3.0, scale)
    shape = rounded(width) if land is None else gabled(width, land * width)
    stick = brace(
        height,
        falling(height, 0.3),
        shape,
        dome(radius, 250.0, off),
        500.0,
        ends=ends,
        notches=[notch(250.0, 5.0, opens, lap, width)],
    )
    solid = reread(step_bytes(brace_solid(stick), stick.name))
    assert_one_good_solid(solid)
    assert volume_mm3(solid) == pytest.approx(stick.volume_mm3, rel=2e-5)


CUTS = st.tuples(
    st.sampled_from(["lap", "strip", "cut-out", "inlet from the right", "inlet from the left"]),
    st.floats(2, 60),  # wood before it
    st.floats(55, 125),  # angle
    st.floats(3, 16),  # across
    st.floats(0.3, 0.6),  # floor as a share of the height
    st.floats(0.1, 0.9),  # how far an inlet reaches, as a share of the width
    st.sampled_from(["room", "plate"]),
)


def laid_out(cuts, height, glue, width, length):
    """Notches one after the other from the start, each with wood before it, as long as there is room and height."""
    notches, x = [], 20.0
    for kind, gap, angle, across, share, reach, opens in cuts:
        angle = 90.0 if kind == "cut-out" else angle
        half = across / 2 / np.sin(np.radians(angle)) + width / 2 / abs(np.tan(np.radians(angle)))
        at = x + gap + half
        if at + half > length - 20:
            break
        tall = height.at(at)
        if tall < 5:
            continue
        base = glue.at(at, 0.0)
        if kind == "strip":
            notches.append(notch(at, base + 2.0, "plate", angle, across, kind="strip"))
        elif kind in ("lap", "cut-out"):
            notches.append(notch(at, base + share * tall, opens, angle, across))
        else:
            y = (-width / 2, (reach - 0.5) * width) if kind.endswith("right") else ((0.5 - reach) * width, width / 2)
            notches.append(inlet(at, base + share * tall, y, angle, across))
        x = at + half
    return notches


@settings(max_examples=12)
@given(
    cuts=st.lists(CUTS, min_size=3, max_size=9),
    width=st.floats(5, 14),
    glue=st.sampled_from([dome(2500.0, 250.0, 120.0), dome(8500.0), flat(), barrel(90.0), barrel(25.0)]),
    land=st.sampled_from([0.0, 0.3, 1.0, None]),
)
def test_any_notches_in_a_scalloped_brace(cuts, width, glue, land):
    height = scalloped(500.0, 3.0)
    notches = laid_out(cuts, height, glue, width, 500.0)
    shape = rounded(width) if land is None else gabled(width, land * width)
    stick = brace(height, falling(height, 0.25), shape, glue, 500.0, ends=(70.0, 105.0), notches=notches)
    solid = reread(step_bytes(brace_solid(stick), stick.name))
    assert_one_good_solid(solid)
    assert volume_mm3(solid) == pytest.approx(stick.volume_mm3, rel=2e-5)
