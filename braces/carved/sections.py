"""The shape across a brace, and how it turns square at its joints."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import Floats
from braces.base.problems import Problem, Where
from braces.curves.hermite import Hermite, from_knots
from braces.curves.section import Shape, gabled, rounded
from braces.design.shapes import GabledSection, RoundedSection, SectionSpec, TaperedSection

Zone = tuple[float, float]
_STEP_MM = 8.0  #: knots of the drop are no further apart, so that its cubic pieces follow height x blend closely
_LEAST_SIDE_MM = 0.3  #: a shoulder never reaches the glue face


def section_shape(spec: SectionSpec, width_mm: float, height_mm: float, where: Where, problems: list[Problem]) -> Shape:
    """Return sigma(Y) of a section law. Appends a problem if it does not fit the brace."""
    at = (*where, "section")
    if isinstance(spec, TaperedSection):
        if spec.top_width_mm >= width_mm or spec.upright_mm >= height_mm:
            problems.append(
                Problem(
                    "C04",
                    at,
                    f"a top {spec.top_width_mm:.1f} mm wide over {spec.upright_mm:.1f} mm of side "
                    f"on a brace {width_mm:.1f} x {height_mm:.1f} mm",
                    "make the top narrower than the brace",
                )
            )
            return gabled(width_mm, width_mm)
        return gabled(width_mm, spec.top_width_mm)
    if isinstance(spec, GabledSection):
        if spec.land_mm >= width_mm or spec.shoulder_mm >= height_mm - _LEAST_SIDE_MM:
            problems.append(
                Problem(
                    "C04",
                    at,
                    f"a land of {spec.land_mm:.1f} mm with shoulders of {spec.shoulder_mm:.1f} mm "
                    f"on a brace {width_mm:.1f} x {height_mm:.1f} mm",
                    "make the land narrower and the shoulder lower than the brace",
                )
            )
            return gabled(width_mm, width_mm)
        return gabled(width_mm, spec.land_mm)
    if isinstance(spec, RoundedSection):
        if _cap(spec, width_mm) >= height_mm - _LEAST_SIDE_MM:
            problems.append(
                Problem(
                    "C04",
                    at,
                    f"a cap {_cap(spec, width_mm):.1f} mm high on a brace {height_mm:.1f} mm high",
                    "write a lower shoulder",
                )
            )
            return gabled(width_mm, width_mm)
        return rounded(width_mm)
    return gabled(width_mm, width_mm)


def _cap(spec: RoundedSection, width_mm: float) -> float:
    return width_mm / 2 if spec.shoulder_mm is None else spec.shoulder_mm


def with_drop(
    spec: SectionSpec,
    height: Hermite,
    full_mm: float,
    width_mm: float,
    square: tuple[Zone, ...],
) -> tuple[Hermite, Hermite]:
    """Return (height, drop) on common knots; the drop is nothing in the ``square`` zones and blends in beyond them.

    Shoulders shrink in proportion to the height, so that a hollow keeps its look; a tapered section keeps its sides
    upright to the same level all along.
    """
    marks = [m for zone in square for m in (zone[0], zone[1], zone[0] - spec.blend_mm, zone[1] + spec.blend_mm)]
    steps = [
        x
        for a, b in zip(height.x_mm, height.x_mm[1:], strict=False)
        for x in np.linspace(a, b, max(1, int(np.ceil((b - a) / _STEP_MM))) + 1)[1:-1]
    ]
    height = height.refined([*marks, *steps])
    x = height.x_mm
    scale, offset = _rule(spec, full_mm, width_mm)
    if scale == 0.0:
        return height, from_knots(x, np.zeros(len(x)))
    middle = (x[:-1] + x[1:]) / 2
    raw = np.maximum(scale * height.y_mm - offset, 0.0)
    live = (scale * height(middle) - offset > 0).astype(float)
    blend, slope = _blend(x, square, spec.blend_mm)
    return height, Hermite(
        x,
        _frozen(raw * blend),
        _frozen(
            (scale * height.slope_in * blend[:-1] + np.maximum(scale * height.y_mm[:-1] - offset, 0) * slope[:-1])
            * live
        ),
        _frozen(
            (scale * height.slope_out * blend[1:] + np.maximum(scale * height.y_mm[1:] - offset, 0) * slope[1:]) * live
        ),
    )


def _rule(spec: SectionSpec, full_mm: float, width_mm: float) -> tuple[float, float]:
    """drop = scale * height - offset."""
    if isinstance(spec, TaperedSection):
        return 1.0, spec.upright_mm
    if isinstance(spec, GabledSection):
        return spec.shoulder_mm / full_mm, 0.0
    if isinstance(spec, RoundedSection):
        return _cap(spec, width_mm) / full_mm, 0.0
    return 0.0, 0.0


def _blend(x: Floats, zones: tuple[Zone, ...], run_mm: float) -> tuple[Floats, Floats]:
    """0 in the zones, 1 a run away from all of them, with its slope; smoothstep 3 t^2 - 2 t^3 in between."""
    value, slope = np.ones(len(x)), np.zeros(len(x))
    for low, high in zones:
        t = np.clip(np.maximum(low - x, x - high) / run_mm, 0, 1)
        sign = np.where(x > (low + high) / 2, 1.0, -1.0)
        v, s = t * t * (3 - 2 * t), sign * 6 * t * (1 - t) / run_mm
        value, slope = value * v, slope * v + value * s
    return value, slope


def _frozen(a: Floats) -> Floats:
    a.setflags(write=False)
    return a
