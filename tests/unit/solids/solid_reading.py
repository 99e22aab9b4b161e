"""Reading solids back through the kernel's own STEP reader, and measuring what was read."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane, GeomAbs_Sphere
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_SOLID

from braces.base.arrays import Floats
from braces.solids.check import faces_of, free_edge_count, parts_of, volume_mm3


def reread(data: bytes) -> Any:
    """The shape that a STEP reader makes of a file."""
    reader = STEPControl_Reader()
    reader.ReadStream("part", BytesIO(data))
    reader.TransferRoots()
    return reader.OneShape()


def solids(shape: Any) -> list[Any]:
    return list(parts_of(shape, TopAbs_SOLID))


def assert_one_good_solid(shape: Any) -> None:
    assert len(solids(shape)) == 1
    assert BRepCheck_Analyzer(shape).IsValid()
    assert free_edge_count(shape) == 0
    assert volume_mm3(shape) > 0


def planes(shape: Any) -> Iterator[tuple[Floats, Floats]]:
    """A point and the unit normal of every plane face."""
    for f in faces_of(shape):
        surface = BRepAdaptor_Surface(f)
        if surface.GetType() == GeomAbs_Plane:
            at, normal = surface.Plane().Location(), surface.Plane().Axis().Direction()
            yield np.array([at.X(), at.Y(), at.Z()]), np.array([normal.X(), normal.Y(), normal.Z()])


def spheres(shape: Any) -> list[tuple[Floats, float]]:
    """Centre and radius of every spherical face."""
    found = []
    for f in faces_of(shape):
        surface = BRepAdaptor_Surface(f)
        if surface.GetType() == GeomAbs_Sphere:
            c = surface.Sphere().Location()
            found.append((np.array([c.X(), c.Y(), c.Z()]), surface.Sphere().Radius()))
    return found


def cylinder_radii(shape: Any) -> list[float]:
    surfaces = [BRepAdaptor_Surface(f) for f in faces_of(shape)]
    return [s.Cylinder().Radius() for s in surfaces if s.GetType() == GeomAbs_Cylinder]
