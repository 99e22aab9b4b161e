"""What a design file says of closing the box, as the workshop takes it."""

from __future__ import annotations

from braces.base.problems import Problem, Where
from braces.design.model import Design
from braces.design.quantities import Place
from braces.placed.anchors import anchors
from braces.workshop.bench import BenchSpec, GlueSpec
from braces.workshop.clamps import ClampSpec
from braces.workshop.edges import EdgeSpec
from braces.workshop.go_bars import BarSpec, DeckSpec
from braces.workshop.humidity import AirSpec
from braces.workshop.props import PropSpec
from braces.workshop.rim import FlatBout, RimSpec
from braces.workshop.rosette import RosetteSpec

Heights = dict[Where, float]  #: from the tail, by the place in the file


def bench_spec(design: Design) -> BenchSpec:
    """Return what the workshop has to know of a design."""
    found, _ = places_found(design)
    return BenchSpec(
        rim=_rim(design, found),
        edges=EdgeSpec(design.edges.binding_mm, design.edges.purfling_mm),
        rosette=_rosette(design),
        deck=_deck(design),
        clamps=_clamps(design),
        air=_air(design),
        glue=GlueSpec(
            design.glue.name, design.glue.hot, design.glue.open_minutes_count, design.glue.clamp_minutes_count
        ),
        props=_props(design, found),
        method=design.glue.pressed_by,
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


def _rim(design: Design, found: Heights) -> RimSpec:
    flat = design.rim.flat_bout
    if flat is None:
        return RimSpec(design.rim.sanding_mm)
    return RimSpec(design.rim.sanding_mm, FlatBout(found["rim", "flat_bout", "from"], flat.lowered_mm))


def _rosette(design: Design) -> RosetteSpec:
    own = design.rosette
    return RosetteSpec(own.land_mm, own.depth_mm, own.cutter_mm, own.pass_mm, own.step_ratio)


def _deck(design: Design) -> DeckSpec:
    """The deck's own section, else the figures that the printed tools are made for, else the usual ones."""
    deck, tools = design.deck, design.tools
    if deck is not None:
        bars = BarSpec(deck.bar_material, deck.bar_shape, deck.bar_thickness_mm, deck.bar_width_mm, deck.bar_length_mm)
        return DeckSpec(deck.height_mm, deck.caul_mm, bars, deck.bar_over_mm, deck.spacing_mm, deck.glued)
    if tools is None:
        return DeckSpec()
    bars = BarSpec(shape=tools.bar_shape, width_mm=tools.bar_width_mm, thickness_mm=tools.bar_thickness_mm)
    return DeckSpec(deck_mm=tools.deck_mm, bars=bars, over_mm=tools.bar_over_mm)


def _clamps(design: Design) -> ClampSpec:
    own = design.clamps
    return ClampSpec(own.spacing_mm, own.pad_mm, design.lining.wood, design.body.side_wood, own.held, own.safe_fraction)


def _air(design: Design) -> AirSpec:
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


def _props(design: Design, found: Heights) -> tuple[PropSpec, ...]:
    treble = 1.0 if design.handed == "right" else -1.0
    made = []
    for i, own in enumerate(design.props):
        sign = treble if own.side == "treble" else -treble
        x = sign * own.off_centre_mm + 0.0
        made.append(PropSpec(x, found["props", i, "at"], own.width_mm, own.thickness_mm, own.freed_by_mm))
    return tuple(made)
