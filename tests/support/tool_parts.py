"""Shop tools for the tests: the parts of a preset made once, and meshes as bodies that can be cut with each other."""

from __future__ import annotations

from functools import cache

import numpy as np
from manifold3d import Manifold
from support.designs import carved_of

from braces.carved.values import CarvedBrace
from braces.curves.frames import Placement
from braces.solids.tools.bodies import body
from braces.solids.tools.part import Part, Piece
from braces.solids.tools.registry import tool_parts
from braces.solids.tools.settings import ToolSettings

SETTINGS = ToolSettings(convex_twin=True)


@cache
def parts_of(name: str) -> tuple[Part, ...]:
    """Every part of a preset."""
    return tuple(tool_parts(carved_of(name), SETTINGS))


def part(name: str, design: str = "fieldfare") -> Part:
    return next(p for p in parts_of(design) if p.name == name)


def brace(name: str, design: str = "fieldfare") -> CarvedBrace:
    return next(b for b in carved_of(design).braces if b.name == name)


def piece_body(piece: Piece) -> Manifold:
    return body(piece.vertices, piece.faces)


def placed(made: Manifold, placement: Placement, shift: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Manifold:
    """A body where a placement puts it, moved on by ``shift``."""
    rows = np.column_stack([np.array(placement.rotation), np.array(placement.shift) + np.array(shift)])
    return made.transform(rows)


def common_mm3(a: Manifold, b: Manifold) -> float:
    return float((a ^ b).volume())
