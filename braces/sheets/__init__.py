"""Drawings as data and the files they are played into: PDF, SVG, DXF, true to size."""

from braces.sheets.drawing import Drawing, Label, Stroke, moved, polyline
from braces.sheets.lettering import text_width_mm

__all__ = ["Drawing", "Label", "Stroke", "moved", "polyline", "text_width_mm"]
