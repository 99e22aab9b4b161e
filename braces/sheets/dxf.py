"""DXF sink: one R2010 file per drawing, in mm, cut lines as polylines with arcs."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

from braces.sheets import check_line as check
from braces.sheets.bulges import arcs
from braces.sheets.drawing import Drawing, Label, Stroke, inked, union
from braces.sheets.layers import LAYERS, Layer, pen

_CHECK = Layer(check.LAYER, "check this length", 0.18)
_STYLE: Final = "SHEET"
_BLACK_OR_WHITE: Final = 7
_UNITS_MM: Final = 4


def dxf(drawing: Drawing) -> bytes:
    """Return the drawing as DXF R2010 with ``$INSUNITS`` mm, always the same bytes.

    Curves follow the drawing within ``bulges.TOLERANCE_MM``. A bar of 100 mm stands below, on its own layer.
    """
    import ezdxf

    with _no_dates(ezdxf.options):
        document = ezdxf.new("R2010")
        _draw(document, drawing)
        out = io.StringIO()
        document.write(out)
    data: bytes = document.encode(out.getvalue())
    return data


@contextmanager
def _no_dates(options: Any) -> Iterator[None]:
    """Have the library write neither dates nor random identifiers for a while."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _draw(document: Any, drawing: Drawing) -> None:
    document.header["$INSUNITS"] = _UNITS_MM
    document.header["$MEASUREMENT"] = 1
    document.styles.add(_STYLE, font="arial.ttf")
    used = {m.layer for m in drawing.marks}
    for layer in (*(pen(name) for name in LAYERS if name in used), _CHECK):
        _add_layer(document, layer)
    space = document.modelspace()
    for mark in inked(drawing.marks):
        if isinstance(mark, Stroke):
            chain = arcs(mark.points, mark.closed)
            attributes = {"layer": pen(mark.layer).dxf_name}
            space.add_lwpolyline(chain, format="xyb", close=mark.closed, dxfattribs=attributes)
        else:
            _add_text(space, mark, pen(mark.layer))
    lines, words_at = check.check_line(drawing.ink)
    for a, b in lines:
        space.add_line(a, b, dxfattribs={"layer": _CHECK.dxf_name})
    _add_text(space, Label(*words_at, check.WORDS, check.TEXT_MM), _CHECK)
    _show(document, drawing)


def _add_layer(document: Any, layer: Layer) -> None:
    line_type = "CONTINUOUS"
    if layer.dashes_mm:
        line_type = f"{layer.dxf_name}-LINE"
        signed = [v if k % 2 == 0 else -v for k, v in enumerate(layer.dashes_mm)]
        document.linetypes.add(line_type, [sum(layer.dashes_mm), *signed], description=layer.meaning)
    document.layers.add(
        layer.dxf_name, color=_BLACK_OR_WHITE, linetype=line_type, lineweight=round(layer.width_mm * 100)
    )


def _add_text(space: Any, label: Label, layer: Layer) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    align = {"start": Align.LEFT, "middle": Align.CENTER, "end": Align.RIGHT}[label.anchor]
    attributes = {"layer": layer.dxf_name, "style": _STYLE}
    text = space.add_text(label.text, height=label.height_mm, rotation=label.angle_deg, dxfattribs=attributes)
    text.set_placement((label.x_mm, label.y_mm), align=align)


def _show(document: Any, drawing: Drawing) -> None:
    """Let the file open with all of the drawing in sight."""
    x0, y0, x1, y1 = drawing.ink
    x0, y0, x1, y1 = union(drawing.ink, (x0, y0 - check.ROOM_MM[1], x0 + check.ROOM_MM[0], y1))
    document.header["$EXTMIN"] = (x0, y0, 0.0)
    document.header["$EXTMAX"] = (x1, y1, 0.0)
    view_mm = 1.1 * max(y1 - y0, (x1 - x0) / 1.5)
    document.set_modelspace_vport(height=view_mm, center=((x0 + x1) / 2, (y0 + y1) / 2))
