"""Pieces joined: gaps bridged and listed, what is drawn twice and what is left over never lost."""

from __future__ import annotations

import numpy as np
import pytest
from traced_samples import body, moved

from braces.base.arrays import frozen_points
from braces.traced.half import half_outline
from braces.traced.join import joined, missing
from braces.traced.pieces import Piece


def piece(points: object, label: str = "line", closed: bool = False) -> Piece:
    return Piece(frozen_points(np.asarray(points, dtype=float)), label, closed)


def cut(p: np.ndarray, at: list[int], jitter_mm: float, seed: int) -> list[Piece]:
    """A closed line in pieces, some turned round, in any order, their ends moved by up to ``jitter_mm``."""
    rng = np.random.default_rng(seed)
    pieces = []
    for k, (a, b) in enumerate(zip(at, [*at[1:], at[0] + len(p)], strict=True)):
        run = p[np.arange(a, b + 1) % len(p)].copy()
        run[[0, -1]] += rng.uniform(-jitter_mm / 3, jitter_mm / 3, (2, 2))
        pieces.append(piece(run[:: rng.choice([-1, 1])], f"part {k}"))
    return [pieces[k] for k in rng.permutation(len(pieces))]


@pytest.mark.parametrize("seed", range(6))
def test_shuffled_and_reversed_pieces_make_one_loop(seed: int) -> None:
    p = moved(body(), 23, (300, -80))
    found = joined(tuple(cut(p, [0, 100, 130, 350, 351, 600], 0.3, seed)), 0.5)
    assert found.outline.closed
    assert sorted(found.outline.labels) == [f"part {k}" for k in range(6)]
    assert (found.others, found.leftovers, found.duplicates) == ((), (), ())
    assert len(found.outline.gaps) == 6
    for gap in found.outline.gaps:
        assert 0.02 < gap.size_mm <= 0.5
        assert np.hypot(*(p[[0, 100, 130, 350, 351, 600]] - gap.at).T).min() < 0.2
    exact = 0.5 * abs(np.sum(p[:, 0] * np.roll(p[:, 1], -1) - np.roll(p[:, 0], -1) * p[:, 1]))
    assert found.outline.area_mm2 == pytest.approx(exact, rel=1e-4)


def test_ends_that_touch_are_no_gaps() -> None:
    found = joined(tuple(cut(body(), [0, 200, 500], 0.0, 1)), 0.5)
    assert found.outline.gaps == ()
    assert len(found.outline.points) == len(body())


def test_a_gap_wider_than_allowed_stays_open_and_is_named() -> None:
    p = body()
    found = joined((piece(p[3:]), piece(moved(p[:100], 0, (600, 0)), "far away", True)), 0.5)
    assert not found.outline.closed
    gap = missing(found)
    assert gap is not None
    assert gap.size_mm == pytest.approx(np.hypot(*(p[3] - p[-1])))
    assert gap.at == pytest.approx((p[3] + p[-1]) / 2)


@pytest.mark.parametrize(
    "again",
    [
        lambda p: piece(p[40:90], "twice"),
        lambda p: piece(p[90:40:-1], "twice"),
        lambda p: piece(p, "twice", True),
        lambda p: piece(p[40:90:2] * 0.5 + p[41:91:2] * 0.5, "twice"),
        lambda p: piece(np.roll(p[::-1], 17, axis=0), "twice", True),
    ],
)
def test_what_is_drawn_twice_is_found(again: object) -> None:
    p = body()
    found = joined((again(p), piece(p, "outline", True)), 0.5)  # type: ignore[operator]
    assert found.outline.closed
    assert len(found.duplicates) == 1
    assert found.others == found.leftovers == ()


