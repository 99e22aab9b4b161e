"""The layers a drawing may use and the pen of each: one registry for PDF, SVG and DXF.

Line widths follow the series 0.13 0.18 0.25 0.35 0.5 0.7 mm; line types are built from the elements
of ISO 128-2 (from memory, d the width: dot up to 0.5 d, gap 3 d, short dash 6 d, dash 12 d, long dash 24 d).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer: its name in every file, its meaning in words, and its pen.

    ``dashes_mm`` alternates ink and gap lengths in mm; empty means a continuous line.
    """

    name: str
    meaning: str
    width_mm: float
    dashes_mm: tuple[float, ...] = ()

    @property
    def dxf_name(self) -> str:
        """Return the layer's name in a DXF file."""
        return self.name.upper()


#: Elements of a line type, in line widths.
_DOT, _GAP, _SHORT, _DASH, _LONG = 0.5, 3.0, 6.0, 12.0, 24.0


def _dashes(width_mm: float, *elements: float) -> tuple[float, ...]:
    return tuple(round(width_mm * e, 4) for e in elements)


LAYERS: Final[dict[str, Layer]] = {
    layer.name: layer
    for layer in (
        Layer("cut", "cut here", 0.5),
        Layer("edge", "edge that is seen", 0.25),
        Layer("hidden", "edge that is not seen", 0.25, _dashes(0.25, _DASH, _GAP)),
        Layer("centre", "centre line or axis", 0.18, _dashes(0.18, _LONG, _GAP, _DOT, _GAP)),
        Layer("glue", "glue face", 0.35),
        Layer("relief", "saw kerf", 0.25, _dashes(0.25, _SHORT, _GAP)),
        Layer("lap", "lap, wall on the near face", 0.35),
        Layer("lap-far", "lap, wall on the far face", 0.25, _dashes(0.25, _DASH, _GAP)),
        Layer("blank", "blank before cutting", 0.18, _dashes(0.18, _LONG, _GAP, _DOT, _GAP, _DOT, _GAP)),
        Layer("grain", "direction of the grain", 0.18),
        Layer("dim", "dimension", 0.18),
        Layer("hatch", "wood in a section", 0.18),
        Layer("note", "words and leaders", 0.18),
        Layer("heavy", "line that stands out in a figure", 0.5),
        Layer("trim", "trim to this line before glueing sheets together", 0.25, _dashes(0.25, _SHORT, _GAP)),
        Layer("sheet", "register marks, check bars and the title strip", 0.18),
    )
}


def pen(layer: str) -> Layer:
    """Return the layer called ``layer``; raise ``ValueError`` naming the known ones if there is none."""
    try:
        return LAYERS[layer]
    except KeyError:
        raise ValueError(f"no layer {layer!r}; known: {', '.join(LAYERS)}") from None
