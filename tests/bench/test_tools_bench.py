"""How long the tools of a guitar take, against the time that loading the CAD package takes on the same machine."""

import subprocess
import sys
import time

CODE = """
from braces.carved.carve import carve
from braces.design.load import load
from braces.placed.place import place
from braces.solids.tools.registry import tool_files
from braces.solids.tools.settings import ToolSettings
files = tool_files(carve(place(load("fieldfare").design)), ToolSettings())
print(len({name.split(".")[0] for name in files if name.endswith(".step")}))
"""


def seconds(*command: str) -> tuple[float, str]:
    best, out = float("inf"), ""
    for _ in range(2):
        start = time.perf_counter()
        out = subprocess.run(command, check=True, capture_output=True, text=True).stdout
        best = min(best, time.perf_counter() - start)
    return best, out


def test_all_tools_of_a_guitar_take_less_than_four_times_as_long_as_loading_the_cad_package():
    loading, _ = seconds(sys.executable, "-c", "import cadquery")
    ours, count = seconds(sys.executable, "-c", CODE)
    print(f"{count.strip()} tools {ours:.2f} s; import cadquery {loading:.2f} s: {ours / loading:.2f} x")
    assert int(count) >= 20
    assert ours < 4 * loading
