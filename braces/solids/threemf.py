"""3MF files after the 3MF Core Specification 1.3: millimetres, one object to each piece, the same bytes every time.

A 3MF file is a ZIP package of three parts: the content types, the relationship that names the model, and the
model itself. Every entry carries the earliest date that ZIP knows, so that nothing of the day gets in.
"""

from __future__ import annotations

import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from braces.solids.mesh import Triangles, Vertices

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_MODEL_TYPE = "application/vnd.ms-package.3dmanufacturing-3dmodel+xml"
_RELATIONSHIPS = "application/vnd.openxmlformats-package.relationships+xml"
_CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">\n'
    f' <Default Extension="rels" ContentType="{_RELATIONSHIPS}"/>\n'
    f' <Default Extension="model" ContentType="{_MODEL_TYPE}"/>\n'
    "</Types>\n"
)
_ROOT = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">\n'
    ' <Relationship Target="/3D/3dmodel.model" Id="rel0" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>\n'
    "</Relationships>\n"
)
_DATE = (1980, 1, 1, 0, 0, 0)
_VERTEX = '     <vertex x="%.5f" y="%.5f" z="%.5f"/>'
_TRIANGLE = '     <triangle v1="%d" v2="%d" v3="%d"/>'
_APART_MM = 5.0  #: between pieces laid side by side


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One thing to print, in its print orientation."""

    name: str
    vertices: Vertices
    faces: Triangles


def threemf_bytes(title: str, bodies: Sequence[Body]) -> bytes:
    """Return the bodies as one 3MF file, laid side by side along y with their feet on z = 0."""
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=4) as package:
        for name, text in (
            ("[Content_Types].xml", _CONTENT_TYPES),
            ("_rels/.rels", _ROOT),
            ("3D/3dmodel.model", _model(title, bodies)),
        ):
            entry = zipfile.ZipInfo(name, _DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 0  # otherwise it tells the machine's kind
            package.writestr(entry, text.encode())
    return packed.getvalue()


def _model(title: str, bodies: Sequence[Body]) -> str:
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}">',
        f' <metadata name="Title">{escape(title)}</metadata>',
        " <resources>",
    ]
    items = []
    y_mm = 0.0
    for i, body in enumerate(bodies, 1):
        low, high = body.vertices.min(axis=0), body.vertices.max(axis=0)
        shift = (-low[0], y_mm - low[1], -low[2])
        y_mm += high[1] - low[1] + _APART_MM
        lines += _object(i, body)
        items.append(f'  <item objectid="{i}" transform="1 0 0 0 1 0 0 0 1 {" ".join(map(_number, shift))}"/>')
    return "\n".join([*lines, " </resources>", " <build>", *items, " </build>", "</model>", ""])


def _object(number: int, body: Body) -> list[str]:
    # Hundredths of a micrometre: finer than any machine. Adding 0 makes -0 a plain 0.
    places, corners = (np.round(body.vertices, 5) + 0.0).ravel(), body.faces.ravel()
    return [
        f'  <object id="{number}" type="model" name={quoteattr(body.name)}>',
        "   <mesh>",
        "    <vertices>",
        ("\n".join([_VERTEX] * len(body.vertices))) % tuple(places.tolist()),
        "    </vertices>",
        "    <triangles>",
        ("\n".join([_TRIANGLE] * len(body.faces))) % tuple(corners.tolist()),
        "    </triangles>",
        "   </mesh>",
        "  </object>",
    ]


def _number(value: float) -> str:
    return f"{round(value, 5) + 0.0:.5f}"
