"""Edges on a glue face and their images in its parameters: the kernel's own surface is asked where they lie."""

from math import cos, radians, sin

import numpy as np
import pytest
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from solid_specimens import barrel, dome, flat

from braces.solids.bed import bed_of
from braces.solids.kernel import face

BEDS = {
    "dome": dome(8534.0, 250.0, 40.0),
    "tight dome, far off": dome(2500.0, -50.0, 220.0),
    "shallow dome, far off": dome(10971.2, 58.3, -124.0),
    "barrel": barrel(37.0),
    "barrel, along": barrel(0.0),
}
ANGLES = [0.0, 6.0, 45.0, 84.0, 90.0, 96.0, 135.0, 180.0, 262.0]


def edge_along(bed, angle_deg, length_mm):
    middle, d = np.array([240.0, 1.0]), np.array([cos(radians(angle_deg)), sin(radians(angle_deg))])
    p, q = (tuple((middle + side * length_mm / 2 * d).tolist()) for side in (-1, 1))
    return p, q, bed.edge(p, q, bed.corner(p), bed.corner(q))


@pytest.mark.parametrize("angle_deg", ANGLES)
@pytest.mark.parametrize("length_mm", [1.5, 3.5, 60.0, 480.0])
@pytest.mark.parametrize("shape", BEDS.values(), ids=BEDS)
def test_an_edge_and_its_image_are_one_curve_above_the_segment(shape, length_mm, angle_deg):
    """At equal parameters, within a fifth of the 1e-6 mm that edges claim."""
    bed = bed_of(shape)
    p, q, edge = edge_along(bed, angle_deg, length_mm)
    curve, image = BRepAdaptor_Curve(edge), BRep_Tool.CurveOnSurface_s(edge, face(bed.surface, [edge]), 0.0, 0.0)
    along = np.subtract(q, p)
    for t in np.linspace(curve.FirstParameter(), curve.LastParameter(), 41).tolist():
        at, on = curve.Value(t), image.Value(t)
        assert at.Distance(bed.surface.Value(on.X(), on.Y())) < 2e-7
        off = (at.X() - p[0]) * along[1] - (at.Y() - p[1]) * along[0]
        assert abs(off) / length_mm < 1e-9
        assert at.Z() == pytest.approx(shape.at(at.X(), at.Y()), abs=2e-7)


def test_edges_on_a_plane_are_straight_and_need_no_image():
    bed = bed_of(flat())
    edge = edge_along(bed, 30.0, 12.0)[-1]
    middle = BRepAdaptor_Curve(edge).Value(6.0)
    assert (middle.X(), middle.Y(), middle.Z()) == pytest.approx((240.0, 1.0, 0.0))
    assert BRepAdaptor_Curve(edge).LastParameter() == pytest.approx(12.0)
