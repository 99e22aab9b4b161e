"""Weights, stiffness, deflection under the strings and modes of a carved instrument."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import degrees
from typing import Any

import numpy as np

from braces.base.arrays import Floats, frozen_floats
from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.mechanics.bar import Bar, Numbering, hermite, strain_parts
from braces.mechanics.bar_ties import Lap
from braces.mechanics.brace_figures import brace_figures
from braces.mechanics.braced_plate import Mesh, System, assemble, bind, modes, with_bars
from braces.mechanics.cholesky import Cholesky
from braces.mechanics.instrument import Model, Setting, plate_model
from braces.mechanics.loads import patch_mean, string_pull, tip_forward
from braces.mechanics.plate_model import W
from braces.mechanics.space import Space
from braces.mechanics.strings import DEFAULT_SET, StringLoad, string_load, string_sets
from braces.mechanics.values import Bound, BraceStress, Mode, PlateStrength, Shape, Strength

MODES = 10
#: Wood Handbook: about 60 % of the short-term bending strength is left under a load of ten years.
LONG_LOAD_FRACTION = 0.60
QUICK = Mesh(step_mm=8.0, detail_mm=16.0, element_mm=25.0)
REPORT = Mesh(step_mm=5.0, detail_mm=12.0, element_mm=16.0)
FINE = Mesh(step_mm=4.0, detail_mm=10.0, element_mm=16.0)
_PLOT_STEP_MM = 6.0


@dataclass(frozen=True, slots=True, eq=False)
class Solved:
    """One plate, solved: the model, its system, and the answers in its unknowns."""

    model: Model
    system: System
    deflection: Floats | None
    hertz: Floats
    shapes: Floats
    load: Floats | None
    turn: Floats | None  #: functional of the bridge's turn, rad
    factor: Cholesky | None = None  #: of the stiffness, if the plate is held


def analyse(
    carved: Carved,
    setting: Setting | None = None,
    load: StringLoad | None = None,
    mesh: Mesh = REPORT,
    solved_top: Solved | None = None,
) -> Strength:
    """Return all numbers of an instrument.

    ``load`` is the strings' pull; a light steel set at the design's scale if not given. ``solved_top`` saves solving
    the top again, if it was solved with the same setting, load and mesh. Raises KeyError for a wood that is not in
    the table.
    """
    own = setting or Setting()
    design = carved.placed.design
    pull = load or string_load(string_sets()[DEFAULT_SET], design.strings.scale_mm, own.string_height_mm)
    figures = tuple(
        brace_figures(b, own.wood(b.wood), own.wood(plate.spec.wood), plate.spec.thickness_mm)
        for made, plate in ((carved.top, carved.placed.top), (carved.back, carved.placed.back))
        for b in made.braces
    )
    top = summary(solved_top or solve_plate(carved, "top", own, pull, mesh), carved.top, own)
    back = summary(solve_plate(carved, "back", own, None, mesh), carved.back, own)
    printed = bounds(mesh.step_mm, has_curved(carved.braces))
    return Strength(pull, figures, top, back, printed, assumptions(own, pull, carved), _marks(carved, own))


def solve_plate(carved: Carved, name: str, setting: Setting, load: StringLoad | None, mesh: Mesh = REPORT) -> Solved:
    """Return one plate solved. Without a load, or with a free rim, only its modes."""
    model = plate_model(carved, name, setting, mesh)
    system = assemble(bind(model.plate, mesh, model.keep_fine))
    if setting.rim == "free":
        hertz, shapes = modes(system, MODES, rigid=6)
        return Solved(model, system, None, hertz, shapes, None, None)
    factor = system.stiffness.factor()
    force = turn = moved = None
    if load is not None and model.bridge is not None:
        force, turn = string_vectors(model, system, load)
        moved = factor.solve(force)
    hertz, shapes = modes(system, MODES, factor=factor)
    return Solved(model, system, moved, hertz, shapes, force, turn, factor)


def solved_again(solved: Solved, bars: tuple[Bar, ...], laps: tuple[Lap, ...] | None = None) -> Solved:
    """Return the same plate with bars of other heights (and laps, if they moved up or down), solved.

    Feet, grid and load are kept.
    """
    system = assemble(with_bars(solved.system.bound, bars, laps))
    factor = system.stiffness.factor()
    moved = None if solved.load is None else factor.solve(solved.load)
    hertz, shapes = modes(system, MODES, factor=factor)
    return Solved(solved.model, system, moved, hertz, shapes, solved.load, solved.turn, factor)


def string_vectors(model: Model, system: System, load: StringLoad) -> tuple[Floats, Floats]:
    """Return (load of the strings, functional of the bridge's turn) in the system's unknowns."""
    space = system.bound.space
    return (
        _grown(string_pull(space, model.bridge, load.total_n, load.height_mm, model.thickness_mm), system),
        _grown(tip_forward(space, model.bridge), system),
    )


def _grown(vector: Floats, system: System) -> Floats:
    out = np.zeros(system.count)
    out[: len(vector)] = vector
    return out


def summary(solved: Solved, made: CarvedPlate, setting: Setting) -> PlateStrength:
    """Return a solved plate as numbers and fields for a report."""
    space = solved.system.bound.space
    n = space.count
    plot = PlotGrid.over(solved.model, space)
    found = tuple(
        Mode(float(f), plot.field(plot.rows @ v[:n], unit=True))
        for f, v in zip(solved.hertz, solved.shapes.T, strict=True)
    )
    turn = rise = field = None
    stresses: tuple[BraceStress, ...] = ()
    if solved.deflection is not None and solved.turn is not None:
        u = solved.deflection
        turn = degrees(float(solved.turn @ u))
        rise = float(patch_mean(space, solved.model.bridge, [(W, 0, 0, 1.0)]) @ u[:n])
        field = plot.field(plot.rows @ u[:n])
        stresses = brace_stresses(solved.system, u, made, setting)
    return PlateStrength(
        name=made.name,
        rim=solved.model.plate.rim.name,
        plate_mass_g=plate_mass_g(solved.model),
        braces_mass_g=sum(float(b.volume_mm3) * setting.wood(b.wood).density_kg_m3 * 1e-6 for b in made.braces),
        modes=found,
        bridge_turn_deg=turn,
        bridge_rise_mm=rise,
        deflection=field,
        stresses=stresses,
        unknowns_count=solved.system.count,
        step_mm=space.grid.step_mm,
    )


@dataclass(frozen=True, slots=True, eq=False)
class PlotGrid:
    """An even grid over the plan, and the rows that give the outward movement on it."""

    x_mm: Floats
    y_mm: Floats
    inside: Any  #: (x, y) bool: on the plate
    rows: Any  #: sparse (points on the plate, unknowns)

    @classmethod
    def over(cls, model: Model, space: Space) -> PlotGrid:
        """Return the grid over a plate, with rows in its unknowns."""
        import shapely

        left, low, right, high = model.plate.sheet.polygon.bounds
        x = np.arange(left + _PLOT_STEP_MM / 2, right, _PLOT_STEP_MM)
        y = np.arange(low + _PLOT_STEP_MM / 2, high, _PLOT_STEP_MM)
        gx, gy = np.meshgrid(x, y, indexing="ij")
        inside = shapely.contains_xy(model.plate.sheet.polygon, gx, gy)
        rows = space.rows(gx[inside], gy[inside], [(W, 0, 0, 1.0)])
        return cls(frozen_floats(x), frozen_floats(y), inside, rows)

    def field(self, v: Floats, unit: bool = False) -> Shape:
        """Return the movement ``v`` (points on the plate,) as a field, its largest value 1 or -1 if ``unit``."""
        if unit and v.size:
            v = v / v[int(np.argmax(np.abs(v)))]
        out = np.full(self.inside.shape, np.nan)
        out[self.inside] = v
        out.setflags(write=False)
        return Shape(self.x_mm, self.y_mm, out)


def plate_mass_g(model: Model) -> float:
    """Return the mass of a plate with everything glued on it but its braces."""
    sheet = model.plate.sheet
    if isinstance(sheet.thickness, (int, float)):
        total = sheet.polygon.area * sheet.thickness * sheet.density_kg_m3
    else:
        import shapely

        left, low, right, high = sheet.polygon.bounds
        gx, gy = np.meshgrid(np.arange(left + 1, right, 2.0), np.arange(low + 1, high, 2.0), indexing="ij")
        inside = shapely.contains_xy(sheet.polygon, gx, gy)
        total = sheet.polygon.area * float(sheet.thickness_at(gx[inside], gy[inside]).mean()) * sheet.density_kg_m3
    patches = sum(p.polygon.area * (p.high_mm - p.low_mm) * p.density_kg_m3 for p in model.plate.layers)
    return float((total + patches) * 1e-6)


def brace_stresses(system: System, solution: Floats, made: CarvedPlate, setting: Setting) -> tuple[BraceStress, ...]:
    """Return the fibre stress along the ridge of every brace. Lap notches are left out: there it is local."""
    own = system.bound.link @ solution
    at, out = 0, []
    for bar, number, brace in zip(system.bound.plate.bars, system.bound.numbers, made.braces, strict=True):
        x, stress = ridge_stress(bar, number, own[at : at + number.total])
        at += number.total
        keep = np.ones(len(x), dtype=bool)
        for cut in brace.notches:
            keep &= np.abs(x - cut.at_mm) > cut.width_mm / 2 + 2.0
        size = np.where(keep, np.abs(stress), 0.0)
        i = int(np.argmax(size))
        strength = setting.wood(brace.wood).strength.bending_mpa
        limit = None if strength is None else LONG_LOAD_FRACTION * strength
        out.append(
            BraceStress(
                brace.name,
                frozen_floats(x),
                frozen_floats(np.where(keep, stress, np.nan)),
                float(size[i]),
                float(x[i]),
                limit,
                None if limit is None else float(size[i] / limit),
            )
        )
    return tuple(out)


def ridge_stress(bar: Bar, number: Numbering, own: Floats) -> tuple[Floats, Floats]:
    """Return (x, stress in MPa along the grain) on the carved edge's centre line, four places to each element."""
    t = np.array([0.125, 0.375, 0.625, 0.875])
    length = np.diff(bar.stations_mm)[:, None]
    s = bar.stations_mm[:-1, None] + t * length
    _, top = bar.faces(s.ravel(), np.zeros(1))
    zeta = top.reshape(s.shape) / bar.scale_mm
    curve, slope = hermite(np.broadcast_to(t, s.shape), length)
    held, turned = strain_parts(bar, np.zeros_like(zeta), zeta)
    local = own[number.element].reshape(len(length), -1, 4)
    strain = np.einsum("epk,ekj,epj->ep", held[:, :, 0], local, curve)
    strain += np.einsum("epk,ekj,epj->ep", turned[:, :, 0], local, slope)
    # On the free surface only the stress along the grain is left: the wood's own E times its strain.
    e_l = 1 / np.linalg.inv(bar.law)[0, 0]
    return s.ravel(), np.asarray((strain * e_l).ravel())


@cache
def bounds(step_mm: float = REPORT.step_mm, with_curved: bool = False) -> tuple[Bound, ...]:
    """Return the measured bounds of the solved numbers on a grid; a grid coarser than ``QUICK`` has none.

    ``with_curved``: there is a curved brace; less was measured with those, what they were measured on says what.
    """
    if step_mm > QUICK.step_mm:
        return ()
    grid = "fine" if step_mm <= FINE.step_mm else "report" if step_mm <= REPORT.step_mm else "quick"
    text = files("braces.mechanics").joinpath("data", "bounds.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    rows: list[dict[str, Any]] = data["bounds"]
    own = [r for r in rows if r["grid"] == grid]
    if not with_curved:
        return tuple(Bound(r["quantity"], r["low"], r["high"], r["measured_on"]) for r in own)
    return tuple(
        Bound(r["quantity"], r.get("low_curved", r["low"]), r["high"], f"{r['measured_on']}; {data['curved_too']}")
        for r in own
    )


def has_curved(braces: Iterable[CarvedBrace]) -> bool:
    """Is one of them curved in plan?"""
    return any(b.is_curved for b in braces)


def assumptions(setting: Setting, load: StringLoad, carved: Carved) -> tuple[str, ...]:
    """Return what was taken for granted, in words."""
    bent = [b.name for b in carved.braces if b.is_curved]
    curved = (
        f"{', '.join(bent)}: one piece of wood whose grain follows the bend, without glue lines or locked-in stress; "
        "the plate model follows its arc (along its tangent over the width of a lap), the table of braces takes it as "
        "straight; how far numbers may be off was measured with one curved bar only, alone on a flat plate",
    )
    rim = {
        "free": "nothing holds the edge",
        "hinged": "hinged along the lining's inner face, fixed in its plane",
        "clamped": "clamped all over the lining",
        "lining": f"on the lining as on a bed of springs, {setting.lining_outward[0]:g} N/mm3 outward and "
        f"{setting.lining_in_plane[0]:g} N/mm3 in its plane ({setting.rim_source})",
    }[setting.rim]
    return (
        f"rim: {rim}; head, neck and tail blocks are not modelled",
        f"strings: {load.set_name}, {load.total_n:.0f} N in all, {load.height_mm:g} mm above the top at the saddle "
        f"({load.provenance})",
        f"bridge: {setting.bridge_wood}, {setting.bridge_height_mm:g} mm thick, glued all over its foot",
        "braces that butt on others are joined through the plate only; laps are glued on every face",
        "modes are those of the plate alone, without the air in and around the box and without the strings",
        "wood at 12 % moisture content; growth rings upright in plates and braces",
        *(curved if bent else ()),
    )


def _marks(carved: Carved, setting: Setting) -> tuple[tuple[str, str], ...]:
    names = {
        carved.placed.top.spec.wood,
        carved.placed.back.spec.wood,
        setting.bridge_wood,
        *(b.wood for b in carved.braces),
    }
    for plate in (carved.placed.top, carved.placed.back):
        names |= {p.wood for p in (plate.spec.bridge_plate, plate.spec.centre_strip) if p is not None}
    found = {setting.wood(n).name: setting.wood(n).weakest_mark for n in names}
    return tuple(sorted(found.items()))
