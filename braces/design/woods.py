"""Woods by name: what the table says of them, with the source of each group of numbers."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from braces.base.problems import Problem, Where
from braces.design.part import Part

#: Wood Handbook, note to table 5-1: E_L may be approximated by increasing the modulus of elasticity of
#: table 5-3, found on beams of span/depth 14 without a correction for shear, by 10 %.
E_L_OVER_MOE = 1.1


@dataclass(frozen=True, slots=True)
class Elastic:
    """The nine elastic constants at 12 % moisture content: L along the grain, R radial, T tangential."""

    e_l_mpa: float
    e_r_mpa: float
    e_t_mpa: float
    g_lr_mpa: float
    g_lt_mpa: float
    g_rt_mpa: float
    nu_lr_ratio: float  #: contraction along R for stress along L
    nu_lt_ratio: float
    nu_rt_ratio: float
    provenance: str  #: "text", "memory", "borrowed" (ratios of another species) or "measured"
    source: str

    def with_e_l(self, e_l_mpa: float, provenance: str, source: str) -> Elastic:
        """Return the constants scaled to another modulus along the grain, ratios kept."""
        k = e_l_mpa / self.e_l_mpa
        return Elastic(
            e_l_mpa,
            self.e_r_mpa * k,
            self.e_t_mpa * k,
            self.g_lr_mpa * k,
            self.g_lt_mpa * k,
            self.g_rt_mpa * k,
            self.nu_lr_ratio,
            self.nu_lt_ratio,
            self.nu_rt_ratio,
            provenance,
            source,
        )


@dataclass(frozen=True, slots=True)
class ClearStrength:
    """Short-term strength of small clear specimens; None where the table has nothing."""

    moe_mpa: float  #: modulus of elasticity as tabulated, from bending without a shear correction
    bending_mpa: float | None  #: modulus of rupture
    shear_mpa: float | None  #: along the grain
    crush_across_mpa: float | None  #: compression across the grain at the proportional limit
    provenance: str
    source: str


@dataclass(frozen=True, slots=True)
class Movement:
    """How the wood moves with moisture."""

    radial_ratio: float  #: relative change of size for each 1 % of moisture content, 6 to 14 %
    tangential_ratio: float
    shrink_radial_ratio: float | None  #: green to oven-dry, of the green size
    shrink_tangential_ratio: float | None
    provenance: str
    source: str


@dataclass(frozen=True, slots=True)
class Wood:
    """One row of the table."""

    name: str
    density_kg_m3: float  #: at 12 % moisture content
    provenance: str  #: of the density: "text", "memory" or "computed"
    source: str
    elastic: Elastic
    strength: ClearStrength
    movement: Movement | None

    @property
    def weakest_mark(self) -> str:
        """Return the least sure of what stiffness and weight rest on: "borrowed", "memory", "text" or "measured".

        Where only one of the two was measured, both are told, as in "stiffness measured, density text".
        """
        weight, stiff = self.provenance, self.elastic.provenance
        if stiff == "measured" or weight == "measured":
            other = _weakest(stiff, self.strength.provenance) if stiff != "measured" else stiff
            return "measured" if stiff == weight else f"stiffness {other}, density {weight}"
        return _weakest(weight, stiff, self.strength.provenance)


def _weakest(*marks: str) -> str:
    return next((m for m in ("borrowed", "memory") if m in marks), "text")


@cache
def woods() -> dict[str, Wood]:
    """The whole table, by lower-case name."""
    text = files("braces.design").joinpath("data", "woods.toml").read_text(encoding="utf-8")
    return {name: _wood(name, row) for name, row in tomllib.loads(text).items()}


def wood(name: str) -> Wood:
    """Return a wood by its name, whatever its capitals. Raises KeyError."""
    return woods()[" ".join(name.lower().split())]


def _wood(name: str, row: dict[str, Any]) -> Wood:
    s, m = row["strength"], row.get("movement")
    strength = ClearStrength(
        float(s["moe"]), s.get("bending"), s.get("shear"), s.get("crush_across"), s["provenance"], s["source"]
    )
    return Wood(
        name,
        row["density"],
        row["provenance"],
        row["source"],
        _elastic(row["elastic"], s),
        strength,
        _movement(m) if m else None,
    )


def _elastic(e: dict[str, Any], s: dict[str, Any]) -> Elastic:
    e_l = E_L_OVER_MOE * s["moe"]
    marks = (e["provenance"], s["provenance"])
    mark = next((m for m in ("borrowed", "memory") if m in marks), "text")
    return Elastic(
        e_l,
        e_l * e["er"],
        e_l * e["et"],
        e_l * e["glr"],
        e_l * e["glt"],
        e_l * e["grt"],
        e["nu_lr"],
        e["nu_lt"],
        e["nu_rt"],
        mark,
        f"{e['source']}; E_L = 1.1 x modulus of {s['source']}",
    )


def _movement(m: dict[str, Any]) -> Movement:
    radial, tangential = m.get("shrink_radial"), m.get("shrink_tangential")
    return Movement(
        m["radial"],
        m["tangential"],
        None if radial is None else radial / 100,
        None if tangential is None else tangential / 100,
        m["provenance"],
        m["source"],
    )


_NAMED_IN = ("wood", "brace_wood", "side_wood")  #: fields that hold the name of a wood of the table


def woods_named(part: Part, where: Where = ()) -> Iterator[tuple[Where, str]]:
    """Yield every wood that a part of the design names, in the part itself or in the parts it holds, and where."""
    for name, field in type(part).model_fields.items():
        value, at = getattr(part, name), (*where, field.alias or name)
        if name in _NAMED_IN and isinstance(value, str):
            yield at, value
        elif isinstance(value, Part):
            yield from woods_named(value, at)
        elif isinstance(value, tuple):
            for i, item in enumerate(value):
                if isinstance(item, Part):
                    yield from woods_named(item, (*at, i))


def no_such_wood(where: Where, name: str, own: Collection[str] = ()) -> Problem:
    """Return the problem of a wood that is not known; ``own`` are the names of the maker's own pieces."""
    written, known = " ".join(name[:60].lower().split()), sorted({*woods(), *own})
    alike = [w for w in known if written in w or w in written] if written else []
    close = alike or difflib.get_close_matches(written, known, n=3, cutoff=0.6)
    advice = f"use {' or '.join(close)}" if close else f"use one of {', '.join(known)}"
    return Problem("V05", where, f'"{name[:40]}" is not in the table of woods', advice)
