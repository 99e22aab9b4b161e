"""Whole designs, changed at random: they are made or refused with reasons, and what is made holds together."""

import copy
import re
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from support.designs import TWO, raw_of, toml_text
from support.whole import whole

from braces.app.study import follow
from braces.base.problems import known_codes

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
