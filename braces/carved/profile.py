"""The height along a brace: one function for each profile law, all made of monotone cubic pieces."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from braces.base.arrays import frozen_floats
from braces.base.problems import Problem, Where
from braces.carved.values import Feature
from braces.curves.hermite import Hermite, from_knots, joined, sampled
from braces.curves.monotone import monotone_slopes
from braces.design.shapes import (
    ProfileSpec,
    ScallopedProfile,
    StationsProfile,
    StraightProfile,
    TaperedProfile,
)

_SHORTEST_MM = 0.5  #: a leg shorter than this has no room to fall


@dataclass(frozen=True, slots=True)
class Span:
    """What a profile has to fit: the brace's length and what its ends and joints fix."""

    length_mm: float
    height_mm: float
    start_height_mm: float
    end_height_mm: float
    start_flat_mm: float  #: level from the start face at least this far, and as far before it
    end_flat_mm: float
    start_skew_mm: float  #: half of what an oblique end face takes along the brace
    end_skew_mm: float
    high_mm: float  #: place of full height
    keep_full: tuple[tuple[float, float], ...]  #: stretches that a lap needs at full height


def profile(
    spec: ProfileSpec, span: Span, where: Where, problems: list[Problem]
) -> tuple[Hermite, tuple[Feature, ...]]:
    """Return the height over X and the places a maker marks. Appends a problem where the law cannot be met."""
    if isinstance(spec, StationsProfile):
        return _stations(spec, span, where, problems)
    low, high = _land(spec, span)
    features: list[Feature] = [Feature("top", span.high_mm, span.height_mm)]
    head: list[Hermite] = []
    tail: list[Hermite] = []
    flat = max(span.start_flat_mm, span.start_skew_mm)
    if span.start_height_mm < span.height_mm and _room(low - flat, "start", where, problems):
        leg = _leg(spec, span, low - flat, span.high_mm, span.high_mm - low, "start", where, problems)
        head = [*_levels(-span.start_skew_mm, flat, span.start_height_mm), _backwards(leg.curve, low)]
        features += [Feature(f.kind, low - f.at_mm, f.height_mm) for f in leg.features]
        features.append(Feature("flat", flat, span.start_height_mm))
    else:
        low = -span.start_skew_mm
    flat = span.length_mm - max(span.end_flat_mm, span.end_skew_mm)
    if span.end_height_mm < span.height_mm and _room(flat - high, "end", where, problems):
        leg = _leg(spec, span, flat - high, span.length_mm - span.high_mm, high - span.high_mm, "end", where, problems)
        tail = [_moved(leg.curve, high), *_levels(flat, span.length_mm + span.end_skew_mm, span.end_height_mm)]
        features += [Feature(f.kind, high + f.at_mm, f.height_mm) for f in leg.features]
        features.append(Feature("flat", flat, span.end_height_mm))
    else:
        high = span.length_mm + span.end_skew_mm
    land = _levels(low, high, span.height_mm)
    return joined([*head, *land, *tail]), tuple(sorted(features, key=lambda f: (f.at_mm, f.kind)))


def _room(run_mm: float, which: str, where: Where, problems: list[Problem]) -> bool:
    """Whether a leg has room to fall between the land and the level low end."""
    if run_mm > _SHORTEST_MM:
        return True
    found = f"the land and the level {which} leave {max(run_mm, 0.0):.1f} mm for the brace to fall"
    problems.append(Problem("C02", (*where, "profile"), found, f"make the land or the {which}'s length shorter"))
    return False


def _land(spec: Any, span: Span) -> tuple[float, float]:
    """The stretch at full height: what was asked for about the high place, and at least what the laps need."""
    half = spec.land_mm / 2
    low, high = span.high_mm - half, span.high_mm + half
    if span.high_mm <= 0:
        low, high = span.high_mm, span.high_mm + max(spec.land_mm, span.start_skew_mm)
    elif span.high_mm >= span.length_mm:
        low, high = span.high_mm - max(spec.land_mm, span.end_skew_mm), span.high_mm
    for a, b in span.keep_full:
        if a < high + 40 and b > low - 40:
            low, high = min(low, a), max(high, b)
    return low, high


@dataclass(frozen=True, slots=True, eq=False)
class _Leg:
    """One side of a profile, outwards from the edge of the land."""

    curve: Hermite
    features: tuple[Feature, ...]


def _leg(
    spec: Any,
    span: Span,
    run: float,
    whole: float,
    skipped: float,
    which: str,
    where: Where,
    problems: list[Problem],
) -> _Leg:
    """One fall: ``run`` from the land's edge to the flat, ``whole`` from the high place to the end face."""
    end_height = span.start_height_mm if which == "start" else span.end_height_mm
    fall = span.height_mm - end_height
    if isinstance(spec, StraightProfile):
        falling = min(spec.run_mm if spec.run_mm is not None else 3 * fall, run)
        if falling >= run - 1e-6:
            return _Leg(_parabola(run, span.height_mm, end_height), ())
        level = _level(0.0, run - falling, span.height_mm)
        return _Leg(joined([level, _moved(_parabola(falling, span.height_mm, end_height), run - falling)]), ())
    if isinstance(spec, ScallopedProfile) and (spec.legs == "both" or which == "end"):
        return _scalloped(spec, span, run, whole, skipped, end_height, where, problems)
    curve = spec.curve if isinstance(spec, TaperedProfile) else "parabola"
    return _Leg(_FALLS[curve](run, span.height_mm, end_height), ())


