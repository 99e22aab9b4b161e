"""Before and after: the design as it stands against its saved file, or against another instrument."""

from __future__ import annotations

from pathlib import Path

from braces.app.study import Study, follow, study
from braces.carved.values import Carved
from braces.design.load import preset_folder, preset_names
from braces.sheets.words import PlateName
from braces.web.desk import Desk
from braces.web.figures import stiffness
from braces.web.picture import Table
from braces.web.plan_picture import ghost

SAVED = "saved"
_MOST_OTHERS = 60


def others(desk: Desk) -> dict[str, Path]:
    """Return the designs that there are to compare with, by the names that pages call them by."""
    beside = sorted(p for p in desk.path.resolve().parent.glob("*.toml") if p.name != desk.path.name)
    found = {p.name: p for p in beside[:_MOST_OTHERS] if not p.name.endswith(".outline.toml")}
    return found | {f"preset {n}": preset_folder() / f"{n}.toml" for n in preset_names()}


def compared(desk: Desk, key: str, plate: PlateName) -> Table:
    """Return what another state has: its braces in plan, and its numbers beside ours."""
    made = _other(desk, key)
    if made is None or made.carved is None or desk.carved is None:
        return {"title": key, "ghost": "", "rows": []}
    title = "the saved file" if key == SAVED else (made.loaded.design.name if made.loaded else key)
    return {"title": title, "ghost": ghost(made.carved, plate), "rows": _rows(desk, made.carved, plate)}


def _other(desk: Desk, key: str) -> Study | None:
    if key == SAVED:
        return follow(desk.path, desk.draft.saved)
    path = others(desk).get(key)
    return study(str(path)) if path is not None else None


def _rows(desk: Desk, other: Carved, plate: PlateName) -> list[Table]:
    assert desk.carved is not None
    ours = {b.name: b for b in (desk.carved.top if plate == "top" else desk.carved.back).braces}
    theirs = {b.name: b for b in (other.top if plate == "top" else other.back).braces}
    rows = [_row(f"all braces of the {plate}", "g", sum(b.mass_g for b in theirs.values()),
                 sum(b.mass_g for b in ours.values()))]  # fmt: skip
    for name, mine in ours.items():
        if name not in theirs:
            continue
        rows.append(_row(name, "g", theirs[name].mass_g, mine.mass_g))
        stiff = [stiffness(desk.shelf.of(c, b)) for c, b in ((other, theirs[name]), (desk.carved, mine))]
        rows.append(_row(name, "N/mm", float(stiff[0]["newtons per mm"]), float(stiff[1]["newtons per mm"]), 1))
    missing = [n for n in theirs if n not in ours]
    rows += [{"name": n, "unit": "g", "before": f"{theirs[n].mass_g:.2f}", "after": "none", "change": ""}
             for n in missing]  # fmt: skip
    return rows


def _row(name: str, unit: str, before: float, after: float, digits: int = 2) -> Table:
    change = f"{100 * (after - before) / before:+.1f} %" if before else ""
    if abs(after - before) < 0.5 * 10**-digits:
        change = "same"
    return {"name": name, "unit": unit, "before": f"{before:.{digits}f}", "after": f"{after:.{digits}f}",
            "change": change}  # fmt: skip
