"""Every preset on bodies of other sizes, with other domes, widths and angles.

Whatever the size, an outline is simple and rim lengths are its integral. A left-handed copy is the mirror image, on
paper too. What is sound holds together, and no two of its solids claim the same wood.
"""

from __future__ import annotations

import copy
import re
from itertools import combinations, pairwise
from typing import Any

import manifold3d
import numpy as np
import pytest
from hypothesis import HealthCheck, assume, example, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from shapely.geometry import Polygon
from support.designs import raw_of, toml_text
from support.whole import whole

from braces.app.study import Study, follow
from braces.base.units import length_mm
from braces.curves.path import Path
from braces.design.load import preset_names
from braces.sheets.plan import plan_drawing
from braces.solids.brace import brace_solid
from braces.solids.mesh import mesh
from braces.solids.plate import brace_placement
from braces.workshop.rim import rim

PRESETS = preset_names()
#: Entries that lie in plan: they grow with the body. Sections, heights and thicknesses do not.
PLAN = frozenset(
    (
        *("length", "lower_bout", "waist", "upper_bout", "tail_block", "neck_block", "scale", "soundhole", "diameter"),
        *("rosette", "bridge", "bridge_plate", "front", "at", "crossing", "centre", "focus", "pitch_at", "off", "from"),
        *("to", "region", "top", "top_width", "bottom", "bottom_width", "a", "b", "pitch"),
    )
)
LENGTH = re.compile(r"^[\d./ ]+?(?:mm|cm|in|ft)\b")


Domes = tuple[float | None, float | None]
Changes = tuple[float, Domes, float, float]


def grown(value: Any, size: float) -> Any:
    """``value`` with every length in it times ``size``."""
    if isinstance(value, dict):
        return {k: v if k in ("thickness", "joint", "brace") else grown(v, size) for k, v in value.items()}
    if isinstance(value, str) and (found := LENGTH.match(value)):
        return f"{length_mm(found[0]) * size:.4f} mm{value[found.end() :]}"
    return value


def changed(
    raw: dict[str, Any], size: float, domes: tuple[float | None, float | None], wide: float, lean: float
) -> Any:
    """A preset's tables on a body ``size`` times as large, braces ``wide`` times as wide, crossings opened by ``lean``.

    ``domes`` are the radii of top and back in mm, None for flat.
    """
    raw = copy.deepcopy(raw)
    for part in (raw["body"], raw["strings"]):
        part.update({k: grown(v, size) for k, v in part.items() if k in PLAN})
    for name, dome in zip(("top", "back"), domes, strict=True):
        plate = raw[name]
        plate.update({k: grown(v, size) for k, v in plate.items() if k in PLAN})
        plate["dome"] = plate["dome"] | ({"radius": f"{dome:.1f} mm"} if dome else {"shape": "flat"})
        for brace in plate["braces"]:
            brace.update({k: grown(v, size) for k, v in brace.items() if k in PLAN})
            brace["width"] = grown(brace["width"], wide)
            if brace["lay"] == "crossing pair":
                brace["angle"] = f"{float(brace['angle'].split()[0]) + lean:.2f} deg"
    return raw


def made(name: str, size: float, domes: Domes, wide: float, lean: float, handed: str = "") -> Study:
    raw = changed(raw_of(name), size, domes, wide, lean)
    return follow(f"{name}.toml", toml_text(raw | ({"handed": handed} if handed else {})))


sizes, widths, leans = st.floats(0.5, 1.6), st.floats(0.8, 1.25), st.floats(-8, 8)
domes = st.tuples(*[st.one_of(st.none(), st.floats(3000, 30000))] * 2)


def integral_mm(path: Path, u0: float, u1: float) -> float:
    """Length by scipy's quadrature of differences of the curve's points, piece by piece."""

    def speed(u: float) -> float:
        ends = path.point(np.array([u - 1e-5, u + 1e-5]))
        return float(np.linalg.norm(ends[1] - ends[0])) / 2e-5

    places = [u0, *np.arange(np.floor(u0) + 1, u1), u1]
    return sum(quad(speed, a + 2e-5, b - 2e-5)[0] * (b - a) / (b - a - 4e-5) for a, b in pairwise(places))


@settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(PRESETS), st.tuples(sizes, domes, widths, leans))
def test_every_preset_on_many_bodies(name: str, changes: Changes) -> None:
    study = made(name, *changes)
    assert not {p.code for p in study.problems} & {"L05", "C05"}  # a scaled outline is as fair as the first
    if study.carved is None:
        return
    placed = study.carved.placed
    for path in (placed.outline, placed.top.lining, placed.back.outline, placed.back.lining):
        polygon = Polygon(path.dense(60))
        assert polygon.is_valid
        assert polygon.exterior.is_ccw
        assert path.perimeter_mm == pytest.approx(polygon.length, rel=1e-4)
    if study.sound:
        whole(study)


@settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(PRESETS), st.tuples(sizes, domes, st.just(1.0), st.just(0.0)))
def test_rim_lengths_are_the_integral_of_the_outline(name: str, changes: Changes) -> None:
    study = made(name, *changes)
    assume(study.carved is not None)
    placed = study.carved.placed  # type: ignore[union-attr]
    half, thick = placed.outline.count / 2, placed.design.body.side_mm
    treble = placed.design.handed == "right"
    for side in rim(placed).sides:
        span = (0.0, half) if (side.name == "treble") == treble else (half, 2 * half)
        for inset, length in ((0.0, side.outside_mm), (thick / 2, side.length_mm), (thick, side.inside_mm)):
            assert length == pytest.approx(integral_mm(placed.outline.inside(inset), *span), rel=1e-6)


@example("goshawk", (1.0, (None, None), 1.0, 0.0))
@settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(PRESETS), st.tuples(st.floats(0.8, 1.25), domes, widths, leans))
def test_the_other_hand_is_the_mirror_image_on_paper_too(name: str, changes: Changes) -> None:
    right, left = (made(name, *changes, handed=hand) for hand in ("right", "left"))
    assert [p.code for p in right.problems] == [p.code for p in left.problems]
    if right.carved is None or left.carved is None:
        return
    for a, b in zip(right.carved.braces, left.carved.braces, strict=True):
        assert a.name == b.name
        assert b.origin_xy_mm == pytest.approx((-a.origin_xy_mm[0], a.origin_xy_mm[1]), abs=1e-6)
        # The back's plan is turned into its own plane by differences, which are true to some 1e-7 mm.
        assert b.heading_xy == pytest.approx((-a.heading_xy[0], a.heading_xy[1]), abs=1e-8)
        assert b.volume_mm3 == pytest.approx(a.volume_mm3, rel=1e-8)
        assert [n.depth_mm for n in b.notches] == pytest.approx([n.depth_mm for n in a.notches], abs=1e-8)
    for plate_a, plate_b in zip(right.carved.plates, left.carved.plates, strict=True):
        other = {(p.brace, p.end): p for p in plate_b.pockets}
        for p in plate_a.pockets:
            q = other[p.brace, p.end]
            assert (q.number, q.side) == (p.number, p.side)
            assert (q.along_rim_mm, q.width_mm) == pytest.approx((p.along_rim_mm, p.width_mm), abs=1e-4)
    if not right.sound:
        return
    for plate in ("top", "back"):
        ours, theirs = (plan_drawing(s.carved, plate) for s in (right, left))  # type: ignore[arg-type]
        drawn = [np.vstack([s.points for s in d.strokes if s.layer == "cut"]) for d in (ours, theirs)]
        drawn = [np.unique(p.round(3), axis=0) for p in (drawn[0] * (-1, 1), drawn[1])]
        # Every point of one lies on a point of the other's mirror image, wherever its stroke begins.
        apart = [np.abs(p[:, None] - q[None]).sum(axis=2).min(axis=1).max() for p, q in (drawn, drawn[::-1])]
        assert max(apart) < 0.01, plate


def shared_mm3(study: Study, plate: str) -> float:
    """Wood that two braces of a plate claim: by manifold3d, on the triangles of the placed solids."""
    sticks = getattr(study.carved, plate).braces
    bodies = []
    for b in sticks:
        vertices, faces = mesh(brace_solid(b), 0.05)
        points = brace_placement(b, -1 if plate == "top" else 1)(vertices)
        bodies.append(manifold3d.Manifold(manifold3d.Mesh64(points, faces.astype(np.uint64))))
    assert all(body.status() == manifold3d.Error.NoError for body in bodies)
    return sum((a ^ b).volume() for a, b in combinations(bodies, 2))


@pytest.mark.slow
@settings(max_examples=8, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(
    st.sampled_from([p for p in PRESETS if p != "goshawk"]),  # its laps take as long as all others' together
    st.sampled_from(["top", "back"]),
    st.tuples(st.floats(0.93, 1.2), domes, st.floats(0.9, 1.1), st.floats(-4, 4)),
)
def test_no_two_solids_claim_the_same_wood(name: str, plate: str, changes: Changes) -> None:
    study = made(name, *changes)
    assume(study.sound)
    assert shared_mm3(study, plate) < 0.5
