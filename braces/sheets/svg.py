"""SVG sink: one file per drawing, in true mm, a group per layer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from braces.base.arrays import Points
from braces.sheets import check_line as check
from braces.sheets.drawing import Box, Drawing, Label, Mark, Stroke, inked, union
from braces.sheets.layers import LAYERS, Layer, pen
from braces.sheets.lettering import FAMILY, em_mm

_BORDER_MM: Final = 5.0
_CHECK = Layer(check.LAYER, "check this length", 0.18)


def svg(drawing: Drawing) -> bytes:
    """Return the drawing as SVG: width and height in mm and a viewBox in the same numbers.

    A bar of 100 mm stands below the drawing, on a layer of its own.
    """
    lines, words_at = check.check_line(drawing.ink)
    x0, y0, _, y1 = drawing.ink
    box = union(drawing.ink, (x0, y0 - check.ROOM_MM[1], x0 + check.ROOM_MM[0], y1))
    bar: list[Mark] = [Stroke(np.array(line), "sheet") for line in lines]
    return _played(drawing, box, _BORDER_MM, [*bar, Label(*words_at, check.WORDS, check.TEXT_MM)])


def picture_svg(drawing: Drawing) -> bytes:
    """Return a picture that is not to be measured: no bar, no border."""
    return _played(drawing, drawing.ink, 0.0, [])


def _played(drawing: Drawing, box: Box, border_mm: float, bar: Sequence[Mark]) -> bytes:
    x0, y0, x1, y1 = box
    left, top = x0 - border_mm, y1 + border_mm
    width, height = _mm(x1 - x0 + 2 * border_mm), _mm(y1 - y0 + 2 * border_mm)
    out = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
        f' width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">',
        f"<title>{escape(drawing.title)}</title>",
        f"<desc>{escape(drawing.face)}; scale 1:1, mm</desc>",
    ]
    for name in LAYERS:
        marks = [m for m in inked(drawing.marks) if m.layer == name]
        if marks:
            out.append(_group(pen(name)))
            out += [_mark(m, left, top) for m in marks]
            out.append("</g>")
    if bar:
        out += [_group(_CHECK), *(_mark(m, left, top) for m in bar), "</g>"]
    out += ["</svg>", ""]
    return "\n".join(out).encode("utf-8")


def _group(layer: Layer) -> str:
    # Plain attributes: cutters that skip style sheets still see the pen.
    dashes = " ".join(f"{v:g}" for v in layer.dashes_mm)
    return (
        f'<g id="{layer.name}" class="{layer.name}" inkscape:groupmode="layer" inkscape:label="{layer.name}"'
        f' fill="none" stroke="#000000" stroke-width="{layer.width_mm:g}" stroke-linejoin="round"'
        f"{f' stroke-dasharray={quoteattr(dashes)}' if dashes else ''}>"
    )


def _mark(mark: Mark, left: float, top: float) -> str:
    if isinstance(mark, Stroke):
        return _path(mark.points, mark.closed, left, top)
    return _text(mark, left, top)


def _path(points: Points, closed: bool, left: float, top: float) -> str:
    """Return a path through (n, 2) points given y up."""
    flat = np.column_stack([points[:, 0] - left, top - points[:, 1]]).ravel()
    # Adding nought turns a negative nought into a plain one.
    numbers = tuple(np.round(flat, 3) + 0.0)
    d = ("M%.3f,%.3f" + " %.3f,%.3f" * (len(points) - 1)) % numbers
    return f'<path d="{d}{"Z" if closed else ""}"/>'


def _text(label: Label, left: float, top: float) -> str:
    x, y = _mm(label.x_mm - left), _mm(top - label.y_mm)
    turn = f' transform="rotate({_mm(-label.angle_deg)} {x} {y})"' if label.angle_deg else ""
    weight = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text x="{x}" y="{y}"{turn} font-family="{FAMILY}, sans-serif"'
        f' font-size="{_mm(em_mm(label.height_mm, label.bold))}"{weight} text-anchor="{label.anchor}"'
        f' fill="#000000" stroke="none">{escape(label.text)}</text>'
    )


def _mm(value: float) -> str:
    """Return three decimals at most, never a negative nought."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
