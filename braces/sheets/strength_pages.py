"""The strength report on paper: at a glance, how the top moves, how the plates ring, brace by brace, its limits.

These pages are no templates: nothing on them is to scale.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from braces.mechanics.outlook import Outlook
from braces.sheets.pdf import pdf
from braces.sheets.strength_deflection import deflection_leaf
from braces.sheets.strength_glance import glance_leaves
from braces.sheets.strength_leaf import Folder, finished
from braces.sheets.strength_limits import limits_leaves
from braces.sheets.strength_modes import modes_leaf
from braces.sheets.strength_numbers import groups
from braces.sheets.strength_plan import Plate
from braces.sheets.strength_schedule import schedule_leaves
from braces.sheets.strength_stiffness import stiffness_leaves

if TYPE_CHECKING:
    from braces.carved.values import Carved
    from braces.mechanics.values import Strength
    from braces.sheets.page import Page
    from braces.sheets.paper import Paper

NOTHING: Final = Outlook()


def strength_pdf(
    strength: Strength,
    carved: Carved,
    paper: Paper,
    instrument: str,
    revision: str,
    outlook: Outlook = NOTHING,
) -> bytes:
    """Return the report as a PDF on sheets of ``paper``, always the same bytes.

    What ``outlook`` does not hold is left out: what a millimetre less changes, the stages of carving, the air, the
    spread with the wood. ``strength`` must be the analysis of ``carved``, else KeyError.
    """
    return pdf(strength_pages(strength, carved, paper, instrument, revision, outlook), f"{instrument}: strength")


def strength_pages(
    strength: Strength,
    carved: Carved,
    paper: Paper,
    instrument: str,
    revision: str,
    outlook: Outlook = NOTHING,
) -> tuple[Page, ...]:
    """Return the pages of ``strength_pdf``."""
    folder = Folder(instrument, revision, paper)
    top, back = Plate(carved, "top"), Plate(carved, "back")
    braces = groups(strength, carved, outlook.gains)
    pictures = (
        deflection_leaf(strength, top, folder),
        modes_leaf(strength, top, folder),
        modes_leaf(strength, back, folder),
    )
    leaves = [
        *glance_leaves(strength, (top, back), braces, folder),
        *schedule_leaves(strength, braces, outlook, folder),
        *(leaf for leaf in pictures if leaf is not None),
        *stiffness_leaves(braces, carved.placed.design.handed, folder),
        *limits_leaves(strength, folder),
    ]
    return finished(leaves, folder)
