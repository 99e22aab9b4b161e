"""The patch over an X: where it lies, on what, and what is said of one that would not lie."""

import numpy as np
import pytest
import shapely
from support.designs import carved_of, edited, text_of

from braces.app.study import follow
from braces.carved.caps import cap_wood
from braces.placed.footprint import footprint
from braces.workshop.cutlist import cut_list

CAP = 'cap = { wood = "Sitka spruce", thickness = "1.5 mm", length = "40 mm" }'


def the_cap(carved):
    (cap,) = carved.top.caps
    return cap, next(b for b in carved.top.braces if b.name == cap.along)


def test_it_lies_along_the_brace_whose_edge_the_lap_cuts():
    carved = carved_of("whimbrel")
    cap, below = the_cap(carved)
    lap = next(n for n in below.notches if n.kind == "half-lap")
    assert (cap.along, cap.across) == ("x-bass", "x-treble")
    assert lap.opens == "room"
    assert cap.at_mm == pytest.approx(lap.at_mm)
    # 40 x 8 in plan, its middle on the crossing, all of it over the brace: by shapely.
    patch = shapely.Polygon(cap.corners)
    foot = shapely.Polygon(footprint(next(b for b in carved.placed.top.braces if b.name == "x-bass")))
    assert patch.area == pytest.approx(40 * 8)
    assert patch.difference(foot).area < 1e-6
    (crossing,) = carved.placed.top.crossings
    assert patch.centroid.distance(shapely.Point(crossing.at)) < 1e-9


def test_its_bed_is_square_and_level():
    """Without the cap the section is rounded at its ends; with it, square all along."""
    cap, below = the_cap(carved_of("whimbrel"))
    x = np.linspace(cap.at_mm - 20, cap.at_mm + 20, 41)
    assert np.abs(below.drop(x)).max() < 1e-12
    bare = carved_of("whimbrel", (f", {CAP}", ""))
    assert bare.top.caps == ()
    assert np.abs(next(b for b in bare.top.braces if b.name == "x-bass").drop(x)).max() > 0.5
    assert np.ptp(below.height(x)) < 0.1


def test_its_wood_sits_on_the_carved_edge():
    cap, below = the_cap(carved_of("whimbrel"))
    wood = cap_wood(cap, below)
    x = np.linspace(0, 40, 9)
    for y in (-4.0, 0.0, 4.0):  # the carved edge is level across
        edge = below.glue.z(x + cap.at_mm - 20, 0.0) + below.height.at(cap.at_mm)
        assert wood.glue.z(x, y) == pytest.approx(edge, abs=1e-9)
    assert wood.volume_mm3 == pytest.approx(40 * 8 * 1.5)
    assert wood.mass_g == pytest.approx(40 * 8 * 1.5 * below.density_kg_m3 * 1e-6)  # the brace's own wood


def test_without_a_length_it_is_twice_as_long_as_wide():
    cap, _ = the_cap(carved_of("whimbrel", (', length = "40 mm" }', " }")))
    assert (cap.length_mm, cap.width_mm) == (16.0, 8.0)


def test_the_cut_list_has_it_once():
    (piece,) = [p for p in cut_list(carved_of("whimbrel")) if p.piece.startswith("cap")]
    assert piece.size_mm == (40.0, 8.0, 1.5)
    assert "x-bass" in piece.note


def test_one_longer_than_the_land_is_told():
    long = edited(text_of("whimbrel"), ('length = "40 mm" }', 'length = "120 mm" }'))
    assert [(p.code, p.fatal) for p in follow("whimbrel.toml", long).problems] == [("J08", False)]
