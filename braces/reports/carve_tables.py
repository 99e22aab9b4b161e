"""How much to take off which brace, as tables for a terminal."""

from __future__ import annotations

from braces.mechanics.aim import Aim
from braces.mechanics.carve_plan import CarvePlan, HeightChange
from braces.mechanics.ranges import STATEMENT, limits
from braces.mechanics.values import Bound
from braces.reports.plain_tables import Page


def carve_tables(plan: CarvePlan) -> str:
    """Return the plan as text, at most 100 columns wide."""
    page, aim = Page(), plan.aim
    page.say(STATEMENT)
    page.say()
    for entry, before, after in plan.woods:
        page.say(f"{entry}: {after} in place of {before}")
    if plan.woods:
        page.say()
    page.table(
        "Heights now and then, and what one millimetre more of each does (all its sticks together)",
        ("brace", "what", "now", "then", "change\nmm", f"gains\n{aim.unit}", "weighs\ng", "held by"),
        (_row(h) for h in plan.heights),
        "llrrrrrl",
    )
    page.table(
        "Weight of each stick",
        ("stick", "now g", "then g", "off g"),
        [
            *((s.name, f"{s.now_g:.1f}", f"{s.then_g:.1f}", signed(s.now_g - s.then_g, 1)) for s in plan.sticks),
            _together(plan),
        ],
        "lrrr",
    )
    what = aim.words[0].upper() + aim.words[1:]
    page.say(f"{what}: now {_with_bound(aim, *plan.before)}.")
    page.say(f"Wanted: {aim.text(plan.wanted[0])}, {plan.wanted[1]}.")
    how = "by a full solution of the new file" if aim.solved else "by the new file"
    page.say(f"Reached, {how}: {_with_bound(aim, *plan.reached)}.")
    page.say("Carve to the schedule in stages, measure the stick, and stop when it says so.")
    return page.text()


def signed(value: float, places: int) -> str:
    """Return a number with its sign, and nothing as a plain zero: "-0.0" reads like a change.

    >>> signed(-0.04, 1), signed(0.26, 1), signed(-0.26, 1)
    ('0.0', '+0.3', '-0.3')
    """
    text = f"{value:+.{places}f}"
    return text if float(text) else text[1:]


def _row(h: HeightChange) -> tuple[str, ...]:
    change = h.then_mm - h.now_mm
    still = abs(change) < 1e-9
    return (
        h.brace,
        h.words,
        h.now_text,
        "as it is" if still else h.then_text,
        "" if still else signed(change, 1),
        signed(h.gain_ratio, 3),
        f"{h.cost_g:.1f}",
        h.at_limit,
    )


def _together(plan: CarvePlan) -> tuple[str, ...]:
    now, then = sum(s.now_g for s in plan.sticks), sum(s.then_g for s in plan.sticks)
    return "together", f"{now:.1f}", f"{then:.1f}", signed(now - then, 1)


def _with_bound(aim: Aim, value: float, of: Bound | None) -> str:
    if of is None:
        return f"{aim.text(value)} (bound not measured)"
    low, high = limits(value, of)
    what = "solution of the model" if aim.solved else "volume times density"
    return f"{aim.text(value)} ({what} between {aim.text(low)} and {aim.text(high)})"
