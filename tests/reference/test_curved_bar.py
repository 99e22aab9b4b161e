"""A bar along an arc in the plate model's own unknowns, against textbooks.

Castigliano's theorem on a quarter circle clamped at one end (Timoshenko, Strength of Materials, part I, curved bars of
small cross-section): under a load F at the free end, along the radius there, the end moves by pi F r^3 / 4 EI that
way; square to the plane, by F r^3 (pi / 4 EI + (3 pi / 4 - 2) / GJ). From memory; the integrals are written out.
"""

from dataclasses import replace
from math import cos, inf, pi, sin

import numpy as np
import pytest
import shapely
from scipy.integrate import quad
from scipy.linalg import eigh

from braces.curves.course import between
from braces.design.woods import Elastic
from braces.mechanics.bar import Bar, numbering, section_counts, section_values
from braces.mechanics.bar_moments import element_matrices
from braces.mechanics.braced_plate import BracedPlate, Mesh, assemble, bind
from braces.mechanics.plate_model import Sheet
from braces.mechanics.rim import Rim
from braces.mechanics.wood_axes import solid_stiffness

E, NU = 10000.0, 0.0
ISO = Elastic(E, E * (1 + 1e-9), E, E / 2, E / 2, E / 2, NU, NU, NU, "assumed", "isotropic")
WIDE, HIGH = 6.0, 9.0


def bar(radius: float, length: float, element: float = 10.0) -> Bar:
    t, w = np.polynomial.legendre.leggauss(4)

    def faces(s, n):
        return np.zeros((len(s), len(n))), np.full((len(s), len(n)), HIGH)

    stations = np.linspace(0, length, int(length / element) + 1)
    columns = (t * WIDE / 2, w * WIDE / 2)
    law = solid_stiffness(ISO)
    return Bar("arc", (0.0, 0.0), (1.0, 0.0), WIDE, stations, (), faces, HIGH, columns, law, 400.0, (0.0,) * 3, radius)


def assembled(made: Bar) -> tuple[np.ndarray, np.ndarray]:
    k, m = element_matrices(made)
    n = numbering(made)
    stiff, mass = np.zeros((n.total, n.total)), np.zeros((n.total, n.total))
    for a, b, at in zip(k, m, n.element, strict=True):
        stiff[np.ix_(at, at)] += a
        mass[np.ix_(at, at)] += b
    return stiff, mass


def end_values(made: Bar, element: int, at_end: bool) -> list[np.ndarray]:
    """Numbers of the values (not the slopes) of every function at one end of an element, by component."""
    numbers, start, found = numbering(made).element[element], 0, []
    for count in section_counts():
        own = numbers[start : start + 4 * count].reshape(count, 4)
        found.append(own[:, 2 if at_end else 0])
        start += 4 * count
    return found


def tip_movement(made: Bar, component: int) -> float:
    """Move of the middle of the free end's section under 1 N spread evenly over it, along one local direction."""
    stiff, _ = assembled(made)
    held = np.concatenate(end_values(made, 0, False))
    free = np.setdiff1d(np.arange(len(stiff)), held)
    t, w = np.polynomial.legendre.leggauss(4)
    nu, zeta = (a.ravel() for a in np.meshgrid(t, (t + 1) / 2, indexing="ij"))
    even = section_values(nu, zeta)[component][0].T @ np.outer(w, w).ravel() / 4
    load = np.zeros(len(stiff))
    load[end_values(made, made.elements - 1, True)[component]] = even
    move = np.zeros(len(stiff))
    move[free] = np.linalg.solve(stiff[np.ix_(free, free)], load[free])
    return float(load @ move)


RADIUS = 120.0


def test_a_quarter_circle_bent_in_its_plane() -> None:
    """At the free end, n points to the centre: along the radius."""
    inertia = HIGH * WIDE**3 / 12
    expected = quad(lambda a: (RADIUS * sin(a)) ** 2 * RADIUS / (E * inertia), 0, pi / 2)[0]
    assert expected == pytest.approx(pi * RADIUS**3 / (4 * E * inertia))
    stretch = quad(
        lambda a: RADIUS * (sin(a) ** 2 / (E * WIDE * HIGH) + cos(a) ** 2 * 1.2 / (E / 2 * WIDE * HIGH)), 0, pi / 2
    )[0]
    for sign in (1, -1):
        moved = tip_movement(bar(sign * RADIUS, RADIUS * pi / 2), 1)
        assert moved == pytest.approx(expected + stretch, rel=6e-3)


