"""The page of one shop tool: its solid's pictures and its row of the table, as the sheets take them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import hypot
from typing import Any

from braces.base.units import mm_text
from braces.sheets.tool_card import XY, ToolAngle, ToolCard, ToolDim, ToolView
from braces.solids.tools.hidden import Gaze
from braces.solids.tools.part import Angle, Measure, Part
from braces.solids.tools.settings import ToolSettings
from braces.solids.tools.view import ABOVE, FRONT, LEFT, UNDER, View, views_of

_STOCK_NOTE = (
    "Each is longer than the room that plate, brace, caul and cups leave under the deck's ceiling, so that it bows out "
    "and pushes. A bowed bar can fly out: wear eye protection."
)


def cards_of(
    kind: str, parts: Sequence[Part], rows: Sequence[dict[str, Any]], settings: ToolSettings
) -> list[ToolCard]:
    """Return the pages of the parts of one kind: one for each that is printed, one for all that is cut from stock."""
    both = list(zip(parts, rows, strict=True))
    stock = [(p, row) for p, row in both if not p.printed]
    pages = [_stock_card(kind, stock, settings)] if stock else []
    return pages + [card_of(kind, p, row, settings) for p, row in both if p.printed]


def _stock_card(kind: str, stock: list[tuple[Part, dict[str, Any]]], settings: ToolSettings) -> ToolCard:
    """Return the page of bars of one section and several lengths, the longest drawn."""
    longest, row = max(stock, key=lambda both: float(both[0].pieces[0].size_mm[0]))
    card = card_of(kind, longest, row, settings)
    facts = [(longest.orientation, "")]
    for part, own in stock:
        sizes = ", ".join(" ".join(_fact(name, value)) for name, value in own["dimensions"].items())
        facts.append((f"{part.count} of {sizes}", ", ".join(part.serves)))
    section = longest.title.split(", ", 1)[-1]
    count = sum(p.count for p, _ in stock)
    return replace(card, title=f"go-bars, {section}", count=count, facts=tuple(facts), notes=(_STOCK_NOTE,))


def card_of(kind: str, part: Part, row: dict[str, Any], settings: ToolSettings) -> ToolCard:
    """Return the page of one part; ``row`` is its row of the table, ``kind`` the tools that it belongs to."""
    views = views_of(part, settings.bed_mm)
    x, y, _ = settings.bed_mm
    on_bed = f"on the bed of {x:g} x {y:g}: {part.orientation}"
    if part.bridges:
        on_bed += f"; bridges {part.bridges}"
    size = _size(row)
    return ToolCard(
        kind,
        part.title,
        ToolView(views.above.edges, views.above.words, _dims(part, "above", ABOVE)),
        ToolView(views.front.edges, views.front.words, _dims(part, "front", FRONT)),
        ToolView(views.left.edges, (), _dims(part, "left", LEFT)) if views.left else None,
        ToolView(views.under.edges, views.under.words, _dims(part, "under", UNDER)) if views.under else None,
        _plain(views.slant),
        _plain(views.bed) if views.bed else None,
        on_bed,
        part.count,
        size,
        part.volume_mm3,
        row["filament"],
        (*_print_facts(part, row, size), *(_fact(name, value) for name, value in row["dimensions"].items())),
        (part.note,),
    )


def _size(row: dict[str, Any]) -> str:
    sizes = [" x ".join(f"{v:.1f}" for v in p["size"]) for p in row["pieces"]]
    return sizes[0] if len(set(sizes)) == 1 else ", ".join(sizes)


def _print_facts(part: Part, row: dict[str, Any], size: str) -> list[tuple[str, str]]:
    if not part.printed:
        return [(part.orientation, "")]
    n = len(part.pieces)
    ends = ".step, .3mf, .stl" if n == 1 else f".step, .3mf, -1.stl to -{n}.stl"
    pieces = [("pieces", f"{n}, pinned together where the letters meet")] if n > 1 else []
    one = "for one, " if part.count > 1 else ""
    every = f"{part.count * row['filament']:.0f} g in all" if part.count > 1 else ""
    return [
        (f"solids/tools/{part.name}{ends}", ""),
        *pieces,
        ("piece" if n > 1 else "size", size),
        ("volume", f"{part.volume_mm3 / 1000:.1f} cm3"),
        ("filament", f"{row['filament']:.0f} g {one}{every}".strip()),
    ]


def _plain(view: View) -> ToolView:
    return ToolView(view.edges, view.words)


def _dims(part: Part, view: str, gaze: Gaze) -> tuple[ToolDim | ToolAngle, ...]:
    found: list[ToolDim | ToolAngle] = []
    for m in part.measures:
        if isinstance(m, Angle):
            if view == "above":
                found.append(ToolAngle(m.at, m.from_deg, m.to_deg, m.radius_mm, f"{abs(m.to_deg - m.from_deg):.2f}°"))
        elif m.view == view:
            found.append(_dim(m, gaze))
    return tuple(found)


def _dim(measure: Measure, gaze: Gaze) -> ToolDim:
    a, b = (_flat(gaze, place) for place in (measure.a, measure.b))
    figure = mm_text(hypot(b[0] - a[0], b[1] - a[1]), 2)
    return ToolDim(a, b, f"{measure.name} {figure}".strip())


def _flat(gaze: Gaze, place: tuple[float, float, float]) -> XY:
    right, up = (sum(p * q for p, q in zip(place, axis, strict=True)) for axis in (gaze.right, gaze.up))
    return right, up


def _fact(name: str, value: float) -> tuple[str, str]:
    """Turn "length mm", 427.892 into "length", "427.89 mm"."""
    label, _, unit = name.rpartition(" ")
    return (label, f"{mm_text(value, 2)} {unit}") if label else (name, mm_text(value, 2))
