"""The handles of a plate: whole braces, their ends and crossings, the soundhole, the bridge plate, the bouts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import atan2, degrees
from typing import Any

from braces.base.problems import Where
from braces.base.units import mm_text
from braces.carved.values import Carved
from braces.design.quantities import Place, Reach
from braces.placed.values import PlacedBrace
from braces.sheets.plan_view import PlanView, plan_view
from braces.sheets.words import PlateName
from braces.web.handles import XY, Changes, Drag, Handle, fixed, within, written
from braces.web.written import angle, length, on_step, place, reach

_STEP_MM, _STEP_DEG = 0.5, 0.5
_SNAP_MM = 2.0  #: an offset this small becomes none


@dataclass(frozen=True, slots=True, eq=False)
class Board:
    """A plate in hand: what the handles need to know."""

    view: PlanView
    raw: Any  #: the tables of the file
    carved: Carved

    @property
    def hand(self) -> int:
        """Sign of x on the treble side."""
        return 1 if self.carved.placed.design.handed == "right" else -1

    def at(self, seen: XY) -> XY:
        """Return a place of the picture in plan."""
        return self.view.flip * seen[0], seen[1]

    def said(self, where: Where) -> str:
        """Return what the file says."""
        return str(written(self.raw, where) or "")


def plan_handles(carved: Carved, plate: PlateName, raw: Any) -> list[Handle]:
    """Return every handle of a plate."""
    board = Board(plan_view(carved, plate), raw, carved)
    handles: list[Handle] = []
    for brace in board.view.placed.braces:
        handles += _RULES.get(brace.spec.lay, _other)(board, brace)
    handles += list(_crossings(board))
    handles += list(_plate_handles(board))
    return handles


def middle(brace: PlacedBrace) -> XY:
    """Return the middle of a brace's centre line, in plan."""
    return (brace.start.at[0] + brace.end.at[0]) / 2, (brace.start.at[1] + brace.end.at[1]) / 2


def place_handle(board: Board, key: str, at: XY, what: str, brace: str, where: Where, was: Place) -> Handle:
    """Return a handle that moves a place on the centre line."""
    text = board.said(where)

    def drag(d: Drag) -> Changes:
        return {where: place(was, d.to[1] - at[1], d.step(_STEP_MM), text)}

    return Handle(key, board.view.seen(at), f"{what}: {text}", brace, where, "along", drag)


def angle_handle(
    board: Board, key: str, at: XY, what: str, brace: str, where: Where, found: Callable[[XY], float], now: float
) -> Handle:
    """Return a handle that turns something; ``found`` gives the angle for a place in plan."""

    def text(value: float, step: float) -> Changes:
        return {where: angle(within(board.raw, where, on_step(value, step)))}

    def drag(d: Drag) -> Changes:
        return text(found(board.at(d.to)), d.step(_STEP_DEG))

    def nudge(way: XY, step_deg: float) -> Changes:
        ahead = found((at[0] + board.view.flip * way[0], at[1] + way[1]))
        return text(now + (step_deg if ahead > now else -step_deg), 0.1)

    return Handle(
        key, board.view.seen(at), f"{what}: {board.said(where) or angle(now)}", brace, where, "turn", drag, "", nudge
    )


def _across(board: Board, b: PlacedBrace) -> Iterator[Handle]:
    spec: Any = b.spec
    on_line = _on_centre(b)
    yield place_handle(board, f"{b.name}/at", on_line, f"{b.name}, where it crosses the centre line", b.name,
                       (*b.where, "at"), spec.at)  # fmt: skip
    for end, sign in ((b.start, -1), (b.end, 1)):
        side = "treble" if sign > 0 else "bass"

        def found(p: XY, sign: int = sign) -> float:
            return degrees(atan2(sign * board.hand * (p[0] - on_line[0]), sign * (p[1] - on_line[1])))

        yield angle_handle(board, f"{b.name}/{side}", end.at, f"{b.name}, {side} end, angle to the centre line", b.name,
                           (*b.where, "angle"), found, spec.angle_deg)  # fmt: skip


def _on_centre(b: PlacedBrace) -> XY:
    """Where a brace crosses the centre line; its middle if it does not."""
    (x0, y0), (x1, y1) = b.start.at, b.end.at
    if x0 * x1 > 0 or abs(x1 - x0) < 1e-9:
        return middle(b)
    return 0.0, y0 - x0 * (y1 - y0) / (x1 - x0)


