"""What a design file says of closing the box, as the workshop takes it.

Each part is imported where it is asked for: a check that only looks at the deck loads nothing else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from braces.base.problems import Problem, Where
from braces.design.model import Design
from braces.design.quantities import Place
from braces.placed.anchors import anchors

if TYPE_CHECKING:
    from braces.workshop.bench import BenchSpec
    from braces.workshop.clamps import ClampSpec
    from braces.workshop.go_bars import DeckSpec
    from braces.workshop.humidity import AirSpec
    from braces.workshop.props import PropSpec
    from braces.workshop.rim import RimSpec
    from braces.workshop.rosette import RosetteSpec

Heights = dict[Where, float]  #: from the tail, by the place in the file


def bench_spec(design: Design) -> BenchSpec:
    """Return what the workshop has to know of a design."""
    from braces.workshop.bench import BenchSpec, GlueSpec
    from braces.workshop.edges import EdgeSpec

    glue = design.glue
    return BenchSpec(
        rim=rim_spec(design),
        edges=EdgeSpec(design.edges.binding_mm, design.edges.purfling_mm),
        rosette=rosette_spec(design),
        deck=deck_spec(design),
        clamps=_clamps(design),
        air=_air(design),
        glue=GlueSpec(glue.name, glue.hot, glue.open_minutes_count, glue.clamp_minutes_count),
        props=prop_specs(design),
        method=glue.pressed_by,
    )


def places_found(design: Design) -> tuple[Heights, list[Problem]]:
    """Return the heights of the places named in these sections, and what cannot be found or lies off the body."""
    named: list[tuple[Where, Place]] = [(("props", i, "at"), p.at) for i, p in enumerate(design.props)]
    if design.rim.flat_bout is not None:
        named.append((("rim", "flat_bout", "from"), design.rim.flat_bout.start))
    if not named:
        return {}, []
    known = anchors(design, [])
    problems: list[Problem] = []
    return {where: known.y_or(place, where, problems, 0.0) for where, place in named}, problems


def rim_spec(design: Design) -> RimSpec:
    """Return the rim's part."""
    from braces.workshop.rim import FlatBout, RimSpec

    flat = design.rim.flat_bout
    if flat is None:
        return RimSpec(design.rim.sanding_mm)
    begins = places_found(design)[0]["rim", "flat_bout", "from"]
    return RimSpec(design.rim.sanding_mm, FlatBout(begins, flat.lowered_mm))


def rosette_spec(design: Design) -> RosetteSpec:
    """Return the rosette's part."""
    from braces.workshop.rosette import RosetteSpec

    own = design.rosette
    return RosetteSpec(own.land_mm, own.depth_mm, own.cutter_mm, own.pass_mm, own.step_ratio)


def deck_spec(design: Design) -> DeckSpec:
    """Return the deck's own section, else the figures that the printed tools are made for, else the usual ones."""
    from braces.workshop.go_bars import BarSpec, DeckSpec

    deck, tools = design.deck, design.tools
    if deck is not None:
        bars = BarSpec(deck.bar_material, deck.bar_shape, deck.bar_thickness_mm, deck.bar_width_mm, deck.bar_length_mm)
        return DeckSpec(deck.height_mm, deck.caul_mm, bars, deck.bar_over_mm, deck.spacing_mm, deck.glued)
    if tools is None:
        return DeckSpec()
    bars = BarSpec(tools.bar_material, tools.bar_shape, tools.bar_thickness_mm, tools.bar_width_mm)
    return DeckSpec(deck_mm=tools.deck_mm, bars=bars, over_mm=tools.bar_over_mm)


def prop_specs(design: Design) -> tuple[PropSpec, ...]:
    """Return the props, their sides turned into body axes."""
    from braces.workshop.props import PropSpec

    found, _ = places_found(design)
    treble = 1.0 if design.handed == "right" else -1.0
    made = []
    for i, own in enumerate(design.props):
        sign = treble if own.side == "treble" else -treble
        x = sign * own.off_centre_mm + 0.0
        made.append(PropSpec(x, found["props", i, "at"], own.width_mm, own.thickness_mm, own.freed_by_mm))
    return tuple(made)


def _clamps(design: Design) -> ClampSpec:
    from braces.workshop.clamps import ClampSpec

    own = design.clamps
    return ClampSpec(own.spacing_mm, own.pad_mm, design.lining.wood, design.body.side_wood, own.held, own.safe_fraction)


def _air(design: Design) -> AirSpec:
    from braces.workshop.humidity import AirSpec

    own = design.air
    return AirSpec(
        own.glued_fraction,
        own.least_fraction,
        own.most_fraction,
        own.step_fraction,
        own.temperature_celsius,
        own.ring_angle_deg,
        own.allowed_fraction,
    )
