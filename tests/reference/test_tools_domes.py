"""Cauls and dome gauges against the geometry of the sphere.

Sources:
- the spherometer formula R = (r^2 + s^2) / (2 s): three places on a chord of 2 r whose middle stands s above its ends
  (any textbook of practical physics)
- volumes by Gauss-Legendre quadrature of R - sqrt(R^2 - x^2 - y^2), apart from the program
- a dish named in feet: 1 ft = 304.8 mm exactly (ISO 80000-3)
"""

import re
from decimal import Decimal, localcontext
from io import BytesIO
from math import cos, radians, sqrt, tan

import numpy as np
import pytest
import trimesh
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_Sphere
from OCP.STEPControl import STEPControl_Reader
from support.designs import carved_of
from support.tool_parts import SETTINGS, part

from braces.solids.check import faces_of, glue_points, volume_mm3
from braces.solids.step import step_bytes
from braces.solids.stl import stl_bytes
from braces.solids.tools.sanding import channel_of, liner_section, sagitta_mm, sticks

FT = 304.8
TOP, BACK = 28 * FT, 15 * FT  # fieldfare's dishes
TOP_INNER, BACK_INNER = TOP - 0.110 * 25.4, BACK - 0.095 * 25.4

#: part, radius of its round face: corrected by abrasive 0.3 mm or padding 1 mm
SPHERES = {
    "sanding-caul-top": TOP_INNER + 0.3,
    "sanding-caul-back": BACK_INNER + 0.3,
    "sanding-block-convex-top": TOP - 0.3,
    "sanding-block-convex-back": BACK - 0.3,
    "outer-caul-top": TOP + 1.0,
    "outer-caul-back": BACK + 1.0,
}


def reread(name: str):
    reader = STEPControl_Reader()
    reader.ReadStream("part", BytesIO(step_bytes(part(name).shape, name)))
    reader.TransferRoots()
    return reader.OneShape()


def points_on_sphere(vertices, radius_mm):
    """Vertices of a mesh on its bowl or dome, with the centre of the sphere on the axis x = y = 0."""
    middle = vertices[:, :2].max(axis=0) + vertices[:, :2].min(axis=0)
    return vertices - [*(middle / 2), 0.0]


@pytest.mark.parametrize("name", SPHERES)
def test_faces_in_step_are_true_spheres(name):
    """Within 1 micrometre, measured on points of the re-read face against the sphere of the stated radius."""
    found = [BRepAdaptor_Surface(f) for f in faces_of(reread(name))]
    spheres = [s for s in found if s.GetType() == GeomAbs_Sphere]
    assert len(spheres) == 1
    sphere = spheres[0].Sphere()
    assert sphere.Radius() == pytest.approx(SPHERES[name], abs=1e-6)
    c = sphere.Location()
    centre = np.array([c.X(), c.Y(), c.Z()])
    u = np.linspace(spheres[0].FirstUParameter(), spheres[0].LastUParameter(), 9)
    v = np.linspace(spheres[0].FirstVParameter(), spheres[0].LastVParameter(), 5)
    points = np.array([[(p := spheres[0].Value(a, b)).X(), p.Y(), p.Z()] for a in u for b in v])
    assert np.abs(np.linalg.norm(points - centre, axis=1) - SPHERES[name]).max() < 1e-3


@pytest.mark.parametrize("name", ["outer-caul-top", "outer-caul-back"])
def test_spherometer_on_an_exported_mesh(name):
    """Three vertices of the STL on one edge of the bowl, which is a circle about a point 25 mm off the middle."""
    piece = part(name).pieces[0]
    read = trimesh.load(BytesIO(stl_bytes(piece.vertices, piece.faces)), file_type="stl")
    edge = read.vertices[np.abs(read.vertices[:, 1] - 25.0) < 1e-5]
    edge = edge[edge[:, 2] > 9.0]
    left, right = edge[edge[:, 0].argmin()], edge[edge[:, 0].argmax()]
    low = edge[np.abs(edge[:, 0]).argmin()]
    # The lowest vertex need not be in the middle: the chord theorem takes the two parts of the chord, s (2R - s) = a b.
    s_there = left[2] - low[2]
    r2 = (right[0] - low[0]) * (low[0] - left[0])
    ring = (r2 + s_there**2) / (2 * s_there)
    assert left[2] == pytest.approx(right[2], abs=1e-5)
    assert sqrt(ring**2 + 25.0**2) == pytest.approx(SPHERES[name], rel=2e-4)


