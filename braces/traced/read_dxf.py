"""Lines of a DXF drawing: model space, blocks taken apart, in mm."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from math import radians
from typing import Any

import numpy as np

from braces.base.problems import DesignError
from braces.traced import flatten
from braces.traced.drawn_units import DXF_UNITS, MM_PER_DRAWN_UNIT, unit_named, unit_question
from braces.traced.pieces import Collector, Pieces, refusal

_INSUNITS = re.compile(r"^9\n\$INSUNITS\n70\n(\d{1,4})$", re.MULTILINE)
_MAX_NESTING = 16


def read_dxf(data: bytes, name: str, unit: str | None = None) -> Pieces:
    """Return every line of the drawing's model space.

    ``unit`` overrides the header's. Raises DesignError if the file cannot be read or its unit is not known.
    """
    text = _text(data, name)
    found, known_from = _unit(text, unit, name)
    document = _document(text, name)
    collector = Collector(name, MM_PER_DRAWN_UNIT[found or "mm"])
    for entity in _entities(document.modelspace(), collector, 0):
        _read(entity, collector)
    pieces = collector.result(found or "", known_from)
    if not found:
        extent = np.ptp(np.concatenate([p.points for p in pieces.pieces]), axis=0)
        raise unit_question(name, float(extent[0]), float(extent[1]), known_from)
    return pieces


def _text(data: bytes, name: str) -> str:
    if data[:2] == b"AC" and data[2:6].isdigit():
        raise refusal("T01", name, "it is a DWG file", "save the drawing as DXF")
    if data.startswith(b"AutoCAD Binary DXF"):
        raise refusal("T01", name, "it is a binary DXF file", "save it as an ASCII (text) DXF")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")  # before R2007 text is in a code page; only names suffer
    # A drawing typed by hand may be indented, begin with an empty line or stop short of the end mark.
    text = "\n".join(line.strip() for line in text.replace("\r", "").strip().split("\n"))
    return text + "\n" if text.endswith("\n0\nEOF") else text + "\n0\nEOF\n"


def _unit(text: str, asked: str | None, name: str) -> tuple[str | None, str]:
    match = _INSUNITS.search(text)
    code = int(match.group(1)) if match else 0
    says = DXF_UNITS.get(code)
    if asked is not None:
        unit = unit_named(asked, name)
        return unit, f"asked for; the header says {says}" if says and says != unit else "asked for"
    if says:
        return says, "the file's header"
    return None, f"the header's unit code is {code}" if code else "the header names no unit"


def _document(text: str, name: str) -> Any:
    import ezdxf
    from ezdxf import recover

    try:
        return ezdxf.read(io.StringIO(text))
    except Exception as first:
        try:
            return recover.read(io.BytesIO(text.encode("utf-8")))[0]
        except Exception:
            raise refusal(
                "T06",
                name,
                f"it is no readable DXF: {str(first)[:120]}",
                "open it in a drawing program and save it as DXF again",
            ) from None


def _entities(source: Any, collector: Collector, depth: int) -> Iterator[Any]:
    """Every entity, block references replaced by what they show."""
    for entity in source:
        if entity.dxftype() != "INSERT":
            collector.entity()
            yield entity
            continue
        if depth >= _MAX_NESTING:
            raise refusal("T05", collector.name, "blocks are nested too deep", "explode the blocks and save it again")
        collector.entity(max(int(entity.mcount), 1))
        for single in entity.multi_insert() if entity.mcount > 1 else (entity,):
            if single.block() is None:
                collector.pass_over(f'INSERT of a missing block "{single.dxf.name[:40]}"')
                continue
            yield from _entities(_parts(single, collector), collector, depth + 1)


def _parts(insert: Any, collector: Collector) -> Iterator[Any]:
    def skipped(entity: Any, _reason: str) -> None:
        collector.pass_over(f"{entity.dxftype()} in a block")

    yield from insert.virtual_entities(skipped_entity_callback=skipped)


def _read(entity: Any, collector: Collector) -> None:
    kind = entity.dxftype()
    label = f"{kind} on layer {str(entity.dxf.get('layer', '0'))[:40]}"
    reader = _READERS.get(kind)
    if reader is None:
        collector.pass_over(label)
        return
    try:
        reader(entity, collector, label)
    except DesignError:
        raise
    except Exception as error:
        raise refusal(
            "T06",
            collector.name,
            f"the {label} cannot be read: {str(error)[:100] or type(error).__name__}",
            "redraw it, or explode it to lines and arcs",
        ) from None


def _xyz(vector: Any) -> tuple[float, float, float]:
    return float(vector[0]), float(vector[1]), float(vector[2])


def _line(entity: Any, collector: Collector, label: str) -> None:
    collector.add([_xyz(entity.dxf.start), _xyz(entity.dxf.end)], label)


def _circular(entity: Any, collector: Collector, label: str) -> None:
    ocs = entity.ocs()
    centre = collector.reach(_xyz(ocs.to_wcs(entity.dxf.center)))
    radius = float(collector.reach(entity.dxf.radius))
    u, v = (np.array(_xyz(axis)) * radius for axis in (ocs.ux, ocs.uy))
    if entity.dxftype() == "CIRCLE":
        start, turn = 0.0, 2 * np.pi
    else:
        start = radians(entity.dxf.start_angle)
        turn = flatten.full_turn(start, radians(entity.dxf.end_angle))
    collector.add(flatten.arc(centre, u, v, start, turn, collector.within), label)


def _ellipse(entity: Any, collector: Collector, label: str) -> None:
    shape = entity.construction_tool()
    centre, u, v = (collector.reach(_xyz(w)) for w in (shape.center, shape.major_axis, shape.minor_axis))
    turn = flatten.full_turn(shape.start_param, shape.end_param)
    collector.add(flatten.arc(centre, u, v, shape.start_param, turn, collector.within), label)


def _spline(entity: Any, collector: Collector, label: str) -> None:
    curve = entity.construction_tool()
    poles = collector.reach([_xyz(p) for p in curve.control_points])
    weights = np.array(curve.weights(), dtype=float) if curve.is_rational else None
    knots, degree = np.array(curve.knots(), dtype=float), curve.order - 1
    points = flatten.bspline(degree, knots, poles, weights, collector.within)
    collector.add(points, label, bool(entity.closed))


def _bulged(rows: Any, closed: bool, entity: Any, height: float, collector: Collector, label: str) -> None:
    a = collector.reach(rows)
    flat = flatten.bulged(a[:, :2], a[:, 2], closed, collector.within)
    ocs = entity.ocs()
    if ocs.transform:
        axes = np.array([_xyz(ocs.ux), _xyz(ocs.uy), _xyz(ocs.uz)])
        flat = np.column_stack([flat, np.full(len(flat), height)]) @ axes
    collector.add(flat, label, closed)


def _lwpolyline(entity: Any, collector: Collector, label: str) -> None:
    rows = [tuple(map(float, row)) for row in entity.get_points("xyb")]
    if len(rows) < 2:
        collector.pass_over(f"{label} of one point")
        return
    _bulged(rows, bool(entity.closed), entity, float(entity.dxf.elevation), collector, label)


def _polyline(entity: Any, collector: Collector, label: str) -> None:
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        collector.pass_over(f"{label} (a mesh)")
        return
    # Flag 16 marks the frame of a smoothed polyline, which is not part of the line itself.
    vertices = [v for v in entity.vertices if not v.dxf.get("flags", 0) & 16]
    if len(vertices) < 2:
        collector.pass_over(f"{label} of one point")
        return
    if entity.is_3d_polyline:
        collector.add([_xyz(v.dxf.location) for v in vertices], label, bool(entity.is_closed))
        return
    rows = [(*_xyz(v.dxf.location)[:2], float(v.dxf.get("bulge", 0.0))) for v in vertices]
    _bulged(rows, bool(entity.is_closed), entity, _xyz(vertices[0].dxf.location)[2], collector, label)


_READERS = {
    "LINE": _line,
    "ARC": _circular,
    "CIRCLE": _circular,
    "ELLIPSE": _ellipse,
    "SPLINE": _spline,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
}
