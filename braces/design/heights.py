"""The heights of a design that carving changes: what each is called, where it stands in the file, how far it may go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from braces.base.problems import Where
from braces.design.braces import BraceSpec
from braces.design.model import Design
from braces.design.shapes import ScallopedProfile, StationsProfile

Part = Literal["height", "valley", "peak", "station"]
PARTS: tuple[Part, ...] = ("height", "valley", "peak", "station")
#: How a maker asks for each of them.
PLURALS: dict[str, Part] = {"heights": "height", "valleys": "valley", "peaks": "peak", "stations": "station"}


@dataclass(frozen=True, slots=True)
class Height:
    """One height that a file states. A crossing pair or a fan has one entry for all of its sticks."""

    where: Where
    brace: str  #: name of the entry
    part: Part
    at: str  #: of a station, where it stands along the brace, as written; else empty
    now_mm: float
    least_mm: float  #: of the field
    most_mm: float

    @property
    def words(self) -> str:
        """What it is called at the bench."""
        return f"station at {self.at}" if self.part == "station" else self.part


def heights(design: Design, plate: Literal["top", "back"]) -> tuple[Height, ...]:
    """Return the heights of a plate's braces, in the order of the file.

    Where a profile is given by stations their heights are meant, and the brace's own greatest height is left alone.
    """
    spec = design.top if plate == "top" else design.back
    return tuple(h for i, brace in enumerate(spec.braces) for h in _of(brace, (plate, "braces", i)))


def _of(brace: BraceSpec, where: Where) -> list[Height]:
    profile = brace.profile
    if isinstance(profile, StationsProfile):
        return [
            _height(brace, s, (*where, "profile", "stations", k, "height"), "station", _reach_text(s.at))
            for k, s in enumerate(profile.stations)
        ]
    found = [_height(brace, brace, (*where, "height"), "height")]
    if isinstance(profile, ScallopedProfile):
        found.append(_height(brace, profile.valley, (*where, "profile", "valley", "height"), "valley"))
        found.append(_height(brace, profile.peak, (*where, "profile", "peak", "height"), "peak"))
    return found


def _height(brace: BraceSpec, holder: Any, where: Where, part: Part, at: str = "") -> Height:
    limits = type(holder).model_fields["height_mm"].metadata
    least = next(float(v) for m in limits for v in (getattr(m, "ge", None), getattr(m, "gt", None)) if v is not None)
    most = next(float(m.le) for m in limits if getattr(m, "le", None) is not None)
    return Height(where, brace.name, part, at, holder.height_mm, least, most)


def _reach_text(at: Any) -> str:
    return f"{at.mm:g} mm" if at.mm is not None else f"{100 * (at.ratio or 0):g} %"
