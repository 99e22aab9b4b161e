"""What a maker asks of carving, from the words of the command line."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from braces.base.problems import DesignError, Problem, as_read
from braces.base.units import FREQUENCY, MASS, UnitError, angle_deg, length_mm
from braces.design.heights import PLURALS, Height, Part
from braces.mechanics.aim import Aim

Plate = Literal["top", "back"]
EXAMPLES = (
    '"bridge turns 0.6 deg", "top mode 1 at 200 Hz", "top braces weigh 95 g", "braced top weighs 260 g" '
    'or "as stiff in billet-7"'
)


@dataclass(frozen=True, slots=True)
class Target:
    """What to reach: a number of a plate, or with other wood the number that the design has now."""

    aim: Aim
    value: str | None  #: as written, with its unit
    wood: str | None = None  #: to be as stiff as before in this wood


@dataclass(frozen=True, slots=True)
class Ask:
    """The whole question."""

    target: Target
    parts: frozenset[Part]
    braces: tuple[str, ...]  #: names of entries; all of the plate if none is named
    off_mm: float  #: most taken off any height
    on_mm: float  #: most left on


def refused(found: str, advice: str) -> DesignError:
    """Return the error of a call that cannot be understood."""
    return DesignError([Problem("M02", (), found, advice)])


def target_of(words: str) -> Target:
    """Return what a sentence such as "bridge turns 0.6 deg" asks for. Raises DesignError."""
    text = " ".join(words.split())
    if m := re.fullmatch(r"(?:the )?bridge (?:turns |turn |at )?(.+)", text, re.I):
        return Target(Aim("turn", "top"), m[1])
    if m := re.fullmatch(r"(?:the )?(top|back) mode (\d{1,2}) (?:at )?(.+)", text, re.I):
        return Target(Aim("mode", _plate(m[1]), int(m[2])), m[3])
    if m := re.fullmatch(r"(?:the )?(top|back)(?:'s)? braces (?:weigh |at )?(.+)", text, re.I):
        return Target(Aim("braces", _plate(m[1])), m[2])
    if m := re.fullmatch(r"(?:the )?braced (top|back) (?:weighs |at )?(.+)", text, re.I):
        return Target(Aim("plate", _plate(m[1])), m[2])
    if m := re.fullmatch(r"(?:(top|back) )?as stiff in (.+)", text, re.I):
        plate = _plate(m[1] or "top")
        return Target(Aim("turn", "top") if plate == "top" else Aim("mode", "back", 1), None, m[2])
    raise refused(f"{as_read(words)} is not a target", f"write one such as {EXAMPLES}")


def _plate(word: str) -> Plate:
    return "top" if word.lower() == "top" else "back"


def number_of(target: Target) -> float:
    """Return the written number of a target in the aim's unit. Raises DesignError."""
    read = {"turn": angle_deg, "mode": FREQUENCY.read}.get(target.aim.kind, MASS.read)
    try:
        value = read(target.value)
    except UnitError as error:
        raise refused(error.found, error.advice) from None
    if value <= 0:
        raise refused(f"{as_read(target.value)} is out of range", "write more than nothing")
    return value


def parts_of(words: str | None) -> frozenset[Part]:
    """Return the parts named, as in "valleys, peaks"; all if nothing is named. Raises DesignError."""
    if words is None:
        return frozenset(PLURALS.values())
    named = [w.strip().lower() for w in words.split(",") if w.strip()]
    unknown = [w for w in named if w not in PLURALS]
    if unknown or not named:
        found = f"{as_read(unknown[0] if unknown else words)} is nothing that carving changes"
        raise refused(found, f"name some of {', '.join(PLURALS)}")
    return frozenset(PLURALS[w] for w in named)


def limit_mm(words: str) -> float:
    """Return a limit such as "3 mm", never negative. Raises DesignError."""
    try:
        value = length_mm(words)
    except UnitError as error:
        raise refused(error.found, error.advice) from None
    if not 0 <= value <= 30:
        raise refused(f"{as_read(words)} is out of range", "write 0 mm to 30 mm")
    return value


def names_of(words: str | None) -> tuple[str, ...]:
    """Return the names in a list such as "x, tone bar 1"."""
    return tuple(" ".join(w.split()) for w in (words or "").split(",") if w.strip())


def chosen(every: tuple[Height, ...], ask: Ask) -> tuple[Height, ...]:
    """Return the heights that may change. Raises DesignError for a name that is not there, or if none is left."""
    there = list(dict.fromkeys(h.brace for h in every))
    for name in ask.braces:
        if name not in there:
            found = f"the {ask.target.aim.plate} has no brace {as_read(name)}"
            raise refused(found, f"name some of {', '.join(there) or 'its braces'}")
    left = tuple(h for h in every if h.part in ask.parts and (not ask.braces or h.brace in ask.braces))
    if not left:
        raise refused("there is no height left that may change", "allow more parts, or more braces")
    return left
