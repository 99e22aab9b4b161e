"""All drawings of an instrument, in the order of the sheets."""

from __future__ import annotations

from braces.carved.values import Carved
from braces.sheets.drawing import Drawing
from braces.sheets.form import form_drawing
from braces.sheets.plan import plan_drawing
from braces.sheets.side import brace_drawing


def drawings(carved: Carved) -> tuple[Drawing, ...]:
    """Return the plans of top and back, the side view of every brace, the top's first, the forms of curved ones."""
    plans = (plan_drawing(carved, "top"), plan_drawing(carved, "back"))
    forms = (form_drawing(b, carved) for b in carved.braces if b.is_curved)
    return (*plans, *(brace_drawing(b, carved) for b in carved.braces), *forms)