def test_twice_in_other_cuts() -> None:
    """The same outline as three pieces and again as four: each lies on the others only when those are joined."""
    p = body()
    found = joined(tuple(cut(p, [0, 200, 500], 0.0, 1) + cut(p, [50, 250, 400, 650], 0.0, 2)), 0.5)
    assert found.outline.closed
    assert found.outline.area_mm2 == pytest.approx(joined((piece(p, "", True),), 0.5).outline.area_mm2)
    total = sum(np.hypot(*np.diff(d.points, axis=0).T).sum() for d in found.duplicates)
    assert found.duplicates
    assert total + sum(c.length_mm for c in found.leftovers) + sum(c.length_mm for c in found.others) >= (
        found.outline.length_mm - 2
    )


def test_lines_close_by_are_not_twice() -> None:
    p = body()
    inner = p * 0.999 + [0, 0.24]
    found = joined((piece(p, "outline", True), piece(inner, "lining", True)), 0.5)
    assert found.duplicates == ()
    assert [c.labels for c in found.others] == [("lining",)]


def test_nothing_drawn_is_lost() -> None:
    p = body()
    a = np.arange(60) / 60 * 2 * np.pi
    hole = 50 * np.column_stack([np.cos(a), np.sin(a)]) + [0, 330]
    pieces = (
        *cut(p, [0, 300], 0.2, 3),
        piece(hole, "hole", True),
        piece([(0, -20), (0, 500)], "centre"),
        piece([(70, 70), (90, 95), (70, 120)], "scribble"),
        piece(p[10:50], "twice"),
    )
    found = joined(pieces, 0.5)
    labels = [
        *found.outline.labels,
        *(x for c in found.others + found.leftovers for x in c.labels),
        *(d.label for d in found.duplicates),
    ]
    assert sorted(labels) == sorted(p.label for p in pieces)
    assert [c.labels[0] for c in found.leftovers] == ["centre", "scribble"]


def test_centre_line_that_meets_a_join_does_not_take_its_place() -> None:
    p = body()
    half = len(p) // 2
    bass = p[np.arange(half, 2 * half + 1) % len(p)]
    found = joined((piece([(0, 0), (0, 480)], "centre"), piece(p[: half + 1], "treble"), piece(bass, "bass")), 0.5)
    assert found.outline.closed
    assert set(found.outline.labels) == {"treble", "bass"}
    assert [c.labels for c in found.leftovers] == [("centre",)]


def test_sheet_frame_is_not_the_outline() -> None:
    frame = [(-250, -20), (250, -20), (250, 520), (-250, 520)]
    found = joined((piece(frame, "frame", True), piece(body(), "outline", True)), 0.5)
    assert found.outline.labels == ("outline",)
    assert [c.labels for c in found.others] == [("frame",)]


def test_a_short_stroke_does_not_close_on_itself() -> None:
    found = joined((piece(body(), "outline", True), piece([(500, 0), (500.2, 0.2), (500.3, 0)], "dot")), 0.5)
    assert [c.labels for c in found.leftovers] == [("dot",)]


@pytest.mark.parametrize("turn_deg", [0, 37, 180, 251])
@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize("centre_line", [False, True])
def test_half_outlines(turn_deg: float, side: int, centre_line: bool) -> None:
    half = body()[: len(body()) // 2 + 1] * [side, 1]
    found = joined((piece(moved(half, turn_deg, (40, 30)), "half", centre_line),), 0.5)
    got = half_outline(found.outline)
    assert got is not None
    assert got.centre_line == centre_line
    ends = moved(half, turn_deg, (40, 30))[[0, -1]]
    assert sorted(map(tuple, got.points[[0, -1]].round(6))) == sorted(map(tuple, ends.round(6)))
    assert len(got.points) == len(half)


@pytest.mark.parametrize(
    "not_half",
    [
        piece(body(), "", True),
        piece(body()[5:]),
        piece(body()[40:300]),
        piece([(0, 0), (0, 250), (0, 500)]),
        piece([(0, 0), (200, 0), (200, 480), (0, 480)], "", True),
        piece(body()[300:]),
    ],
)
def test_what_is_not_half_an_outline(not_half: Piece) -> None:
    assert half_outline(joined((not_half,), 0.5).outline) is None
