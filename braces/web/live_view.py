"""The live model of the top while it is carved: kept for one layout, asked again after every cut."""

from __future__ import annotations

from collections.abc import Callable

from braces.app.strength import load_of, setting_of
from braces.carved.values import Carved
from braces.mechanics.analyse import QUICK
from braces.mechanics.live import LayoutChangedError, LiveFigures, LiveModel, live_model
from braces.web.picture import Table
from braces.web.strength_view import overlays, plate_numbers

_MODEL: list[LiveModel] = []  #: of this process, at most one


def live_table(carved: Carved, builds: Callable[[], None], with_fields: bool) -> Table:
    """Return the numbers of the top as it is carved, with or without its fields as lines.

    ``builds`` is called before a model has to be built anew.
    """
    figures = _figures(carved, builds)
    numbers = plate_numbers(figures.plate, figures)
    numbers["shares"] = {b.name: f"{100 * b.share_fraction:.1f}" for b in figures.braces}
    numbers["stiffness"] = {b.name: f"{b.stiffness_n_mm2 * 1e-6:.2f}" for b in figures.braces}
    numbers["error"] = f"{100 * figures.error_ratio:.1f}" if figures.error_ratio > 0 else ""
    if with_fields:
        numbers["overlays"] = overlays(carved, "top", figures.plate)
    return {"top": numbers}


def _figures(carved: Carved, builds: Callable[[], None]) -> LiveFigures:
    if _MODEL:
        try:
            return _MODEL[0].update(carved)
        except LayoutChangedError:
            _MODEL.clear()
    builds()
    # The quick grid: built in half the time; the full solution that follows has the finer one and narrower bounds.
    design = carved.placed.design
    _MODEL[:] = [live_model(carved, "top", setting_of(design), load_of(design), QUICK)]
    return _MODEL[0].update(carved)
