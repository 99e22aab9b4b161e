"""What is usual, and a note when a design departs from it. Common practice, never a refusal."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from braces.design.model import Design


@dataclass(frozen=True, slots=True)
class Habit:
    """A usual range and where it comes from."""

    low_mm: float
    high_mm: float
    source: str


@cache
def table(name: str) -> dict[str, Any]:
    """Return one of the layer's data files."""
    text = files("braces.workshop").joinpath("data", f"{name}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def habits() -> dict[str, Habit]:
    """Return the usual ranges by name."""
    rows = table("habits")["thickness"]
    return {name: Habit(row["low"], row["high"], row["source"]) for name, row in rows.items()}


def thickness_notes(design: Design) -> tuple[str, ...]:
    """Return a note for each side or plate thickness outside the usual range of a steel-string or nylon-string body.

    Small bodies are thinner: they are not judged.
    """
    if design.body.length_mm < table("habits")["smallest_body_mm"]:
        return ()
    notes = []
    for name, mm in (("side", design.body.side_mm), ("back", design.back.thickness_mm)):
        habit = habits()[name]
        if not habit.low_mm <= mm <= habit.high_mm:
            notes.append(
                f"{name} {mm:.2f} mm ({mm / 25.4:.3f} in): usual is {habit.low_mm:.1f} to {habit.high_mm:.1f} mm "
                f"({habit.source})"
            )
    return tuple(notes)


def rosette_notes(depth_mm: float, top_mm: float) -> tuple[str, ...]:
    """Return a note if a rosette's channel leaves unusually little of the top."""
    usual = table("habits")["rosette"]
    left = top_mm - depth_mm
    if left >= usual["least_left"] * top_mm:
        return ()
    return (f"rosette: {left:.2f} mm of {top_mm:.2f} mm is left under the channel ({usual['source']})",)
