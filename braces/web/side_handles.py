"""The handles of a brace seen from the side: stations, land, ends, passages, each by the field that says it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from braces.base.problems import Where
from braces.base.units import mm_text
from braces.carved.values import Carved, CarvedBrace, Feature
from braces.design.quantities import Reach
from braces.placed.rim import end_spec
from braces.placed.values import PlacedBrace
from braces.web.handles import XY, Changes, Drag, Handle, fixed, within, written
from braces.web.written import length, on_step, reach

_STEP_MM = 0.1
_ASIDE_STEP_MM = 0.5
_APART_MM = 3.0  #: nearer than this, one handle covers another
_STILL_MM = 1.0  #: a height dragged upright does not also move along


@dataclass(frozen=True, slots=True, eq=False)
class Stick:
    """A brace in hand."""

    brace: CarvedBrace
    placed: PlacedBrace
    raw: Any

    @property
    def where(self) -> Where:
        """Its entry in the file."""
        return self.placed.where

    def said(self, *below: str | int) -> str | None:
        """Return what the file says of it, or None."""
        found = written(self.raw, (*self.where, *below))
        return found if isinstance(found, str) else None

    def seen(self, x_mm: float, height_mm: float) -> XY:
        """Return the place of a height over the glue line."""
        return x_mm, float(self.brace.glue.at(x_mm, 0.0)) + height_mm

    def height(self, to: XY) -> float:
        """Return the height over the glue line of a place in the picture, on a tenth."""
        return on_step(to[1] - float(self.brace.glue.at(to[0], 0.0)), _STEP_MM)


def stick(carved: Carved, name: str, raw: Any) -> Stick | None:
    """Return a brace in hand, by its name."""
    made = next((b for b in carved.braces if b.name == name), None)
    if made is None:
        return None
    plate = carved.placed.top if made.plate == "top" else carved.placed.back
    return Stick(made, next(b for b in plate.braces if b.name == name), raw)


def side_handles(stick: Stick) -> list[Handle]:
    """Return every handle of a brace's side view."""
    spec: Any = stick.placed.spec
    handles: list[Handle] = []
    if spec.profile.law == "stations":
        handles += _stations(stick, spec.profile)
    else:
        handles += _features(stick, spec)
    handles += _passages(stick, spec)
    moving = [h.at[0] for h in handles if h.drag is not None]
    # A handle that cannot move would lie over one that can, where a brace is highest at its butted end.
    return [h for h in handles if h.drag is not None or all(abs(h.at[0] - x) > _APART_MM for x in moving)]


def _features(stick: Stick, spec: Any) -> Iterator[Handle]:
    features = stick.brace.features
    top = next((f for f in features if f.kind == "top"), None)
    if top is None:
        return
    yield _top(stick, spec, top)
    yield from _lands(stick, spec, top)
    for f in features:
        if f.kind in ("valley", "peak"):
            yield _hollow(stick, f, top, spec)
    yield from _ends(stick, features)


def _height_changes(stick: Stick, where: Where, d: Drag) -> dict[Where, Any]:
    value = within(stick.raw, where, stick.height(d.to))
    return {where: length(value, written(stick.raw, where))}


def _top(stick: Stick, spec: Any, top: Feature) -> Handle:
    where = (*stick.where, "height")
    high = (*stick.where, "profile", "high_at")
    at = stick.seen(top.at_mm, top.height_mm)
    text = stick.said("profile", "high_at")

    def drag(d: Drag) -> Changes:
        made = _height_changes(stick, where, d)
        aside = d.to[0] - at[0]
        # Where a lap or an end fixes the high place, only a file that names it lets it move.
        if spec.profile.high_at is not None and abs(aside) > _STILL_MM:
            to = on_step(top.at_mm + aside, d.step(_ASIDE_STEP_MM))
            made[high] = reach(to, stick.brace.length_mm, spec.profile.high_at, text, d.fine)
        return made

    label = f"full height: {stick.said('height') or mm_text(spec.height_mm)}"
    return Handle("top", at, label, stick.brace.name, where, "free", drag)


def _lands(stick: Stick, spec: Any, top: Feature) -> Iterator[Handle]:
    """The two edges of the stretch at full height; a lap may keep it longer than the file says."""
    where = (*stick.where, "profile", "land")
    half, whole = spec.profile.land_mm / 2, stick.brace.length_mm
    for which, sign in (("start", -1), ("end", 1)):
        x = min(max(top.at_mm + sign * half, 0.0), whole)
        if not 0.0 < x < whole:
            continue

        def drag(d: Drag, sign: int = sign) -> Changes:
            value = on_step(2 * sign * (d.to[0] - top.at_mm), 1.0 if not d.fine else 0.2)
            return {where: length(within(stick.raw, where, max(value, 0.0)), stick.said("profile", "land"))}

        label = f"land, {which} edge; length at full height: {stick.said('profile', 'land') or '0 mm'}"
        yield Handle(f"land/{which}", stick.seen(x, top.height_mm), label, stick.brace.name, where, "across", drag)


