"""What must not matter to a trace: where a body is drawn, where its line begins, which way round, in what pieces."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from braces.base.arrays import frozen_points
from braces.base.problems import DesignError
from braces.traced.join import joined
from braces.traced.outline_file import read_outline
from braces.traced.pieces import Piece
from braces.traced.read_csv import read_csv
from braces.traced.read_dxf import read_dxf
from braces.traced.read_svg import read_svg
from braces.traced.trace import Traced, TraceOptions, trace


def body(count: int, waist: float = 115.0, scoop: float = 0.0) -> np.ndarray:
    """A waisted curve from the tail, anticlockwise; ``scoop`` bends the treble shoulder inwards."""
    a = 2 * np.pi * np.arange(count) / count
    x = np.sin(a) * (240 + 60 * np.cos(a) + waist * np.cos(2 * a))
    x = np.where(x > 0, x * (1 - scoop * np.exp(-(((a - 2.5) / 0.35) ** 2))), x)
    return np.column_stack([x, 240 * (1 - np.cos(a))])


def csv(p: np.ndarray) -> bytes:
    return ("x_mm,y_mm\n" + "\n".join(f"{x!r},{y!r}" for x, y in p.tolist())).encode()


def turned(p: np.ndarray, turn_rad: float, x: float, y: float) -> np.ndarray:
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    return np.asarray(p @ np.array([[c, s], [-s, c]]) + [x, y])


def apart(a: Traced, b: Traced) -> float:
    """Greatest distance between two curves of the same length, sampled along both."""
    p, q = a.path.dense(30), b.path.dense(30)
    return float(max(np.linalg.norm(p[:, None] - q[None], axis=2).min(axis=1).max() for p, q in ((p, q), (q, p))))


def only_refused(call: Callable[[], object]) -> bool:
    """Whether a call either works or refuses with problems of its own; anything else it raises is a defect."""
    try:
        call()
    except DesignError as error:
        return all(p.code.startswith("T") and p.fatal for p in error.problems)
    return True


COMMON = settings(max_examples=25)

turns = st.floats(-3.2, 3.2)
shifts = st.floats(-2000, 2000)
scoops = st.sampled_from([0.0, 0.12, 0.25])


@COMMON
@given(turns, shifts, shifts, st.integers(0, 359), st.booleans(), scoops)
def test_place_turn_start_and_sense_do_not_matter(
    turn: float, x: float, y: float, start: int, backwards: bool, scoop: float
) -> None:
    p = body(360, scoop=scoop)
    drawn = np.roll(turned(p, turn, x, y), start, axis=0)
    got = trace(csv(drawn[::-1] if backwards else drawn), "a.csv")
    plain = trace(csv(p), "a.csv")
    # Both lie within the deviation asked for; they are the same curve but for where the search for the axis stopped.
    assert apart(got, plain) < 0.3 + 0.1  # half of the spacing of the samples compared, and the deviation asked for
    assert abs(got.path.perimeter_mm - plain.path.perimeter_mm) < 0.05
    assert abs(got.places.lower_bout.width_mm - plain.places.lower_bout.width_mm) < 0.2
    assert got.greatest_deviation_mm <= 0.1


@COMMON
@given(st.floats(60, 125), st.floats(0.02, 1.0), st.integers(120, 600))
def test_points_lie_within_what_is_stated_and_the_file_gives_the_curve_back(
    waist: float, within: float, count: int
) -> None:
    got = trace(csv(body(count, waist)), "a.csv", TraceOptions(within_mm=within))
    assert got.greatest_deviation_mm <= within or got.notes
    back = read_outline(got.text)
    u = got.path.grid(11)
    assert np.abs(back.path.point(u) - got.path.point(u)).max() < 1e-9
    assert back.path.count % 2 == 0
    assert got.places.length_mm == back.places.length_mm


@COMMON
@given(st.lists(st.integers(1, 359), min_size=1, max_size=9, unique=True), st.randoms(use_true_random=False), turns)
def test_pieces_in_any_order_and_sense_make_the_same_loop(cuts: list[int], random: object, turn: float) -> None:
    p = turned(body(360), turn, 5, 5)
    at = sorted(cuts)
    runs = [p[np.arange(a, b + 1) % 360] for a, b in zip(at, [*at[1:], at[0] + 360], strict=True)]
    runs = [r[::-1] if random.random() < 0.5 else r for r in runs]  # type: ignore[attr-defined]
    random.shuffle(runs)  # type: ignore[attr-defined]
    found = joined(tuple(Piece(frozen_points(r), str(i)) for i, r in enumerate(runs)), 0.5)
    assert found.outline.closed
    assert sorted(found.outline.labels) == sorted(str(i) for i in range(len(runs)))
    assert len(found.outline.points) == 360
    assert {tuple(q) for q in found.outline.points.round(9).tolist()} == {tuple(q) for q in p.round(9).tolist()}


@COMMON
@given(turns, st.floats(0, 1.0), st.integers(100, 400))
def test_symmetrised_is_symmetric_whatever_is_drawn(turn: float, lopsided: float, count: int) -> None:
    p = body(count)
    p[:, 0] += np.where(p[:, 0] > 0, lopsided, 0) * np.sin(np.pi * p[:, 1] / 480) ** 2
    got = trace(csv(turned(p, turn, 0, 0)), "a.csv", TraceOptions(symmetry="symmetrise"))
    u = got.path.grid(9)
    assert np.abs(got.path.point((-u) % got.path.count) * [-1, 1] - got.path.point(u)).max() < 1e-9


@settings(max_examples=150)
@given(
    st.one_of(
        st.binary(max_size=400),
        st.text(alphabet='0123456789.-+eE,;\n\t xymin_<>/"=svgpathdMLCAZz #', max_size=400).map(str.encode),
    )
)
def test_any_bytes_are_read_or_refused_but_never_break(data: bytes) -> None:
    for read in (read_csv, read_svg, read_dxf):
        for unit in (None, "mm"):
            assert only_refused(lambda: read(data, "a", unit))  # noqa: B023 - called at once


@COMMON
@given(st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=8, max_size=40))
def test_any_points_are_traced_or_refused_but_never_break(points: list[tuple[float, float]]) -> None:
    # With the axis given, nothing but the points' own disorder stops the curve from being fitted.
    options = TraceOptions(gap_mm=50, axis=((0, -600), (0, 600)))
    assert only_refused(lambda: read_outline(trace(csv(np.array(points)), "a.csv", options).text))
