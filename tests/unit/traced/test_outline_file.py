"""Outline files: written the same every time, read back exactly, and refused with reasons when they are not right."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest
from traced_samples import body, csv, cutaway

from braces.base.problems import DesignError
from braces.traced.outline_file import read_outline
from braces.traced.places import places, width_mm
from braces.traced.trace import TraceOptions, trace

TRACED = trace(csv(body()), 'C:\\moulds\\fieldfare "left".csv')
CUT = trace(csv(cutaway()), "redstart.csv")


@pytest.mark.parametrize("traced", [TRACED, CUT])
def test_read_back_is_the_same_curve(traced: object) -> None:
    back = read_outline(traced.text)  # type: ignore[attr-defined]
    u = traced.path.grid(50)  # type: ignore[attr-defined]
    assert np.abs(back.path.point(u) - traced.path.point(u)).max() < 1e-9  # type: ignore[attr-defined]
    assert back.outline.corners == traced.outline.corners  # type: ignore[attr-defined]
    assert back.places == traced.places  # type: ignore[attr-defined]


def test_four_decimals_move_the_curve_by_less_than_a_micron() -> None:
    """Each written number is off by up to half a unit of its last digit; here by as much, with either sign."""
    rng = np.random.default_rng(8)
    table = tomllib.loads(TRACED.text)["curve"]["knots"]
    rows = [
        "{ "
        + ", ".join(
            f"{k} = {v + (0 if i in (0, len(table) // 2) else rng.choice([-5e-5, 5e-5])):.6f}" for k, v in knot.items()
        )
        + " },"
        for i, knot in enumerate(table)
    ]
    text = TRACED.text.partition("knots = [")[0] + "knots = [\n" + "\n".join(rows) + "\n]\n"
    u = TRACED.path.grid(50)
    assert np.abs(read_outline(text).path.point(u) - TRACED.path.point(u)).max() < 0.001


def test_text_is_the_same_every_time_and_names_no_folder() -> None:
    assert trace(csv(body()), '/home/maker/fieldfare "left".csv').text == TRACED.text
    head = tomllib.loads(TRACED.text)
    assert head["unit"] == "mm"
    assert head["traced"] == {
        "drawing": "fieldfare _left_.csv",
        "drawn_in": "mm",
        "symmetry": "kept",
        "greatest_deviation": f"{TRACED.greatest_deviation_mm:.3f} mm",
    }
    assert all(len(line) < 121 for line in TRACED.text.splitlines())


def test_places_are_the_extremes_of_the_body() -> None:
    """Compared with the closed form of the sample body, sampled 200 000 times."""
    p = body(200_000)
    half = p[:100_000]
    x, y = half.T
    lower, waist = int(np.argmax(x)), int(np.argmin(np.where((y > 200) & (y < 400), x, np.inf)))
    upper = waist + int(np.argmax(x[waist:]))
    got = TRACED.places
    for place, k in ((got.lower_bout, lower), (got.waist, waist), (got.upper_bout, upper)):
        assert place is not None
        assert place.width_mm == pytest.approx(2 * x[k], abs=0.2)
        assert place.at_mm == pytest.approx(y[k], abs=2.0)  # an extreme is flat: its height is less certain
    assert got.length_mm == pytest.approx(480, abs=0.1)


def test_places_of_a_cutaway_come_from_the_whole_side() -> None:
    assert CUT.places.upper_bout is not None
    assert TRACED.places.upper_bout is not None
    assert CUT.places.upper_bout.at_mm == pytest.approx(TRACED.places.upper_bout.at_mm, abs=2)
    assert CUT.places.upper_bout.width_mm < TRACED.places.upper_bout.width_mm - 50
    assert CUT.places.waist is not None
    assert TRACED.places.waist is not None
    assert CUT.places.waist.at_mm == pytest.approx(TRACED.places.waist.at_mm, abs=2)


def test_a_body_without_a_waist_has_one_bout() -> None:
    a = 2 * np.pi * np.arange(300) / 300
    p = np.column_stack([170 * np.cos(a), 240 * np.sin(a)])
    egg = trace(csv(p), "egg.csv").path
    got = places(egg)
    assert got.waist is None
    assert got.upper_bout is None
    assert got.lower_bout.width_mm == pytest.approx(340, abs=0.2)
    assert width_mm(egg, 240 + 120) == pytest.approx(340 * np.sqrt(0.75), abs=0.2)
    assert width_mm(egg, 481) == 0


def changed(old: str, new: str, count: int = 1) -> str:
    assert old in TRACED.text
    return TRACED.text.replace(old, new, count)


FIRST = "{ x = 0.0000, y = 0.0000, "


@pytest.mark.parametrize(
    ("text", "where", "words"),
    [
        ("", "outline", "no outline"),
        ('outline = 1\nunit = "mm"\n', "curve.knots", "even number"),
        ("x = [", "the file", "not TOML"),
        ("a = " + "[" * 5000, "the file", "not TOML"),
        ("# " + "x" * 70_000, "the file", "longer"),
        (changed("outline = 1", "outline = 2"), "outline", "kind 1"),
        (changed("outline = 1", "outline = true"), "outline", "kind 1"),
        (changed('unit = "mm"', 'unit = "in"'), "unit", "not mm"),
        (changed("outline = 1", "outline = 1\nextra = 2"), "extra", "not known"),
        (changed(FIRST, "{ y = 0.0000, "), "curve.knots[1].x", "missing"),
        (changed(FIRST, "{ x = nan, y = 0.0000, "), "curve.knots[1].x", "no number"),
        (changed(FIRST, "{ x = true, y = 0.0000, "), "curve.knots[1].x", "no number"),
        (changed(FIRST, "{ x = 5e5, y = 0.0000, "), "curve.knots[1].x", "no number"),
        (changed(FIRST, "{ x = 0.5000, y = 0.0000, "), "curve.knots[1]", "not the tail"),
        (changed(FIRST, "{ z = 1, x = 0.0000, y = 0.0000, "), "curve.knots[1].z", "not known"),
        (changed(FIRST, "{ heading_in = 4.0, x = 0.0000, y = 0.0000, "), "curve.knots[1]", "both"),
        (changed("run = ", "run = -"), "curve.knots[1].run", "no number"),
        (changed("run = ", "run = 9"), "curve.knots[1].run", "does not fit"),
        (changed("  " + FIRST, "  4,\n  " + FIRST), "curve.knots", "even number"),
        (changed("  " + FIRST, "  4, 5,\n  " + FIRST), "curve.knots[1]", "no table"),
        (changed("[curve]", "[[curve]]"), "curve.knots", "even number"),
    ],
)
def test_what_is_wrong_is_said(text: str, where: str, words: str) -> None:
    with pytest.raises(DesignError) as caught:
        read_outline(text)
    assert all(p.code == "T14" for p in caught.value.problems)
    assert any(str(p).startswith(f"T14 {where}:") and words in str(p) for p in caught.value.problems), str(caught.value)


def test_a_curve_that_crosses_itself_is_refused() -> None:
    lines = TRACED.text.split("\n")
    at = [i for i, line in enumerate(lines) if line.startswith("  {")]
    lines[at[2]], lines[at[4]] = lines[at[4]], lines[at[2]]
    with pytest.raises(DesignError):
        read_outline("\n".join(lines))


def test_clockwise_knots_are_refused() -> None:
    text = TRACED.text.partition("knots = [")
    table = tomllib.loads(TRACED.text)["curve"]["knots"]
    for knot in table:
        knot["x"], knot["heading"], knot["bend"] = -knot["x"], (180 - knot["heading"]) % 360, -knot["bend"]
    rows = ["{ " + ", ".join(f"{k} = {v}" for k, v in knot.items()) + " }," for knot in table]
    with pytest.raises(DesignError, match="clockwise"):
        read_outline(text[0] + "knots = [\n" + "\n".join(rows) + "\n]\n")


def test_options_do_not_change_the_file_format() -> None:
    text = trace(csv(body()), "b.csv", TraceOptions(symmetry="symmetrise", within_mm=0.02)).text
    assert read_outline(text).path.count > 10
