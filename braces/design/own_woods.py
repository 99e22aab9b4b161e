"""The woods that a design may name: those of the table, and the maker's own measured pieces over them."""

from __future__ import annotations

import re
from dataclasses import replace

from braces.base.problems import Problem, as_read
from braces.design.model import Design
from braces.design.stock import OwnWoodSpec
from braces.design.woods import Wood, no_such_wood, wood, woods, woods_named

_NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9 _-]{0,39}$")


def wood_key(name: str) -> str:
    """Return a wood's name as it is looked up: capitals and doubled blanks do not count."""
    return " ".join(name.lower().split())


def wood_of(design: Design, name: str) -> Wood:
    """Return the maker's own piece of that name, or the table's wood. Raises KeyError."""
    key = wood_key(name)
    return own_woods(design).get(key) or wood(key)


def own_woods(design: Design) -> dict[str, Wood]:
    """Return every [stock.NAME] of a design as a wood, by its name as it is looked up. Raises KeyError."""
    return {wood_key(name): _own(name, piece) for name, piece in design.stock.pieces.items()}


def measured(
    listed: Wood,
    e_along_mpa: float | None = None,
    e_across_mpa: float | None = None,
    shear_mpa: float | None = None,
    density_kg_m3: float | None = None,
    source: str = "measured at the bench",
) -> Wood:
    """Return the table's wood with what was measured in its place.

    A modulus along the grain scales the other constants with it (their ratios are kept) unless they were measured too.
    """
    elastic = listed.elastic
    if e_along_mpa is not None:
        elastic = elastic.with_e_l(e_along_mpa, "measured", f"{source}; ratios: {elastic.source}")
    if e_across_mpa is not None:
        elastic = replace(elastic, e_r_mpa=e_across_mpa)
    if shear_mpa is not None:
        elastic = replace(elastic, g_lr_mpa=shear_mpa)
    if density_kg_m3 is None:
        return replace(listed, elastic=elastic)
    return replace(listed, elastic=elastic, density_kg_m3=density_kg_m3, provenance="measured", source=source)


def _own(name: str, piece: OwnWoodSpec) -> Wood:
    found = measured(
        wood(piece.like or name),
        piece.e_along_mpa,
        piece.e_across_mpa,
        piece.shear_mpa,
        piece.density_kg_m3,
        piece.note or "measured at the bench",
    )
    return replace(found, name=name)


def wood_problems(design: Design) -> list[Problem]:
    """Return a problem for every wood that is neither in the table nor a piece of the maker's own."""
    own = {wood_key(name) for name in design.stock.pieces}
    known = woods().keys() | own
    problems = [no_such_wood(where, name, own) for where, name in woods_named(design) if wood_key(name) not in known]
    for name, piece in design.stock.pieces.items():
        if not _NAME.match(name):
            advice = "use letters, digits, blanks and dashes, 40 at most, as in [stock.billet-7]"
            problems.append(Problem("V02", ("stock", name[:40]), f"{as_read(name)} cannot be a name", advice))
        elif piece.like is None and wood_key(name) not in woods():
            advice = 'add like = "..." (the wood of the table that it is)'
            problems.append(Problem("K02", ("stock", name, "like"), '"like" is missing', advice))
        elif piece.like is not None and wood_key(piece.like) not in woods():
            problems.append(no_such_wood(("stock", name, "like"), piece.like))
    return problems
