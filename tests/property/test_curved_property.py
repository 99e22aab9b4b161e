"""Curved braces of every bow, size and end: solids sound and of the right volume, sides as long as the plan says."""

from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import Polygon
from support.curved import BOW, with_braces

from braces.placed.footprint import footprint
from braces.sheets.side_shape import end_x_mm
from braces.sheets.unrolled import near_side
from braces.solids.brace import brace_solid
from braces.solids.check import volume_mm3

SECTIONS: tuple[dict[str, Any], ...] = (
    {"law": "square"},
    {"law": "rounded"},
    {"law": "gabled", "land": "2 mm", "shoulder": "3 mm", "blend": "15 mm"},
    {"law": "tapered", "top_width": "3 mm", "upright": "3 mm", "blend": "15 mm"},
)


@given(
    bow=st.floats(2, 35),
    slant=st.floats(-20, 20),
    width=st.floats(5, 14),
    height=st.floats(9, 16),
    to=st.sampled_from(["neck", "tail"]),
    section=st.sampled_from(SECTIONS),
    handed=st.sampled_from(["right", "left"]),
    passage=st.booleans(),
)
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_bow(
    bow: float, slant: float, width: float, height: float, to: str, section: dict[str, Any], handed: str, passage: bool
) -> None:
    spec = BOW | {
        "from": {"rim": "bass", "at": f"{285 - slant:.2f} mm from the tail"},
        "to": {"rim": "treble", "at": f"{285 + slant:.2f} mm from the tail"},
        "bow": f"{bow:.3f} mm",
        "bow_to": to,
        "laminations": 16,
        "width": f"{width:.2f} mm",
        "height": f"{height:.2f} mm",
        "section": section,
        "profile": {"law": "tapered", "land": "40 mm"},
    }
    if passage:
        spec["cut_outs"] = [{"at": "30 %", "width": "10 mm", "depth": "4 mm", "opens_to": "plate"}]
    carved = with_braces(spec, handed=handed)
    b = next(x for x in carved.braces if x.name == "bow")
    assert volume_mm3(brace_solid(b)) == pytest.approx(b.volume_mm3, rel=1e-5)

    placed = next(x for x in carved.placed.back.braces if x.name == "bow")
    plan = Polygon(footprint(placed))
    y = np.linspace(-width / 2, width / 2, 201)[1:-1]
    middle = sum(b.length_at(float(v)) for v in y) / len(y)
    assert plan.area == pytest.approx(middle * b.width_mm, rel=1e-4)

    flat = near_side(b)
    drawn = end_x_mm(flat, "end", "near") - end_x_mm(flat, "start", "near")
    assert drawn == pytest.approx(b.length_at(-b.width_mm / 2), rel=1e-9)
