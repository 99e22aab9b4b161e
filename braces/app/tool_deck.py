"""The deck's spacing drawing for the printed cauls: where every bar stands, how long it is, how hard it pushes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from braces.app.tools import settings_of
from braces.carved.values import Carved, CarvedPlate
from braces.solids.tools.settings import ToolSettings
from braces.workshop.go_bars import BarPlace, BarSpec, BraceBars, DeckSpec, PlateBars, plate_bars

if TYPE_CHECKING:
    from braces.sheets.drawing import Drawing
    from braces.solids.tools.gobars import BarPlace as Seat


def seat_drawings(carved: Carved) -> tuple[Drawing, ...]:
    """Return the plan of each plate in its dish with the bars that stand in the seats of its printed cauls."""
    from braces.sheets.deck_plan import deck_drawing
    from braces.solids.tools.clamping import OVER_MM

    settings = settings_of(carved.placed.design)
    spec = replace(_spec(settings), caul_mm=OVER_MM)
    found = []
    for plate in carved.plates:
        bars = seated_bars(carved, plate, settings)
        if bars is not None:
            plan = deck_drawing(carved, bars, spec)
            found.append(replace(plan, key=f"caul-seats-{plate.name}", title=f"go-bars in their cauls, {plate.name}"))
    return tuple(found)


def _spec(settings: ToolSettings) -> DeckSpec:
    bars = BarSpec(settings.bar_material, settings.bar_shape, settings.bar_thickness_mm, settings.bar_width_mm)
    glued: Literal["carved", "as blanks"] = "carved" if settings.cauls_on == "carved edge" else "as blanks"
    return DeckSpec(deck_mm=settings.deck_mm, bars=bars, over_mm=settings.bar_over_mm, glued=glued)


def seated_bars(carved: Carved, plate: CarvedPlate, settings: ToolSettings) -> PlateBars | None:
    """Return the bars of a plate as the workshop counts them, moved to the seats of its cauls; None if it has none."""
    from braces.solids.tools.gobars import bar_places

    seats: dict[str, list[Seat]] = {}
    for seat in bar_places(carved, settings):
        if seat.plate == plate.name:
            seats.setdefault(seat.brace, []).append(seat)
    if not seats:
        return None
    bars = plate_bars(carved, plate.name, _spec(settings))
    braces, number = [], 1
    for brace in bars.braces:
        if brace.brace in seats:
            width = next(b.width_mm for b in plate.braces if b.name == brace.brace)
            braces.append(_seated(brace, seats[brace.brace], number, width, settings))
            number += len(seats[brace.brace])
    places = [p for b in braces for p in b.places]
    return replace(
        bars,
        bar_length_mm=max(p.length_mm or 0.0 for p in places),
        braces=tuple(braces),
        push_n=sum(b.push_n for b in braces),
        worst_energy_n_mm=max(p.bar.energy_n_mm for p in places),
    )


def _seated(bars: BraceBars, seats: list[Seat], first: int, width_mm: float, settings: ToolSettings) -> BraceBars:
    from braces.solids.tools.gobars import standing

    places = []
    for k, seat in enumerate(seats):
        bent = standing(seat.length_mm, seat.room_mm, settings)
        places.append(
            BarPlace(
                first + k,
                seat.brace,
                seat.along_mm,
                (seat.x_mm, seat.y_mm),
                settings.deck_mm - seat.room_mm,
                seat.room_mm,
                bent,
                seat.serves_mm,
                bent.push_n / (seat.serves_mm * width_mm),
                seat.length_mm,
            )
        )
    push, served = sum(p.bar.push_n for p in places), sum(p.serves_mm for p in places)
    return replace(
        bars,
        places=tuple(places),
        spacing_mm=served / len(places),
        push_n=push,
        pressure_mpa=push / (served * width_mm),
    )