def _pair(board: Board, b: PlacedBrace) -> Iterator[Handle]:
    spec: Any = b.spec
    lap = next((c for c in board.view.placed.crossings if b.name in (c.opens_to_plate, c.opens_to_room)), None)
    if lap is None:
        return
    side = 1 if b.end.at[0] > lap.at[0] else -1

    def found(p: XY) -> float:
        return 2 * degrees(atan2(side * (p[0] - lap.at[0]), lap.at[1] - p[1]))

    yield angle_handle(board, f"{b.name}/foot", b.end.at, f"{spec.name}, tail end of {b.name}, included angle", b.name,
                       (*b.where, "angle"), found, spec.angle_deg)  # fmt: skip

    def upper(p: XY) -> float:
        return 2 * degrees(atan2(-side * (p[0] - lap.at[0]), p[1] - lap.at[1]))

    yield angle_handle(board, f"{b.name}/head", b.start.at, f"{spec.name}, neck end of {b.name}, included angle",
                       b.name, (*b.where, "angle"), upper, spec.angle_deg)  # fmt: skip


def _crossings(board: Board) -> Iterator[Handle]:
    """One handle for each crossing pair; laps made by other rules lie where their braces cross."""
    braces = {b.name: b for b in board.view.placed.braces}
    for lap in board.view.placed.crossings:
        b = braces[lap.opens_to_plate]
        spec: Any = b.spec
        names = f"{lap.opens_to_plate} and {lap.opens_to_room}"
        if spec.lay != "crossing pair" or lap.where != b.where:
            if spec.lay != "lattice":
                yield fixed(f"{names}/lap", board.view.seen(lap.at), f"lap of {names}", b.name, b.where,
                            f"this lap lies where {names} cross: move one of them")  # fmt: skip
            continue
        at, off = (*b.where, "crossing"), (*b.where, "offset")
        text, off_text = board.said(at), board.said(off)

        def drag(d: Drag, lap: Any = lap, spec: Any = spec, at: Where = at, off: Where = off,
                 text: str = text, off_text: str = off_text) -> Changes:  # fmt: skip
            made: dict[Where, Any] = {at: place(spec.crossing, d.to[1] - lap.at[1], d.step(_STEP_MM), text)}
            aside = spec.offset_mm + board.hand * (board.at(d.to)[0] - lap.at[0])
            aside = within(board.raw, off, 0.0 if abs(aside) < _SNAP_MM and not d.fine else on_step(aside, 0.1))
            if off_text or abs(aside) > 1e-9:
                made[off] = length(aside, off_text or None)
            return made

        yield Handle(f"{spec.name}/crossing", board.view.seen(lap.at), f"{spec.name}, crossing: {text}", b.name, at,
                     "free", drag)  # fmt: skip


def _from_brace(board: Board, b: PlacedBrace) -> Iterator[Handle]:
    spec: Any = b.spec
    host = next(o for o in board.view.placed.braces if o.name == b.start.brace)
    yield _along(board, b, host, b.start.at, (*b.where, "from"), spec.from_.at, spec.from_.past, "start")
    side = 1 if b.end.at[0] > b.start.at[0] else -1
    sense = -1 if spec.towards == "tail" else 1

    def found(p: XY) -> float:
        return degrees(atan2(side * (p[0] - b.start.at[0]), sense * (p[1] - b.start.at[1])))

    yield angle_handle(board, f"{b.name}/end", b.end.at, f"{b.name}, rim end, angle from the centre line", b.name,
                       (*b.where, "angle"), found, spec.angle_deg)  # fmt: skip
    yield _whole(board, b, _along(board, b, host, b.start.at, (*b.where, "from"), spec.from_.at, spec.from_.past, ""))


def _along(
    board: Board, b: PlacedBrace, host: PlacedBrace, at: XY, part: Where, was: Reach, past: str, which: str
) -> Handle:
    """A handle that slides along another brace."""
    key = "along" if written(board.raw, (*part, "along")) is not None else "at"
    where = (*part, key)
    hx, hy = host.heading
    base = 0.0
    if past == "crossing":
        laps = board.view.placed.crossings
        lap = next((c for c in laps if host.name in (c.opens_to_plate, c.opens_to_room)), None)
        if lap is not None:
            base = (lap.at[0] - host.start.at[0]) * hx + (lap.at[1] - host.start.at[1]) * hy
    whole = host.length_mm - base
    text = board.said(where)

    def drag(d: Drag) -> Changes:
        to = board.at(d.to)
        moved = (to[0] - at[0]) * hx + (to[1] - at[1]) * hy
        return {where: reach(on_step(was.along(whole) + moved, d.step(_STEP_MM)), whole, was, text, d.fine)}

    return Handle(f"{b.name}/{which}", board.view.seen(at), f"{b.name}, where it meets {host.name}: {text}", b.name,
                  where, "along", drag)  # fmt: skip


