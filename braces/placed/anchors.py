"""Heights on the centre line that a design measures from, and the line of the saddle."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from braces.base.arrays import Points
from braces.base.problems import Problem, Where
from braces.design.model import Design
from braces.design.quantities import Place
from braces.placed.refused import Refused, refuse


def neck_to_saddle_mm(scale_mm: float, frets_clear_count: int, compensation_mm: float) -> float:
    """Return the distance from the fret at the body joint to the saddle line.

    In equal temperament the n-th fret leaves scale / 2^(n/12) of the string; the saddle is set back further by
    the compensation.

    >>> round(neck_to_saddle_mm(648.0, 12, 0.0), 6)
    324.0
    """
    return float(scale_mm / 2 ** (frets_clear_count / 12)) + compensation_mm


@dataclass(frozen=True, slots=True)
class Anchors:
    """Every named height on the centre line, mm from the tail; (towards the tail, towards the neck) edges."""

    edges: dict[str, tuple[float, float]]
    length_mm: float

    def y(self, place: Place, where: Where, off_body: bool = False) -> float:
        """Return the height meant. Raises Refused if it cannot be found, or is off the body and may not be."""
        if place.anchor not in self.edges:
            found = f"there is no {place.anchor} on this instrument"
            raise refuse("L04", where, found, "measure from the neck, the tail or the saddle")
        low, high = self.edges[place.anchor]
        towards_neck = place.sense == "above" or (place.sense == "from" and place.anchor == "tail")
        y = (low + high) / 2 if place.sense == "at" else high + place.by_mm if towards_neck else low - place.by_mm
        if not off_body and not 0 <= y <= self.length_mm:
            found = f"that is {y:.1f} mm from the tail, off a body of {self.length_mm:.1f} mm"
            raise refuse("L07", where, found, "measure again from the place named")
        return y

    def y_or(self, place: Place, where: Where, problems: list[Problem], instead_mm: float) -> float:
        """Return the height meant, or ``instead_mm`` after noting why there is none."""
        try:
            return self.y(place, where)
        except Refused as refused:
            problems += [refused.problem] if refused.problem else []
            return instead_mm

    def mapped(self, move: Callable[[Points], Points]) -> Anchors:
        """Return the same places in the plan of a tilted plate, which is a little longer than the body's."""
        names = list(self.edges)
        ys = np.array([self.edges[n] for n in names]).ravel()
        seen = move(np.column_stack([np.zeros(len(ys)), ys]))[:, 1].reshape(-1, 2)
        edges = {n: (float(a), float(b)) for n, (a, b) in zip(names, seen, strict=True)}
        return Anchors(edges, edges["neck"][0])


def anchors(design: Design, problems: list[Problem]) -> Anchors:
    """Return the named heights of an instrument."""
    body, strings = design.body, design.strings
    length = body.length_mm
    saddle = length - neck_to_saddle_mm(strings.scale_mm, strings.frets_clear_count, strings.compensation_mm)
    named = {
        "tail": (0.0, 0.0),
        "neck": (length, length),
        "saddle": (saddle, saddle),
        "lower bout": (body.lower_bout.at_mm,) * 2,
        "waist": (body.waist.at_mm,) * 2,
        "upper bout": (body.upper_bout.at_mm,) * 2,
    }
    if not 0 < saddle < length:
        problems.append(
            Problem(
                "L07",
                ("strings",),
                f"the saddle line falls {saddle:.1f} mm from the tail, off the body",
                "check the scale length and the frets clear of the body",
            )
        )
    known = Anchors(named, length)
    if (hole := design.top.soundhole) is not None:
        y = known.y_or(hole.centre, ("top", "soundhole", "centre"), problems, length / 2)
        named["soundhole"] = (y - hole.diameter_mm / 2, y + hole.diameter_mm / 2)
    return known
