"""How long solids take, as ratios within one run: never in seconds, which belong to the machine."""

import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "unit" / "solids"))

import numpy as np
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepFill import BRepFill
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism, BRepPrimAPI_MakeSphere
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from solid_specimens import x_bass

from braces.curves.spline import Spline
from braces.solids.brace import brace_solid
from braces.solids.cut import prism
from braces.solids.kernel import spline_curve
from braces.solids.layout import gap_of
from braces.solids.rails import rail, top_of
from braces.solids.step import step_bytes

STICK = x_bass(ends=(90.0, 90.0))


def seconds(action, tries):
    best = np.inf
    for _ in range(tries):
        start = time.perf_counter()
        action()
        best = min(best, time.perf_counter() - start)
    return best


def edge(spline, y_mm):
    """A rail moved to a lateral place, as an edge."""
    poles = spline.poles.copy()
    poles[:, 1] = y_mm
    curve = spline_curve(Spline(spline.degree, spline.knots, spline.multiplicities, poles))
    return BRepBuilderAPI_MakeEdge(curve).Edge()


def by_booleans():
    """The same brace the usual way: extrude its side view, cut the dome, two wedges and the lap."""
    top = top_of(STICK, 0.0, 500.0, [])
    side, ridge = rail(top, 0, 0.0, 500.0), rail(top, 1, 0.0, 500.0)
    a, b = ridge.poles[0], ridge.poles[-1]
    corners = [gp_Pnt(b[0], -4, b[2]), gp_Pnt(b[0], -4, -5), gp_Pnt(a[0], -4, -5), gp_Pnt(a[0], -4, a[2])]
    wire = BRepBuilderAPI_MakeWire(edge(ridge, -4.0))
    for p, q in pairwise(corners):
        wire.Add(BRepBuilderAPI_MakeEdge(p, q).Edge())
    face = BRepBuilderAPI_MakeFace(wire.Wire()).Face()
    body = BRepPrimAPI_MakePrism(face, gp_Vec(0, 8, 0)).Shape()
    for sign in (-1.0, 1.0):
        slope = BRepFill.Face_s(edge(ridge, sign * 1.0), edge(side, sign * 4.0))
        body = BRepAlgoAPI_Cut(body, BRepPrimAPI_MakePrism(slope, gp_Vec(0, 0, 10)).Shape()).Shape()
    glue = STICK.glue
    bowl = gp_Ax2(gp_Pnt(glue.x_mm, glue.y_mm, glue.z_mm), gp_Dir(0, 1, 0), gp_Dir(0, 0, 1))
    gap = gap_of(STICK.notches[0])
    body = BRepAlgoAPI_Cut(body, prism(gap.first, gap.last, (-10.0, 10.0), (gap.floor_z_mm, 30.0))).Shape()
    # What stands in the bowl is kept: the sphere itself is the plate's room side.
    return BRepAlgoAPI_Common(body, BRepPrimAPI_MakeSphere(bowl, glue.radius_mm).Shape()).Shape()


def test_face_by_face_is_far_quicker_than_booleans():
    ours = seconds(lambda: brace_solid(STICK), 5)
    usual = seconds(by_booleans, 1)
    print(f"checked brace {ours * 1e3:.1f} ms; by booleans {usual * 1e3:.0f} ms: {usual / ours:.0f} x")
    assert usual > 20 * ours


def test_a_guitars_braces_take_less_time_than_loading_the_cad_package():
    ours = seconds(lambda: [step_bytes(brace_solid(STICK), "x-bass") for _ in range(11)], 2)
    package = [sys.executable, "-c", "import cadquery"]
    loading = seconds(lambda: subprocess.run(package, check=True), 1)
    print(f"11 checked braces as STEP {ours:.2f} s; import cadquery {loading:.2f} s")
    assert ours < loading
