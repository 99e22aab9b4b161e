"""What the shop's settings can get wrong for an instrument, and that nothing heavy is loaded to say so."""

import subprocess
import sys
from dataclasses import replace

import pytest
from support.designs import carved_of

from braces.base.problems import known_codes
from braces.design.load import preset_names
from braces.solids.tools.problems import tool_problems
from braces.solids.tools.settings import ToolSettings

GOOD = ToolSettings()


@pytest.mark.parametrize("name", sorted(preset_names()))
def test_presets_are_in_order(name):
    found = tool_problems(carved_of(name), GOOD)
    assert [p for p in found if p.fatal] == []
    assert {p.code for p in found} == ({"S06"} if name == "curlew" else set())  # its bow is curved


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        (replace(GOOD, bed_mm=(100.0, 220.0, 250.0)), "S01"),
        (replace(GOOD, bed_mm=(220.0, 220.0, 40.0)), "S01"),
        (replace(GOOD, abrasive_mm=3.0), "S03"),
        (replace(GOOD, gauge_mm=1.8), "S04"),
        (replace(GOOD, deck_mm=150.0), "S05"),
    ],
)
def test_bad_settings(settings, code):
    found = tool_problems(carved_of("fieldfare"), settings)
    assert {p.code for p in found} == {code}
    assert all(p.found and p.advice for p in found)
    assert code in known_codes()


def test_a_dome_too_tight_for_the_printer():
    """Over 428 mm a radius of 597 mm rises by 40 mm; base, fences and room above the bed take 30."""
    tight = carved_of("fieldfare", ('radius = "28 ft"', 'radius = "600 mm"'))
    found = tool_problems(tight, replace(GOOD, bed_mm=(220.0, 220.0, 70.0)))
    assert "S02" in {p.code for p in found}


def test_everything_is_said_at_once():
    worst = replace(GOOD, bed_mm=(50.0, 50.0, 250.0), abrasive_mm=3.0, deck_mm=100.0)
    assert {p.code for p in tool_problems(carved_of("fieldfare"), worst)} == {"S01", "S03", "S05"}


def test_no_kernel_is_loaded_to_check():
    code = (
        "import sys; import braces.solids.tools.problems; "
        "print(*sorted({n.split('.')[0] for n in sys.modules} & {'OCP', 'cadquery', 'manifold3d', 'trimesh', 'scipy'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""
