"""Help and check start fast: no CAD, PDF, DXF or heavy numerical library is loaded for them."""

import subprocess
import sys

import pytest

HEAVY = (
    "cadquery", "OCP", "vtkmodules", "reportlab", "pikepdf", "ezdxf", "scipy", "shapely", "trimesh", "manifold3d",
    "matplotlib", "casadi", "PIL", "pypdfium2", "hypothesis", "starlette", "uvicorn", "tomlkit",
)  # fmt: skip
LISTING = """
import sys
from braces.cli.main import run
try:
    run()
except SystemExit as end:
    print("ended", end.code or 0)
print("loaded", *sorted({name.split(".")[0] for name in sys.modules}))
"""


def loaded(*args: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", LISTING, *args], capture_output=True, text=True, check=True, timeout=60
    )
    assert "ended 0" in done.stdout
    return set(done.stdout.splitlines()[-1].split()[1:])


@pytest.mark.parametrize(
    "args",
    [("--help",), ("check", "fieldfare"), ("make", "--help"), ("presets",), ("reference",)],
    ids=lambda a: " ".join(a),
)
def test_heavy_libraries_are_not_loaded(args: tuple[str, ...]) -> None:
    names = loaded(*args)
    assert "braces" in names
    assert not names & set(HEAVY)
