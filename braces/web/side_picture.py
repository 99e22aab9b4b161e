"""A brace from the side as the page shows it: its lines, its hollows against the tool, sections, curves beneath."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

import numpy as np

from braces.carved.values import Carved, CarvedBrace
from braces.mechanics.brace_figures import BraceFigures
from braces.sheets.side_sections import section
from braces.sheets.side_shape import blank_box, edge_z, lap_strokes, profile_strokes, relief_strokes
from braces.sheets.words import brace_face
from braces.web.picture import Table, lines, number, path

_ARC_DEG = 40.0
_CURVE_COUNT = 121


def side_picture(carved: Carved, brace: CarvedBrace) -> Table:
    """Return the lines of a brace and what stands beside them."""
    x0, z0, x1, z1 = blank_box(brace)
    laps = (s for n in brace.notches for s in lap_strokes(brace, n))
    tool = carved.placed.design.stock.tightest_tool_radius_mm
    return {
        "name": brace.name,
        "face": brace_face(brace, carved.placed.design.handed),
        "length": number(brace.length_mm),
        "box": [number(x0 - 6), number(-z1 - 3), number(x1 - x0 + 12), number(z1 - min(z0, 0.0) + 6)],
        "lines": lines([*profile_strokes(brace), *relief_strokes(brace), *laps]),
        "tool": number(tool),
        "hollows": list(_hollows(brace, tool)),
        "notches": [{"at": number(n.at_mm), "with": n.with_} for n in brace.notches],
        "arc": "flat" if isinf(brace.glue_arc_radius_mm) else f"{brace.glue_arc_radius_mm:.0f} mm",
    }


def _hollows(brace: CarvedBrace, tool_mm: float) -> Iterator[Table]:
    """Each hollow with the arc of the tightest tool laid into it."""
    for hollow in brace.hollows:
        x, z = hollow.at_mm, float(edge_z(brace, hollow.at_mm))
        a = np.radians(np.linspace(-_ARC_DEG, _ARC_DEG, 25))
        arc = np.column_stack([x + tool_mm * np.sin(a), z + tool_mm * (1 - np.cos(a))])
        yield {
            "at": [number(x), number(-z)],
            "radius": number(hollow.radius_mm, 1),
            "fits": hollow.radius_mm >= tool_mm,
            "tool": path(arc),
        }


def section_picture(brace: CarvedBrace, x_mm: float) -> Table:
    """Return a brace's section at a place along it, true to scale."""
    x = min(max(x_mm, 0.0), brace.length_mm)
    outline = section(brace, x)
    (y0, z0), (y1, z1) = outline.min(axis=0), outline.max(axis=0)
    return {
        "at": number(x, 1),
        "height": number(brace.height.at(x)),
        "d": path(outline, True),
        "box": [number(y0 - 1), number(-z1 - 1), number(y1 - y0 + 2), number(z1 - z0 + 2)],
    }


def curves(figures: BraceFigures) -> Table:
    """Return height and bending stiffness along a brace, as numbers for two curves with one scale below them."""
    keep = np.linspace(0, len(figures.x_mm) - 1, min(_CURVE_COUNT, len(figures.x_mm))).astype(int)
    return {
        "x": [number(v) for v in figures.x_mm[keep]],
        "height": [number(v) for v in figures.height_mm[keep]],
        "own": [number(v * 1e-6, 4) for v in figures.own_n_mm2[keep]],
        "with plate": [number(v * 1e-6, 4) for v in figures.with_plate_n_mm2[keep]],
    }
