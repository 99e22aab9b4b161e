"""What a page is told: the state of the desk as tables."""

from __future__ import annotations

from braces.app.products import PRODUCTS
from braces.base.problems import where_text
from braces.base.units import mm_text
from braces.design.load import stick_names
from braces.design.rewrite import read_at
from braces.web import draft as drafts
from braces.web.desk import Desk, Looking
from braces.web.figures import masses, problem_rows, stiffness
from braces.web.forms import SECTIONS, form
from braces.web.picture import Table
from braces.web.plan_picture import plan_picture
from braces.web.side_picture import curves, side_picture


def view(desk: Desk, looking: Looking) -> Table:
    """Return everything a page shows of the design itself."""
    made: Table = {"state": state(desk), "plan": None, "side": None, "brace": None}
    if desk.carved is None:
        return made
    made["plan"] = plan_picture(desk.carved, looking.plate)
    made["plan"]["handles"] = [h.table() for h in desk.handles(looking, "plan")]
    made["masses"] = masses(desk.carved)
    brace = next((b for b in desk.carved.braces if b.name == looking.brace), None)
    if brace is not None:
        figures = desk.shelf.of(desk.carved, brace)
        made["side"] = side_picture(desk.carved, brace)
        made["side"]["handles"] = [h.table() for h in desk.handles(looking, "side")]
        made["side"]["curves"] = curves(figures)
        made["brace"] = stiffness(figures)
    return made


def state(desk: Desk) -> Table:
    """Return what there is to do with the design, and what is wrong with it."""
    design = desk.study.loaded.design if desk.study.loaded else None
    shown = desk.shown.loaded.design if desk.shown and desk.shown.loaded else None
    named = design or shown
    return {
        "number": desk.number,
        "name": named.name if named else desk.path.stem,
        "revision": named.revision if named else "",
        "hash": desk.study.revision_hash,
        "file": desk.path.name,
        "preset": desk.preset,
        "unsaved": desk.draft.unsaved,
        "changed": _changed(desk),
        "undo": len(desk.draft.done),
        "redo": len(desk.draft.undone),
        "current": desk.current,
        "sound": desk.study.sound,
        "problems": problem_rows(desk.study),
        "note": desk.note,
        "taken up": desk.taken_up,
        "disk": _disk(desk),
        "braces": _braces(desk),
    }


def _changed(desk: Desk) -> list[Table]:
    old, new = drafts.tables(desk.draft.saved), desk.raw
    return [
        {"name": where_text(w), "where": list(w), "was": read_at(old, w), "now": read_at(new, w)}
        for w in drafts.changes_since_saved(desk.draft)
    ]


def _disk(desk: Desk) -> Table | None:
    """What someone else changed in the file, and which of that clashes with what was changed here."""
    if desk.disk is None:
        return None
    return {
        "clashes": [
            {"name": where_text(c.where), "was": c.was, "here": c.here, "file": c.file}
            for c in drafts.clashes(desk.draft, desk.disk)
        ]
    }


def _braces(desk: Desk) -> list[Table]:
    if desk.carved is None:
        return []
    return [
        {"name": b.name, "plate": b.plate, "where": list(b.where), "size": mm_text(b.width_mm, 2)}
        for p in desk.carved.placed.plates
        for b in p.braces
    ]


def form_table(desk: Desk, where: tuple[str | int, ...]) -> Table:
    """Return the form of a part of the design."""
    rows = form(desk.raw, where)
    shared = []
    design = desk.study.loaded.design if desk.study.loaded else None
    if design is not None and where[1:2] == ("braces",):
        braces = getattr(design, str(where[0])).braces
        if isinstance(where[2], int) and where[2] < len(braces):
            shared = list(stick_names(braces[where[2]]))
    return {"where": list(where), "rows": [r.table() for r in rows], "sticks": shared}


def sections() -> list[Table]:
    """Return the parts of a design that have a form of their own besides the braces."""
    return [{"where": list(w), "name": where_text(w) if w else "the instrument"} for w in SECTIONS]


def products() -> list[Table]:
    """Return what can be made."""
    return [{"key": p.key, "title": p.title} for p in PRODUCTS]


def sheet(desk: Desk, key: str) -> bytes:
    """Return a drawing of the sheets as it will be printed, by its key; nothing if there is none."""
    from braces.sheets.plan import plan_drawing
    from braces.sheets.side import brace_drawing
    from braces.sheets.svg import svg
    from braces.sheets.words import key_of

    if desk.carved is None:
        return b""
    if key == "plan-top":
        return svg(plan_drawing(desk.carved, "top"))
    if key == "plan-back":
        return svg(plan_drawing(desk.carved, "back"))
    brace = next((b for b in desk.carved.braces if f"brace-{key_of(b.name)}" == key), None)
    return svg(brace_drawing(brace, desk.carved)) if brace is not None else b""


def sheets(desk: Desk) -> list[Table]:
    """Return the drawings that can be looked at."""
    from braces.sheets.words import key_of

    braces = desk.carved.braces if desk.carved else ()
    plans = [{"key": f"plan-{p}", "title": f"plan of the {p}"} for p in ("top", "back")]
    return [*plans, *({"key": f"brace-{key_of(b.name)}", "title": b.name} for b in braces)]
