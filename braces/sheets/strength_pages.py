"""The strength report on paper: at a glance, how the top moves, how the plates ring, brace by brace, its limits.

These pages are no templates: nothing on them is to scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from braces.sheets.pdf import pdf
from braces.sheets.strength_deflection import deflection_leaf
from braces.sheets.strength_glance import glance_leaves
from braces.sheets.strength_leaf import Folder, finished
from braces.sheets.strength_limits import limits_leaves
from braces.sheets.strength_modes import modes_leaf
from braces.sheets.strength_numbers import groups
from braces.sheets.strength_plan import Plate
from braces.sheets.strength_stiffness import stiffness_leaves

if TYPE_CHECKING:
    from braces.carved.values import Carved
    from braces.mechanics.sensitivity import BraceGain
    from braces.mechanics.values import Strength
    from braces.sheets.page import Page
    from braces.sheets.paper import Paper


def strength_pdf(
    strength: Strength,
    carved: Carved,
    paper: Paper,
    instrument: str,
    revision: str,
    gains: Sequence[BraceGain] = (),
) -> bytes:
    """Return the report as a PDF on sheets of ``paper``, always the same bytes.

    ``gains`` are the derivatives by the heights of the top's braces; without them the first page does not say what
    a millimetre less changes. ``strength`` must be the analysis of ``carved``, else KeyError.
    """
    return pdf(strength_pages(strength, carved, paper, instrument, revision, gains), f"{instrument}: strength")


def strength_pages(
    strength: Strength,
    carved: Carved,
    paper: Paper,
    instrument: str,
    revision: str,
    gains: Sequence[BraceGain] = (),
) -> tuple[Page, ...]:
    """Return the pages of ``strength_pdf``."""
    folder = Folder(instrument, revision, paper)
    top, back = Plate(carved, "top"), Plate(carved, "back")
    braces = groups(strength, carved, gains)
    pictures = (
        deflection_leaf(strength, top, folder),
        modes_leaf(strength, top, folder),
        modes_leaf(strength, back, folder),
    )
    leaves = [
        *glance_leaves(strength, (top, back), braces, folder),
        *(leaf for leaf in pictures if leaf is not None),
        *stiffness_leaves(braces, carved.placed.design.handed, folder),
        *limits_leaves(strength, folder),
    ]
    return finished(leaves, folder)
