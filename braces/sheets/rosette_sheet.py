"""The rosette's channel and the soundhole, true size: every circle of the router, every pass."""

from __future__ import annotations

from math import cos, radians, sin

from braces.placed.values import Placed
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline
from braces.sheets.place_labels import block
from braces.sheets.plan_tables import table
from braces.sheets.plan_view import circle
from braces.workshop.book.lengths import Lengths
from braces.workshop.rosette import RosetteCut

_PLAIN = Lengths()
_TEXT_MM = 2.5
_TITLE_MM = 3.0
_LINE_MM = 4.1
_CROSS_MM = 5.0
_GAP_MM = 8.0
_SECTION_SCALE = 4.0


def rosette_drawing(placed: Placed, cut: RosetteCut, lengths: Lengths = _PLAIN) -> Drawing:
    """Return the circles round the soundhole's middle, seen from the front, and the passes in numbers."""
    marks: list[Mark] = [
        circle((0.0, 0.0), placed.soundhole_radius_mm, "cut"),
        circle((0.0, 0.0), cut.inner_radius_mm, "edge"),
        circle((0.0, 0.0), cut.outer_radius_mm, "edge"),
        *(circle((0.0, 0.0), r, "relief") for r in cut.circles_mm),
        polyline([(-_CROSS_MM, 0.0), (_CROSS_MM, 0.0)], "centre"),
        polyline([(0.0, -cut.outer_radius_mm - 6), (0.0, cut.outer_radius_mm + 6)], "centre"),
    ]
    low = -cut.outer_radius_mm - 12.0
    marks += _section(placed, cut, low)
    left = -cut.outer_radius_mm
    rows = [("circle", "radius", "across"), *_circles(cut, lengths)]
    listing = table(rows, _TEXT_MM)
    top = low - 34.0
    high = max(a.ink[3] for a in listing)
    marks.append(Label(left, top, "cutter's middle", _TITLE_MM, bold=True))
    marks += [_moved(a, left, top - 2.5 - high) for a in listing]
    across = max(a.ink[2] for a in listing)
    marks += _sizes(placed, cut, left + across + 9.0, top, lengths)
    face = "outside of the top, neck up"
    return Drawing("rosette", "rosette and soundhole", face, "plan", tuple(marks))


def _moved(label: Label, dx: float, dy: float) -> Label:
    return Label(
        label.x_mm + dx, label.y_mm + dy, label.text, label.height_mm, label.angle_deg, label.anchor, label.layer,
        label.bold,
    )  # fmt: skip


def _circles(cut: RosetteCut, lengths: Lengths) -> list[tuple[str, str, str]]:
    return [(str(k), lengths.cell(r, 2), lengths.cell(2 * r, 2)) for k, r in enumerate(cut.circles_mm, 1)]


def _sizes(placed: Placed, cut: RosetteCut, left: float, top: float, lengths: Lengths) -> list[Mark]:
    passes = ", ".join(lengths.cell(d, 2) for d in cut.depths_mm)
    thick = placed.top.spec.thickness_mm
    neck = float(placed.outline.point(placed.outline.count / 2)[1])
    lines = [
        f"soundhole: radius {lengths.cell(placed.soundhole_radius_mm, 2)}, its middle "
        f"{lengths.cell(neck - (placed.soundhole_y_mm or 0.0))} from the neck end",
        f"channel: radius {lengths.cell(cut.inner_radius_mm, 2)} to {lengths.cell(cut.outer_radius_mm, 2)}, "
        f"{lengths.cell(cut.outer_radius_mm - cut.inner_radius_mm, 2)} wide",
        f"land to the hole's edge: {lengths.cell(cut.inner_radius_mm - placed.soundhole_radius_mm, 2)}",
        f"bit: {lengths.cell(cut.cutter_mm, 2)} across, every circle in each pass",
        f"passes down to: {passes}",
        f"top left under the channel: {lengths.cell(thick - cut.depths_mm[-1], 2)} of {lengths.cell(thick, 2)}",
        "rout from the outside, then glue the rosette in, level it, and cut the hole last",
        "try the set-up on scrap; guards and eye protection as the machine's maker says",
    ]
    head = Label(left, top, "the channel", _TITLE_MM, bold=True)
    return [head, *block(lines, left, top - 2.0 - len(lines) * _LINE_MM)]


def _section(placed: Placed, cut: RosetteCut, top: float) -> list[Mark]:
    """The top cut through from the hole outwards, enlarged, with the floor of every pass."""
    s, hole = _SECTION_SCALE, placed.soundhole_radius_mm
    thick = placed.top.spec.thickness_mm * s
    reach = (cut.outer_radius_mm - hole + 4.0) * s
    a, b = (cut.inner_radius_mm - hole) * s, (cut.outer_radius_mm - hole) * s
    deep = cut.depths_mm[-1] * s
    x0 = -reach / 2
    at = [(0.0, 0.0), (a, 0.0), (a, -deep), (b, -deep), (b, 0.0), (reach, 0.0), (reach, -thick), (0.0, -thick)]
    marks: list[Mark] = [polyline([(x0 + x, top + y) for x, y in at], "cut", closed=True)]
    for depth in cut.depths_mm[:-1]:
        marks.append(polyline([(x0 + a, top - depth * s), (x0 + b, top - depth * s)], "relief"))
    marks += _hatched(x0, reach, top - thick, (thick - deep))
    words = f"section {s:.0f}:1, hole on the left, outside of the top above"
    marks.append(Label(x0, top - thick - 2.0 - _TEXT_MM, words, _TEXT_MM))
    return marks


def _hatched(x0: float, reach: float, low: float, high_mm: float) -> list[Mark]:
    """Hatching of the wood under the channel's floor."""
    lean = high_mm / sin(radians(60)) * cos(radians(60))
    marks: list[Mark] = []
    x = 0.0
    while x + lean < reach:
        marks.append(Stroke(polyline([(x0 + x, low), (x0 + x + lean, low + high_mm)], "hatch").points, "hatch"))
        x += _GAP_MM / 2
    return marks
