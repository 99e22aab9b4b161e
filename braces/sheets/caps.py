"""Patches over laps, as drawn: on the plan of their plate and on the side views of both braces under them."""

from __future__ import annotations

from math import radians, sin

import numpy as np

from braces.base.arrays import frozen_points
from braces.carved.values import Cap, Carved, CarvedBrace
from braces.sheets.drawing import Mark, Stroke
from braces.sheets.plan_view import PlanView
from braces.sheets.side_shape import edge_z, places
from braces.workshop.book.lengths import Lengths

_PLAIN = Lengths()


def cap_words(cap: Cap, lengths: Lengths = _PLAIN) -> tuple[str, str]:
    """Return what a patch is: its sizes and wood, and how its grain runs."""
    sizes = " × ".join(map(lengths.cell, (cap.length_mm, cap.width_mm, cap.thickness_mm)))
    return f"cap {sizes} {cap.wood}", f"on top, grain along {cap.along}"


def cap_outlines(view: PlanView) -> list[Mark]:
    """Return the outline in plan of every patch; seen from inside it is the nearest thing."""
    return [Stroke(frozen_points(view.all_seen(c.corners)), "edge", closed=True) for c in view.plate.caps]


def caps_on(brace: CarvedBrace, carved: Carved) -> tuple[Cap, ...]:
    """Return the patches that lie on a brace, along it or across it."""
    plate = carved.top if brace.plate == "top" else carved.back
    return tuple(c for c in plate.caps if brace.name in (c.along, c.across))


def cap_side_strokes(brace: CarvedBrace, caps: tuple[Cap, ...]) -> list[Stroke]:
    """Return patches seen from the side of a brace, on its carved edge."""
    strokes = []
    for cap in caps:
        at, long = _span(brace, cap)
        x = places(brace, at - long / 2, at + long / 2)
        low = edge_z(brace, x)
        loop = np.vstack([np.column_stack([x, low]), np.column_stack([x, low + cap.thickness_mm])[::-1]])
        strokes.append(Stroke(frozen_points(loop), "edge", closed=True))
    return strokes


def cap_lines(brace: CarvedBrace, caps: tuple[Cap, ...]) -> list[tuple[float, list[tuple[int, str]]]]:
    """Return the places on a brace where patches lie, with a short word for each."""
    return [(_span(brace, cap)[0], [(0, "cap on top")]) for cap in caps]


def cap_facts(caps: tuple[Cap, ...], lengths: Lengths = _PLAIN) -> list[str]:
    """Return what patches are, to be said under a side view."""
    return [f"{cap_words(cap, lengths)[0]}, glued over the lap, grain along {cap.along}" for cap in caps]


def _span(brace: CarvedBrace, cap: Cap) -> tuple[float, float]:
    """Middle and length of a patch along a brace."""
    if brace.name == cap.along:
        return cap.at_mm, cap.length_mm
    notch = next(n for n in brace.notches if n.with_ == cap.along)
    return notch.at_mm, cap.width_mm / sin(radians(notch.angle_deg))