def test_a_quarter_circle_bent_and_twisted_out_of_its_plane() -> None:
    inertia = WIDE * HIGH**3 / 12
    torsion = 0.1958 * HIGH * WIDE**3  # rectangle of ratio 1.5: Timoshenko and Goodier
    bent = RADIUS**3 * (pi / 4) / (E * inertia)
    twisted = RADIUS**3 * (3 * pi / 4 - 2) / (E / 2 * torsion)
    sheared = 1.2 * RADIUS * pi / 2 / (E / 2 * WIDE * HIGH)
    assert tip_movement(bar(RADIUS, RADIUS * pi / 2), 2) == pytest.approx(bent + twisted + sheared, rel=1e-2)


def test_a_straight_cantilever_is_the_limit() -> None:
    length, inertia = 180.0, HIGH * WIDE**3 / 12
    straight = tip_movement(bar(inf, length), 1)
    assert straight == pytest.approx(length**3 / (3 * E * inertia), rel=5e-3)
    assert tip_movement(bar(1e7, length), 1) == pytest.approx(straight, rel=1e-4)


def test_it_moves_stiffly_in_six_ways_and_weighs_what_it_should() -> None:
    made = bar(RADIUS, RADIUS * pi / 2)
    stiff, mass = assembled(made)
    values = eigh(stiff, mass, eigvals_only=True, subset_by_index=[0, 7])
    hertz = np.sqrt(np.abs(values)) / (2 * pi)
    assert hertz[:6].max() < 1e-3 * hertz[6]
    ones = np.zeros(len(mass))
    for e in range(made.elements):
        for at_end in (False, True):
            ones[end_values(made, e, at_end)[2][:4]] = 1.0  # the four foot functions add up to one
    assert ones @ mass @ ones == pytest.approx(WIDE * HIGH * RADIUS * pi / 2 * 400e-12, rel=1e-9)


def braced(radius: float, turned: bool = False) -> np.ndarray:
    """Angular frequencies squared of a free square plate with one bar across it, all of them."""
    square, thick = 160.0, 2.5
    course = between((24.0, 60.0), (140.0, 96.0), radius)
    start, heading = course.start, course.heading
    if turned:  # the whole arrangement's mirror image in the plate's middle
        start, heading = (square - start[0], start[1]), (-heading[0], heading[1])
    made = replace(bar(-radius if turned else radius, course.length_mm, 12.0), origin_xy_mm=start, heading_xy=heading)
    law = E * np.array([[1.0, 0, 0], [0, 1.0, 0], [0, 0, 0.5]])
    sheet = Sheet(shapely.box(0, 0, square, square), thick, law, np.eye(2) * E / 2, 400.0, (0.0, 0.0, 0.0))
    bound = bind(BracedPlate(sheet, (), (made,), (), Rim("free")), Mesh(20.0, coarse=False, offset=(0.0, 0.0)))
    system = assemble(bound)
    k, m = system.stiffness.tocsc().toarray(), system.mass.tocsc().toarray()
    return np.asarray(eigh(k, m + 1e-16 * np.eye(len(m)), eigvals_only=True, subset_by_index=[0, 9]))


def test_a_plate_with_an_arc_on_it_still_moves_stiffly_in_six_ways() -> None:
    """A foot that did not turn with the arc would be strained by a turn of the whole plate."""
    values = np.abs(braced(90.0))
    assert values[:6].max() < 1e-6 * values[6]


def test_mirrored_arcs_ring_alike_and_a_slight_one_as_a_straight_bar() -> None:
    assert braced(90.0, True)[6:] == pytest.approx(braced(90.0)[6:], rel=1e-6)
    assert braced(1e7)[6:] == pytest.approx(braced(inf)[6:], rel=1e-5)
