"""The chapter that leads through the job, and the one that gathers its cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from braces.workshop.book.blocks import Block, Chapter, Checks, Link, Links, Section, Warned, WarnedBefore, Words
from braces.workshop.order import Step

DEFER = (
    "What is written here gives way to the instructions of tool, glue and material makers, to local rules and to "
    "qualified people. Try every set-up on scrap first."
)


def job_chapter(found: Sequence[Step], titles: Mapping[str, str]) -> Chapter:
    """Return the steps in order; ``titles`` are those of the book's sections by what leads to them."""
    told: dict[str, int] = {}
    return Chapter("job", "The job in order", (), tuple(_step(s, told, titles) for s in found))


def step_anchor(number: int) -> str:
    """Return the place of a step in the book."""
    return f"step-{number}"


def _step(step: Step, told: dict[str, int], titles: Mapping[str, str]) -> Section:
    blocks: list[Block] = [Words(step.text)]
    if step.checks:
        blocks.append(Checks(step.checks))
    for c in step.cautions:
        first = told.setdefault(c.text, step.number)
        at = f"step {first}"
        blocks.append(Warned(c.text) if first == step.number else WarnedBefore(c.title, at, step_anchor(first)))
    if step.drawings:
        here = tuple(Link(titles[key], key) for key in step.drawings if key in titles)
        blocks.append(Links(here, tuple(key for key in step.drawings if key not in titles)))
    return Section(step_anchor(step.number), f"{step.number}. {step.title}", tuple(blocks), "step")


def caution_chapter(found: Sequence[Step]) -> Chapter:
    """Return every caution once, with the steps it belongs to."""
    told: dict[str, list[int]] = {}
    for step in found:
        for c in step.cautions:
            told.setdefault(c.text, []).append(step.number)
    blocks: list[Block] = [Words(DEFER)]
    for text, numbers in told.items():
        links = tuple(Link(f"step {n}", step_anchor(n)) for n in dict.fromkeys(numbers))
        blocks += [Warned(text), Links(links)]
    return Chapter("cautions", "Cautions", tuple(blocks))
