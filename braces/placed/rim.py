"""How a straight brace meets the rim: where it stops, and at what angle its end face stands."""

from __future__ import annotations

from braces.base.problems import Problem, Where
from braces.curves.path import Hit, Path, line_hits
from braces.design.braces import BraceSpec
from braces.design.shapes import EndSpec
from braces.placed.values import EndMeets, PlacedEnd

XY = tuple[float, float]
_FULL = EndSpec(kind="butted")


def end_spec(brace: BraceSpec, which: str, butts_on_brace: bool = False) -> EndSpec:
    """Return how the ``which`` ("start" or "end") end is made: its own entry, that of both ends, or a plain butt."""
    own = brace.start if which == "start" else brace.end
    if own is not None:
        return own
    if butts_on_brace or brace.ends is None:
        return _FULL
    return brace.ends


def rim_end(
    lining: Path, origin: XY, direction: XY, spec: EndSpec, where: Where, problems: list[Problem]
) -> PlacedEnd | None:
    """Follow a line outwards from ``origin``; return where the brace ends, or None with a problem.

    ``lining`` is the lining's inner face; ``direction`` is a unit vector.
    """
    wall = lining.inside(_inset(spec))
    inner, stop = _first(line_hits(lining, origin, direction)), _first(line_hits(wall, origin, direction))
    if inner is None or stop is None:
        problems.append(
            Problem(
                "L01",
                where,
                "the brace starts outside the lining or never reaches it",
                "move it so that it lies inside the body",
            )
        )
        return None
    tx, ty = wall.tangent(stop.u_count)
    meets: EndMeets = "lining" if spec.kind in ("tucked", "butted") else "nothing"
    return PlacedEnd(meets, "", stop.at, (float(tx), float(ty)), inner.at)


def _inset(spec: EndSpec) -> float:
    """How far inside the lining's inner face the end face stands; a tucked end lies outside it."""
    return -spec.reach_mm if spec.kind == "tucked" else 0.0 if spec.kind == "butted" else spec.short_mm


def _first(hits: tuple[Hit, ...]) -> Hit | None:
    """The first meeting ahead, if the line starts inside (it then leaves an odd number of times)."""
    ahead = [h for h in hits if h.t_mm > 1e-6]
    return ahead[0] if len(ahead) % 2 else None
