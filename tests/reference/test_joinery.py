"""Laps, pockets, strip pieces and blanks.

Sources, beside each value: trigonometry of two crossing strips (w / sin a); shapely's intersections of their plans;
scipy.integrate.quad for lengths along the rim; the closed form of the arch for blanks.
"""

from itertools import pairwise
from math import radians, sin, tan

import numpy as np
import pytest
from scipy.integrate import quad
from shapely.geometry import LineString, Polygon
from support.designs import TWO, carved_of, placed_of

from braces.carved.values import CarvedBrace, Notch, Pocket
from braces.curves.path import Path
from braces.placed.footprint import footprint
from braces.placed.values import PlacedBrace, PlacedPlate

LAPPED = [(b, n) for name in TWO for b in carved_of(name).braces for n in b.notches if n.kind == "half-lap"]
LAP_IDS = [f"{b.name}-{n.with_}" for b, n in LAPPED]


def placed_brace(name: str) -> PlacedBrace:
    return next(b for design in TWO for p in placed_of(design).plates for b in p.braces if b.name == name)


def band(brace: PlacedBrace, width_mm: float) -> Polygon:
    """A long strip of that width about the brace's centre line."""
    (x, y), (hx, hy) = brace.start.at, brace.heading
    h, left = np.array([hx, hy]) * 1000, np.array([-hy, hx]) * width_mm / 2
    s = np.array([x, y])
    return Polygon([s - h - left, s + h - left, s + h + left, s - h + left])


@pytest.mark.parametrize(("brace", "notch"), LAPPED, ids=LAP_IDS)
def test_lap_width_along_the_brace(brace: CarvedBrace, notch: Notch) -> None:
    """Fieldfare's X: 7.9 mm and 0.1 mm of play at 98 degrees: 8 / sin 98 = 8.0786 mm along either stick."""
    assert notch.width_mm == pytest.approx(notch.across_mm / sin(radians(notch.angle_deg)), rel=1e-12)
    if brace.name.startswith("x-"):
        assert notch.across_mm == pytest.approx(8.0, rel=1e-12)
        assert notch.width_mm == pytest.approx(8.0786, abs=5e-5)
    mine, other = placed_brace(brace.name), placed_brace(notch.with_)
    centre_line = LineString([mine.start.at, mine.end.at])
    inside = centre_line.intersection(band(other, notch.across_mm))
    assert notch.width_mm == pytest.approx(inside.length, abs=1e-9)
    middle = inside.interpolate(0.5, normalized=True)
    assert notch.at_mm == pytest.approx(np.hypot(middle.x - mine.start.at[0], middle.y - mine.start.at[1]), abs=1e-9)


@pytest.mark.parametrize(("brace", "notch"), LAPPED, ids=LAP_IDS)
def test_lap_is_as_deep_as_it_leaves_room_for_the_other(brace: CarvedBrace, notch: Notch) -> None:
    """What is cut and what is left make up the height; what one brace loses is what the other keeps."""
    assert notch.depth_mm + notch.left_mm == pytest.approx(brace.height.at(notch.at_mm), abs=1e-9)
    design = next(d for d in TWO if any(b is brace for b in carved_of(d).braces))
    other = next(b for b in carved_of(design).braces if b.name == notch.with_ and b.plate == brace.plate)
    back = next(n for n in other.notches if n.with_ == brace.name)
    assert {notch.opens, back.opens} == {"plate", "room"}
    assert notch.depth_mm == pytest.approx(back.left_mm, abs=1e-9)
    assert notch.floor_z_mm + brace.glue_depth_mm == pytest.approx(back.floor_z_mm + other.glue_depth_mm, abs=1e-9)


def test_half_of_fieldfares_x() -> None:
    """16 mm sticks with a share of 50 %: 8 mm out of each."""
    notches = [n for b in carved_of("fieldfare").top.braces if b.name.startswith("x-") for n in b.notches]
    assert [n.depth_mm for n in notches if n.kind == "half-lap"] == pytest.approx([8.0, 8.0], abs=1e-9)


POCKETS = [(name, plate.name, p) for name in TWO for plate in carved_of(name).plates for p in plate.pockets]


def plate_of(design: str, name: str) -> PlacedPlate:
    return next(p for p in placed_of(design).plates if p.name == name)


def length_by_quadrature(path: Path, u0: float, u1: float) -> float:
    """Arc length from differences of the path's points: knows nothing of its derivatives."""
    h = 1e-5

    def speed(u: float) -> float:
        low, high = (u, u + h) if u % 1 < 2 * h else (u - h, u) if u % 1 > 1 - 2 * h else (u - h, u + h)
        return float(np.linalg.norm(path.point(high) - path.point(low)) / (high - low))

    cuts = [u0, *(k for k in range(int(u0) + 1, int(np.ceil(u1)))), u1]
    return sum(quad(speed, a, b, limit=200, epsabs=1e-6)[0] for a, b in pairwise(cuts))


