"""The search for heights: what each may be, what each does, and the text that comes of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from braces.app.carve_ask import Ask
from braces.app.carve_bench import CarveBench
from braces.app.strength import load_of, mesh_of, setting_of
from braces.app.study import Study
from braces.base.arrays import Floats
from braces.base.problems import DesignError, Where, known_codes
from braces.base.units import length_mm
from braces.carved.values import Carved
from braces.design.heights import Height
from braces.design.own_woods import wood_of
from braces.design.rewrite import length_text, read_at
from braces.mechanics.carve_plan import CarvePlan, HeightChange, StickChange
from braces.mechanics.carve_to import Reached, Trial, carve_to
from braces.mechanics.live import LiveModel, live_model
from braces.mechanics.sections import even_rise_mm
from braces.mechanics.values import Bound

_WITHIN_RATIO = 0.002  #: how near the search comes
_NUDGE_MM = 0.1  #: one step of what can be measured at the bench
_HARDLY_MM = 0.25  #: a change that nobody would unpack the plane for
_NUDGES = 8
_NUDGED_FRACTION = 0.1  #: of the strongest slope: below it a height is not moved to make up for rounding
_TILT_MM = 0.05  #: step for the shape of a height's effect along its sticks
_LIMIT_STEPS = 5
_ALONG = np.linspace(0.0, 1.0, 161)


@dataclass(frozen=True, slots=True, eq=False)
class Limit:
    """How far a height may go one way, and why no further."""

    at_mm: float
    reason: str


@dataclass(frozen=True, slots=True, eq=False)
class Effect:
    """What a millimetre of a height does to the sticks of its entry."""

    rise: Mapping[str, tuple[Floats, Floats]]  #: by stick: places along it (n,) mm, rise of its edge there for each mm
    mass_g: float


@dataclass(frozen=True, slots=True, eq=False)
class Written:
    """Heights as the file writes them, and what a full solution of that file gives."""

    texts: tuple[str, ...]
    study: Study
    heights_mm: Floats
    trial: Trial
    reached: tuple[float, Bound | None]


@dataclass(frozen=True, slots=True, eq=False)
class Search:
    """Everything that a trial of heights needs."""

    bench: CarveBench
    before: Carved  #: of the maker's own file
    heights: tuple[Height, ...]
    likes: tuple[object, ...]  #: how the file writes each height
    low: tuple[Limit, ...]
    high: tuple[Limit, ...]
    effects: tuple[Effect, ...]
    live: LiveModel | None
    begin_mm: Floats  #: where the search begins, and what the least change is counted from

    @staticmethod
    def of(bench: CarveBench, study: Study, every: tuple[Height, ...], ask: Ask) -> Search:
        """Return the search over some heights of a design, ``study`` being the maker's own."""
        import tomllib

        if study.carved is None:
            raise ValueError("only a sound design can be carved")
        raw = tomllib.loads(bench.text)
        likes = tuple(read_at(raw, h.where) for h in every)
        low = tuple(_limit(bench, h, -1, ask.off_mm) for h in every)
        high = tuple(_limit(bench, h, 1, ask.on_mm) for h in every)
        effects = tuple(_effect(bench, h) for h in every)
        live = None
        if bench.aim.solved:
            design, plate = bench.carved.placed.design, bench.aim.plate
            load = load_of(design) if plate == "top" else None
            live = live_model(bench.carved, plate, setting_of(design), load, mesh_of(bench.carved))
        begin = _begin(bench, study.carved, every, low, high)
        return Search(bench, study.carved, every, likes, low, high, effects, live, begin)

    def to(self, wanted: float) -> Reached:
        """Return the heights that come nearest to a value."""
        low, high = np.array([x.at_mm for x in self.low]), np.array([x.at_mm for x in self.high])
        within, begin = _WITHIN_RATIO * wanted, self.begin_mm
        found = carve_to(wanted, begin, (low, high), self.attempt, within, begin)
        # What would hardly change is left as drawn, and the rest makes up for it.
        small = (np.abs(found.heights_mm - begin) < _HARDLY_MM) & (begin == [h.now_mm for h in self.heights])
        if not found.met or small.all():
            return found
        start = found.heights_mm
        for k in np.flatnonzero(small):
            as_drawn = np.where(np.arange(len(begin)) == k, begin, start)
            small[k] = self._made_of(as_drawn) is not None  # it may have to fit beside what has changed
            start = as_drawn if small[k] else start
        low, high = np.where(small, begin, low), np.where(small, begin, high)
        again = carve_to(wanted, start, (low, high), self.attempt, within, begin)
        return again if again.met else found

    def attempt(self, heights_mm: Floats) -> Trial | None:
        """Return the aim's value and its change for each mm of each height; None if they cannot be made."""
        carved = self._made_of(heights_mm)
        return None if carved is None else self._trial(carved, heights_mm)

    def _made_of(self, heights_mm: Floats) -> Carved | None:
        found = self.bench.followed(self._changes([f"{v:.4f} mm" for v in heights_mm]))
        return found.carved if found.sound else None

    def _changes(self, texts: list[str]) -> dict[Where, str]:
        return {h.where: text for h, text in zip(self.heights, texts, strict=True)}

    def _trial(self, carved: Carved, heights_mm: Floats) -> Trial:
        if self.live is None:
            return self.bench.weight(carved), np.array([e.mass_g for e in self.effects])
        aim = self.bench.aim
        value = aim.value(self.live.update(carved).plate)
        if aim.plate == "back":  # the live model has derivatives only where strings pull
            return value, self._differences(heights_mm, value)
        gains = {g.name: g for g in self.live.gains(carved)}
        slope = [
            sum(float(aim.slope(gains[n]) @ np.interp(gains[n].x_mm, x, rise)) for n, (x, rise) in e.rise.items())
            for e in self.effects
        ]
        return value, np.array(slope)

    def _differences(self, heights_mm: Floats, value: float) -> Floats:
        """Return the aim's change for each mm of each height by trying each, the way that can be made."""
        slope = np.zeros(len(heights_mm))
        for k in range(len(heights_mm)):
            for tilt in (_TILT_MM, -_TILT_MM):
                there = heights_mm.copy()
                there[k] += tilt
                carved = self._made_of(there)
                if carved is not None and self.live is not None:
                    slope[k] = (self.bench.aim.value(self.live.update(carved).plate) - value) / tilt
                    break
        return slope

    def written(self, found: Reached, wanted: float) -> Written:
        """Return the heights rounded to what can be measured, the last steps spent on the rounding's own error."""
        at, drawn = found.heights_mm, np.array([h.now_mm for h in self.heights])
        texts = self._texts(at)
        made = self._made(texts)
        while not made.sound and np.abs(at - drawn).max() > _NUDGE_MM:  # rounding went over what can be made
            at = at + np.clip(drawn - at, -_NUDGE_MM, _NUDGE_MM)
            texts = self._texts(at)
            made = self._made(texts)
        trial = self._trial(self._carved(made), _lengths(texts))
        for _ in range(_NUDGES):
            step = self._nudge(texts, trial, wanted)
            if step is None:
                break
            there = self._made(step)
            if there.carved is None or not there.sound:
                break
            after = self._trial(there.carved, _lengths(step))
            if abs(after[0] - wanted) >= abs(trial[0] - wanted):
                break
            texts, made, trial = step, there, after
        return Written(tuple(texts), made, _lengths(texts), trial, self.bench.full(self._carved(made)))

    def _texts(self, heights_mm: Floats) -> list[str]:
        """Write heights in the maker's units; one that rounds to what stands there keeps the maker's own text."""
        out = []
        for h, like, v in zip(self.heights, self.likes, heights_mm, strict=True):
            same = abs(v - h.now_mm) < _NUDGE_MM / 2
            out.append(str(like) if same and like is not None else length_text(float(v), like))
        return out

    def _made(self, texts: list[str]) -> Study:
        return self.bench.followed(self._changes(texts))

    def _carved(self, made: Study) -> Carved:
        if made.carved is None or not made.sound:
            raise DesignError(made.problems)
        return made.carved

    def _nudge(self, texts: list[str], trial: Trial, wanted: float) -> list[str] | None:
        """Return the texts with the one step that should bring the value nearest; None if no step helps."""
        value, slope = trial
        best, out = abs(value - wanted), None
        if best <= _WITHIN_RATIO * wanted:
            return None
        for k, text in enumerate(texts):
            if abs(slope[k]) < _NUDGED_FRACTION * np.abs(slope).max():
                continue
            for way in (-1, 1):
                at = length_mm(text)
                step = length_text(at + way * _NUDGE_MM, self.likes[k])
                to = length_mm(step)
                inside = self.low[k].at_mm - 1e-9 <= to <= self.high[k].at_mm + 1e-9
                miss = abs(value + slope[k] * (to - at) - wanted)
                if inside and miss < best - 1e-12:
                    best, out = miss, [*texts[:k], step, *texts[k + 1 :]]
        return out

    def plan(self, made: Written, wanted: tuple[float, str], before: tuple[float, Bound | None]) -> CarvePlan:
        """Return the answer."""
        if made.study.loaded is None:
            raise ValueError("nothing was written")
        rows = tuple(self._row(k, made) for k in range(len(self.heights)))
        old = {b.name: b.mass_g for b in self.bench.made(self.before).braces}
        new = self.bench.made(self._carved(made.study)).braces
        sticks = tuple(StickChange(b.name, old[b.name], b.mass_g) for b in new)
        text = made.study.loaded.text
        return CarvePlan(self.bench.aim, wanted, before, made.reached, rows, sticks, self.bench.woods, text)

    def _row(self, k: int, made: Written) -> HeightChange:
        h, then = self.heights[k], float(made.heights_mm[k])
        reason = ""
        for limit in (self.low[k], self.high[k]):
            if abs(then - limit.at_mm) < _NUDGE_MM and abs(then - h.now_mm) > _NUDGE_MM / 2:
                reason = limit.reason
        return HeightChange(
            h.brace,
            h.words,
            len(self.effects[k].rise),
            h.now_mm,
            then,
            str(self.likes[k]),
            made.texts[k],
            float(made.trial[1][k]),
            self.effects[k].mass_g,
            reason,
        )


