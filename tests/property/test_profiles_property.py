"""Profiles: whatever is asked for, they keep to their stations, join without steps, and fall where they should."""

from itertools import pairwise

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from braces.base.arrays import frozen_floats
from braces.base.problems import Problem
from braces.carved.profile import Span, profile
from braces.curves.hermite import Hermite, from_knots
from braces.curves.monotone import monotone_slopes
from braces.design.shapes import ProfileSpec

READ = TypeAdapter(ProfileSpec)


def steps_at_knots(curve: Hermite) -> float:
    """The largest jump at a knot, from just left of it to just right of it, less what the slope explains."""
    e = 1e-7
    inner = curve.x_mm[1:-1]
    return float(np.max(np.abs(curve(inner + e) - curve(inner - e)), initial=0.0))


@st.composite
def spans(draw: st.DrawFn) -> Span:
    length = draw(st.floats(60, 600))
    height = draw(st.floats(4, 20))
    low = [draw(st.one_of(st.just(height), st.floats(0.5, height))) for _ in range(2)]
    flats = [draw(st.floats(0, length / 8)) for _ in range(2)]
    skews = [draw(st.floats(0, 6)) for _ in range(2)]
    high = draw(st.sampled_from([0.0, length / 3, length / 2, length]))
    assume(not (high == 0.0 and low[0] < height) and not (high == length and low[1] < height))
    return Span(length, height, low[0], low[1], flats[0], flats[1], skews[0], skews[1], high, ())


LAWS = st.one_of(
    st.builds(
        lambda c, land: {"law": "tapered", "curve": c, "land": f"{land} mm"},
        st.sampled_from(["line", "arc", "parabola"]),
        st.integers(0, 20),
    ),
    st.builds(lambda run: {"law": "straight", "run": f"{run} mm"}, st.integers(1, 60)),
    st.just({"law": "straight"}),
    st.builds(
        lambda v, p, hv, hp, legs: {
            "law": "scalloped",
            "valley": {"at": f"{v} %", "height": f"{hv} mm"},
            "peak": {"at": f"{p} %", "height": f"{hp} mm"},
            "legs": legs,
        },
        st.integers(15, 60),
        st.integers(40, 85),
        st.floats(1, 12).map(lambda v: round(v, 2)),
        st.floats(2, 15).map(lambda v: round(v, 2)),
        st.sampled_from(["end", "both"]),
    ),
)


@settings(max_examples=250)
@given(spans(), LAWS)
def test_laws(span: Span, law: dict[str, object]) -> None:
    problems: list[Problem] = []
    curve, features = profile(READ.validate_python(law), span, ("top", "braces", 0), problems)
    assert curve.lo_mm == -span.start_skew_mm or abs(curve.lo_mm + span.start_skew_mm) < 1e-9
    assert abs(curve.hi_mm - span.length_mm - span.end_skew_mm) < 1e-9
    assert steps_at_knots(curve) < 1e-4
    x = np.linspace(curve.lo_mm, curve.hi_mm, 4001)
    y = curve(x)
    assert y.max() <= span.height_mm + 1e-9
    lowest = min([span.start_height_mm, span.end_height_mm, *(f.height_mm for f in features)])
    assert y.min() >= lowest - 1e-9
    if problems:
        assert {p.code for p in problems} <= {"C02"}
        return
    assert abs(curve.at(0.0) - span.start_height_mm) < 1e-9
    assert abs(curve.at(span.length_mm) - span.end_height_mm) < 1e-9
    for f in features:
        assert abs(curve.at(f.at_mm) - f.height_mm) < 1e-9
    # Between neighbouring marks it only rises or only falls.
    marks = sorted({curve.lo_mm, *(f.at_mm for f in features), curve.hi_mm})
    for a, b in pairwise(marks):
        steps = np.diff(curve(np.linspace(a, b, 400)))
        assert np.all(steps <= 1e-9) or np.all(steps >= -1e-9)


HEIGHTS = st.lists(st.floats(1, 20), min_size=2, max_size=12)


@settings(max_examples=200)
@given(HEIGHTS, st.data())
def test_free_stations_are_never_overshot(heights: list[float], data: st.DataObject) -> None:
    gaps = data.draw(st.lists(st.floats(2, 80), min_size=len(heights) - 1, max_size=len(heights) - 1))
    x = frozen_floats(np.concatenate([[0.0], np.cumsum(gaps)]))
    y = frozen_floats(heights)
    curve = from_knots(x, y, monotone_slopes(x, y))
    for (a, ya), (b, yb) in pairwise(zip(x, y, strict=True)):
        inside = curve(np.linspace(a, b, 200))
        assert inside.min() >= min(ya, yb) - 1e-9
        assert inside.max() <= max(ya, yb) + 1e-9
    e = 1e-7
    assert np.allclose(curve.slope(x[1:-1] - e), curve.slope(x[1:-1] + e), atol=1e-4)


@given(HEIGHTS)
def test_shoulders_never_reach_the_glue_face(heights: list[float]) -> None:
    """Refining a curve changes nothing: the knots that sections and laps add are on it already."""
    x = np.arange(len(heights)) * 30.0
    curve = from_knots(x, heights)
    fine = curve.refined(np.linspace(-5, x[-1] + 5, 37))
    at = np.linspace(x[0], x[-1], 500)
    assert np.allclose(fine(at), curve(at), atol=1e-9)
    assert abs(fine.integral() - curve.integral()) < 1e-6
