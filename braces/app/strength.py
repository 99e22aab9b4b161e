"""The mechanics of a design: what it says of strings and bridge, and the analysis of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from braces.base.problems import DesignError, Problem
from braces.carved.values import Carved

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


@dataclass(frozen=True, slots=True, eq=False)
class Given:
    """What the mechanics of an instrument are worked out with."""

    setting: Setting
    load: StringLoad
    mesh: Mesh


def given_of(carved: Carved) -> Given:
    """Return what a design says of strings and bridge. Raises DesignError if it does not say which strings."""
    design = carved.placed.design
    if design.strings.set is None:
        advice = 'add set = "light" (or "extra light", "medium", "nylon") to [strings]'
        raise DesignError([Problem("K02", ("strings", "set"), "the mechanics need to know the strings", advice)])
    from braces.mechanics.analyse import QUICK, REPORT
    from braces.mechanics.instrument import Setting
    from braces.mechanics.strings import string_load, string_sets

    bridge = design.top.bridge
    setting = Setting(string_height_mm=design.strings.height_mm)
    if bridge is not None:
        setting = replace(setting, bridge_wood=bridge.wood, bridge_height_mm=bridge.height_mm)
    load = string_load(string_sets()[design.strings.set], design.strings.scale_mm, design.strings.height_mm)
    # A lattice has many times the unknowns of an X; on the coarser grid its bounds are wider, and say so.
    mesh = QUICK if max(len(plate.braces) for plate in carved.plates) > _MANY_BRACES else REPORT
    return Given(setting, load, mesh)


def strength_of(carved: Carved) -> Answer:
    """Return the analysis of an instrument. Raises DesignError if the design does not say which strings it carries."""
    given = given_of(carved)
    from braces.mechanics.analyse import analyse, solve_plate
    from braces.mechanics.sensitivity import gains

    solved = solve_plate(carved, "top", given.setting, given.load, given.mesh)
    return Answer(analyse(carved, given.setting, given.load, given.mesh, solved), gains(solved))