@pytest.mark.parametrize(("design", "plate", "pocket"), POCKETS, ids=lambda v: getattr(v, "brace", str(v)))
def test_pocket_along_the_rim(design: str, plate: str, pocket: Pocket) -> None:
    """From the tail's centre line along the lining's inner face to the middle of the brace, by quadrature."""
    placed = plate_of(design, plate)
    lining = placed.lining
    u = np.arange(0, lining.count, 1 / 2000)
    points = lining.point(u)
    brace = next(b for b in placed.braces if b.name == pocket.brace)
    quad_ = Polygon(footprint(brace)).buffer(0.0)
    ring = LineString(np.vstack([points, points[:1]]))
    mouth = ring.intersection(quad_)
    pieces = [g for g in getattr(mouth, "geoms", [mouth]) if g.length > 0]
    end = np.array(brace.end.at if pocket.end == "end" else brace.start.at)
    piece = min(pieces, key=lambda g: g.distance(LineString([end, end + 1e-6])))
    # Width: the stretch of the lining that the brace covers (chords of 0.1 mm, short by far less than 1e-3 mm).
    assert pocket.width_mm == pytest.approx(piece.length, abs=2e-3)
    middle = np.array(piece.interpolate(0.5, normalized=True).coords[0])
    nearest = float(u[int(np.argmin(np.linalg.norm(points - middle, axis=1)))])
    refined = nearest + float((middle - lining.point(nearest)) @ lining.tangent(nearest) / lining.speed(nearest))
    half = lining.count / 2
    run = refined if refined <= half else lining.count - refined
    assert pocket.along_rim_mm == pytest.approx(length_by_quadrature(lining, 0.0, run), abs=2e-3)
    assert pocket.along_outline_mm > pocket.along_rim_mm
    treble = middle[0] > 0
    assert pocket.side == ("treble" if treble else "bass")


@pytest.mark.parametrize("design", TWO)
def test_pockets_take_the_ends_that_are_made(design: str) -> None:
    """As high and as deep as the end itself, and the numbers run from the tail up one side and down the other."""
    for plate in carved_of(design).plates:
        assert [p.number for p in plate.pockets] == list(range(1, len(plate.pockets) + 1))
        tucked = {
            (b.name, which) for b in plate.braces for which in ("start", "end") if getattr(b, which).kind == "tucked"
        }
        assert {(p.brace, p.end) for p in plate.pockets} == tucked
        for p in plate.pockets:
            end = getattr(next(b for b in plate.braces if b.name == p.brace), p.end)
            assert p.height_mm == pytest.approx(end.height_mm, abs=1e-9)
            assert p.reach_mm == end.reach_mm
        sides = [p.side for p in plate.pockets]
        assert sides == sorted(sides, reverse=True)  # treble first
        up = [p.along_rim_mm for p in plate.pockets if p.side == "treble"]
        down = [p.along_rim_mm for p in plate.pockets if p.side == "bass"]
        assert up == sorted(up)
        assert down == sorted(down, reverse=True)


def test_strip_is_cut_round_the_back_braces() -> None:
    """Pieces and gaps make up the strip from block to block; each gap is a brace's width and the play."""
    carved = carved_of("fieldfare")
    pieces, plate = carved.back.strip_pieces, carved.placed.back
    assert plate.strip is not None
    whole = float(np.ptp(plate.strip[:, 1]))
    gaps = [b.from_mm - a.from_mm - a.length_mm for a, b in pairwise(pieces)]
    widths = [7.9375, 7.9375, 16.0, 16.0]  # 5/16 in and 16 mm, from the tail up: 4, 3, 2, 1
    assert gaps == pytest.approx([w + 0.2 for w in reversed(widths)], abs=1e-9)
    assert sum(p.length_mm for p in pieces) + sum(gaps) == pytest.approx(whole, abs=1e-9)


def test_dunnocks_braces_are_relieved_over_a_whole_strip() -> None:
    """One piece; each brace that crosses it has a notch 15 mm and 0.2 mm of play wide and 2 mm deep."""
    carved = carved_of("dunnock")
    assert len(carved.back.strip_pieces) == 1
    cuts = [n for b in carved.back.braces for n in b.notches]
    assert len(cuts) == 3
    for n in cuts:
        assert (n.kind, n.opens) == ("strip", "plate")
        assert (n.width_mm, n.depth_mm) == pytest.approx((15.2, 2.0), abs=1e-9)


@pytest.mark.parametrize("design", TWO)
def test_blank_holds_the_brace_and_its_arch(design: str) -> None:
    """The blank is as high as the brace at its highest over the bench and the allowance; sagitta by closed form."""
    for b in carved_of(design).braces:
        stock = placed_of(design).design.stock
        longest = max(b.length_at(y) for y in (-b.width_mm / 2, b.width_mm / 2, 0.0))
        assert b.blank.length_mm >= longest + stock.extra_length_mm - 1e-9
        assert b.blank.width_mm == b.width_mm
        lowest, highest = 0.0, 0.0
        for y in (-b.width_mm / 2, 0.0, b.width_mm / 2):
            ends = [y / tan(radians(e.face_angle_deg)) for e in (b.start, b.end)]
            x = np.linspace(ends[0], b.length_mm + ends[1], 501)
            lowest = min(lowest, float(b.glue.z(x, y).min()))
            highest = max(highest, float((b.glue.z(x, 0.0) + b.height(x)).max()))
        need = highest - lowest + stock.extra_height_mm
        assert need - 1e-3 <= b.blank.height_mm <= need + 0.1


@pytest.mark.parametrize("design", TWO)
def test_relief_cuts_stop_above_the_valley(design: str) -> None:
    """Depth from the blank's top and what is left make up the blank there; what is left is the valley and 1 mm."""
    for b in carved_of(design).braces:
        for cut in b.relief_cuts:
            assert cut.finished_mm == pytest.approx(b.height.at(cut.at_mm), abs=1e-9)
            assert cut.left_mm == pytest.approx(cut.finished_mm + 1.0, abs=1e-9)
            low = min(0.0, float(b.glue.z(np.linspace(0, b.length_mm, 401), b.width_mm / 2).min()),
                      float(b.glue.z(np.linspace(0, b.length_mm, 401), -b.width_mm / 2).min()))  # fmt: skip
            top = low + b.blank.height_mm
            assert cut.depth_mm + cut.left_mm == pytest.approx(top - b.glue.at(cut.at_mm, 0.0), abs=5e-3)
