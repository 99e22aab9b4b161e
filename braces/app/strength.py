"""The mechanics of a design: what it says of strings, bridge, rim and its maker's own wood, and the analysis of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from braces.base.problems import DesignError, Problem
from braces.carved.values import Carved
from braces.design.model import Design
from braces.design.own_woods import own_woods, wood_key

if TYPE_CHECKING:
    from braces.mechanics.braced_plate import Mesh
    from braces.mechanics.instrument import Setting
    from braces.mechanics.outlook import Outlook, SpreadBands
    from braces.mechanics.strings import StringLoad
    from braces.mechanics.values import Strength

_MANY_BRACES = 16


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """The analysis, and what stands beside it."""

    strength: Strength
    outlook: Outlook


def strength_of(carved: Carved, spread: bool = True) -> Answer:
    """Return the analysis of an instrument, with or without the spread of its answers with the wood.

    Raises DesignError if the design does not say which strings it carries.
    """
    from braces.mechanics.analyse import analyse, solve_plate
    from braces.mechanics.movement import plate_movement
    from braces.mechanics.outlook import Outlook
    from braces.mechanics.schedule import schedule
    from braces.mechanics.sensitivity import gains

    design = carved.placed.design
    load, setting, mesh = load_of(design), setting_of(design), mesh_of(carved)
    solved = solve_plate(carved, "top", setting, load, mesh)
    pulled = solved.deflection is not None
    outlook = Outlook(
        gains(solved) if pulled else (),
        tuple(schedule(b, setting.wood(b.wood)) for b in carved.braces),
        plate_movement(carved, setting.wood),
        spread_of(carved) if spread and pulled else None,
    )
    return Answer(analyse(carved, setting, load, mesh, solved), outlook)


def spread_of(carved: Carved, samples: int = 200) -> SpreadBands:
    """Return how far the top's answers spread with the wood, of the maker's own pieces as far as they were measured."""
    from braces.mechanics.outlook import Band, SpreadBands, WoodSpread, bands
    from braces.mechanics.spread import DENSITY_SPREAD_RATIO, E_SPREAD_RATIO, family, spread

    design = carved.placed.design
    pieces = {wood_key(name): piece for name, piece in design.stock.pieces.items()}
    woods = []
    for key, handbook, what in (
        ("e_along_spread_fraction", E_SPREAD_RATIO, "modulus"),
        ("density_spread_fraction", DENSITY_SPREAD_RATIO, "density"),
    ):
        for name, part in ((design.top.wood, "top"), (_brace_wood(carved), "braces")):
            own = getattr(pieces.get(wood_key(name)), key, None)
            source = "handbook, from memory" if own is None else "measured"
            woods.append(WoodSpread(f"{what} of the {part}, {name}", handbook if own is None else own, source))
    ratios = (woods[0].ratio, woods[1].ratio, woods[2].ratio, woods[3].ratio)
    found = spread(family(carved, setting_of(design), load_of(design)), samples, ratios)
    modes: tuple[Band, ...] = tuple(bands(h, m) for h, m in zip(found.hertz.T, found.mean_hertz, strict=True))
    return SpreadBands(samples, tuple(woods), bands(found.turn_deg, found.mean_turn_deg), modes)


def _brace_wood(carved: Carved) -> str:
    """The wood that most of the top's braces weigh in."""
    grams: dict[str, float] = {}
    for b in carved.top.braces:
        grams[b.wood] = grams.get(b.wood, 0.0) + b.mass_g
    return max(sorted(grams), key=lambda w: grams[w], default=carved.placed.design.top.brace_wood)


def load_of(design: Design) -> StringLoad:
    """Return what the strings pull with. Raises DesignError if the design does not say which strings it carries."""
    from braces.mechanics.strings import own_strings, string_load, string_sets

    strings = design.strings
    if strings.set is None and not strings.each:
        advice = 'add set = "light" (or another set that the reference lists) to [strings], or each = [ ... ]'
        raise DesignError([Problem("K02", ("strings", "set"), "the mechanics need to know the strings", advice)])
    own = own_strings(strings.each) if strings.each else string_sets()[strings.set or ""]
    return string_load(own, strings.scale_mm, strings.height_mm)


def setting_of(design: Design) -> Setting:
    """Return what the design says of bridge, rim and wood, over what the mechanics take for granted."""
    from braces.mechanics.instrument import Setting

    bridge, lining = design.top.bridge, design.lining
    own = Setting()
    stated = lining.model_fields_set & {"outward_n_mm3", "in_plane_n_mm3"}
    return Setting(
        rim_source="as the design says" if stated else own.rim_source,
        rim=lining.rim,
        lining_outward=(lining.outward_n_mm3,),
        lining_in_plane=(lining.in_plane_n_mm3,),
        bridge_wood=bridge.wood if bridge is not None else own.bridge_wood,
        bridge_height_mm=bridge.height_mm if bridge is not None else own.bridge_height_mm,
        string_height_mm=design.strings.height_mm,
        woods=tuple(sorted(own_woods(design).items())),
    )


def mesh_of(carved: Carved) -> Mesh:
    """Return the grid to report on: a lattice has many times the unknowns of an X; on the coarser grid its bounds are
    wider, and say so.
    """
    from braces.mechanics.analyse import QUICK, REPORT

    return QUICK if max(len(plate.braces) for plate in carved.plates) > _MANY_BRACES else REPORT