def _lengths(texts: list[str]) -> Floats:
    return np.array([length_mm(t) for t in texts])


def _limit(bench: CarveBench, h: Height, way: int, most_mm: float) -> Limit:
    """How far one height may go by itself: as far as is allowed, as the field lets it, and as can be made."""
    asked = h.now_mm + way * most_mm
    end = max(asked, h.least_mm) if way < 0 else min(asked, h.most_mm)
    reason = f"{most_mm:g} mm {'off' if way < 0 else 'on'} at most" if end == asked else "the field's own limit"
    code = _fault(bench, h, end)
    if not code:
        return Limit(end, reason)
    good, bad = h.now_mm, end
    for _ in range(_LIMIT_STEPS):
        middle = (good + bad) / 2
        fault = _fault(bench, h, middle)
        good, bad, code = (good, middle, fault) if fault else (middle, bad, code)
    return Limit(good, f"{code}: {known_codes()[code]['sentence'].rstrip('.').lower()}")


def _fault(bench: CarveBench, h: Height, value_mm: float) -> str:
    """Code of what stands against a height; empty if nothing does."""
    found = bench.followed({h.where: f"{value_mm:.4f} mm"})
    return "" if found.sound else next(p.code for p in found.problems if p.fatal)


def _effect(bench: CarveBench, h: Height) -> Effect:
    """Find what a height does by changing it a little, the way that can be made."""
    for tilt in (_TILT_MM, -_TILT_MM):
        found = bench.followed({h.where: f"{h.now_mm + tilt:.4f} mm"})
        if found.sound and found.carved is not None:
            break
    else:
        return Effect({}, 0.0)
    rise, mass = {}, 0.0
    for old, new in zip(bench.made(bench.carved).braces, bench.made(found.carved).braces, strict=True):
        x = _ALONG * old.length_mm
        lift = even_rise_mm(old, new, x) / tilt
        mass += (new.mass_g - old.mass_g) / tilt
        if np.abs(lift).max() > 1e-6:
            rise[old.name] = (x, np.asarray(lift))
    return Effect(rise, mass)


def _begin(
    bench: CarveBench, before: Carved, every: tuple[Height, ...], low: tuple[Limit, ...], high: tuple[Limit, ...]
) -> Floats:
    """The heights as drawn; in other wood those that keep a brace's own bending stiffness, E h^3."""
    now = np.array([h.now_mm for h in every])
    old = {b.name: wood_of(before.placed.design, b.wood).elastic.e_l_mpa for b in bench.made(before).braces}
    new = {b.name: wood_of(bench.carved.placed.design, b.wood).elastic.e_l_mpa for b in bench.made(bench.carved).braces}
    ratio = max((old[n] / new[n] for n in old), key=lambda r: abs(np.log(r)), default=1.0)
    begin = np.clip(now * ratio ** (1 / 3), [x.at_mm for x in low], [x.at_mm for x in high])
    if not np.abs(begin - now).max(initial=0.0):
        return now
    for _ in range(_LIMIT_STEPS):
        if bench.followed({h.where: f"{x:.4f} mm" for h, x in zip(every, begin, strict=True)}).sound:
            return np.asarray(begin)
        begin = (begin + now) / 2
    return now
