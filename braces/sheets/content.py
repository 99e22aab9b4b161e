"""All drawings of an instrument, in the order of the sheets."""

from __future__ import annotations

from braces.carved.values import Carved
from braces.sheets.drawing import Drawing
from braces.sheets.form import form_drawing
from braces.sheets.plan import plan_drawing
from braces.sheets.side import brace_drawing
from braces.workshop.book.lengths import Lengths


def drawings(carved: Carved, inches: bool = False) -> tuple[Drawing, ...]:
    """Return the plans of top and back, the side view of every brace, the top's first, the forms of curved ones.

    With ``inches`` inches to 1/64 stand beside mm.
    """
    lengths = Lengths(inches)
    plans = (plan_drawing(carved, "top", lengths), plan_drawing(carved, "back", lengths))
    forms = (form_drawing(b, carved, lengths) for b in carved.braces if b.is_curved)
    return (*plans, *(brace_drawing(b, carved, lengths) for b in carved.braces), *forms)
