"""What a trace did, in rows a maker can read."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import atan2, degrees

import numpy as np

from braces.base.arrays import Points
from braces.base.units import inch_text, mm_text
from braces.traced.curve import Drawn
from braces.traced.drawn_units import size_text
from braces.traced.join import Chain, Gap, Joined
from braces.traced.lay import Laid
from braces.traced.outline import Outline
from braces.traced.pieces import Pieces
from braces.traced.places import Place, Places
from braces.traced.polylines import length_mm

Row = tuple[str, str]
_UNIT_WORDS = {"in": "inches", "ft": "feet"}
_LISTED = 20  #: further ones are counted


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """Everything there is to say."""

    read: Pieces
    found: Joined
    laid: Laid
    drawn: Drawn
    outline: Outline
    places: Places
    width_mm: float  #: greatest, side to side
    greatest_mm: float  #: of the points from the curve
    rms_mm: float
    between_mm: float  #: of the curve from the straight lines between the points
    left_out: tuple[str, ...]  #: what the choice of a layer left out


def report_rows(told: Told) -> tuple[Row, ...]:
    """Return (subject, sentence) rows in the order in which things were done."""
    return (*_reading(told), *_joining(told), *_laying(told), *_sizes(told), *_curve(told))


def _reading(told: Told) -> list[Row]:
    kinds = Counter(p.label for p in told.read.pieces)
    unit = _UNIT_WORDS.get(told.read.unit, told.read.unit)
    lines = _count(len(told.read.pieces), "line")
    rows = [("read", f"{lines}, drawn in {unit} ({told.read.unit_from}): {_listed(kinds)}")]
    if told.read.passed_over:
        rows.append(("passed over", "no lines: " + "; ".join(told.read.passed_over)))
    if told.left_out:
        rows.append(("left out", f"on other layers: {_listed(Counter(told.left_out))}"))
    rows += [
        (
            "drawn twice",
            f"{p.label}, {mm_text(length_mm(p.points, p.closed))} mm long, {_where(told, p.points)}; left out",
        )
        for p in told.found.duplicates[:_LISTED]
    ]
    return rows + _rest("drawn twice", len(told.found.duplicates))


def _joining(told: Told) -> list[Row]:
    outline = told.found.outline
    gaps = outline.gaps
    what = "half an outline" if told.laid.alike is None else "one loop"
    bridged = "no gaps"
    if gaps:
        bridged = f"{_count(len(gaps), 'gap')} bridged, the widest {max(g.size_mm for g in gaps):.2f} mm"
    rows = [("joined", f"{_count(len(outline.labels), 'line')} into {what}; {bridged}")]
    rows += [("gap", f"{g.size_mm:.2f} mm, {_gap_place(told, g)}") for g in gaps[:_LISTED]] + _rest("gap", len(gaps))
    rows += [("also drawn", f"a loop {_chain_text(told, c)}") for c in told.found.others[:_LISTED]]
    rows += _rest("also drawn", len(told.found.others))
    rows += [
        (
            "centre line" if is_centre_line(told, c) else "left over",
            f"{', '.join(dict.fromkeys(c.labels))}, {mm_text(c.length_mm)} mm long, {_where(told, c.points)}",
        )
        for c in told.found.leftovers[:_LISTED]
    ]
    return rows + _rest("left over", len(told.found.leftovers))


def _laying(told: Told) -> list[Row]:
    dx, dy = told.laid.axis.line.direction
    lean = degrees(atan2(-dx, dy))
    rows = [("axis", f"{told.laid.axis.found}; in the drawing the neck points {_lean_text(lean)}")]
    alike = told.laid.alike
    if alike is None:
        rows.append(("symmetry", "half an outline, mirrored about the line through its ends"))
    else:
        rows.append(
            (
                "symmetry",
                f"the sides differ by up to {alike.greatest_mm:.2f} mm ({alike.rms_mm:.2f} mm rms); "
                + ("made alike, by their mean" if told.laid.treatment == "symmetrised" else "kept as drawn"),
            )
        )
    return rows


def _lean_text(degrees_left: float) -> str:
    """Say how far the neck is from pointing up.

    >>> _lean_text(-11.459), _lean_text(0.0)
    ('11.459 deg to the right of up', 'up')
    """
    if abs(degrees_left) < 0.0005:
        return "up"
    return f"{abs(degrees_left):.3f} deg to the {'left' if degrees_left > 0 else 'right'} of up"


def _sizes(told: Told) -> list[Row]:
    rows = [("size", f"width × length {size_text(told.width_mm, told.places.length_mm)}")]
    n = len(told.outline.points) // 2
    treble, bass = (float(np.sum(told.outline.runs_mm[part])) for part in (slice(0, n), slice(n, None)))
    rows.append(
        (
            "sides",
            f"tail to neck along the rim: treble {mm_text(treble)} mm ({inch_text(treble)} in), "
            f"bass {mm_text(bass)} mm ({inch_text(bass)} in)",
        )
    )
    named: tuple[tuple[str, Place | None], ...] = (
        ("lower bout", told.places.lower_bout),
        ("waist", told.places.waist),
        ("upper bout", told.places.upper_bout),
    )
    rows += [
        (
            what,
            f"{mm_text(p.width_mm)} mm ({inch_text(p.width_mm)} in) wide, {mm_text(p.at_mm)} mm "
            f"({inch_text(p.at_mm)} in) from the tail",
        )
        for what, p in named
        if p is not None
    ]
    if told.places.waist is None:
        rows.append(("waist", "none: neither side narrows and widens again"))
    return rows


def _curve(told: Told) -> list[Row]:
    n = len(told.drawn.points)
    rows = [
        (
            "curve",
            f"{len(told.outline.points)} knots; the {n} points lie within {told.greatest_mm:.3f} mm of it "
            f"({told.rms_mm:.3f} mm rms), and it within {told.between_mm:.3f} mm of the lines between them",
        )
    ]
    if told.drawn.settled:
        rows.append(("curve", "more knots would only follow the scatter of the points"))
    if told.laid.straight_mm:
        rows.append(("straight", f"sides drawn straight are kept so, the longest {mm_text(told.laid.straight_mm)} mm"))
    for i in told.outline.corners:
        arrive, leave = told.outline.headings_deg[i]
        turn = (leave - arrive + 180) % 360 - 180
        rows.append(("corner", f"kept, {abs(turn):.0f} deg, {_place_text(told.outline.points[i])}"))
    return rows


def _count(n: int, what: str) -> str:
    return f"{n} {what}" if n == 1 else f"{n} {what}s"


def _rest(what: str, n: int) -> list[Row]:
    return [(what, f"and {n - _LISTED} more")] if n > _LISTED else []


def _listed(kinds: Counter[str]) -> str:
    shown = [f"{n} × {label}" if n > 1 else label for label, n in sorted(kinds.items())]
    return ", ".join(shown[:8]) + (f" and {len(shown) - 8} more kinds" if len(shown) > 8 else "")


def _in_body(told: Told, points: Points) -> Points:
    return told.laid.to_body(points) - [0.0, told.drawn.rise_mm]


def is_centre_line(told: Told, chain: Chain) -> bool:
    """Whether a run left over lies along the axis."""
    return bool(np.max(np.abs(_in_body(told, chain.points)[:, 0])) < 0.5)


def _gap_place(told: Told, gap: Gap) -> str:
    return _place_text(_in_body(told, np.array([gap.at]))[0])


def _where(told: Told, points: Points) -> str:
    body = _in_body(told, points)
    return _place_text((body.min(axis=0) + body.max(axis=0)) / 2)


def _place_text(at: Points) -> str:
    """Where a place lies on the body.

    >>> _place_text(np.array([-12.0, 80.0]))
    '80 mm from the tail, 12 mm to the bass side'
    """
    x = mm_text(abs(float(at[0])))
    side = "on the axis" if x == "0" else f"{x} mm to the {'treble' if at[0] > 0 else 'bass'} side"
    return f"{mm_text(float(at[1]))} mm from the tail, {side}"


def _chain_text(told: Told, chain: Chain) -> str:
    size = np.ptp(_in_body(told, chain.points), axis=0)
    return f"of {mm_text(float(size[0]))} × {mm_text(float(size[1]))} mm, its middle {_where(told, chain.points)}"
