"""What a design's sections about closing the box ask for that cannot be, told before anything is made.

Only what the file itself says is judged: a part that is left out is worked out as well as it can be, and the book
says where it could not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from braces.app.bench_spec import deck_spec, places_found, prop_specs, rosette_spec
from braces.base.problems import Problem, Where
from braces.carved.values import Carved
from braces.design.model import Design
from braces.design.woods import woods

if TYPE_CHECKING:
    from braces.workshop.props import PropFit

#: A stack of plate, brace and caul is under 150 mm: the room is at least 0.6 of such a bar, and the limit is 0.56.
_HIGH_DECK_MM, _LITTLE_MM = 400.0, 15.0
_JUDGED = frozenset({"rim", "rosette", "deck", "air", "props"})


def bench_problems(carved: Carved) -> tuple[Problem, ...]:
    """Return what is wrong with the sections that the design has."""
    design = carved.placed.design
    if not _JUDGED & design.model_fields_set:  # nearly every design: nothing more is imported for it
        return ()
    found = [*places_found(design)[1], *_air(design), *_bar_wood(design)]
    if found:
        return tuple(found)
    return (*_flat_bout(carved), *_rosette(carved), *_deck(carved), *_props(carved))


def _refused(code: str, where: Where, work: Callable[[], object], advice: str) -> Iterator[Problem]:
    """A problem if the work raises ValueError, with its words."""
    try:
        work()
    except ValueError as error:
        yield Problem(code, where, str(error), advice)


def _air(design: Design) -> Iterator[Problem]:
    air = design.air
    if air.least_fraction >= air.most_fraction:
        found = f"the driest air is {100 * air.least_fraction:.0f} %, the dampest {100 * air.most_fraction:.0f} %"
        yield Problem("B05", ("air", "least"), found, "make least smaller than most")


def _bar_wood(design: Design) -> Iterator[Problem]:
    if design.deck is None:
        return
    name = " ".join(design.deck.bar_material.lower().split())
    if name in woods():
        return
    from braces.workshop.go_bars import bar_materials

    if name not in bar_materials():
        found = f'"{design.deck.bar_material}" is not in the table of woods'
        advice = f"use {', '.join(bar_materials())}, or one of {', '.join(sorted(woods()))}"
        yield Problem("V05", ("deck", "bar_material"), found, advice)


def _flat_bout(carved: Carved) -> Iterator[Problem]:
    design = carved.placed.design
    if design.rim.flat_bout is None:
        return
    begins, waist = places_found(design)[0]["rim", "flat_bout", "from"], design.body.waist.at_mm
    if not waist < begins < design.body.length_mm:
        found = f"the plane begins {begins:.1f} mm from the tail, and the waist lies at {waist:.1f} mm"
        yield Problem("B02", ("rim", "flat_bout"), found, "begin it between the waist and the neck")


def _rosette(carved: Carved) -> Iterator[Problem]:
    if "rosette" not in carved.placed.design.model_fields_set:
        return
    from braces.workshop.rosette import rosette_cut

    spec = rosette_spec(carved.placed.design)
    yield from _refused(
        "B03",
        ("rosette",),
        lambda: rosette_cut(carved.placed, spec),
        "use a smaller bit or land, a shallower channel, or a wider rosette",
    )


def _deck(carved: Carved) -> Iterator[Problem]:
    design = carved.placed.design
    deck = design.deck
    if deck is None or design.glue.pressed_by != "dish and go-bars":
        return
    # Bars cut to their room stand in any deck that is much higher than a plate with its braces: nothing to work out.
    little = max(deck.bar_over_mm, deck.caul_mm) <= _LITTLE_MM
    if deck.bar_length_mm is None and deck.height_mm > _HIGH_DECK_MM and little:
        return
    from braces.workshop.go_bars import refuse_bars

    spec = deck_spec(design)
    advice = "change the deck's height, or the bars' length, or leave bar_length out"
    for plate in carved.plates:
        if plate.braces:
            found = list(_refused("B04", ("deck",), lambda p=plate: refuse_bars(carved, p.name, spec), advice))  # type: ignore[misc]
            yield from found
            if found:
                return


def _props(carved: Carved) -> Iterator[Problem]:
    if not carved.placed.design.props:
        return
    from braces.workshop.props import fit_prop

    for i, spec in enumerate(prop_specs(carved.placed.design)):
        where: Where = ("props", i)
        try:
            fit = fit_prop(carved, spec)
        except ValueError as error:
            yield Problem("B06", where, str(error), "move it to where it stands between the plates")
            continue
        if fit.way is None:
            yield Problem("B06", where, f"its place is taken by {fit.blocked_by}", _elsewhere(carved, fit))
        elif not fit.way.found:
            found = f"no way out through the soundhole was found when it is freed by {spec.freed_by_mm:.1f} mm"
            yield Problem("B07", where, found, _change(carved, fit), fatal=False)


def _elsewhere(carved: Carved, fit: PropFit) -> str:
    if fit.better_place is None:
        return "move it clear of the braces and the hole"
    return f"{_place_words(carved, fit.better_place)}, for instance: there it stands, and comes out again"


def _change(carved: Carved, fit: PropFit) -> str:
    """Say how to make it come out, in the words of the file."""
    ways = []
    if fit.least_freed_mm is not None:
        ways.append(f'freed_by = "{fit.least_freed_mm:.0f} mm"')
    if fit.better_place is not None:
        ways.append(_place_words(carved, fit.better_place))
    return " or ".join(ways) if ways else "make it thinner or of two pieces, or of something that may stay in"


def _place_words(carved: Carved, place: tuple[float, float]) -> str:
    x, y = place
    treble = (x > 0) == (carved.placed.design.handed == "right")
    side = "treble" if treble else "bass"
    return f'at = "{y:.0f} mm from the tail", off_centre = "{abs(x):.0f} mm", side = "{side}"'