def _whole(board: Board, b: PlacedBrace, part: Handle) -> Handle:
    """The middle of a brace moves it as a part of it does."""
    seen, start = board.view.seen(middle(b)), part.at

    def drag(d: Drag) -> Changes:
        assert part.drag is not None
        return part.drag(Drag((start[0] + d.to[0] - seen[0], start[1] + d.to[1] - seen[1]), d.fine))

    return Handle(f"{b.name}/whole", seen, part.label, b.name, part.where, part.way, drag)


def _between(board: Board, b: PlacedBrace) -> Iterator[Handle]:
    spec: Any = b.spec
    twin = _twin_sign(board, b)
    moves: list[Handle] = []
    for which, end, point in (("from", b.start, spec.from_), ("to", b.end, spec.to)):
        part = (*b.where, which)
        key, what = f"{b.name}/{which}", f"{b.name}, {which}"
        if getattr(point, "brace", None) is not None:
            host = next((o for o in board.view.placed.braces if o.name == end.brace), None)
            if host is not None:
                moves.append(_along(board, b, host, end.at, part, point.along, point.past, which))
        elif getattr(point, "off_mm", None) is not None:
            moves.append(_free(board, key, what, b, end.at, part, point, twin))
        else:
            moves.append(place_handle(board, key, end.at, what, b.name, (*part, "at"), point.at))
    yield from moves
    if len(moves) == 2 and all(m.drag for m in moves):
        yield _both(board, b, moves)


def _both(board: Board, b: PlacedBrace, moves: list[Handle]) -> Handle:
    seen = board.view.seen(middle(b))

    def drag(d: Drag) -> Changes:
        by = (d.to[0] - seen[0], d.to[1] - seen[1])
        made: dict[Where, Any] = {}
        for m in moves:
            assert m.drag is not None
            made.update(m.drag(Drag((m.at[0] + by[0], m.at[1] + by[1]), d.fine)))
        return made

    return Handle(f"{b.name}/whole", seen, f"{b.name}, the whole brace", b.name, moves[0].where, "along", drag)


def _other(board: Board, b: PlacedBrace) -> Iterator[Handle]:
    """A rule that has no handles of its own: its two points, if that is what it has, else words."""
    if hasattr(b.spec, "from_") and hasattr(b.spec, "to"):
        yield from _between(board, b)
        return
    yield fixed(f"{b.name}/whole", board.view.seen(middle(b)), b.name, b.name, b.where,
                "it lies by its fields: change them there")  # fmt: skip


def _twin_sign(board: Board, b: PlacedBrace) -> int:
    """-1 for the mirror image that an entry makes besides the stick it describes."""
    twins = [o for o in board.view.placed.braces if o.where == b.where]
    return -1 if len(twins) == 2 and b is twins[1] else 1


def _free(board: Board, key: str, what: str, b: PlacedBrace, at: XY, part: Where, point: Any, twin: int) -> Handle:
    off, up = (*part, "off"), (*part, "at")

    def drag(d: Drag) -> Changes:
        x = board.at(d.to)[0]
        aside = within(board.raw, off, point.off_mm + board.hand * twin * (x - at[0]))
        return {
            off: length(on_step(aside, d.step(_STEP_MM)), board.said(off)),
            up: place(point.at, d.to[1] - at[1], d.step(_STEP_MM), board.said(up)),
        }

    label = f"{what}: {board.said(off)} off, {board.said(up)}"
    return Handle(key, board.view.seen(at), label, b.name, up, "free", drag)


def _fan(board: Board, b: PlacedBrace) -> Iterator[Handle]:
    spec: Any = b.spec
    number = int(b.name.rsplit("-", 1)[1])
    outward = number - 1 - (spec.count - 1) / 2
    for which, end, was in (("head", b.start, spec.head), ("foot", b.end, spec.foot)):
        if was is not None and not end.brace:
            yield place_handle(board, f"{b.name}/{which}", end.at, f"{spec.name}, {which}", b.name,
                               (*b.where, which), was)  # fmt: skip
        else:
            yield fixed(f"{b.name}/{which}", board.view.seen(end.at), f"{b.name}, {which}", b.name, b.where,
                        "this end lies where the stick meets what stops it")  # fmt: skip
    at = middle(b)
    key = "offset" if abs(outward) < 0.3 else "pitch"
    where = (*b.where, key)

    def drag(d: Drag) -> Changes:
        moved = board.hand * (board.at(d.to)[0] - at[0])
        value = spec.offset_mm + moved if key == "offset" else spec.pitch_mm + moved / outward
        return {where: length(on_step(within(board.raw, where, value), d.step(_STEP_MM)), board.said(where) or None)}

    text = board.said(where) or mm_text(spec.offset_mm)
    yield Handle(f"{b.name}/{key}", board.view.seen(at), f"{spec.name}, {key}: {text}", b.name, where, "across", drag)


