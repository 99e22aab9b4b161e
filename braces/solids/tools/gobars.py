"""Go-bar parts: the bars, cut to the room that the stack leaves under the deck, and the cups for their ends.

A bar longer than its room bows out; how far, and how hard it pushes, are the elastica's (``workshop/elastica.py``).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from manifold3d import Manifold

from braces.carved.values import Carved, CarvedBrace
from braces.curves.frames import Placement
from braces.design.woods import wood
from braces.solids.tools.bar import bar_solid
from braces.solids.tools.bodies import box, triangles
from braces.solids.tools.clamping import SEAT_MM, saddles
from braces.solids.tools.part import Draft, Measure, Part, finished, name_mark
from braces.solids.tools.placing import moved
from braces.solids.tools.planar import planar_solid
from braces.solids.tools.prism import Arc, prism
from braces.solids.tools.settings import ToolSettings
from braces.workshop.elastica import BentBar, bent_bar
from braces.workshop.habits import table

SOCKET_MM = 12.0  #: depth of a cup
FLOOR_MM = 2.4
NAME_MM = 26.0  #: least width, for a legible name
STAND_MM = 0.5  #: the cup's shoulder stands off the caul, so that the cone bears
TIP_MM = 1.0  #: half the width of the cone's blunt tip
ROUND_MM = 2.0  #: lengths are rounded to this
CHAMFER_MM = 0.6


@dataclass(frozen=True, slots=True)
class BarPlace:
    """One go-bar: where it stands in plan, and how long it is."""

    brace: str
    plate: str
    x_mm: float  #: plan of its plate
    y_mm: float
    along_mm: float  #: on the brace's centre line from its start
    serves_mm: float  #: length of the brace that it presses
    room_mm: float  #: between the bar's ends when the deck is set
    length_mm: float


def bar_places(carved: Carved, settings: ToolSettings) -> tuple[BarPlace, ...]:
    """Return every bar of a glue-up: the deck's spacing drawing as data."""
    return tuple(
        place for plate in carved.plates for brace in plate.braces for place in _places_of(plate.name, brace, settings)
    )


def _places_of(plate: str, brace: CarvedBrace, settings: ToolSettings) -> list[BarPlace]:
    found = []
    for saddle in saddles(brace, settings):
        room = settings.deck_mm - brace.glue_depth_mm - saddle.back_mm - STAND_MM - 2 * FLOOR_MM
        length = ROUND_MM * round((room + settings.bar_over_mm) / ROUND_MM)
        for s in saddle.seats_mm:
            x, y = brace.plan_at(s)
            serves = (saddle.span[1] - saddle.span[0]) / len(saddle.seats_mm)
            found.append(BarPlace(brace.name, plate, x, y, s, serves, room, length))
    return found


def inertia_mm4(settings: ToolSettings) -> float:
    """Return the second moment of area about the axis a bar bends round."""
    if settings.bar_shape == "rod":
        return pi * settings.bar_thickness_mm**4 / 64
    return settings.bar_width_mm * settings.bar_thickness_mm**3 / 12


def bar_mpa(settings: ToolSettings) -> float:
    """Return the elastic modulus along a bar. Raises KeyError for a material that is in no table."""
    name = " ".join(settings.bar_material.lower().split())
    row = table("glue_up")["bars"].get(name)
    return float(row["modulus_mpa"]) if row else wood(name).strength.moe_mpa


def standing(length_mm: float, room_mm: float, settings: ToolSettings) -> BentBar:
    """Return how a bar stands in its room. Raises ValueError if it does not bow, or leans too far."""
    return bent_bar(length_mm, room_mm, bar_mpa(settings) * inertia_mm4(settings))


def go_bars(carved: Carved, settings: ToolSettings) -> tuple[Part, ...]:
    """Return the bars by length, the cup for the caul and the cup for the deck."""
    places = bar_places(carved, settings)
    if not places:
        return ()
    by_length: dict[float, list[BarPlace]] = {}
    for place in places:
        by_length.setdefault(place.length_mm, []).append(place)
    bars = [_bar(length, by_length[length], settings) for length in sorted(by_length)]
    most = max(sum(p.plate == plate for p in places) for plate in ("top", "back"))
    return (*bars, _cup(carved, most, True, settings), _cup(carved, most, False, settings))


