"""Carving gauges: a plate whose lower edge is the finished profile of a brace, with feet down to the plate."""

from __future__ import annotations

from math import ceil

from braces.carved.values import Carved, CarvedBrace, CarvedPlate
from braces.curves.frames import Placement
from braces.solids.tools.bodies import Mark, slab
from braces.solids.tools.part import Draft, Join, Measure, Part, cut_places, finished, name_mark, piece_count, stem
from braces.solids.tools.part import together as named
from braces.solids.tools.prism import Piece, polygon, prism
from braces.solids.tools.profiles import Alike, alike, edge_of, end_overhang_mm, ridge_curve
from braces.solids.tools.settings import ToolSettings

THICK_MM = 5.0
FOOT_MM = 7.0  #: of the feet along the plate
Span = tuple[float, float]
BACK_MM = 14.0  #: of the straight back above the highest place


def contour_gauges(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return one carving gauge for each different profile."""
    return tuple(
        _gauge(carved, plate, same, settings)
        for plate in carved.plates
        for same in alike(plate)
        if not same.brace.is_curved
    )


def contour_outline(brace: CarvedBrace, clearance_mm: float) -> tuple[list[Piece], Span, float]:
    """Return the outline, anticlockwise in the bench frame's (X, Z), X of its ends and the height of its back.

    The lower edge stands off the ridge by the clearance along Z; the feet stand on the plate, and off the end
    faces by the clearance. An end that butts on another brace has no foot.
    """
    half = THICK_MM / 2
    butts = [e.kind == "butted" and e.meets not in ("", "lining") for e in (brace.start, brace.end)]
    past = [end_overhang_mm(e, half) for e in (brace.start, brace.end)]
    lo = past[0] + clearance_mm if butts[0] else -past[0] - clearance_mm
    hi = brace.length_mm - past[1] - clearance_mm if butts[1] else brace.length_mm + past[1] + clearance_mm
    top = edge_of(brace, lo, hi)
    edge = ridge_curve(top, lo, hi, clearance_mm)
    back = float(ceil(max(top.ridge.y_mm) + BACK_MM))
    outline: list[Piece] = []
    if not butts[0]:
        outline += [(x, brace.glue.at(x, 0.0)) for x in (lo - FOOT_MM, lo)]
    outline.append(edge)
    if not butts[1]:
        outline += [(x, brace.glue.at(x, 0.0)) for x in (hi, hi + FOOT_MM)]
    ends = (lo if butts[0] else lo - FOOT_MM, hi if butts[1] else hi + FOOT_MM)
    outline += [(ends[1], back), (ends[0], back)]
    return outline, ends, back


def _gauge(carved: Carved, plate: CarvedPlate, same: Alike, settings: ToolSettings) -> Part:
    brace, c = same.brace, settings.clearance_mm
    outline, (x0, x1), back = contour_outline(brace, c)
    name = named(same.names)
    n = piece_count(x1 - x0, settings)
    cuts = cut_places(x0, x1, settings)
    room = ((x1 - x0) / n - 16.0, 7.6)
    marks = [name_mark(carved, settings, name, ((x0 + (cuts or [x1])[0]) / 2, back - 4.5, THICK_MM), room, 4.5)]
    for f in brace.features:
        if f.kind in ("top", "valley", "peak") and all(abs(f.at_mm - x) > 8 for x in cuts):
            at = min(max(f.at_mm, x0 + 6.0), x1 - 6.0)
            marks.append(Mark(f"{f.height_mm:g}", (at, _ridge(brace, f.at_mm) + c + 3.4, THICK_MM), (11, 4.2), 3.4))
    return finished(
        Draft(
            f"carving-gauge-{plate.name}-{stem(name)}",
            f"carving gauge, {name}",
            prism(outline, 0.0, THICK_MM),
            "flat, marks up",
            f"The finished profile of {name}. With its feet on the plate its lower edge stands {c:g} mm above the "
            "ridge everywhere, measured square to the bench; light shows where wood is missing, and it rocks where "
            f"there is too much. Pieces are joined with lengths of {settings.pin_mm:g} mm filament.",
            (
                ("length mm", x1 - x0),
                ("height mm", back - min(p[1] for p in outline if isinstance(p, tuple))),
                ("thickness mm", THICK_MM),
                ("clearance mm", c),
            ),
            same.names,
            tuple(marks),
            net=slab(polygon(outline), 0.0, THICK_MM),
            join=Join(
                ((back - 3.0, THICK_MM / 2), (back - 8.0, THICK_MM / 2)),
                settings.pin_mm,
                (back - 11.0, THICK_MM),
                3.4,
                0.2,
            ),
            home=Placement(((1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0)), (0.0, THICK_MM / 2, 0.0)),
            measures=tuple(
                Measure(
                    "above", (f.at_mm, brace.glue.at(f.at_mm, 0.0) + c, 0.0), (f.at_mm, _ridge(brace, f.at_mm) + c, 0.0)
                )
                for f in brace.features
                if f.kind in ("top", "valley", "peak")
            ),
        ),
        settings,
    )


def _ridge(brace: CarvedBrace, x_mm: float) -> float:
    return brace.glue.at(x_mm, 0.0) + brace.height.at(x_mm)
