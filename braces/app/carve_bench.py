"""A design on its way to a target: its text, what the text makes, and how the number that is wanted is found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from braces.app.carve_ask import Ask, refused
from braces.app.strength import load_of, mesh_of, setting_of
from braces.app.study import Study, follow
from braces.base.problems import DesignError, Problem, Where, as_read
from braces.carved.values import Carved, CarvedPlate
from braces.design.own_woods import wood_key, wood_of
from braces.design.rewrite import CannotRewrite, rewrite
from braces.mechanics.aim import Aim
from braces.mechanics.analyse import bounds, has_curved, plate_mass_g, solve_plate, summary
from braces.mechanics.instrument import plate_model
from braces.mechanics.ranges import formula_bounds
from braces.mechanics.values import Bound


@dataclass(frozen=True, slots=True, eq=False)
class CarveBench:
    """A design's text with what it makes, and how its numbers are found."""

    study: Study
    text: str
    carved: Carved
    aim: Aim
    woods: tuple[tuple[str, str, str], ...] = ()

    @staticmethod
    def of(study: Study, ask: Ask) -> CarveBench:
        """Return the bench of a sound design. Raises DesignError if it has not what is asked about."""
        if study.carved is None or study.loaded is None:
            raise ValueError("only a sound design can be carved")
        if ask.target.aim.kind == "turn" and study.carved.placed.design.top.bridge is None:
            advice = 'add bridge = { length = "... mm", width = "... mm" } to [top]'
            raise DesignError([Problem("K02", ("top", "bridge"), "the strings need a bridge to turn", advice)])
        if ask.target.aim.solved and study.carved.placed.design.lining.rim == "free":
            advice = 'write "lining", "hinged" or "clamped", or leave it out'
            raise DesignError([Problem("M02", ("lining", "rim"), "a plate that nothing holds carries no load", advice)])
        if ask.target.aim.number > 10:
            raise refused(f"mode {ask.target.aim.number} is not worked out", "ask for one of modes 1 to 10")
        return CarveBench(study, study.loaded.text, study.carved, ask.target.aim)

    def made(self, carved: Carved) -> CarvedPlate:
        """Return the plate that the aim is about."""
        return carved.top if self.aim.plate == "top" else carved.back

    def followed(self, changes: Mapping[Where, str]) -> Study:
        """Follow the text with other values in it. Raises DesignError if its form cannot be edited."""
        try:
            return follow(self.study.path, rewrite(self.text, changes))
        except CannotRewrite as error:
            raise DesignError([Problem("M03", (), str(error), "write the braces as [[top.braces]] sections")]) from None

    def full(self, carved: Carved) -> tuple[float, Bound | None]:
        """Return the aim's number by a full solution of a carving, and its bound."""
        if not self.aim.solved:
            return self.weight(carved), next((b for b in formula_bounds() if b.quantity == self.aim.bounded_by), None)
        design = carved.placed.design
        setting, load = setting_of(design), load_of(design) if self.aim.plate == "top" else None
        solved = solve_plate(carved, self.aim.plate, setting, load, mesh_of(carved))
        found = summary(solved, self.made(carved), setting)
        printed = bounds(found.step_mm, has_curved(self.made(carved).braces))
        return self.aim.value(found), next((b for b in printed if b.quantity == self.aim.bounded_by), None)

    def weight(self, carved: Carved) -> float:
        """Return the braces' weight, or with the plate's own, g."""
        braces = sum(b.mass_g for b in self.made(carved).braces)
        if self.aim.kind == "braces":
            return braces
        setting = setting_of(carved.placed.design)
        return braces + plate_mass_g(plate_model(carved, self.aim.plate, setting, mesh_of(carved)))

    def in_wood(self, name: str, entries: Sequence[str]) -> CarveBench:
        """Return the bench with some braces made of another wood. Raises DesignError if there is no such wood."""
        design = self.carved.placed.design
        try:
            wood_of(design, name)
        except KeyError:
            advice = "give a wood of the table, or the NAME of a [stock.NAME] section of the file"
            raise refused(f"there is no wood {as_read(name)}", advice) from None
        spec = design.top if self.aim.plate == "top" else design.back
        rows = [(i, b.name, b.wood or spec.brace_wood) for i, b in enumerate(spec.braces) if b.name in entries]
        changes: dict[Where, str] = {(self.aim.plate, "braces", i, "wood"): name for i, _, _ in rows}
        if all(b.name in entries for b in spec.braces):
            own = {i for i, b in enumerate(spec.braces) if b.wood is not None}
            changes = {w: name for w in changes if w[2] in own} | {(self.aim.plate, "brace_wood"): name}
        found = self.followed(changes)
        if not found.sound or found.carved is None or found.loaded is None:
            raise DesignError(found.problems)
        woods = tuple((entry, wood, name) for _, entry, wood in rows if wood_key(wood) != wood_key(name))
        return replace(self, text=found.loaded.text, carved=found.carved, woods=woods)