def _lattice(board: Board, b: PlacedBrace) -> Iterator[Handle]:
    if b is not next(o for o in board.view.placed.braces if o.where == b.where):
        return
    spec: Any = b.spec
    sticks = [middle(o) for o in board.view.placed.braces if o.where == b.where]
    at = (0.0, sum(y for _, y in sticks) / len(sticks))
    yield place_handle(board, f"{spec.name}/centre", at, f"{spec.name}, the whole lattice", b.name,
                       (*b.where, "centre"), spec.centre)  # fmt: skip


def _plate_handles(board: Board) -> Iterator[Handle]:
    placed, name = board.carved.placed, board.view.placed.name
    spec = board.view.placed.spec
    if spec.soundhole is not None and placed.soundhole_y_mm is not None:
        at, radius = (0.0, placed.soundhole_y_mm), placed.soundhole_radius_mm
        yield place_handle(board, "soundhole/centre", at, "soundhole, centre", "", (name, "soundhole", "centre"),
                           spec.soundhole.centre)  # fmt: skip
        yield _size(board, "soundhole/diameter", (radius, at[1]), "soundhole, diameter",
                    (name, "soundhole", "diameter"), lambda p: 2 * abs(p[0]))  # fmt: skip
    if spec.bridge_plate is not None and board.view.plate.bridge_plate is not None:
        front = placed.saddle_y_mm + spec.bridge_plate.front_mm
        low = front - spec.bridge_plate.width_mm
        yield _size(board, "bridge plate/front", (0.0, front), "bridge plate, front edge ahead of the saddle line",
                    (name, "bridge_plate", "front"), lambda p: p[1] - placed.saddle_y_mm)  # fmt: skip
        yield _size(board, "bridge plate/width", (0.0, low), "bridge plate, width along the strings",
                    (name, "bridge_plate", "width"), lambda p: front - p[1])  # fmt: skip
    if spec.bridge is not None:
        at = (spec.bridge.length_mm / 2 + 4, placed.saddle_y_mm)
        yield fixed("saddle", board.view.seen(at), "saddle line", "", ("strings", "scale"),
                    "the saddle line follows from the scale length, the frets clear of the body and the compensation: "
                    "change them under strings")  # fmt: skip
    yield from _bouts(board)


def _bouts(board: Board) -> Iterator[Handle]:
    body = board.carved.placed.design.body
    ratio = board.view.tail_y_mm, (board.view.neck_y_mm - board.view.tail_y_mm) / body.length_mm
    for key, bout in (("lower_bout", body.lower_bout), ("waist", body.waist), ("upper_bout", body.upper_bout)):
        what = key.replace("_", " ")
        where = ("body", key, "width")
        at = (board.view.flip * bout.width_mm / 2, ratio[0] + bout.at_mm * ratio[1])
        if body.outline is not None:
            yield fixed(f"body/{key}", board.view.seen(at), what, "", ("body", "outline"),
                        "the outline comes from a file of its own: trace the mould again to change it")  # fmt: skip
            continue
        yield _bout(board, f"body/{key}", at, what, where, (*where[:-1], "at"), bout.at_mm)


def _bout(board: Board, key: str, at: XY, what: str, wide: Where, up: Where, up_mm: float) -> Handle:
    text = board.said(wide)

    def drag(d: Drag) -> Changes:
        x = board.at(d.to)[0]
        value = within(board.raw, wide, on_step(2 * abs(x), d.step(1.0)))
        made: dict[Where, Any] = {wide: length(value, text)}
        moved = on_step(d.to[1] - at[1], d.step(1.0))
        if abs(moved) > 2.0 or d.fine:
            made[up] = length(within(board.raw, up, up_mm + moved), board.said(up))
        return made

    return Handle(key, board.view.seen(at), f"{what}, width: {text}", "", wide, "free", drag)


def _size(board: Board, key: str, at: XY, what: str, where: Where, found: Callable[[XY], float]) -> Handle:
    text = board.said(where)

    def drag(d: Drag) -> Changes:
        value = within(board.raw, where, on_step(found(board.at(d.to)), d.step(_STEP_MM)))
        return {where: length(value, text or None)}

    return Handle(key, board.view.seen(at), f"{what}: {text}", "", where, "free", drag)


_RULES: dict[str, Callable[[Board, PlacedBrace], Iterator[Handle]]] = {
    "across": _across,
    "crossing pair": _pair,
    "from brace to rim": _from_brace,
    "rim to rim": _between,
    "between": _between,
    "fan": _fan,
    "lattice": _lattice,
}
