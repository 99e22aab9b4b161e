"""summary.json: every number of a design, in mm, degrees and grams. Its shape is described in docs of the key names.

The layout is versioned: keys are only ever added within one version.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import copysign, isinf
from typing import Any

from braces.base.arrays import Points
from braces.carved.values import Carved, CarvedBrace, CarvedPlate, Notch
from braces.workshop.stations import stations

VERSION = "braces-summary/1"
_OUTLINE_POINTS = 640  #: chords stay within some 0.005 mm of the curve


def summary(carved: Carved, revision: str, files: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    """Return the whole summary. ``files`` lists the files made for each brace, by its name."""
    placed = carved.placed
    design = placed.design
    return {
        "version": VERSION,
        "units": {"length": "mm", "angle": "deg", "mass": "g", "volume": "mm3"},
        "axes": "plan: origin at the tail end on the centre line, y to the neck, x to the treble side of a "
        "right-handed instrument seen from the front; each plate in its own plan",
        "design": {
            "name": design.name,
            "revision": design.revision,
            "handed": design.handed,
            "hash": revision,
        },
        "body": {
            "outline": _points(placed.outline.dense(max(8, _OUTLINE_POINTS // placed.outline.count))),
            "perimeter": _n(placed.outline.perimeter_mm),
            "area": _n(placed.outline.area_mm2()),
            "length": _n(design.body.length_mm),
            "depth": {"tail": _n(design.body.depth.tail_mm), "neck": _n(design.body.depth.neck_mm)},
            "back_tilt": _n(placed.back_tilt_deg),
        },
        "saddle_y": _n(placed.saddle_y_mm),
        "soundhole": None
        if placed.soundhole_y_mm is None
        else {"y": _n(placed.soundhole_y_mm), "radius": _n(placed.soundhole_radius_mm)},
        "plates": {p.name: _plate(p, carved) for p in carved.plates},
        "braces": [_brace(b, files.get(b.name, ())) for b in carved.braces],
        "joints": [_joint(j, plate) for plate in carved.plates for j in plate.joints],
        "pockets": [
            {
                "number": p.number,
                "plate": p.plate,
                "brace": p.brace,
                "end": p.end,
                "side": p.side,
                "along_rim": _n(p.along_rim_mm),
                "along_outline": _n(p.along_outline_mm),
                "width": _n(p.width_mm),
                "height": _n(p.height_mm),
                "reach": _n(p.reach_mm),
                "corners": [[_n(x), _n(y)] for x, y in p.corners],
            }
            for plate in carved.plates
            for p in plate.pockets
        ],
        "strip_pieces": [
            {
                "plate": plate.name,
                "number": s.number,
                "from_tail": _n(s.from_mm),
                "length": _n(s.length_mm),
                "width": _n(s.width_mm),
                "thickness": _n(s.thickness_mm),
            }
            for plate in carved.plates
            for s in plate.strip_pieces
        ],
    }


def _n(value: float | None) -> float | None:
    """Four decimals; nothing where there is no number (a flat plate has no radius)."""
    return None if value is None or isinf(value) else round(value, 4) + 0.0


def _points(xy: Points) -> list[list[float]]:
    return [[round(float(x), 4) + 0.0, round(float(y), 4) + 0.0] for x, y in xy]


def _plate(plate: CarvedPlate, carved: Carved) -> dict[str, Any]:
    placed = next(p for p in carved.placed.plates if p.name == plate.name)
    return {
        "wood": placed.spec.wood,
        "dome_shape": placed.dome.shape,
        "dome_radius": _n(placed.dome.radius_mm),
        "apex": [0.0, _n(placed.dome.apex_y_mm)],
        "thickness": _n(placed.dome.thickness_mm),
        "inner_radius": _n(placed.dome.inner_radius_mm),
        "order": list(plate.order),
        "patches": [
            {"name": p.spec.name, "outline": _points(p.outline), "thickness": _n(p.spec.thickness_mm)}
            for p in placed.patches
        ],
        "bridge_plate": None if plate.bridge_plate is None else _points(plate.bridge_plate),
    }


def _brace(b: CarvedBrace, files: Sequence[str]) -> dict[str, Any]:
    (x, y), (u, v) = b.origin_xy_mm, b.plan_at(b.length_mm)
    return {
        "name": b.name,
        "plate": b.plate,
        "wood": b.wood,
        "start": [_n(x), _n(y)],
        "end": [_n(u), _n(v)],
        "length": _n(b.length_mm),
        "width": _n(b.width_mm),
        "glue_arc_radius": _n(b.glue_arc_radius_mm),
        "bevel": _n(b.bevel_deg),
        "stations": [{"at": _n(s.at_mm), "height": _n(s.height_mm), "land": _n(s.land_mm)} for s in stations(b)],
        "features": [{"kind": f.kind, "at": _n(f.at_mm), "height": _n(f.height_mm)} for f in b.features],
        "hollows": [{"at": _n(h.at_mm), "radius": _n(h.radius_mm)} for h in b.hollows],
        "ends": {
            which: {
                "kind": e.kind,
                "meets": e.meets,
                "height": _n(e.height_mm),
                "flat": _n(e.flat_mm),
                "reach": _n(e.reach_mm),
                "face_angle": _n(e.face_angle_deg),
            }
            for which, e in (("start", b.start), ("end", b.end))
        },
        "volume": _n(b.volume_mm3),
        "mass": _n(b.mass_g),
        "blank": {
            "length": _n(b.blank.length_mm),
            "width": _n(b.blank.width_mm),
            "height": _n(b.blank.height_mm),
        },
        "relief_cuts": [
            {"at": _n(r.at_mm), "depth": _n(r.depth_mm), "left": _n(r.left_mm), "finished": _n(r.finished_mm)}
            for r in b.relief_cuts
        ],
        "notches": [_cut(b.name, n) | {"with": n.with_, "kind": n.kind} for n in b.notches],
        "curve": _curve(b) if b.is_curved else None,
        "files": list(files),
    }


def _curve(b: CarvedBrace) -> dict[str, Any]:
    middle, inside = b.plan_at(b.length_mm / 2), copysign(b.width_mm / 2, b.radius_mm)
    return {
        "radius": _n(abs(b.radius_mm)),
        "middle": [_n(middle[0]), _n(middle[1])],
        "inner_length": _n(b.length_at(inside)),
        "outer_length": _n(b.length_at(-inside)),
        "laminations": b.blank.laminations_count,
        "strip": _n(b.blank.strip_mm),
    }


def _cut(brace: str, n: Notch) -> dict[str, Any]:
    return {
        "brace": brace,
        "opens": n.opens,
        "from_start": _n(n.at_mm),
        "width": _n(n.width_mm),
        "depth": _n(n.depth_mm),
        "angle": _n(n.angle_deg),
        "left": _n(n.left_mm),
    }


def _joint(joint: Any, plate: CarvedPlate) -> dict[str, Any]:
    return {
        "kind": joint.kind,
        "plate": plate.name,
        "between": list(joint.between),
        "at": [_n(joint.at[0]), _n(joint.at[1])],
        "angle": _n(joint.angle_deg),
        "cuts": [
            _cut(b.name, n)
            for b in plate.braces
            if b.name in joint.between
            for n in b.notches
            if n.with_ in joint.between
        ],
    }