@pytest.mark.parametrize(("name", "face"), [(n, f) for n in ("top", "back") for f in ("outer", "inner")])
def test_spherometer_on_dome_gauges(name, face):
    """Both edges of a dome gauge: ends and highest vertex of each arc."""
    radius = {"top": (TOP, TOP_INNER), "back": (BACK, BACK_INNER)}[name][face == "inner"]
    made = part(f"dome-gauge-{name}-{face}")
    v = made.pieces[0].vertices
    v = v[np.abs(v[:, 2]) < 1e-9]  # the lower side: no marks
    hollow, full = v[v[:, 1] < 13.0], v[v[:, 1] > 25.0]
    for arc in (hollow, full):
        ends, top = arc[np.abs(np.abs(arc[:, 0]) - 107.0) < 1e-6], arc[np.abs(arc[:, 0]).argmin()]
        assert len(ends) == 2
        s = top[1] - ends[0, 1]
        r2 = (107.0 - top[0]) * (107.0 + top[0])
        assert (r2 + s**2) / (2 * s) == pytest.approx(radius, rel=1e-6)


@pytest.mark.parametrize("name", SPHERES)
def test_chords_of_meshes_stay_within_two_hundredths(name):
    """Middles of triangles and of their sides against the sphere."""
    radius = SPHERES[name]
    convex = "convex" in name
    for piece in part(name).pieces:
        corners = piece.vertices[piece.faces]
        n = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        level = np.abs(n[:, 2]) > 0.99 * np.linalg.norm(n, axis=1)
        size = part(name).shape
        face = next(s for f in faces_of(size) if (s := BRepAdaptor_Surface(f)).GetType() == GeomAbs_Sphere)
        c = face.Sphere().Location()
        centre = np.array([c.X(), c.Y(), c.Z()])
        on = level & np.all(np.abs(np.linalg.norm(corners - centre, axis=2) - radius) < 1e-4, axis=1)
        assert on.sum() > 10
        middles = np.concatenate(
            [corners[on].mean(axis=1), (corners[on] + np.roll(corners[on], 1, axis=1)).reshape(-1, 3) / 2]
        )
        off = np.linalg.norm(middles - centre, axis=1) - radius
        assert np.abs(off).max() <= 0.02
        assert convex == (c.Z() < 0)


def bowl_mm3(radius, half_x, half_y):
    """Volume between a bowl over a rectangle and the level of its lowest point."""
    t, w = np.polynomial.legendre.leggauss(40)
    x, y = np.meshgrid(t * half_x, t * half_y, indexing="ij")
    return float((np.outer(w, w) * half_x * half_y * (radius - np.sqrt(radius**2 - x**2 - y**2))).sum())


def test_volume_of_the_outer_caul():
    """A block 180 x 50 x 10 under a bowl, flats 12 x 6 on both sides, three chamfers of 0.6 on each."""
    chamfers = 2 * (2 * 0.6**2 / 2) * 180
    expected = 180 * 50 * 10 + bowl_mm3(TOP + 1.0, 90, 25) + 2 * 180 * 12 * 6 - chamfers
    assert volume_mm3(part("outer-caul-top").shape) == pytest.approx(expected, rel=1e-7)


def test_volume_of_the_sanding_caul():
    """Base under a bowl, two fences 4 mm thick, two flats 14 x 8, chamfers of 0.6 mm: closed forms of the section."""
    made = part("sanding-caul-top")
    sizes = dict(made.dimensions)
    half, g = sizes["length mm"] / 2, sizes["channel mm"] / 2
    radius = TOP_INNER + 0.3
    rim = 12 + radius - sqrt(radius**2 - half**2) + 10
    section = 2 * g * 12 + 2 * 4 * rim + 2 * 14 * 8 - 2 * 3 * 0.6**2 / 2
    expected = section * 2 * half + bowl_mm3(radius, half, g)
    assert volume_mm3(made.shape) == pytest.approx(expected, rel=1e-7)


