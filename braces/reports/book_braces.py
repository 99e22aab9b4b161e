"""The shop book's pages of one brace each."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import ceil, isinf

from braces.carved.values import CarvedBrace, EndCut
from braces.reports.book_html import heading, picture, table
from braces.reports.stations import stations
from braces.workshop.order import length_words

_STATION_MM = 20.0


def brace_anchor(brace: CarvedBrace) -> str:
    """Return the place of a brace's page in the book: the stem of its drawing."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in brace.name.lower())
    return "brace-" + "-".join(part for part in plain.split("-") if part)


def brace_pages(braces: Sequence[CarvedBrace], svgs: Mapping[str, str | bytes], inches: bool, first: str) -> str:
    """Return the pages of braces; the words ``first`` stay together with the first of them."""
    return "".join(_page(b, svgs, inches, "" if i else first) for i, b in enumerate(braces))


def _page(brace: CarvedBrace, svgs: Mapping[str, str | bytes], inches: bool, before: str) -> str:
    """Picture, sizes, stations, notches, kerfs and ends of a brace."""
    key = brace_anchor(brace)
    parts = [before, heading(3, f"{brace.name} ({brace.plate})", key)]
    if key in svgs:
        parts.append(picture(svgs[key], f"{brace.name}: for orientation, not to scale; cut from the printed sheet"))
    parts.append(table("", ("", ""), _sizes(brace, inches), 0))
    parts.append(_stations(brace, inches))
    if brace.notches:
        parts.append(_notches(brace, inches))
    if brace.relief_cuts:
        rows = [
            [length_words(c.at_mm, inches), length_words(c.depth_mm, inches), length_words(c.left_mm, inches)]
            for c in brace.relief_cuts
        ]
        head = ("from start", "deep, from the blank's top", "left above the glue face")
        parts.append(table("Relief cuts", head, rows, len(head)))
    return f'<section class="brace">{"".join(parts)}</section>'


def _sizes(brace: CarvedBrace, inches: bool) -> list[list[str]]:
    def say(v: float) -> str:
        return length_words(v, inches)

    if brace.is_curved:
        return _curved_sizes(brace, say, inches)
    arc = "straight" if isinf(brace.glue_arc_radius_mm) else f"arc of radius {say(brace.glue_arc_radius_mm)}"
    bevel = "" if abs(brace.bevel_deg) < 0.05 else f", bevelled {abs(brace.bevel_deg):.1f} deg across"
    return [
        ["wood", f"{brace.wood}, {brace.mass_g:.1f} g finished"],
        ["finished", f"{say(brace.length_mm)} long, {say(brace.width_mm)} wide"],
        ["blank", f"{say(brace.blank.length_mm)} × {say(brace.blank.width_mm)} × {say(brace.blank.height_mm)}"],
        ["glue face", arc + bevel],
        ["start", _end(brace.start, inches)],
        ["end", _end(brace.end, inches)],
    ]


def _curved_sizes(brace: CarvedBrace, say: Callable[[float], str], inches: bool) -> list[list[str]]:
    blank, sides = brace.blank, [brace.length_at(s * brace.width_mm / 2) for s in (-1, 1)]
    return [
        ["wood", f"{brace.wood}, {brace.mass_g:.1f} g finished"],
        ["finished", f"{say(brace.length_mm)} long on the centre line, {say(brace.width_mm)} wide"],
        ["bend", f"radius {say(abs(brace.radius_mm))}; sides {say(min(sides))} and {say(max(sides))} long"],
        [
            "strips",
            f"{blank.laminations_count}, each {say(blank.length_mm)} × {say(blank.strip_mm)} × {say(blank.height_mm)}",
        ],
        ["glue face", "fitted in the dish, along the curve"],
        ["start", _end(brace.start, inches)],
        ["end", _end(brace.end, inches)],
    ]


def _end(end: EndCut, inches: bool) -> str:
    text = f"{end.kind}, {length_words(end.height_mm, inches)} high"
    if end.flat_mm > 0:
        text += f", level for {length_words(end.flat_mm, inches)}"
    if end.reach_mm > 0:
        text += f", {length_words(end.reach_mm, inches)} into the lining"
    if end.meets and end.meets != "lining":
        text += f", against {end.meets}"
    return f"{text}; face at {end.face_angle_deg:.1f} deg"


def _stations(brace: CarvedBrace, inches: bool) -> str:
    """Stations in two or three blocks side by side, so that a brace takes less of the page."""
    found = stations(brace, _STATION_MM)
    blocks = 2 if inches else 3
    deep = ceil(len(found) / blocks)
    rows = []
    for k in range(deep):
        row: list[str] = []
        for s in found[k::deep]:
            row += [length_words(v, inches) for v in (s.at_mm, s.height_mm, s.land_mm)]
        rows.append([*row, *[""] * (3 * blocks - len(row))])
    head = ("from start", "height", "level top") * blocks
    return table("Stations on the centre line, heights above the glue face", head, rows, len(head))


def _notches(brace: CarvedBrace, inches: bool) -> str:
    rows = [
        [
            f"{n.kind}, {n.with_}",
            length_words(n.at_mm, inches),
            length_words(n.width_mm, inches, 2),
            length_words(n.depth_mm, inches, 2),
            length_words(n.left_mm, inches, 2),
            f"{n.angle_deg:.1f} deg",
            n.opens,
        ]
        for n in brace.notches
    ]
    head = ("cut", "from start", "wide", "deep", "left", "walls at", "opens to the")
    return table("Laps and notches", head, rows)
