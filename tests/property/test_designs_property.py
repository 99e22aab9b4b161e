"""Whole designs, changed at random: they are made or refused with reasons, and what is made holds together."""

import copy
import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon
from support.designs import TWO, raw_of, toml_text

from braces.app.study import Study, follow
from braces.base.problems import known_codes
from braces.base.units import length_mm

RAWS = {name: raw_of(name) for name in (*TWO, "siskin")}
NUMBER = re.compile(r"\d+(?:\.\d+)?(?:/\d+)?")


def leaves(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[tuple[Any, ...], Any]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    if not items and not isinstance(value, (dict, list)):
        return [(path, value)]
    return [leaf for key, child in items for leaf in leaves(child, (*path, key))]


def holder(raw: Any, path: tuple[Any, ...]) -> Any:
    for key in path[:-1]:
        raw = raw[key]
    return raw


WORDS = st.sampled_from(
    [
        "",
        "x",
        "90 deg",
        "5 mm",
        "50 %",
        "1/0 in",
        "-3 mm",
        "999999999 ft",
        "scalloped",
        "tapered",
        "at the waist",
        "2 mm from the neck",
        "bass",
        "stations",
        3,
        10**30,
        True,
        1.5,
        [],
        {},
        [[]],
        {"law": "square"},
        float("inf"),
        "\u202e",
        "a" * 500,
    ]
)
FACTORS = st.sampled_from([0, 0.1, 0.3, 0.5, 0.8, 0.9, 0.97, 1.05, 1.1, 1.2, 1.5, 2, 3, 10, 1000])


@st.composite
def broken(draw: st.DrawFn) -> dict[str, Any]:
    """A design with one to three entries deleted, swapped, rescaled or overwritten."""
    raw = copy.deepcopy(RAWS[draw(st.sampled_from(sorted(RAWS)))])
    for _ in range(draw(st.integers(1, 3))):
        all_leaves = leaves(raw)
        path, value = draw(st.sampled_from(all_leaves))
        number = NUMBER.search(value) if isinstance(value, str) else None
        how = draw(st.sampled_from(["scale", "scale", "scale", "delete", "swap", "word"]))
        if how == "scale" and number:
            scaled = float(number[0].split("/")[0]) * draw(FACTORS)
            holder(raw, path)[path[-1]] = value[: number.start()] + f"{scaled:.3f}" + value[number.end() :]
        elif how == "delete":
            cut = path[: draw(st.integers(1, len(path)))]
            del holder(raw, cut)[cut[-1]]
        elif how == "swap":
            holder(raw, path)[path[-1]] = copy.deepcopy(draw(st.sampled_from(all_leaves))[1])
        else:
            holder(raw, path)[path[-1]] = copy.deepcopy(draw(WORDS))
    return raw


def whole(study: Study) -> None:
    """What must hold of any design that was carved without a fatal problem."""
    assert study.carved is not None
    for b in study.carved.braces:
        assert 0 < b.volume_mm3 < b.blank.length_mm * b.blank.width_mm * b.blank.height_mm
        assert b.height.y_mm.min() > 0
        assert np.all(b.height.y_mm - b.drop.y_mm > -1e-9)
        for n in b.notches:
            if n.kind in ("half-lap", "strip"):
                assert n.depth_mm + n.left_mm == pytest.approx(b.height.at(n.at_mm), abs=1e-6)
                assert n.left_mm > 0
    for plate in study.carved.plates:
        assert len({b.name for b in plate.braces}) == len(plate.braces)
        assert set(plate.order) == {b.name for b in plate.braces}


@settings(max_examples=250)
@given(broken())
def test_broken_designs_are_refused_with_reasons(raw: dict[str, Any]) -> None:
    study = follow("broken.toml", toml_text(raw))
    for p in study.problems:
        assert p.code in known_codes()
        assert p.found
        assert p.advice
    if study.sound:
        whole(study)
    else:
        assert any(p.fatal for p in study.problems)


def scaled(
    name: str, size: float, top_dome_mm: float | None, back_dome_mm: float | None, angle: float
) -> dict[str, Any]:
    """A preset with a body of another size and other domes; places on the rim and heights go along, sections stay."""
    raw = copy.deepcopy(RAWS[name])

    def times(text: str) -> str:
        found = re.match(r"(.*?(?:mm|in|ft))(.*)", text)
        return text if found is None else f"{length_mm(found[1]) * size:.4f} mm{found[2]}"

    body = raw["body"]
    for key in ("lower_bout", "waist", "upper_bout"):
        body[key] = {k: times(v) for k, v in body[key].items()}
    for key in ("length", "tail_block", "neck_block"):
        body[key] = times(body[key])
    raw["strings"]["scale"] = times(raw["strings"]["scale"])
    for plate, dome in (("top", top_dome_mm), ("back", back_dome_mm)):
        part = raw[plate]
        part["dome"] = part["dome"] | ({"radius": f"{dome:.1f} mm"} if dome else {"shape": "flat"})
        for key, names in (
            ("soundhole", ("diameter", "centre", "rosette")),
            ("bridge", ("length",)),
            ("bridge_plate", ("length",)),
        ):
            if key in part:
                part[key] = part[key] | {n: times(part[key][n]) for n in names if n in part[key]}
        for brace in part["braces"]:
            for key in ("at", "crossing"):
                if key in brace:
                    brace[key] = times(brace[key])
            if "from" in brace and "at" in brace["from"]:
                brace["from"] = brace["from"] | {"at": times(brace["from"]["at"])}
            if brace["lay"] == "crossing pair":
                brace["angle"] = f"{angle:.2f} deg"
    return raw


@settings(max_examples=60)
@given(
    st.sampled_from(TWO),
    st.floats(0.5, 1.6),
    st.one_of(st.none(), st.floats(3000, 30000)),
    st.one_of(st.none(), st.floats(3000, 30000)),
    st.floats(80, 110),
)
def test_bodies_of_many_sizes(name: str, size: float, top: float | None, back: float | None, angle: float) -> None:
    study = follow("scaled.toml", toml_text(scaled(name, size, top, back, angle)))
    assert not {p.code for p in study.problems} & {"L05", "C05"}  # a scaled outline is as fair as the first
    if study.carved is None:
        return
    placed = study.carved.placed
    for path in (placed.outline, placed.top.lining, placed.back.outline):
        polygon = Polygon(path.dense(60))
        assert polygon.is_valid
        assert polygon.exterior.is_ccw
    if study.sound:
        whole(study)


@settings(max_examples=10)
@given(st.sampled_from(TWO), st.floats(0.9, 1.1))
def test_left_handed_is_the_mirror_image(name: str, size: float) -> None:
    raw = scaled(name, size, 8000.0, 5000.0, 98.0)
    right, left = (follow("hand.toml", toml_text(raw | {"handed": hand})) for hand in ("right", "left"))
    assert [p.code for p in right.problems] == [p.code for p in left.problems]
    if right.carved is None or left.carved is None:
        return
    for a, b in zip(right.carved.braces, left.carved.braces, strict=True):
        assert a.name == b.name
        assert (b.origin_xy_mm, b.heading_xy) == (
            pytest.approx((-a.origin_xy_mm[0], a.origin_xy_mm[1]), abs=1e-6),
            pytest.approx((-a.heading_xy[0], a.heading_xy[1]), abs=1e-9),
        )
        assert b.volume_mm3 == pytest.approx(a.volume_mm3, rel=1e-9)
        assert b.bevel_deg == pytest.approx(-a.bevel_deg, abs=1e-9)
        assert b.length_mm == pytest.approx(a.length_mm, abs=1e-6)
        assert [n.depth_mm for n in b.notches] == pytest.approx([n.depth_mm for n in a.notches], abs=1e-9)
    for plate, other in zip(right.carved.plates, left.carved.plates, strict=True):
        pockets = {(p.brace, p.end): p for p in other.pockets}
        for p in plate.pockets:
            q = pockets[p.brace, p.end]
            assert (q.number, q.side) == (p.number, p.side)
            assert q.along_rim_mm == pytest.approx(p.along_rim_mm, abs=1e-4)
            assert q.width_mm == pytest.approx(p.width_mm, abs=1e-4)
