"""The pages of one brace each."""

from __future__ import annotations

from math import ceil, isinf
from typing import Literal

from braces.base.units import mm_text
from braces.carved.values import Carved, CarvedBrace, EndCut
from braces.curves.hits import line_hits
from braces.design.woods import wood, woods
from braces.mechanics.brace_figures import BENCH_LOAD_N
from braces.mechanics.schedule import schedule
from braces.workshop.book.blocks import Block, Chapter, Figure, Section, Table, Words
from braces.workshop.book.lengths import Lengths
from braces.workshop.order import brace_key
from braces.workshop.stations import stations

STATION_MM = 20.0
End = Literal["start", "end"]
_ENDS: tuple[End, End] = ("start", "end")


def brace_chapter(carved: Carved, lengths: Lengths) -> Chapter:
    """Return the pages of all braces, the top's first."""
    words = Words(
        "Heights are measured upright from the glue face on the centre line, lengths along the centre line from the "
        "start: the left end of the side view. Side views and plans are smaller than true size; cut from the printed "
        "sheets. Sections are true size; pictures are in mm. The stages of carving are worked out for the table's "
        "wood: weigh and tap your own stick first, and go by how the numbers change. Stiffness is what is left of the "
        "stage before; bends "
        f"is in the middle, on supports at both ends, under {BENCH_LOAD_N:g} N; taps is the note of the free brace "
        "held at 22 % of its length from either end."
    )
    pages = tuple(brace_page(b, carved, lengths) for b in carved.braces)
    return Chapter("braces", "Braces", (words, _own_figures(carved)), pages)


def _own_figures(carved: Carved) -> Table:
    """Return a table to write one's own weights and notes into, beside those of the drawing."""
    rows = tuple((b.name, f"{b.mass_g:.1f}", "", "", "", "", "") for b in carved.braces)
    head = ("brace", "as drawn, g", "blank, g", "profile, g", "finished, g", "taps, Hz", "glued, date and air")
    return Table("Your own figures", head, rows, written=True)


def brace_page(brace: CarvedBrace, carved: Carved, lengths: Lengths) -> Section:
    """Return everything about one brace."""
    key = brace_key(brace.name)
    blocks: list[Block] = [Figure(f"side-{key}", "side view, sections true size"), _sizes(brace, carved, lengths)]
    blocks.append(Figure(f"cut-{key}", "where it lies"))
    if brace.notches:
        blocks.append(_notches(brace, lengths))
    stages = _stages(brace)
    if stages is not None:
        blocks.append(stages)
    if brace.relief_cuts:
        blocks.append(_kerfs(brace, lengths))
    blocks.append(_stations(brace, lengths))
    return Section(key, f"{brace.name} ({brace.plate})", tuple(blocks), "brace")


def _sizes(brace: CarvedBrace, carved: Carved, lengths: Lengths) -> Table:
    say = lengths.say
    starts, ends = (_place(brace, carved, end, lengths) for end in _ENDS)
    arc = "straight" if isinf(brace.glue_arc_radius_mm) else f"arc of radius {say(brace.glue_arc_radius_mm)}"
    if brace.is_curved:
        arc = f"fitted in the dish along a bend of radius {say(abs(brace.radius_mm))} in plan"
    bevel = "" if abs(brace.bevel_deg) < 0.05 else f", bevelled {abs(brace.bevel_deg):.1f} deg across"
    rows = (
        ("wood", f"{brace.wood}, {brace.mass_g:.1f} g finished"),
        ("finished", f"{say(brace.length_mm)} long{_sides(brace, lengths)}, {say(brace.width_mm)} wide"),
        _blank(brace, lengths),
        ("glue face", arc + bevel),
        ("start", f"{_end(brace.start, lengths)}; {starts}"),
        ("end", f"{_end(brace.end, lengths)}; {ends}"),
    )
    return Table("", ("", ""), rows)


def _sides(brace: CarvedBrace, lengths: Lengths) -> str:
    """The lengths of both sides of a curved brace."""
    if not brace.is_curved:
        return ""
    near, far = (lengths.say(brace.length_at(s * brace.width_mm / 2)) for s in (-1, 1))
    return f" on the centre line, {near} on the side shown and {far} on the other"