@pytest.mark.parametrize("name", ["dome-gauge-top-outer", "dome-gauge-back-inner"])
def test_volume_of_a_dome_gauge(name):
    """What the hollow edge takes the full edge gives back: length x 26 x 5."""
    assert volume_mm3(part(name).shape) == pytest.approx(214 * 26 * 5, rel=1e-7)


def test_a_brace_leant_on_its_liner_gets_its_own_glue_face():
    """The middle plane of a brace sanded in the bowl, leant by the liner, passes the sphere's centre at the distance at
    which the brace's own plane does: an off-centre brace and a leaning one are the same cut of a sphere."""
    carved = carved_of("fieldfare")
    for placed, plate in zip(carved.placed.plates, carved.plates, strict=True):
        channel = channel_of(placed.dome, plate, SETTINGS)
        for stick in sticks(plate):
            foot, head, lean = liner_section(channel, stick, SETTINGS)
            assert head >= 1.5
            assert foot - head == pytest.approx(10 * tan(radians(lean)))
            # Foot of the brace's middle line, from the middle of the channel; the brace leans towards the liner.
            aside = (
                -channel.width_mm / 2 + foot + SETTINGS.clearance_mm + stick.width_mm / 2 / cos(radians(stick.lean_deg))
            )
            rise = channel.radius_mm - sqrt(channel.radius_mm**2 - aside**2)
            # Distance of the sphere's centre (0, R) from the line through (aside, rise) that leans by `lean` to -y.
            a = radians(lean)
            distance = abs((0 - aside) * cos(a) + (channel.radius_mm - rise) * np.sin(a))
            for name in stick.names:
                brace = next(b for b in plate.braces if b.name == name)
                own = abs(brace.glue.y_mm)
                # A tenth of a degree of rounding is R * 0.05 deg.
                assert distance == pytest.approx(own, abs=channel.radius_mm * radians(0.06))


def test_glue_faces_lie_in_the_caul():
    """A brace's own glue face and the abrasive on the caul have one radius."""
    carved = carved_of("fieldfare")
    for plate, name in ((carved.top, "sanding-caul-top"), (carved.back, "sanding-caul-back")):
        for brace in plate.braces:
            assert brace.glue.radius_mm + SETTINGS.abrasive_mm == pytest.approx(SPHERES[name], abs=1e-9)
    assert len(glue_points(part("outer-caul-top").shape, carved.top.braces[0].glue)) > 0


@pytest.mark.parametrize("feet", [12, 15, 16, 20, 25, 28, 30])
@pytest.mark.parametrize("half", [107.0, 150.0, 200.0])
def test_sagittas_of_common_dishes(feet, half):
    """R - sqrt(R^2 - x^2) in decimal arithmetic of 40 digits, and back through the spherometer formula."""
    with localcontext() as exact:
        exact.prec = 40
        r, x = Decimal(feet) * Decimal("304.8"), Decimal(str(half))
        expected = r - (r * r - x * x).sqrt()
    rise = sagitta_mm(feet * FT, half)
    assert rise == pytest.approx(float(expected), rel=1e-9)
    assert (half**2 + rise**2) / (2 * rise) == pytest.approx(feet * FT, rel=1e-8)


def test_step_states_its_schema_and_millimetres():
    """ISO 10303-214 is the kernel's AUTOMOTIVE_DESIGN schema; SI_UNIT with the prefix milli and the name metre."""
    text = step_bytes(part("sanding-caul-top").shape, "sanding caul").decode("ascii")
    assert re.search(r"FILE_SCHEMA\(\('AUTOMOTIVE_DESIGN", text)
    assert "SI_UNIT(.MILLI.,.METRE.)" in text.replace(" ", "")
