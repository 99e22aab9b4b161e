"""Where the props stand: the inside of the back with what hangs from the top dashed, each prop with its way out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.carved.values import Carved
from braces.placed.footprint import footprint
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline, union
from braces.sheets.place_labels import Note, Room, led_note
from braces.sheets.plan_tables import below, table, titled
from braces.sheets.plan_view import PlanView, circle, plan_view, strip_strokes
from braces.sheets.words import plan_face, side_of
from braces.workshop.book.lengths import Lengths
from braces.workshop.faces import back_glue_z_mm
from braces.workshop.props import PropFit, way_words

_PLAIN = Lengths()
_TEXT_MM = 2.5
_TITLE_MM = 3.0
_TITLE_GAP_MM = 2.2
_ARROW_MM = 3.0


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
    for note in (_sizes(carved, props, lengths), _reading(carved, props)):
        placed = below(note, -1, room, frame)
        room.add(placed)
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


def _sizes(carved: Carved, props: Sequence[PropFit], lengths: Lengths) -> Note:
    hand = carved.placed.design.handed
    rows = [("prop", "off centre", "from tail", "long", "stands on", "presses", "upper end", "lower end", "freed by")]
    for k, p in enumerate(props, 1):
        side = "" if abs(p.spec.x_mm) < 0.05 else f" {side_of(p.spec.x_mm, hand)}"
        rows.append(
            (str(k), f"{lengths.cell(abs(p.spec.x_mm))}{side}", lengths.cell(p.spec.y_mm),
             lengths.cell(p.length_mm), p.on_back or "back",
             p.on_top or "top", _bevel(p.top_bevel_deg), _bevel(p.back_bevel_deg), lengths.cell(p.spec.freed_by_mm))
        )  # fmt: skip
    labels = list(table(rows, _TEXT_MM))
    high = max(a.ink[3] for a in labels) + _TITLE_GAP_MM
    return Note((Label(0.0, high, f"lengths on the axis, {lengths.unit}", _TITLE_MM, bold=True), *labels))


def _bevel(slopes_deg: tuple[float, float]) -> str:
    return " ".join(f"{0.0 if abs(s) < 0.05 else s:+.1f}°".replace("+0.0", "0.0") for s in slopes_deg)


def _reading(carved: Carved, props: Sequence[PropFit]) -> Note:
    hand = carved.placed.design.handed
    lines = [
        "bevels: rise of the end across, to the right of the drawing, and along, to the neck",
        "heavy: the prop where it stands; dashed: way of its middle; arrow: how it lies when it is drawn out",
    ]
    for k, p in enumerate(props, 1):
        lines.append(f"prop {k}: {way_words(p, hand) or p.advice}")
    return titled("out again", lines)