def _blank(brace: CarvedBrace, lengths: Lengths) -> tuple[str, str]:
    blank, say = brace.blank, lengths.say
    if not brace.is_curved:
        return "blank", f"{say(blank.length_mm)} × {say(blank.width_mm)} × {say(blank.height_mm)}"
    size = f"{say(blank.length_mm)} × {say(blank.strip_mm)} × {say(blank.height_mm)}"
    return "strips", f"{blank.laminations_count} of {size}, glued on the form"


def _end(end: EndCut, lengths: Lengths) -> str:
    text = f"{end.kind}, {lengths.say(end.height_mm)} high"
    if end.flat_mm > 0:
        text += f", level for {lengths.say(end.flat_mm)}"
    if end.reach_mm > 0:
        text += f", {lengths.say(end.reach_mm)} into the lining"
    if end.meets and end.meets != "lining":
        text += f", against {end.meets}"
    return f"{text}; face at {end.face_angle_deg:.1f} deg"


def _place(brace: CarvedBrace, carved: Carved, end: End, lengths: Lengths) -> str:
    """Return where an end lies on its plate, and in which pocket."""
    along = brace.length_mm if end == "end" else 0.0
    x, y = brace.plan_at(along)
    plate = carved.placed.top if brace.plate == "top" else carved.placed.back
    tail = float(plate.outline.point(0.0)[1])
    neck = max(h.at[1] for h in line_hits(plate.outline, (0.0, tail - 1), (0.0, 1.0)))
    side = "treble" if (x > 0) == (carved.placed.design.handed == "right") else "bass"
    off = "on the centre line" if abs(x) < 0.05 else f"{lengths.say(abs(x))} to the {side}"
    pockets = (carved.top if brace.plate == "top" else carved.back).pockets
    pocket = next((f", pocket {p.number}" for p in pockets if p.brace == brace.name and p.end == end), "")
    return f"{off}, {lengths.say(neck - y)} from the neck end{pocket}"


def _stations(brace: CarvedBrace, lengths: Lengths) -> Table:
    """Return stations in blocks side by side, so that a brace takes less of the page."""
    found = stations(brace, STATION_MM)
    beside = 1 if lengths.inches else 2
    deep = ceil(len(found) / beside)
    rows = []
    for k in range(deep):
        row: list[str] = []
        for s in found[k::deep]:
            row += [mm_text(s.at_mm), *(lengths.cell(v) for v in (s.height_mm, s.land_mm))]
        rows.append((*row, *("",) * (3 * beside - len(row))))
    head = ("from start", "height", "level top") * beside
    return Table(f"Stations on the centre line, {lengths.unit}", head, tuple(rows), len(head))


def _notches(brace: CarvedBrace, lengths: Lengths) -> Table:
    rows = tuple(
        (
            n.with_,
            n.kind,
            n.opens,
            lengths.cell(n.at_mm),
            *(lengths.cell(v, 2) for v in (n.width_mm, n.depth_mm, n.left_mm)),
            f"{n.angle_deg:.1f}°",
        )
        for n in brace.notches
    )
    head = ("with", "cut", "opens to the", "from start", "wide", "deep", "left", "walls at")
    return Table(f"Laps and notches, {lengths.unit}", head, rows, 5)


def _kerfs(brace: CarvedBrace, lengths: Lengths) -> Table:
    rows = tuple(tuple(lengths.cell(v) for v in (c.at_mm, c.depth_mm, c.left_mm)) for c in brace.relief_cuts)
    head = ("from start", "deep, from the blank's top", "left above the glue face")
    return Table(f"Relief cuts, {lengths.unit}", head, rows, 3)


def _stages(brace: CarvedBrace) -> Table | None:
    """Return the carving in stages, or None for a wood without figures."""
    if " ".join(brace.wood.lower().split()) not in woods():
        return None
    rows = []
    for k, s in enumerate(schedule(brace, wood(brace.wood)).stages):
        off = f"{s.taken_off_g:.1f}" if k else ""
        stiff = f"{100 * s.stiffness_ratio:.0f} %" if k else ""
        name = s.name if brace.notches else s.name.removesuffix(", laps cut")
        rows.append((name, f"{s.mass_g:.1f}", off, stiff, f"{s.bench_deflection_mm:.2f}", f"{s.tap_hz:.0f}"))
    head = ("carving", "g", "off, g", "stiffness", "bends, mm", "taps, Hz")
    return Table("Carving in stages", head, tuple(rows), 5)