def _scalloped(
    spec: ScallopedProfile,
    span: Span,
    run: float,
    whole: float,
    skipped: float,
    end_height: float,
    where: Where,
    problems: list[Problem],
) -> _Leg:
    valley, peak = (s.at.along(whole) - skipped for s in (spec.valley, spec.peak))
    if not (_SHORTEST_MM < valley < peak - _SHORTEST_MM and peak < run - _SHORTEST_MM):
        problems.append(
            Problem(
                "C02",
                (*where, "profile"),
                f"land to {skipped:.1f} mm, valley at {valley + skipped:.1f}, peak at {peak + skipped:.1f}, "
                f"low end from {run + skipped:.1f} mm",
                "put the valley beyond the land, the peak beyond the valley and before the low end",
            )
        )
        return _Leg(_parabola(run, span.height_mm, end_height), ())
    heights = [span.height_mm, spec.valley.height_mm, spec.peak.height_mm, end_height]
    if not (heights[1] < heights[0] and heights[1] < heights[2] <= heights[0] and heights[3] <= heights[2]):
        problems.append(
            Problem(
                "C02",
                (*where, "profile"),
                f"valley {heights[1]:.1f} mm, peak {heights[2]:.1f} mm, end {heights[3]:.1f} mm, "
                f"full height {heights[0]:.1f} mm",
                "make the valley the lowest, the peak no higher than the brace and the end no higher than the peak",
            )
        )
        return _Leg(_parabola(run, span.height_mm, end_height), ())
    hollow = from_knots([0.0, valley, peak], heights[:3])
    tail = _moved(_parabola(run - peak, heights[2], end_height), peak)
    marks = (
        Feature("land", 0.0, heights[0]),
        Feature("valley", valley, heights[1]),
        Feature("peak", peak, heights[2]),
    )
    return _Leg(joined([hollow, tail]), marks)


def _stations(
    spec: StationsProfile, span: Span, where: Where, problems: list[Problem]
) -> tuple[Hermite, tuple[Feature, ...]]:
    x = [s.at.along(span.length_mm) for s in spec.stations]
    h = [s.height_mm for s in spec.stations]
    if any(b - a < _SHORTEST_MM for a, b in pairwise(x)) or x[0] < 0 or x[-1] > span.length_mm + 1e-9:
        problems.append(
            Problem(
                "C02",
                (*where, "profile", "stations"),
                "stations do not ascend along the brace",
                "list them from the start, each further along than the one before, none beyond the end",
            )
        )
        return _level(-span.start_skew_mm, span.length_mm + span.end_skew_mm, span.height_mm), ()
    features = tuple(Feature("station", a, b) for a, b in zip(x, h, strict=True))
    x[0] = max(x[0], span.start_skew_mm)
    x[-1] = min(x[-1], span.length_mm - span.end_skew_mm)
    x = [-span.start_skew_mm, *x, span.length_mm + span.end_skew_mm]
    h = [h[0], *h, h[-1]]
    keep = [i for i in range(len(x)) if i == 0 or x[i] - x[i - 1] > 1e-9]
    xs, hs = np.array([x[i] for i in keep]), np.array([h[i] for i in keep])
    if max(h) > span.height_mm + 1e-9:
        problems.append(
            Problem(
                "C03",
                (*where, "profile", "stations"),
                f"a station is {max(h):.1f} mm high",
                f"the brace's height is {span.height_mm:.1f} mm; raise it or lower the station",
            )
        )
    return from_knots(xs, hs, monotone_slopes(xs, hs)), features


def _levels(low: float, high: float, height: float) -> list[Hermite]:
    """A level stretch, or nothing if it has no length."""
    return [_level(low, high, height)] if high - low > 1e-9 else []


def _level(low: float, high: float, height: float) -> Hermite:
    return from_knots([low, high], [height, height])


def _parabola(run: float, top: float, bottom: float) -> Hermite:
    return from_knots([0.0, run], [top, bottom], [0.0, -2 * (top - bottom) / run])


def _line(run: float, top: float, bottom: float) -> Hermite:
    slope = (bottom - top) / run
    return from_knots([0.0, run], [top, bottom], [slope, slope])


def _arc(run: float, top: float, bottom: float) -> Hermite:
    """A circle that leaves the land level and passes through the end."""
    fall = top - bottom
    radius = (run**2 + fall**2) / (2 * fall)
    if run >= radius:
        return _parabola(run, top, bottom)
    x = np.linspace(0.0, run, 33)
    return sampled(lambda s: top - radius + np.sqrt(radius**2 - s**2), lambda s: -s / np.sqrt(radius**2 - s**2), x)


_FALLS: dict[str, Callable[[float, float, float], Hermite]] = {
    "line": _line,
    "parabola": _parabola,
    "arc": _arc,
}


def _moved(curve: Hermite, by: float) -> Hermite:
    return Hermite(frozen_floats(curve.x_mm + by), curve.y_mm, curve.slope_in, curve.slope_out)


def _backwards(curve: Hermite, edge: float) -> Hermite:
    """The same leg running from its low end up to ``edge``."""
    return Hermite(
        frozen_floats(edge - curve.x_mm[::-1]),
        frozen_floats(curve.y_mm[::-1]),
        frozen_floats(-curve.slope_out[::-1]),
        frozen_floats(-curve.slope_in[::-1]),
    )
