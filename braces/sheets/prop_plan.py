"""Where the props stand: the inside of the back with what hangs from the top dashed, each prop with its way out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.carved.values import Carved
from braces.placed.footprint import footprint
from braces.sheets.drawing import Drawing, Mark, Stroke, polyline, union
from braces.sheets.lettering import wrapped
from braces.sheets.place_labels import Note, Room, led_note
from braces.sheets.plan_tables import beside, titled
from braces.sheets.plan_view import PlanView, circle, plan_view, strip_strokes
from braces.sheets.words import plan_face, side_of
from braces.workshop.book.lengths import Lengths
from braces.workshop.faces import back_glue_z_mm
from braces.workshop.props import PropFit, way_words

_PLAIN = Lengths()
_ARROW_MM = 3.0
_WIDE_MM = 46.0


def prop_drawing(carved: Carved, props: Sequence[PropFit], lengths: Lengths = _PLAIN) -> Drawing:
    """Return the plan of the back seen from inside, with every prop numbered as in the design."""
    view = plan_view(carved, "back")
    strokes = [*_lines(view), *_overhead(carved)]
    feet = [_foot(carved, p) for p in props]
    ways = [s for p in props for s in _way(p)]
    room = Room([*strokes, *feet, *ways])
    marks: list[Mark] = [*strokes, *ways, *feet]
    for k, (prop, foot) in enumerate(zip(props, feet, strict=True), 1):
        at = foot.points.mean(axis=0)
        note = led_note(room, (float(at[0]), float(at[1])), (f"prop {k}", f"{lengths.cell(prop.length_mm)} long"))
        if note is not None:
            room.add(note)
            marks += note.marks
    frame = union(*(s.ink for s in strokes))
    for k, prop in enumerate(props):
        placed = beside(view, _sizes(carved, prop, k + 1, lengths), 1 if k % 2 else -1, room, frame)
        room.add(placed)
        marks += placed.marks
    placed = beside(view, _reading(), -1, room, frame)
    marks += placed.marks
    face = plan_face("back", carved.placed.design.handed) + "; dashed: the top over it"
    return Drawing("props", "props", face, "plan", tuple(marks))


def _lines(view: PlanView) -> list[Stroke]:
    outline, lining = view.placed.outline, view.placed.lining
    marks: list[Mark] = [
        Stroke(view.all_seen(outline.dense(30)), "edge", closed=True),
        Stroke(view.all_seen(lining.dense(30)), "edge", closed=True),
    ]
    for piece in view.plate.strip_pieces:
        marks += [replace(m, layer="edge") for m in strip_strokes(view, piece) if isinstance(m, Stroke)]
    marks += [Stroke(view.all_seen(footprint(b)), "edge", closed=True) for b in view.placed.braces]
    marks.append(polyline([(0.0, view.tail_y_mm - 6), (0.0, view.neck_y_mm + 6)], "centre"))
    return [m for m in marks if isinstance(m, Stroke)]


def _overhead(carved: Carved) -> list[Stroke]:
    """The top's braces, patch and hole, seen through from above: not mirrored here."""
    placed, top = carved.placed, carved.top
    loops: list[Points] = [footprint(b) for b in placed.top.braces]
    loops += [top.bridge_plate] if top.bridge_plate is not None else []
    marks = [Stroke(frozen_points(loop), "hidden", closed=True) for loop in loops]
    if placed.soundhole_y_mm is not None:
        marks.append(circle((0.0, placed.soundhole_y_mm), placed.soundhole_radius_mm, "hidden"))
    return marks


def _foot(carved: Carved, prop: PropFit) -> Stroke:
    """The prop's section where it stands, in the back's own plan, its width across the body."""
    own = prop.spec
    at = np.array([[own.x_mm, own.y_mm]])
    z = float(back_glue_z_mm(carved.placed, at)[0])
    u, v, _ = (float(c) for c in carved.placed.back_pose.inverse()(np.array([own.x_mm, own.y_mm, z])))
    w, t = own.width_mm / 2, own.thickness_mm / 2
    return polyline([(u - w, v - t), (u + w, v - t), (u + w, v + t), (u - w, v + t)], "cut", closed=True)


def _way(prop: PropFit) -> list[Stroke]:
    """The path of the prop's middle with an arrow, and the prop's axis where it is drawn out."""
    if prop.way is None or not prop.way.found:
        return []
    path = [(p.x_mm, p.y_mm) for p in prop.way.poses]
    path = [p for i, p in enumerate(path) if i == 0 or p != path[i - 1]]
    last = prop.way.poses[-1]
    turn = np.radians(last.turn_deg)
    way = np.array([np.cos(turn), np.sin(turn)])
    reach = (prop.length_mm - prop.spec.freed_by_mm) / 2 * float(np.sin(np.radians(last.lean_deg)))
    middle = np.array([last.x_mm, last.y_mm])
    marks = [polyline(path, "relief")] if len(path) > 1 else []
    if reach > _ARROW_MM:
        tip, aside = middle + reach * way, np.array([-way[1], way[0]])
        back = tip - _ARROW_MM * way
        head = [back + _ARROW_MM / 3 * aside, tip, back - _ARROW_MM / 3 * aside]
        marks.append(Stroke(frozen_points([middle - reach * way, tip]), "note"))
        marks.append(Stroke(frozen_points(head), "note"))
    return marks


def _sizes(carved: Carved, prop: PropFit, number: int, lengths: Lengths) -> Note:
    """Everything about one prop, in lines short enough for the free paper beside the waist."""
    hand, own = carved.placed.design.handed, prop.spec
    side = "on the centre line" if abs(own.x_mm) < 0.05 else f"{lengths.cell(abs(own.x_mm))} {side_of(own.x_mm, hand)}"
    lines = [
        f"{lengths.cell(prop.length_mm)} long on its axis",
        f"{side}, {lengths.cell(own.y_mm)} from tail",
        f"{prop.on_back or 'bare back'} to {prop.on_top or 'bare top'}",
        f"upper {_bevel(prop.top_bevel_deg)}",
        f"lower {_bevel(prop.back_bevel_deg)}",
        f"freed by {lengths.cell(own.freed_by_mm)}:",
        *wrapped(way_words(prop, hand) or prop.advice, _WIDE_MM),
    ]
    return titled(f"prop {number}", lines)


def _bevel(slopes_deg: tuple[float, float]) -> str:
    across, along = (f"{0.0 if abs(s) < 0.05 else s:+.1f}°".replace("+0.0", "0.0") for s in slopes_deg)
    return f"{across} across, {along} along"


def _reading() -> Note:
    text = (
        "ends: rise to the right and to the neck",
        "square: the prop where it stands",
        "dashed: the way of its middle",
        "arrow: how it lies when it is drawn out",
    )
    return titled("how to read", [line for t in text for line in wrapped(t, _WIDE_MM)])
