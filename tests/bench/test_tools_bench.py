"""How long the tools of a guitar take, with their pages, against what loading the CAD package takes beside it.

Both are whole processes, begun one after the other; the best of two, wall and processor time, one process for the work
(with three and more the kinds of tools are shared out; see ``app/tools.WORTH_IT``).
"""

import json
import resource
import subprocess
import sys
import time
from pathlib import Path

import pikepdf


def seconds(*command: str) -> tuple[float, float]:
    """Return wall and processor seconds of a command."""
    wall, processor = float("inf"), float("inf")
    for _ in range(3):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        wall = min(wall, time.perf_counter() - start)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        processor = min(processor, spent)
    return wall, processor


def test_all_tools_of_a_guitar_take_less_than_four_times_as_long_as_loading_the_cad_package(tmp_path: Path) -> None:
    loading = seconds(sys.executable, "-c", "import cadquery")
    start = "from braces.cli.main import run; run()"
    make = (sys.executable, "-c", start, "make", "fieldfare", "--only", "tools", "--jobs", "1", "--out", str(tmp_path))
    ours = seconds(*make)
    folder = tmp_path / "fieldfare"
    rows = json.loads((folder / "summary.json").read_text(encoding="utf-8"))["tools"]
    count, printed = len(rows), sum(row["printed"] for row in rows)
    with pikepdf.open(folder / "tools.pdf") as pdf:
        pages = len(pdf.pages)
    for kind, mine, theirs in zip(("wall", "processor"), ours, loading, strict=True):
        print(f"{kind}: {count} tools on {pages} pages {mine:.2f} s, import {theirs:.2f} s: {mine / theirs:.2f} x")
    assert count >= 20
    assert pages > printed  # bars cut from stock share one
    assert ours[1] < 4 * loading[1]
    assert ours[0] < 4 * loading[0]
