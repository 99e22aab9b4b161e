"""Everything the bench needs to know of one instrument, worked out at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal, TypeVar

from braces.carved.values import Carved
from braces.placed.values import Placed
from braces.workshop.box import BoxAir, box_air
from braces.workshop.clamps import ClampSpec, ClosingClamps, closing_clamps
from braces.workshop.edges import EdgeSpec, EdgeStrip, edge_strips
from braces.workshop.go_bars import DeckSpec, PlateBars, plate_bars
from braces.workshop.habits import rosette_notes, thickness_notes
from braces.workshop.humidity import AirSpec, PlateAir, plate_air
from braces.workshop.props import PropFit, PropSpec, fit_prop
from braces.workshop.rim import Rim, RimSpec, rim
from braces.workshop.rosette import RosetteCut, RosetteSpec, rosette_cut
from braces.workshop.strips import StripCut, strip_cuts
from braces.workshop.tape import Tape, tapes

T = TypeVar("T")
Method = Literal["dish and go-bars", "clamps"]


@dataclass(frozen=True, slots=True)
class GlueSpec:
    """The glue: its times only as its maker publishes them, or as you enter them yourself."""

    name: str = "your glue"
    hot: bool = False  #: hide glue from the pot
    open_minutes_count: int | None = None  #: to be together within
    clamp_minutes_count: int | None = None  #: to be left pressed for


@dataclass(frozen=True, slots=True)
class BenchSpec:
    """What a maker decides about the work."""

    rim: RimSpec = field(default_factory=RimSpec)
    edges: EdgeSpec = field(default_factory=EdgeSpec)
    rosette: RosetteSpec = field(default_factory=RosetteSpec)
    deck: DeckSpec = field(default_factory=DeckSpec)
    clamps: ClampSpec = field(default_factory=ClampSpec)
    air: AirSpec = field(default_factory=AirSpec)
    glue: GlueSpec = GlueSpec()
    props: tuple[PropSpec, ...] = ()
    method: Method = "dish and go-bars"


@dataclass(frozen=True, slots=True, eq=False)
class Bench:
    """The answers. A part that cannot be worked out is None, and ``problems`` says why."""

    spec: BenchSpec
    rim: Rim | None
    tapes: tuple[Tape, Tape]
    edges: tuple[EdgeStrip, ...]
    rosette: RosetteCut | None
    strips: tuple[StripCut, ...]
    air: BoxAir
    bars: tuple[PlateBars, ...]  #: of the top, of the back
    clamps: tuple[ClosingClamps, ...]  #: the same; empty without a rim
    humidity: tuple[PlateAir, ...]
    props: tuple[PropFit, ...]
    notes: tuple[str, ...]  #: where the design departs from what is usual
    problems: tuple[str, ...]


def bench(carved: Carved, spec: BenchSpec | None = None) -> Bench:
    """Return all of it. What cannot be done comes back among the problems; never raises for what a maker wrote."""
    spec = spec or BenchSpec()
    problems: list[str] = []
    placed = carved.placed

    def tried(what: str, work: Callable[[], T]) -> T | None:
        try:
            return work()
        except (ValueError, KeyError) as error:
            reason = str(error.args[0]) if error.args else type(error).__name__
            problems.append(f"{what}: {reason}")
            return None

    made = tried("rim", lambda: rim(placed, spec.rim))
    strips = tried("rim strip", lambda: tapes(carved, spec.rim)) or tapes(carved)
    cut = tried("rosette", lambda: rosette_cut(placed, spec.rosette))
    plates: tuple[Literal["top", "back"], ...] = ("top", "back")
    bars, clamps, airs = [], [], []
    for name in plates:
        if spec.method == "dish and go-bars" and getattr(carved, name).braces:
            bars.append(tried(f"go-bars, {name}", lambda n=name: plate_bars(carved, n, spec.deck)))  # type: ignore[misc]
        if made is not None:
            clamps.append(tried(f"clamps, {name}", lambda n=name, r=made: closing_clamps(carved, r, n, spec.clamps)))  # type: ignore[misc]
        airs.append(tried(f"humidity, {name}", lambda n=name: plate_air(carved, n, spec.air)))  # type: ignore[misc]
    props = [tried(f"prop {i}", lambda p=p: fit_prop(carved, p)) for i, p in enumerate(spec.props, 1)]  # type: ignore[misc]
    return Bench(
        spec,
        made,
        strips,
        edge_strips(placed, spec.edges),
        cut,
        strip_cuts(carved),
        box_air(carved, spec.air.temperature_celsius_deg),
        tuple(b for b in bars if b is not None),
        tuple(c for c in clamps if c is not None),
        tuple(a for a in airs if a is not None),
        tuple(p for p in props if p is not None),
        (*thickness_notes(placed.design), *_rosette_notes(placed, cut)),
        tuple(problems),
    )


def _rosette_notes(placed: Placed, cut: RosetteCut | None) -> tuple[str, ...]:
    return () if cut is None else rosette_notes(cut.depths_mm[-1], placed.top.spec.thickness_mm)
