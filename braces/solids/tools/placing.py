"""Turning solids into the orientation in which they are printed."""

from __future__ import annotations

from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.TopoDS import TopoDS, TopoDS_Solid

from braces.curves.frames import Placement
from braces.solids.step import location


def moved(shape: TopoDS_Solid, placement: Placement) -> TopoDS_Solid:
    """Return a solid whose own geometry has been turned and moved."""
    motion = location(placement).Transformation()
    return TopoDS.Solid_s(BRepBuilderAPI_Transform(shape, motion, True).Shape())


def turned_upside_down(shape: TopoDS_Solid, top_mm: float) -> tuple[TopoDS_Solid, Placement]:
    """Return a solid turned half round about X so that what was at ``top_mm`` is at 0, and the way back."""
    over = Placement(((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)), (0.0, 0.0, top_mm))
    return moved(shape, over), over.inverse()
