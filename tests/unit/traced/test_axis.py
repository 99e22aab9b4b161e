"""The axis found: of symmetric, lopsided and cut-away bodies, with the tail told from the neck."""

from __future__ import annotations

import numpy as np
import pytest
from traced_samples import LENGTH_MM, body, cutaway, moved

from braces.base.problems import DesignError, Problem
from braces.traced.axis import found_axis, given_axis, way_named
from braces.traced.mirror import MirrorLine, mirror_lines, symmetry


def lean_deg(direction: tuple[float, float]) -> float:
    return float(np.degrees(np.arctan2(-direction[0], direction[1])))


@pytest.mark.parametrize("turn_deg", [0.0, 11.4592, 90.0, 133.0, 180.0, -77.7])
@pytest.mark.parametrize("shape", [body, cutaway])
def test_axis_of_a_turned_body(turn_deg: float, shape: object) -> None:
    p = moved(shape(), turn_deg, (412.0, -95.0))  # type: ignore[operator]
    notes: list[Problem] = []
    axis, how = found_axis(p, None, "x", notes)
    assert notes == []
    assert (lean_deg(axis.line.direction) - turn_deg + 180) % 360 - 180 == pytest.approx(0, abs=0.02)
    ends = axis.to_body(moved(np.array([[0, 0], [0, LENGTH_MM]]), turn_deg, (412.0, -95.0)))
    assert ends[:, 0] == pytest.approx(0, abs=0.05)
    assert ends[1, 1] - ends[0, 1] == pytest.approx(LENGTH_MM)
    assert how.share_fraction == pytest.approx(1.0 if shape is body else 0.81, abs=0.02)


def test_symmetric_body_measures_as_symmetric() -> None:
    _, how = found_axis(moved(body(), 20), None, "x", [])
    assert how.greatest_mm < 1e-6


@pytest.mark.parametrize("lopsided_mm", [0.5, 1.0])
def test_lopsidedness_is_measured(lopsided_mm: float) -> None:
    """One side pushed out by up to d: the best axis shares it between the sides, but cannot take all of it away."""
    _, how = found_axis(body(lopsided_mm=lopsided_mm), None, "x", [])
    assert 0.25 * lopsided_mm < how.greatest_mm < lopsided_mm + 0.01


def test_scatter_does_not_turn_the_axis() -> None:
    """720 points scattered by 0.3 mm over 480 mm hold the axis to about 0.3 / (480 / 4 * sqrt(720)) rad = 0.005 deg."""
    p = moved(body(), 11.4592) + np.random.default_rng(4).normal(0, 0.3, (720, 2))
    axis, how = found_axis(p, None, "x", [])
    assert lean_deg(axis.line.direction) == pytest.approx(11.4592, abs=0.03)
    assert how.rms_mm < 0.6


def test_ellipse_lies_along_its_longer_axis_and_asks_which_end_is_the_neck() -> None:
    a = 2 * np.pi * np.arange(300) / 300
    p = moved(np.column_stack([170 * np.cos(a), 240 * np.sin(a)]), 30)
    notes: list[Problem] = []
    axis, _ = found_axis(p, None, "x", notes)
    assert lean_deg(axis.line.direction) == pytest.approx(30, abs=1e-3)
    assert [n.code for n in notes] == ["T13"]
    assert not notes[0].fatal


@pytest.mark.parametrize(("way", "turn_deg"), [("up", 0), ("down", 180), ("left", 90), ("right", -90)])
def test_the_way_of_the_neck_can_be_asked_for(way: str, turn_deg: float) -> None:
    upside_down = moved(body(), turn_deg + 180)  # the wider end would be the tail: asked the other way
    axis, _ = found_axis(upside_down, way_named(way, "x"), "x", [])
    assert (lean_deg(axis.line.direction) - turn_deg + 180) % 360 - 180 == pytest.approx(0, abs=1e-3)


def test_candidates_come_best_first() -> None:
    scores = [s for s, _ in mirror_lines(body())]
    assert scores == sorted(scores)


def refused(call: object) -> str:
    with pytest.raises(DesignError) as caught:
        call()  # type: ignore[operator]
    return caught.value.problems[0].code


def test_a_shape_without_an_axis_is_refused() -> None:
    a = 2 * np.pi * np.arange(400) / 400
    r = 200 + 60 * np.cos(2 * a + 0.4) + 50 * np.sin(3 * a + 1) + 30 * np.cos(5 * a)
    assert refused(lambda: found_axis(np.column_stack([r * np.cos(a), r * np.sin(a)]), None, "x", [])) == "T08"


def test_bad_wishes_are_refused() -> None:
    assert refused(lambda: way_named("north", "x")) == "T16"
    assert refused(lambda: given_axis(((1, 1), (1, 1)), "x")) == "T16"
    assert refused(lambda: given_axis(((0, 0), (np.nan, 1)), "x")) == "T16"
    assert refused(lambda: found_axis(body(), "left", "x", [])) == "T08"


def test_mirroring_is_its_own_inverse() -> None:
    line = MirrorLine((3.0, -2.0), (0.6, 0.8))
    assert line.mirrored(line.mirrored(body())) == pytest.approx(body())
    assert symmetry(np.concatenate([body()[:360], line.mirrored(body()[:360])]), line).rms_mm < 40