def _bar(length_mm: float, places: list[BarPlace], settings: ToolSettings) -> Part:
    thick, wide = settings.bar_thickness_mm, settings.bar_width_mm
    if settings.bar_shape == "rod":
        r = thick / 2
        upright = prism([Arc((0.0, 0.0), r, 0.0, pi), Arc((0.0, 0.0), r, pi, 2 * pi)], 0.0, length_mm)
        lying = Placement(((0.0, 0.0, 1.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)), (0.0, 0.0, r))
        shape, section = moved(upright, lying), f"rod {thick:g} mm"
    else:
        shape = bar_solid([(-wide / 2, 0.0), (wide / 2, 0.0), (wide / 2, thick), (-wide / 2, thick)], (0.0, length_mm))
        section = f"slat {wide:g} x {thick:g} mm"
    rooms = [p.room_mm for p in places]
    names = tuple(dict.fromkeys(p.brace for p in places))
    listed = ", ".join(names)
    stands = standing(length_mm, sum(rooms) / len(rooms), settings)
    bow, push = stands.bow_mm, stands.push_n
    return finished(
        Draft(
            f"go-bar-{length_mm:.0f}",
            f"go-bar {length_mm:.0f} mm, {section}",
            shape,
            "not printed: cut from straight stock, grain along",
            f"Of {settings.bar_material}, for {listed}. The deck's ceiling is {settings.deck_mm:g} mm above the lowest "
            f"place of the dish; plate, brace, caul and cups leave {min(rooms):.1f} to {max(rooms):.1f} mm. The bar is "
            f"longer by about {settings.bar_over_mm:g} mm, bows out by {bow:.0f} mm and pushes with {push:.0f} N. "
            "A bowed bar can fly out: wear eye protection.",
            (("length mm", length_mm), ("bow mm", bow), ("push N", push)),
            names,
            (),
            count=len(places),
            printed=False,
        ),
        settings,
    )


def _cup(carved: Carved, count: int, nosed: bool, settings: ToolSettings) -> Part:
    c, wall, deep = settings.clearance_mm, max(settings.wall_mm, 1.2), settings.bar_thickness_mm / 2
    wide = (settings.bar_width_mm if settings.bar_shape == "slat" else settings.bar_thickness_mm) / 2
    high = SOCKET_MM + FLOOR_MM
    x, y = max(wide + c + wall, NAME_MM / 2), max(deep + c + wall, SEAT_MM + STAND_MM + 0.5)
    body = box((-x, -y, 0.0), (x, y, high)) - box((-wide - c, -deep - c, -1.0), (wide + c, deep + c, SOCKET_MM))
    base = SEAT_MM + STAND_MM
    if nosed:
        body += _cone(base, TIP_MM, base - TIP_MM).translate((0, 0, high))
    place = "caul" if nosed else "deck"
    use = "Its cone sits in a seat of a clamping caul." if nosed else "Its level end bears on the deck's ceiling."
    mark = name_mark(carved, settings, f"{place} end", (0.0, -y, high / 2), (2 * x - 1, high - 1), 3.2, face="front")
    return finished(
        Draft(
            f"go-bar-cup-{place}",
            f"go-bar cup, {place} end",
            planar_solid(*triangles(body)),
            "open end down",
            f"Takes the end of a bar {SOCKET_MM:g} mm deep, {c:g} mm free on each side. {use}",
            (("length mm", 2 * x), ("width mm", 2 * y), ("socket mm", SOCKET_MM), ("floor mm", FLOOR_MM)),
            (),
            (mark,),
            net=body,
            count=count,
            has_end_view=True,
            measures=(Measure("under", (-wide - c, 0.0, 0.0), (wide + c, 0.0, 0.0), "socket"),),
            bridges=f"the ceiling of the socket, {2 * (deep + c):.1f} mm across, and the grooves of its mark",
        ),
        settings,
    )


def _cone(half_mm: float, tip_half_mm: float, high_mm: float) -> Manifold:
    """Return a blunt pyramid of eight sides, with the same turn as the seats of the cauls."""
    grown = 1 / 0.9238795325112867  # cosine of 22.5 degrees: from flats to corners
    return Manifold.cylinder(high_mm, half_mm * grown, tip_half_mm * grown, 8).rotate((0, 0, 22.5))
