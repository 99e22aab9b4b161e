"""Carving to a target: from a design and a question to a new design's text, checked by a full solution of that text."""

from __future__ import annotations

from braces.app.carve_ask import Ask, chosen, number_of
from braces.app.carve_bench import CarveBench
from braces.app.carve_search import Search
from braces.app.study import Study
from braces.base.problems import DesignError, Problem
from braces.design.heights import heights
from braces.mechanics.aim import Aim
from braces.mechanics.carve_plan import CarvePlan

_ROUNDS = 3
_MET_RATIO = 0.01  #: how near the written file must come: the heights are rounded to what can be measured


def carve_design(study: Study, ask: Ask) -> CarvePlan:
    """Return a plan whose text reaches the target. Raises DesignError if it cannot be asked or cannot be reached."""
    own = CarveBench.of(study, ask)
    every = chosen(heights(own.carved.placed.design, ask.target.aim.plate), ask)
    entries = tuple(dict.fromkeys(h.brace for h in every))
    base = own if ask.target.wood is None else own.in_wood(ask.target.wood, entries)
    asked = None if ask.target.wood is not None else number_of(ask.target)
    before = own.full(own.carved)
    wanted, how = (before[0], "as the design has it now") if asked is None else (asked, "asked for")
    search = Search.of(base, study, every, ask)
    written, goal = None, wanted
    for _ in range(_ROUNDS):
        found = search.to(goal)
        written = search.written(found, goal)
        miss = written.reached[0] - wanted
        if abs(miss) <= _MET_RATIO * wanted or not found.met:
            break
        goal -= miss  # the search's own model is a little off: aim as much to the other side
    assert written is not None
    if abs(written.reached[0] - wanted) > _MET_RATIO * wanted:
        raise DesignError([_out_of_reach(ask.target.aim, wanted, written.reached[0])])
    return search.plan(written, (wanted, how), before)


def _out_of_reach(aim: Aim, wanted: float, best: float) -> Problem:
    return Problem(
        "M01",
        (aim.plate, "braces"),
        f"{aim.text(wanted)} cannot be reached: within the limits the {aim.words} comes to {aim.text(best)} at best",
        "ask for no more than that, allow more off or on (--off, --on), or let more braces and parts change",
    )
