"""In which order the braces of a plate go on, so that every joint closes."""

from __future__ import annotations

from braces.base.problems import Problem
from braces.placed.values import PlacedPlate


def assembly_order(plate: PlacedPlate) -> tuple[tuple[str, ...], list[Problem]]:
    """Return an order of the braces, and a problem if there is none.

    A brace moves straight down onto the plate. So of two that are half-lapped, the one whose notch opens to the room
    goes on first; a brace let into another's side goes on before the other, whose inlet opens to the plate; a brace
    that butts goes on after the one it stands against, which it is fitted to. Among those that are free to go, the
    order of the design file holds.
    """
    waiting = [b.name for b in plate.braces]
    before = _befores(plate)
    order: list[str] = []
    while waiting:
        ready = next((n for n in waiting if before[n].issubset(order)), None)
        if ready is None:
            where = next(b.where for b in plate.braces if b.name == waiting[0])
            found = f"each of {', '.join(waiting[:6])} would have to go on before another of them"
            advice = "turn one lap over (change opens_to_plate), so that the ring of laps is broken"
            return (*order, *waiting), [Problem("J05", where, found, advice)]
        waiting.remove(ready)
        order.append(ready)
    return tuple(order), []


def _befores(plate: PlacedPlate) -> dict[str, set[str]]:
    """For each brace, those that must lie on the plate before it."""
    before: dict[str, set[str]] = {b.name: set() for b in plate.braces}
    lapped = {frozenset((c.opens_to_plate, c.opens_to_room)) for c in plate.crossings}
    for c in plate.crossings:
        before[c.opens_to_plate].add(c.opens_to_room)
    for b in plate.braces:
        for end in (b.start, b.end):
            if end.brace and frozenset((b.name, end.brace)) not in lapped:
                first, then = (b.name, end.brace) if end.inlet_mm > 0 else (end.brace, b.name)
                before[then].add(first)
    return before
