"""The numbers beside the picture: what each brace weighs and how stiff it is, kept while a brace stays as it was."""

from __future__ import annotations

from collections.abc import Hashable

from braces.app.study import Study
from braces.base.problems import Problem, where_text
from braces.carved.values import Carved, CarvedBrace
from braces.design.own_woods import wood_of
from braces.design.woods import Wood
from braces.mechanics.brace_figures import BENCH_LOAD_N, BraceFigures, brace_figures
from braces.web.picture import Table

_MOST_KEPT = 128


class Shelf:
    """Tables of braces by what they are made of; the oldest go when it is full."""

    def __init__(self) -> None:
        self._kept: dict[Hashable, BraceFigures] = {}

    def of(self, carved: Carved, brace: CarvedBrace) -> BraceFigures:
        """Return the table of a brace."""
        plate = carved.placed.top.spec if brace.plate == "top" else carved.placed.back.spec
        own, under = (wood_of(carved.placed.design, name) for name in (brace.wood, plate.wood))
        key = _fingerprint(brace, own, under, plate.thickness_mm)
        found = self._kept.pop(key, None)
        if found is None:
            found = brace_figures(brace, own, under, plate.thickness_mm)
        self._kept[key] = found
        while len(self._kept) > _MOST_KEPT:
            self._kept.pop(next(iter(self._kept)))
        return found


def _fingerprint(brace: CarvedBrace, wood: Wood, plate_wood: Wood, thickness_mm: float) -> Hashable:
    """Everything that the table of a brace depends on."""
    curves = b"".join(
        a.tobytes() for h in (brace.height, brace.drop) for a in (h.x_mm, h.y_mm, h.slope_in, h.slope_out)
    )
    shape = b"".join(a.tobytes() for a in (brace.shape.y_mm, brace.shape.middle, brace.shape.border))
    return (brace.name, wood, plate_wood, thickness_mm, brace.width_mm, brace.length_mm, brace.heading_xy,
            brace.notches, brace.blank, curves, shape)  # fmt: skip


def masses(carved: Carved) -> Table:
    """Return the mass of every brace and of the braces of each plate, written as everywhere else."""
    return {
        "braces": {b.name: f"{b.mass_g:.2f}" for b in carved.braces},
        "plates": {p.name: f"{sum(b.mass_g for b in p.braces):.2f}" for p in carved.plates},
    }


def stiffness(figures: BraceFigures) -> Table:
    """Return a brace's stiffness on two supports, and how it taps."""
    return {
        "newtons per mm": f"{BENCH_LOAD_N / figures.bench_deflection_mm:.1f}",
        "bends": f"{figures.bench_deflection_mm:.3f}",
        "taps": f"{figures.tap_hz:.0f}",
        "mass": f"{figures.mass_g:.2f}",
        "weakest": None
        if figures.weakest is None
        else f"{figures.weakest.at_mm:.0f} mm from its start, {figures.weakest.stiffness_n_mm2 * 1e-6:.1f} N m2",
    }


def problem_rows(study: Study) -> list[Table]:
    """Return what is wrong, in the order of the file, each with the braces and the field it points at."""
    rows = sorted(study.problems, key=lambda p: (study.line(p) or 0, p.code, p.found))
    return [_problem(study, p) for p in rows[:100]]


def _problem(study: Study, p: Problem) -> Table:
    entry = p.where[:3] if p.where[1:2] == ("braces",) else ()
    placed = study.carved.placed if study.carved else None
    names = [b.name for plate in placed.plates for b in plate.braces if b.where == entry] if placed and entry else []
    named = [n for n in names if f'"{n}"' in p.found]
    return {
        "code": p.code,
        "where": list(p.where),
        "name": where_text(p.where),
        "line": study.line(p),
        "found": p.found.rstrip("."),
        "advice": p.advice.rstrip("."),
        "fatal": p.fatal,
        "braces": named or names,
    }
