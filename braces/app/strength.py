"""The mechanics of a design: what it says of strings, bridge, rim and its maker's own wood, and the analysis of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from braces.base.problems import DesignError, Problem
from braces.carved.values import Carved
from braces.design.model import Design
from braces.design.own_woods import own_woods

if TYPE_CHECKING:
    from braces.mechanics.braced_plate import Mesh
    from braces.mechanics.instrument import Setting
    from braces.mechanics.sensitivity import BraceGain
    from braces.mechanics.strings import StringLoad
    from braces.mechanics.values import Strength

_MANY_BRACES = 16


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """The analysis, and what a millimetre off each brace of the top would change."""

    strength: Strength
    gains: tuple[BraceGain, ...]


def strength_of(carved: Carved) -> Answer:
    """Return the analysis of an instrument. Raises DesignError if the design does not say which strings it carries."""
    from braces.mechanics.analyse import analyse, solve_plate
    from braces.mechanics.sensitivity import gains

    load, setting, mesh = load_of(carved.placed.design), setting_of(carved.placed.design), mesh_of(carved)
    solved = solve_plate(carved, "top", setting, load, mesh)
    found = gains(solved) if solved.deflection is not None else ()
    return Answer(analyse(carved, setting, load, mesh, solved), found)


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
    return Setting(
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
