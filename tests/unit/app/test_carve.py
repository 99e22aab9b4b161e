"""Carving to a target: what is written is loaded and solved again from scratch, on a coarse grid."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.designs import text_of

from braces.app import carve_bench, carve_search
from braces.app.carve import carve_design
from braces.app.carve_ask import Ask, limit_mm, names_of, parts_of, target_of
from braces.app.strength import load_of, setting_of
from braces.app.study import Study, follow
from braces.base.problems import DesignError
from braces.design.heights import PARTS
from braces.design.load import parse
from braces.mechanics.analyse import solve_plate
from braces.mechanics.braced_plate import Mesh
from braces.mechanics.carve_plan import CarvePlan
from braces.mechanics.sensitivity import turn_deg
from braces.reports.carve_tables import carve_tables, signed

COARSE = Mesh(step_mm=16.0, detail_mm=8.0, element_mm=16.0)
PIECE = (
    '\n[stock.billet-7]          # the light one\nlike = "Sitka spruce"\ndensity = "410 kg/m3"\ne_along = "13.5 GPa"\n'
)


@pytest.fixture(autouse=True, scope="module")
def coarse() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for module in (carve_bench, carve_search):
            patch.setattr(module, "mesh_of", lambda carved: COARSE)
        yield


def wren(extra: str = "") -> Study:
    return follow(Path("wren.toml"), text_of("wren") + extra)


def ask(target: str, change: str | None = None, braces: str = "", off: str = "3 mm", on: str = "2 mm") -> Ask:
    return Ask(target_of(target), parts_of(change), names_of(braces), limit_mm(off), limit_mm(on))


def solved_turn(text: str) -> float:
    """Load, place, carve and solve a text from scratch."""
    carved = follow(Path("again.toml"), text).carved
    assert carved is not None
    design = carved.placed.design
    return turn_deg(solve_plate(carved, "top", setting_of(design), load_of(design), COARSE))


@pytest.fixture(scope="module")
def turn_now() -> float:
    return solved_turn(text_of("wren"))


@pytest.fixture(scope="module")
def plan(turn_now: float) -> CarvePlan:
    return carve_design(wren(), ask(f"bridge turns {1.15 * turn_now:.4f} deg"))


def test_the_written_file_turns_as_asked_and_keeps_the_makers_text(plan: CarvePlan, turn_now: float) -> None:
    assert solved_turn(plan.text) == pytest.approx(plan.reached[0], rel=1e-9)
    assert plan.reached[0] == pytest.approx(1.15 * turn_now, rel=0.01)
    assert turn_now == pytest.approx(plan.before[0], rel=1e-9)
    old, new = text_of("wren").splitlines(), plan.text.splitlines()
    changed = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
    assert changed
    assert all(a.startswith("height = ") and b.endswith(' mm"') for a, b in changed)
    values = {tuple(h.brace for h in plan.heights if h.then_text == b.split('"')[1]) for _, b in changed}
    assert all(names for names in values)


def test_the_gain_of_a_millimetre_is_the_difference_of_two_files(plan: CarvePlan) -> None:
    fan = next(h for h in plan.heights if h.brace == "fan")
    ends = [
        solved_turn(plan.text.replace(f'height = "{fan.then_text}"', f'height = "{fan.then_mm + d:.3f} mm"'))
        for d in (0.05, -0.05)
    ]
    assert fan.gain_ratio == pytest.approx((ends[0] - ends[1]) / 0.1, rel=0.03)
    assert fan.sticks_count == 3


def test_the_tables_say_how_much_comes_off_which_brace(plan: CarvePlan) -> None:
    text = carve_tables(plan)
    assert max(map(len, text.splitlines())) <= 100
    for part in ("not a promise", "fan", "4.5 mm", "asked for", "by a full solution of the new file"):
        assert part in text


def test_only_what_is_named_changes_within_its_limits(turn_now: float) -> None:
    plan = carve_design(wren(), ask(f"bridge turns {1.1 * turn_now:.4f} deg", braces="fan", off="1.2 mm", on="0 mm"))
    assert [h.brace for h in plan.heights] == ["fan"]
    assert -1.2 - 1e-9 <= plan.heights[0].then_mm - plan.heights[0].now_mm < 0
    raw, before = tomllib.loads(plan.text), tomllib.loads(text_of("wren"))
    fan = next(b for b in before["top"]["braces"] if b["name"] == "fan")
    fan["height"] = plan.heights[0].then_text
    assert raw == before


def test_what_is_out_of_reach_names_the_best() -> None:
    with pytest.raises(DesignError, match="cannot be reached") as caught:
        carve_design(wren(), ask("bridge turns 0.1 deg", on="0.4 mm"))
    problem = caught.value.problems[0]
    assert (problem.code, problem.where) == ("M01", ("top", "braces"))
    assert "at best" in problem.found


@pytest.mark.parametrize(("target", "grams"), [("top braces weigh 6.2 g", 6.2), ("back braces weigh 6 g", 6.0)])
def test_a_weight_is_reached_by_adding_up(target: str, grams: float) -> None:
    plan = carve_design(wren(), ask(target))
    plate = target.split()[0]
    carved = follow(Path("again.toml"), plan.text).carved
    assert carved is not None
    made = carved.top if plate == "top" else carved.back
    assert sum(b.mass_g for b in made.braces) == pytest.approx(plan.reached[0])
    assert plan.reached[0] == pytest.approx(grams, rel=0.01)
    assert sum(s.then_g for s in plan.sticks) == pytest.approx(plan.reached[0])


def test_a_mode_of_the_back_is_reached() -> None:
    plan = carve_design(wren(), ask("back mode 1 at 335 Hz", braces="back 2, back 3"))
    assert plan.reached[0] == pytest.approx(335, rel=0.01)
    assert {h.brace for h in plan.heights} == {"back 2", "back 3"}


def test_other_stock_is_carved_to_the_same_stiffness(turn_now: float) -> None:
    study = wren(PIECE)
    plan = carve_design(study, ask("as stiff in billet-7"))
    assert plan.reached[0] == pytest.approx(plan.before[0], rel=0.01)
    assert plan.before[0] == pytest.approx(turn_now, rel=1e-9)
    assert 'brace_wood = "billet-7"' in plan.text
    assert "# the light one" in plan.text
    # Stiffer wood stands lower: a stick's own E h^3 alone would ask for this factor.
    design = parse(study.loaded.text).design if study.loaded else None
    assert design is not None
    factor = (11880 / 13500) ** (1 / 3)  # E_L of the table: 1.1 x 10800 MPa
    for h in plan.heights:
        assert h.then_mm / h.now_mm == pytest.approx(factor, abs=0.03)
    assert sum(s.then_g for s in plan.sticks) < sum(s.now_g for s in plan.sticks)


@pytest.mark.parametrize(
    "call",
    [
        ("bridge turns a bit",),
        ("lighter",),
        ("top mode 1 at 200",),
        ("top mode 11 at 900 Hz",),
        ("as stiff in lead",),
        ("bridge turns 0 deg",),
        ("bridge turns 0.6 deg", "valleys"),
        ("bridge turns 0.6 deg", "widths"),
        ("bridge turns 0.6 deg", None, "x"),
        ("bridge turns 0.6 deg", None, "", "3"),
        ("bridge turns 0.6 deg", None, "", "300 mm"),
    ],
)
def test_a_call_that_cannot_be_understood_is_told_what_to_write(call: tuple[str, ...]) -> None:
    with pytest.raises(DesignError) as caught:
        carve_design(wren(), ask(*call))
    assert [p.code for p in caught.value.problems] == ["M02"]
    assert caught.value.problems[0].advice


def test_a_plate_that_nothing_holds_is_not_carved_to_a_turn() -> None:
    study = follow(Path("wren.toml"), text_of("wren").replace("[lining]\n", '[lining]\nrim = "free"\n'))
    with pytest.raises(DesignError) as caught:
        carve_design(study, ask("bridge turns 0.6 deg"))
    assert [(p.code, p.where) for p in caught.value.problems] == [("M02", ("lining", "rim"))]


def test_every_part_can_be_named() -> None:
    assert parts_of("heights, valleys, Peaks,stations") == frozenset(PARTS)


@pytest.mark.parametrize(("value", "text"), [(-0.04, "0.0"), (0.04, "0.0"), (0.26, "+0.3"), (-0.26, "-0.3")])
def test_what_rounds_to_nothing_has_no_sign(value: float, text: str) -> None:
    """A stick that loses nothing is not "-0.0" lighter."""
    assert signed(value, 1) == text
