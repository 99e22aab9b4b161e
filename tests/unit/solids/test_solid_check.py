"""The acceptance check refuses what it must."""

from dataclasses import replace

import pytest
from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Compound
from solid_specimens import dome, x_bass

from braces.solids.brace import build_brace
from braces.solids.check import check_brace, check_solid, faces_of, free_edge_count
from braces.solids.kernel import SolidError, solid

STICK = x_bass()
GOOD = build_brace(STICK)


def test_a_good_brace_passes():
    check_brace(GOOD, STICK)


@pytest.mark.parametrize("factor", [1.0002, 0.9998])
def test_wrong_volume(factor):
    with pytest.raises(SolidError, match="volume"):
        check_solid(GOOD, "x-bass", STICK.volume_mm3 * factor)


def test_open_shell():
    lidless = solid(faces_of(GOOD)[1:])
    assert free_edge_count(lidless) == 4
    with pytest.raises(SolidError, match="not closed, 4 free edges"):
        check_solid(lidless, "x-bass", STICK.volume_mm3)


def test_inside_out():
    with pytest.raises(SolidError, match="volume -"):
        check_solid(solid(f.Reversed() for f in faces_of(GOOD)), "x-bass", STICK.volume_mm3)


def test_two_solids():
    pair = TopoDS_Compound()
    BRep_Builder().MakeCompound(pair)
    for _ in range(2):
        BRep_Builder().Add(pair, GOOD)
    with pytest.raises(SolidError, match="2 solids"):
        check_solid(pair, "x-bass", STICK.volume_mm3)


def test_another_dome():
    """Sagitta of half a metre: 500^2 / 8 * (1 / 8525 - 1 / 8534) = 0.004 mm."""
    other = replace(STICK, glue=dome(8525.0, y_mm=40.0))
    with pytest.raises(SolidError, match=r"glue face is 0\.00"):
        check_brace(GOOD, other)


def test_no_glue_face():
    with pytest.raises(SolidError, match="no glue face"):
        check_brace(GOOD, replace(STICK, glue=replace(STICK.glue, kind="cylinder")))
