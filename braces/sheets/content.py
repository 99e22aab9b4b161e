"""All drawings of an instrument, in the order of the sheets."""

from __future__ import annotations

from braces.carved.values import Carved
from braces.sheets.drawing import Drawing
from braces.sheets.plan import plan_drawing
from braces.sheets.side import brace_drawing


def drawings(carved: Carved) -> tuple[Drawing, ...]:
    """Return the plans of top and back, then the side view of every brace, the top's first."""
    plans = (plan_drawing(carved, "top"), plan_drawing(carved, "back"))
    return (*plans, *(brace_drawing(b, carved) for b in carved.braces))
