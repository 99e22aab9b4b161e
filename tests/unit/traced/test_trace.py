"""The whole way from a drawing to an outline, with everything said that was done."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from traced_samples import LENGTH_MM, body, codes, csv, cutaway, dxf_bytes, moved, off_curve, path_d, svg

from braces.base.problems import DesignError
from braces.traced.outline_file import read_outline
from braces.traced.trace import Traced, TraceOptions, trace

EXACT = body(4000)  #: its chords of 0.4 mm stand less than 0.001 mm off the body
OUTLINES = Path(__file__).parents[2] / "data" / "outlines"


def told(traced: Traced, subject: str) -> list[str]:
    return [text for what, text in traced.report if what == subject]


def refused(data: bytes, name: str = "body.csv", **options: object) -> str:
    with pytest.raises(DesignError) as caught:
        trace(data, name, TraceOptions(**options))  # type: ignore[arg-type]
    assert all(p.fatal for p in caught.value.problems)
    return str(caught.value)


def messy_dxf(seed: int = 5, units: int = 1) -> bytes:
    """The body in inches, turned: seven pieces of three kinds, some reversed, ends astray; a hole in a block; more."""
    rng = np.random.default_rng(seed)
    document = ezdxf.new("R2010", units=units)
    space = document.modelspace()
    p = moved(body(), 11.4592, (37, -220)) / 25.4
    cuts = np.linspace(0, len(p), 8).astype(int)
    for k in rng.permutation(7):
        run = p[np.arange(cuts[k], cuts[k + 1] + 1) % len(p)].copy()
        run[[0, -1]] += rng.uniform(-0.1, 0.1, (2, 2)) / 25.4
        run = run[:: rng.choice([-1, 1])]
        if k % 3 == 0:
            space.add_lwpolyline(run, dxfattribs={"layer": "MOULD"})
        elif k % 3 == 1:
            fit = [(x, y, 0) for x, y in run[::2]] + [(*run[-1], 0)] * (len(run) % 2 == 0)
            space.add_spline(fit, dxfattribs={"layer": "MOULD"})
        else:
            for a, b in pairwise(run):
                space.add_line(a, b, dxfattribs={"layer": "MOULD"})
    space.add_lwpolyline(p[20:50][::-1], dxfattribs={"layer": "MOULD"})
    document.blocks.new("HOLE").add_circle((0, 0), 1)
    scale = {"xscale": 50 / 25.4, "yscale": 50 / 25.4, "layer": "HOLES"}
    space.add_blockref("HOLE", moved(np.array([[0, 330.0]]), 11.4592, (37, -220))[0] / 25.4, dxfattribs=scale)
    space.add_text("Fieldfare", height=0.3)
    space.add_line((20, 20), (21, 21), dxfattribs={"layer": "NOTES"})
    return dxf_bytes(document)


def test_messy_drawing_in_inches() -> None:
    traced = trace(messy_dxf(), "mould.dxf")
    # Ends stray by up to 0.14 mm; the curve follows a stray point by no more than that.
    assert off_curve(traced.curve, EXACT).max() < 0.15
    assert len(traced.gap_points) == 7
    assert off_curve(traced.gap_points, EXACT).max() < 0.2
    assert len(told(traced, "gap")) == 7
    assert told(traced, "joined")[0].endswith(
        "into one loop; 7 gaps bridged, the widest " + told(traced, "joined")[0].split("widest ")[1]
    )
    assert "drawn in inches (the file's header)" in told(traced, "read")[0]
    assert told(traced, "passed over") == ["no lines: 1 TEXT on layer 0"]
    assert len(told(traced, "drawn twice")) == 1
    assert told(traced, "also drawn") == ["a loop of 100 × 100 mm, its middle 330 mm from the tail, on the axis"]
    assert told(traced, "left over")[0].startswith("LINE on layer NOTES, 35.9 mm long")
    assert "11.459 deg to the left of up" in told(traced, "axis")[0]
    assert codes(traced.notes)[0] == "T15"


def test_one_layer_only() -> None:
    traced = trace(messy_dxf(), "mould.dxf", TraceOptions(layer="mould"))
    assert told(traced, "left out") == ["on other layers: CIRCLE on layer 0, LINE on layer NOTES"]
    assert told(traced, "also drawn") == told(traced, "left over") == []
    assert "there are: CIRCLE on layer 0" in refused(messy_dxf(), "mould.dxf", layer="lining")


def test_gap_too_wide_is_named_with_its_place() -> None:
    text = refused(messy_dxf(), "mould.dxf", gap_mm=0.05)
    assert text.startswith("T07 mould.dxf")
    assert "raise --gap (now 0.05 mm)" in text


def test_hand_written_half_in_inches() -> None:
    name = "wren_half.dxf"
    traced = trace((OUTLINES / name).read_bytes(), name)
    assert traced.places.length_mm == pytest.approx(18.5 * 25.4, abs=0.1)
    assert traced.places.lower_bout.width_mm == pytest.approx(2 * 6.94 * 25.4, abs=0.3)
    assert told(traced, "centre line")[0].startswith("LINE on layer CENTRE, 533.4 mm long")
    assert told(traced, "symmetry") == ["half an outline, mirrored about the line through its ends"]
    assert traced.notes == ()
    back = read_outline(traced.text)
    mirror = back.path.point((-back.path.grid(7)) % back.path.count)
    assert mirror == pytest.approx(back.path.point(back.path.grid(7)) * [-1, 1], abs=1e-9)
    # Twenty points by eye: no bend between them tighter than the tightest the points themselves suggest by far.
    assert np.abs(back.path.curvature(back.path.grid(50))).max() < 1 / 50


@pytest.mark.parametrize("turn_deg", [0, 90, 200])
@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize("order", [1, -1])
def test_half_on_either_side_either_way_round_gives_the_whole(turn_deg: float, side: int, order: int) -> None:
    half = body()[: len(body()) // 2 + 1] * [side, 1]
    traced = trace(csv(moved(half, turn_deg, (50, 60))[::order]), "half.csv")
    assert off_curve(traced.curve, EXACT).max() < 0.1
    assert traced.points[0] == pytest.approx([0, 0], abs=0.1)
    assert traced.points[:, 0].min() > -0.01


def test_svg_in_groups_gives_the_same_curve_as_csv() -> None:
    p = moved(body(), 0, (250, 0)) * [1, -1] + [0, 490]
    inner = f'<g transform="rotate(17) translate(3 4)"><path d="{path_d(p)}"/></g>'
    a = trace(svg(f'<g transform="scale(.5)"><g transform="scale(2)">{inner}</g></g>'), "mould.svg")
    b = trace(csv(body()), "mould.csv")
    assert off_curve(a.curve, b.path.dense(200)).max() < 0.002


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_drawing_from_inside_is_turned_over_if_told(mirrored: bool) -> None:
    drawn = cutaway() * [-1, 1] if mirrored else cutaway()
    traced = trace(csv(moved(drawn, 65)), "body.csv", TraceOptions(mirrored=mirrored))
    assert traced.corner_points[:, 0].min() > 0  # the cutaway is on the treble side


def test_axis_given_in_the_drawings_own_units() -> None:
    p = moved(cutaway(), 30, (400, 100))
    tail, neck = moved(np.array([[0, 40.0], [0, 300.0]]), 30, (400, 100)) / 25.4
    traced = trace(csv(p / 25.4, "x_in,y_in"), "body.csv", TraceOptions(axis=(tuple(tail), tuple(neck))))  # type: ignore[arg-type]
    assert off_curve(traced.points, cutaway()).max() < 0.1
    assert told(traced, "axis") == ["as given; in the drawing the neck points 30.000 deg to the left of up"]
    turned = trace(csv(p / 25.4, "x_in,y_in"), "body.csv", TraceOptions(axis=(tuple(neck), tuple(tail))))  # type: ignore[arg-type]
    assert turned.corner_points[:, 1].max() < 120  # the cutaway is now at the tail
    assert "T08" in refused(csv(p), axis=((5000, 0), (5000, 10)))


def test_neck_asked_for_turns_the_body() -> None:
    traced = trace(csv(body()), "body.csv", TraceOptions(neck="down"))
    assert traced.places.upper_bout is not None
    assert traced.places.upper_bout.width_mm > traced.places.lower_bout.width_mm + 100
    assert traced.places.upper_bout.at_mm == pytest.approx(LENGTH_MM - 72.3, abs=1)


def test_sides_that_differ_are_measured_and_offered_to_be_made_alike() -> None:
    kept = trace(csv(body(lopsided_mm=1.0)), "body.csv")
    assert codes(kept.notes) == ["T12"]
    assert not kept.notes[0].fatal
    alike = trace(csv(body(lopsided_mm=1.0)), "body.csv", TraceOptions(symmetry="symmetrise"))
    assert "made alike, by their mean" in told(alike, "symmetry")[0]
    assert codes(alike.notes) == ["T11"]  # the drawn points lie on either side of the mean
    assert "T12" in refused(csv(cutaway()), symmetry="symmetrise")


def test_size_is_given_in_millimetres_and_inches() -> None:
    traced = trace(csv(body()), "body.csv")
    assert told(traced, "size") == ["width × length 399.5 × 480 mm (15 47/64 × 18 57/64 in)"]
    half = np.hypot(*np.diff(body(20_000)[:10_001], axis=0).T).sum()
    said = float(told(traced, "sides")[0].split("treble ")[1].split(" mm")[0])
    assert said == pytest.approx(half, abs=0.2)


def test_wrong_unit_is_seen_by_the_size() -> None:
    text = refused(csv(body() / 25.4))
    assert "T09" in text
    assert "with --unit in it would be 399.5 × 480 mm" in text
    assert "T09" in refused(csv(body() * 3))


def test_points_out_of_order_cross() -> None:
    p = body(60)
    p[[10, 40]] = p[[40, 10]]
    assert "T10" in refused(csv(p), neck="up") or "T08" in refused(csv(p), neck="up")


def test_straight_neck_end_stays_straight() -> None:
    p = body(1440)
    p = p[p[:, 1] < 474]
    traced = trace(csv(p), "body.csv")  # what is cut off leaves a straight side of 128 mm
    assert "sides drawn straight are kept so" in told(traced, "straight")[0]
    flat = traced.curve[np.abs(traced.curve[:, 0]) < 55]
    flat = flat[flat[:, 1] > 400]
    assert np.ptp(flat[:, 1]) < 0.2


@pytest.mark.parametrize(
    ("name", "options", "code"),
    [
        ("body.pdf", {}, "T01"),
        ("body", {}, "T01"),
        ("body.csv", {"gap_mm": -1}, "T16"),
        ("body.csv", {"gap_mm": float("nan")}, "T16"),
        ("body.csv", {"within_mm": 0}, "T16"),
        ("body.csv", {"neck": "north"}, "T16"),
        ("body.csv", {"unit": "cubit"}, "T16"),
        ("body.csv", {"symmetry": "mirror"}, "T16"),
        ("body.csv", {"axis": ((0, 0), (0, float("inf")))}, "T16"),
        ("body.csv", {"axis": ((0, 0), (0, 0))}, "T16"),
    ],
)
def test_what_cannot_be_meant_is_refused(name: str, options: dict[str, object], code: str) -> None:
    assert refused(csv(body()), name, **options).startswith(code)


def test_a_file_too_large_is_not_read() -> None:
    assert refused(b" " * (8 * 1024 * 1024 + 1)).startswith("T02")


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert trace(messy_dxf(), "a.dxf").text == trace(messy_dxf(), "a.dxf").text
    assert trace(messy_dxf(), "a.dxf").report == trace(messy_dxf(), "a.dxf").report


def test_folders_of_the_name_are_not_kept() -> None:
    traced = trace(csv(body()), "/home/maker/secret/body.csv")
    assert "maker" not in traced.text + str(traced.report) + str(traced.notes)
