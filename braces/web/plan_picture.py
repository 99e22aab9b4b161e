"""A plate from inside, true size, as the page shows it: every piece by itself, so that it can be chosen."""

from __future__ import annotations

import numpy as np

from braces.carved.values import Carved
from braces.placed.footprint import footprint
from braces.placed.values import PlacedBrace
from braces.sheets.drawing import union
from braces.sheets.plan_view import (
    PlanView,
    apex_strokes,
    brace_strokes,
    bridge_strokes,
    hole_strokes,
    patch_strokes,
    plan_view,
    rim_strokes,
    seen_angle_deg,
    strip_strokes,
)
from braces.sheets.words import PlateName, plan_face
from braces.web.picture import Table, lines, number, path

_MARGIN_MM = 14.0


def plan_picture(carved: Carved, plate: PlateName) -> Table:
    """Return the lines of a plate and of everything on it, and the box that holds them."""
    view = plan_view(carved, plate)
    rim = rim_strokes(view)
    x0, y0, x1, y1 = union(*(m.ink for m in rim))
    m = _MARGIN_MM
    return {
        "plate": plate,
        "face": plan_face(plate, carved.placed.design.handed),
        "box": [number(x0 - m), number(-y1 - m), number(x1 - x0 + 2 * m), number(y1 - y0 + 2 * m)],
        "sides": _sides(carved, view),
        "parts": [
            {"name": "rim", "lines": lines(rim)},
            {"name": "soundhole", "lines": lines(hole_strokes(view))},
            {"name": "bridge", "lines": lines(bridge_strokes(view))},
            {"name": "patches", "lines": lines(patch_strokes(view))},
            {"name": "strip", "lines": lines(m for p in view.plate.strip_pieces for m in strip_strokes(view, p))},
            {"name": "apex", "lines": lines(apex_strokes(view))},
            {"name": "pockets", "lines": _pockets(view)},
        ],
        "braces": [_brace(view, b) for b in view.placed.braces],
    }


def _pockets(view: PlanView) -> list[Table]:
    d = "".join(path(view.all_seen(np.array(p.corners)), True) for p in view.plate.pockets)
    return [{"layer": "pocket", "d": d}] if d else []


def _brace(view: PlanView, brace: PlacedBrace) -> Table:
    u, v = view.seen(((brace.start.at[0] + brace.end.at[0]) / 2, (brace.start.at[1] + brace.end.at[1]) / 2))
    return {
        "name": brace.name,
        "where": list(brace.where),
        "foot": path(view.all_seen(footprint(brace)), True),
        "lines": lines(brace_strokes(view, brace)),
        "word": [number(u), number(-v), number(-seen_angle_deg(view, brace))],
        "width": number(brace.width_mm),
    }


def _sides(carved: Carved, view: PlanView) -> list[str]:
    """What lies left and right in the picture."""
    treble_right = view.flip * (1 if carved.placed.design.handed == "right" else -1) > 0
    return ["bass", "treble"] if treble_right else ["treble", "bass"]


def ghost(carved: Carved, plate: PlateName) -> str:
    """Return the outlines of another state of the design, to lay under a picture."""
    view = plan_view(carved, plate)
    return "".join(path(view.all_seen(footprint(b)), True) for b in view.placed.braces)
