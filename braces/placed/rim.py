"""How a straight brace meets the rim: where it stops, and at what angle its end face stands."""

from __future__ import annotations

from math import asin, degrees

from braces.base.problems import Where
from braces.curves.hits import Hit, line_hits
from braces.curves.path import Path
from braces.design.braces import BraceSpec
from braces.design.shapes import EndSpec
from braces.placed.refused import refuse
from braces.placed.values import PlacedEnd

XY = tuple[float, float]
LEAST_MEETING_DEG = 20.0  #: flatter than this, the end is a splinter and the pocket a slot
_FULL = EndSpec(kind="butted")


def end_spec(brace: BraceSpec, which: str, butts_on_brace: bool = False) -> EndSpec:
    """Return how the ``which`` ("start" or "end") end is made: its own entry, that of both ends, or a plain butt."""
    own = brace.start if which == "start" else brace.end
    if own is not None:
        return own
    if butts_on_brace or brace.ends is None:
        return _FULL
    return brace.ends


def rim_end(lining: Path, origin: XY, direction: XY, spec: EndSpec, where: Where) -> PlacedEnd:
    """Follow a line outwards from ``origin`` and return where the brace ends.

    ``lining`` is the lining's inner face; ``direction`` is a unit vector. Raises Refused if it starts outside or
    meets the rim too flat.
    """
    wall = lining.inside(-spec.reach_mm) if spec.kind == "tucked" else lining
    inner, stop = _first(line_hits(lining, origin, direction)), _first(line_hits(wall, origin, direction))
    if inner is None or stop is None:
        found, advice = "the brace starts outside the lining or never reaches it", "move it so that it lies inside"
        raise refuse("L01", where, found, advice)
    tx, ty = stop.along
    meeting = degrees(asin(min(1.0, abs(direction[0] * ty - direction[1] * tx))))
    if meeting < LEAST_MEETING_DEG:
        found = f"the brace meets the rim at only {meeting:.0f} degrees"
        advice = f"turn it until it meets the rim at {LEAST_MEETING_DEG:.0f} degrees or more"
        raise refuse("L01", where, found, advice)
    if spec.kind in ("tucked", "butted"):
        return PlacedEnd("lining", "", stop.at, (tx, ty), inner.at)
    at = (stop.at[0] - spec.short_mm * direction[0], stop.at[1] - spec.short_mm * direction[1])
    return PlacedEnd("nothing", "", at, (tx, ty), inner.at)


def _first(hits: tuple[Hit, ...]) -> Hit | None:
    """The first meeting ahead, if the line starts inside (it then leaves an odd number of times)."""
    ahead = [h for h in hits if h.t_mm > 1e-6]
    return ahead[0] if len(ahead) % 2 else None
