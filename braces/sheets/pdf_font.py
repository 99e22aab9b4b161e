"""Words in a PDF: the bundled typeface embedded with only the glyphs used, still searchable as text."""

from __future__ import annotations

import math
from typing import Any

from braces.sheets.drawing import Label
from braces.sheets.lettering import FAMILY, em_mm, font, glyphs
from braces.sheets.truetype import subset

#: Resource names of the regular and the bold cut.
NAMES = {False: "/Regular", True: "/Bold"}
_TO_UNICODE = """/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <FFFF>
endcodespacerange
{blocks}
endcmap
CMapName currentdict /CMap defineresource pop
end
end
"""


def words(label: Label) -> str:
    """Return the operators that set ``label`` in a content stream whose unit is the mm."""
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor] * label.width_mm
    c, s = math.cos(math.radians(label.angle_deg)), math.sin(math.radians(label.angle_deg))
    x, y = label.x_mm - shift * c, label.y_mm - shift * s
    codes = "".join(f"{g:04X}" for g in glyphs(label.text, label.bold))
    size = em_mm(label.height_mm, label.bold)
    return f"BT {NAMES[label.bold]} {size:.4f} Tf {c:.6f} {s:.6f} {-s:.6f} {c:.6f} {x:.4f} {y:.4f} Tm <{codes}> Tj ET"


def embedded(pdf: Any, bold: bool, characters: set[str]) -> Any:
    """Add the font with the glyphs of ``characters`` to ``pdf`` (a ``pikepdf.Pdf``) and return its object."""
    from pikepdf import Array, Dictionary, Name, Stream, String

    face = font(bold)
    glyph_to_code = {face.glyph_of[ord(c)]: ord(c) for c in sorted(characters) if ord(c) in face.glyph_of}
    data = subset(face, glyph_to_code)
    # A subset is told apart from the whole font by six capitals before its name.
    tag, cut = ("BRACEB", "Bold") if bold else ("BRACER", "Regular")
    name = Name(f"/{tag}+{FAMILY.replace(' ', '')}-{cut}")
    unit = 1000 / face.units_per_em
    ascent, descent = face.rise_and_fall
    descriptor = Dictionary(
        Type=Name.FontDescriptor,
        FontName=name,
        Flags=4,
        FontBBox=Array([round(v * unit) for v in face.box]),
        ItalicAngle=0,
        Ascent=round(ascent * unit),
        Descent=round(descent * unit),
        CapHeight=round(face.cap_height * unit),
        StemV=140 if bold else 80,
        FontFile2=pdf.make_indirect(Stream(pdf, data, Length1=len(data))),
    )
    widths: list[Any] = []
    for glyph in sorted(glyph_to_code):
        widths += [glyph, Array([round(face.advances[glyph] * unit)])]
    cid_font = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=name,
        CIDSystemInfo=Dictionary(Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0),
        FontDescriptor=pdf.make_indirect(descriptor),
        CIDToGIDMap=Name.Identity,
        DW=round(face.advances[0] * unit),
        W=Array(widths),
    )
    whole = Dictionary(
        Type=Name.Font,
        Subtype=Name.Type0,
        BaseFont=name,
        Encoding=Name("/Identity-H"),
        DescendantFonts=Array([pdf.make_indirect(cid_font)]),
        ToUnicode=pdf.make_indirect(Stream(pdf, _to_unicode(glyph_to_code))),
    )
    return pdf.make_indirect(whole)


def _to_unicode(glyph_to_code: dict[int, int]) -> bytes:
    pairs = [f"<{g:04X}> <{c:04X}>" for g, c in sorted(glyph_to_code.items())]
    blocks = [
        f"{len(part)} beginbfchar\n" + "\n".join(part) + "\nendbfchar"
        for part in (pairs[k : k + 100] for k in range(0, len(pairs), 100))
    ]
    return _TO_UNICODE.format(blocks="\n".join(blocks)).encode("ascii")