def _hollow(stick: Stick, f: Feature, top: Feature, spec: Any) -> Handle:
    """A valley or a peak: its height, and its place along the leg from the high place outwards."""
    part = (*stick.where, "profile", f.kind)
    place: Reach = getattr(spec.profile, f.kind).at
    outward = 1 if f.at_mm > top.at_mm else -1
    leg = stick.brace.length_mm - top.at_mm if outward > 0 else top.at_mm
    at = stick.seen(f.at_mm, f.height_mm)

    def drag(d: Drag) -> Changes:
        made = _height_changes(stick, (*part, "height"), d)
        aside = d.to[0] - at[0]
        if abs(aside) > _STILL_MM or (d.fine and abs(aside) > 1e-9):
            to = on_step(outward * (f.at_mm + aside - top.at_mm), d.step(_ASIDE_STEP_MM))
            made[(*part, "at")] = reach(to, leg, place, stick.said("profile", f.kind, "at"), d.fine)
        return made

    label = f"{f.kind}: {stick.said('profile', f.kind, 'height')} high, {stick.said('profile', f.kind, 'at')} along"
    key = f"{f.kind}/{'end' if outward > 0 else 'start'}"
    return Handle(key, at, label, stick.brace.name, (*part, "height"), "free", drag)


def _ends(stick: Stick, features: tuple[Feature, ...]) -> Iterator[Handle]:
    brace = stick.brace
    for which, end, x in (("start", brace.start, 0.0), ("end", brace.end, brace.length_mm)):
        placed_end = stick.placed.start if which == "start" else stick.placed.end
        key = which if getattr(stick.placed.spec, which) is not None else "ends"
        at = stick.seen(x, brace.height.at(x))
        if written(stick.raw, (*stick.where, key)) is None or (key == "ends" and placed_end.meets == "brace"):
            why = f"this end butts on {end.meets} at the height of the profile" if end.meets else "it has full height"
            yield fixed(f"{which}/height", at, f"{which} end", brace.name, stick.where, why)
            continue
        yield _end_height(stick, which, key, at)
        if end.flat_mm > 0 and any(f.kind == "flat" for f in features):
            yield _end_length(stick, which, key, end.flat_mm)


def _end_height(stick: Stick, which: str, key: str, at: XY) -> Handle:
    where = (*stick.where, key, "height")
    label = f"{which} end: {stick.said(key, 'height') or 'full height'}"

    def drag(d: Drag) -> Changes:
        return _height_changes(stick, where, Drag((at[0], d.to[1]), d.fine))

    return Handle(f"{which}/height", at, label, stick.brace.name, where, "along", drag)


def _end_length(stick: Stick, which: str, key: str, flat_mm: float) -> Handle:
    where = (*stick.where, key, "length")
    brace, sign = stick.brace, 1 if which == "start" else -1
    foot = 0.0 if which == "start" else brace.length_mm
    spec = end_spec(stick.placed.spec, which)
    x = foot + sign * flat_mm

    def drag(d: Drag) -> Changes:
        value = on_step(spec.length_mm + sign * (d.to[0] - x), d.step(_ASIDE_STEP_MM))
        return {where: length(within(stick.raw, where, value), stick.said(key, "length"))}

    label = f"{which} end, length of the level low end: {stick.said(key, 'length')}"
    return Handle(f"{which}/length", stick.seen(x, brace.height.at(x)), label, brace.name, where, "across", drag)


def _stations(stick: Stick, profile: Any) -> Iterator[Handle]:
    whole = stick.brace.length_mm
    for i, station in enumerate(profile.stations):
        part = (*stick.where, "profile", "stations", i)
        at = stick.seen(station.at.along(whole), station.height_mm)

        def drag(d: Drag, part: Where = part, at: XY = at, was: Reach = station.at) -> Changes:
            made = _height_changes(stick, (*part, "height"), d)
            aside = d.to[0] - at[0]
            if abs(aside) > _STILL_MM or (d.fine and abs(aside) > 1e-9):
                to = min(max(on_step(at[0] + aside, d.step(_ASIDE_STEP_MM)), 0.0), whole)
                made[(*part, "at")] = reach(to, whole, was, written(stick.raw, (*part, "at")), d.fine)
            return made

        said = [written(stick.raw, (*part, k)) for k in ("height", "at")]
        label = f"station {i + 1}: {said[0]} high, {said[1]} along"
        yield Handle(f"station/{i}", at, label, stick.brace.name, (*part, "height"), "free", drag)


def _passages(stick: Stick, spec: Any) -> Iterator[Handle]:
    whole = stick.brace.length_mm
    for i, cut in enumerate(spec.cut_outs):
        part = (*stick.where, "cut_outs", i)
        x = cut.at.along(whole)
        full = stick.brace.height.at(x)
        level = cut.depth_mm if cut.opens_to == "plate" else full - cut.depth_mm
        at = stick.seen(x, level)

        def drag(d: Drag, part: Where = part, at: XY = at, cut: Any = cut, full: float = full) -> Changes:
            height = stick.height((at[0], d.to[1]))
            deep = (*part, "depth")
            value = within(stick.raw, deep, height if cut.opens_to == "plate" else full - height)
            made: dict[Where, Any] = {deep: length(value, written(stick.raw, deep))}
            aside = d.to[0] - at[0]
            if abs(aside) > _STILL_MM or d.fine:
                to = on_step(at[0] + aside, d.step(_ASIDE_STEP_MM))
                made[(*part, "at")] = reach(to, whole, cut.at, written(stick.raw, (*part, "at")), d.fine)
            return made

        label = f"passage {i + 1}: {written(stick.raw, (*part, 'depth'))} deep"
        yield Handle(f"passage/{i}", at, label, stick.brace.name, (*part, "depth"), "free", drag)
