"""From a Design to where everything runs."""

from __future__ import annotations

from functools import lru_cache
from math import inf
from typing import Literal

import numpy as np

from braces.base.arrays import Points, frozen_points
from braces.base.problems import DesignError, Problem
from braces.curves.path import Path
from braces.curves.polygons import area_mm2, rectangle
from braces.design.model import BridgePlateSpec, BridgeSpec, Design, PlateSpec
from braces.placed.anchors import Anchors, anchors
from braces.placed.clearance import clearance_problems
from braces.placed.dome import Dome
from braces.placed.layout import Layout
from braces.placed.outline import body_outline
from braces.placed.patches import patches, trimmed
from braces.placed.pose import TOP, back_pose, seen_on_plate
from braces.placed.rules import LAYS, lap_between
from braces.placed.values import Placed, PlacedBrace, PlacedPlate


def place(design: Design) -> Placed:
    """Return the layout of a design. Raises DesignError with every problem found."""
    placed, problems = placed_with_problems(design)
    if placed is None or any(p.fatal for p in problems):
        raise DesignError(problems)
    return placed


def placed_with_problems(design: Design) -> tuple[Placed | None, list[Problem]]:
    """Return the layout as far as it can be made, and everything wrong with it."""
    problems: list[Problem] = []
    known = anchors(design, problems)
    outline, unfair = body_outline(design.body, design.handed)
    problems += unfair
    top, back = _dome(design, "top", known, problems), _dome(design, "back", known, problems)
    problems += _hole_off_the_body(design, outline, known)
    problems += _too_shallow(design)
    pose, tilt = back_pose(design.body, top, back)
    if problems:
        return None, problems
    plates = [_laid(design.with_only("top"), "top"), _laid(design.with_only("back"), "back")]
    hole = design.top.soundhole
    edges = known.edges.get("soundhole")
    placed = Placed(
        design=design,
        outline=outline,
        saddle_y_mm=known.edges["saddle"][0],
        soundhole_y_mm=sum(edges) / 2 if edges else None,
        soundhole_radius_mm=hole.diameter_mm / 2 if hole else 0.0,
        top=plates[0][0],
        back=plates[1][0],
        top_pose=TOP,
        back_pose=pose,
        back_tilt_deg=float(np.degrees(tilt)),
    )
    for plate, wrong in plates:
        problems += [*wrong, *clearance_problems(plate, placed)]
    return placed, problems


@lru_cache(maxsize=4)
def _laid(design: Design, name: Literal["top", "back"]) -> tuple[PlacedPlate, tuple[Problem, ...]]:
    """Return one plate and what is wrong with it, from a design ``with_only`` that plate.

    Remembered: of two states of a design that differ on the other plate, this one is laid out once.
    """
    problems: list[Problem] = []
    known, outline = anchors(design, problems), body_outline(design.body, design.handed)[0]
    dome = _dome(design, name, known, problems)
    if name == "back":
        pose, _ = back_pose(design.body, _dome(design, "top", known, problems), dome)
        seen = seen_on_plate(dome, pose)
        outline, known = outline.mapped(seen), known.mapped(seen)
    plate = _plate(design, name, dome, outline, known, problems)
    return plate, tuple(problems)


def _hole_off_the_body(design: Design, outline: Path, known: Anchors) -> list[Problem]:
    if (hole := design.top.soundhole) is None or "soundhole" not in known.edges:
        return []
    y = sum(known.edges["soundhole"]) / 2
    lining = outline.inside(design.body.side_mm + design.lining.thickness_mm).dense()
    room = float(np.min(np.hypot(lining[:, 0], lining[:, 1] - y))) - hole.diameter_mm / 2
    inside = 0 < y < design.body.length_mm and room > 0
    found = f"the hole reaches {max(-room, 0.0):.1f} mm into the lining"
    return [] if inside else [Problem("L07", ("top", "soundhole"), found, "make it smaller, or move it inwards")]


def _too_shallow(design: Design) -> list[Problem]:
    """The two linings and the two plates must have room above each other at both ends."""
    least = design.top.thickness_mm + design.back.thickness_mm + 2 * design.lining.height_mm
    depth = design.body.depth
    return [
        Problem(
            "B01",
            ("body", "depth", end),
            f"a depth of {mm:.1f} mm at the {end} has no room for two plates and two linings, {least:.1f} mm in all",
            "make the body deeper or the lining lower",
        )
        for end, mm in (("tail", depth.tail_mm), ("neck", depth.neck_mm))
        if mm < least
    ]


def _dome(design: Design, name: str, known: Anchors, problems: list[Problem]) -> Dome:
    spec: PlateSpec = getattr(design, name)
    dome = spec.dome
    apex = known.length_mm / 2
    if dome.apex is not None:
        apex = known.y_or(dome.apex, (name, "dome", "apex"), problems, apex)
    radius = inf
    if dome.shape != "flat":
        if dome.radius_mm is None:
            problems.append(
                Problem(
                    "K02",
                    (name, "dome", "radius"),
                    '"radius" is missing',
                    'add radius = "28 ft", or shape = "flat"',
                )
            )
        else:
            radius = dome.radius_mm
            reach = max(known.length_mm, design.body.lower_bout.width_mm)
            if radius - spec.thickness_mm < reach:
                problems.append(
                    Problem(
                        "C05",
                        (name, "dome", "radius"),
                        f"a radius of {radius:.0f} mm is smaller than the plate's reach of {reach:.0f} mm",
                        "give a larger radius",
                    )
                )
    if radius == inf:
        return Dome("flat", inf, spec.thickness_mm, apex)
    return Dome(dome.shape, radius, spec.thickness_mm, apex)


def _plate(
    design: Design, name: str, dome: Dome, outline: Path, known: Anchors, problems: list[Problem]
) -> PlacedPlate:
    spec: PlateSpec = getattr(design, name)
    lining = outline.inside(design.body.side_mm + design.lining.thickness_mm)
    layout = Layout("top" if name == "top" else "back", lining, known, 1 if design.handed == "right" else -1)
    for i, brace in enumerate(spec.braces):
        layout.lay(LAYS[brace.lay], brace, (name, "braces", i))
    for i, join in enumerate(spec.laps):
        layout.lay(lap_between, join, (name, "laps", i))
    problems += layout.problems
    saddle = known.edges["saddle"][0]
    return PlacedPlate(
        name=layout.plate,
        spec=spec,
        dome=dome,
        outline=outline,
        lining=lining,
        braces=tuple(layout.braces),
        crossings=tuple(layout.crossings),
        bridge_plate=_bridge_plate(spec.bridge_plate, saddle, layout.braces, problems),
        bridge=_bridge(spec.bridge, saddle),
        strip=_strip(design, spec, outline),
        patches=patches(name, spec, known, layout.braces, problems),
    )


def _bridge(spec: BridgeSpec | None, saddle_y: float) -> Points | None:
    if spec is None:
        return None
    front = saddle_y + spec.saddle_from_front_mm
    return rectangle(spec.length_mm / 2, front - spec.width_mm, front)


def _bridge_plate(
    spec: BridgePlateSpec | None, saddle_y: float, braces: list[PlacedBrace], problems: list[Problem]
) -> Points | None:
    """The patch as asked, trimmed to what is free between the braces round it."""
    if spec is None:
        return None
    front = saddle_y + spec.front_mm
    whole = rectangle(spec.length_mm / 2, front - spec.width_mm, front)
    centre = np.array([0.0, front - spec.width_mm / 2])
    shape = trimmed(whole, centre, braces, spec.gap_mm)
    if len(shape) < 3 or area_mm2(shape) < 0.4 * spec.length_mm * spec.width_mm:
        problems.append(
            Problem(
                "L09",
                ("top", "bridge_plate"),
                "less than 40 % of it is left between the braces",
                "make it shorter or narrower, or move the braces",
            )
        )
        return None
    return frozen_points(shape)


def _strip(design: Design, spec: PlateSpec, outline: Path) -> Points | None:
    if spec.centre_strip is None:
        return None
    ends = outline.point(np.array([0.0, outline.count / 2]))[:, 1]
    body = design.body
    return rectangle(
        spec.centre_strip.width_mm / 2,
        float(ends[0]) + body.side_mm + body.tail_block_mm,
        float(ends[1]) - body.side_mm - body.neck_block_mm,
    )
