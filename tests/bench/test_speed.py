"""How long the commands take, as ratios of what anybody can time beside them in the same run.

Every figure is the best of several runs of a fresh process, so that a busy machine disturbs it least. The bounds are
those the project set itself; both sides of a ratio run in turn.
"""

import os
import subprocess
import sys
import tempfile
import time

import pytest

from braces.carved.carve import carved_with_problems
from braces.design.load import parse, preset_folder
from braces.placed.place import placed_with_problems


def best(*commands, runs=5):
    """The least time of each command, taken in turn.

    An installed package has its bytecode beside it; a checkout that may not write any would be compiled on every
    start. So both sides get a folder of their own for it, and a first run that is not counted.
    """
    with tempfile.TemporaryDirectory() as compiled:
        kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        where = {"check": True, "capture_output": True, "env": {**kept, "PYTHONPYCACHEPREFIX": compiled}}
        for command in commands:
            subprocess.run(command, **where)
        times = [[] for _ in commands]
        for _ in range(runs):
            for command, taken in zip(commands, times, strict=True):
                start = time.perf_counter()
                subprocess.run(command, **where)
                taken.append(time.perf_counter() - start)
    return [min(t) for t in times]


def within(limit, plain, ours, runs):
    """The times of both commands; measured again, three times at most, while other work on the machine spoils them."""
    for _ in range(3):
        times = best(plain, ours, runs=runs)
        if times[1] <= limit * times[0]:
            break
    return times


def braces(*words):
    return [sys.executable, "-c", "from braces.cli.main import run; run()", *words]


def told(capsys, text):
    with capsys.disabled():
        print(f"\n{text}")


def test_check_against_importing_typer_and_numpy(capsys):
    plain, ours = within(4, [sys.executable, "-c", "import typer, numpy"], braces("check", "fieldfare"), runs=9)
    told(
        capsys,
        f"check fieldfare {ours * 1e3:.0f} ms, import typer, numpy {plain * 1e3:.0f} ms: {ours / plain:.2f} times",
    )
    assert ours <= 4 * plain


def test_check_of_a_lattice_against_fieldfare(capsys):
    plain, ours = best(braces("check", "fieldfare"), braces("check", "goshawk"))
    told(capsys, f"check goshawk {ours * 1e3:.0f} ms, fieldfare {plain * 1e3:.0f} ms: {ours / plain:.2f} times")
    assert ours <= 2 * plain


@pytest.mark.slow
def test_make_against_importing_cadquery(capsys, tmp_path):
    plain, ours = within(
        3, [sys.executable, "-c", "import cadquery"], braces("make", "fieldfare", "--out", str(tmp_path)), runs=4
    )
    told(capsys, f"make fieldfare {ours:.2f} s, import cadquery {plain:.2f} s: {ours / plain:.2f} times")
    assert ours <= 3 * plain


@pytest.mark.slow
def test_drawings_of_a_lattice_against_fieldfare(capsys, tmp_path):
    commands = [braces("make", n, "--only", "drawings", "--out", str(tmp_path)) for n in ("fieldfare", "goshawk")]
    plain, ours = best(*commands, runs=4)
    told(capsys, f"drawings of goshawk {ours:.2f} s, of fieldfare {plain:.2f} s: {ours / plain:.2f} times")
    assert ours <= 3 * plain


def comb(count):
    """Fieldfare's top as ``count`` plain fans in a narrow comb."""
    text = (preset_folder() / "fieldfare.toml").read_text(encoding="utf-8")
    head, tail = text[: text.index("[[top.braces]]")], text[text.index("[back]") :]
    fan = """
[[top.braces]]
name = "comb"
lay = "fan"
count = 25
focus = "3000 mm above the neck"
pitch = "4.5 mm"
pitch_at = "at the saddle"
head = "14 mm above the saddle"
foot = "14 mm below the saddle"
width = "2 mm"
height = "4 mm"
ends = { kind = "free", height = "1 mm", length = "2 mm" }
"""
    row = []
    for k in range(0, count, 10):
        n = min(10, count - k)
        y = 60 + 24 * (k // 10)
        row.append(
            fan.replace('"comb"', f'"comb {k}"')
            .replace("count = 25", f"count = {n}")
            .replace("4.5 mm", "9 mm")
            .replace('"14 mm above the saddle"', f'"{y + 11} mm from the tail"')
            .replace('"14 mm below the saddle"', f'"{y - 11} mm from the tail"')
            .replace('"at the saddle"', f'"{y} mm from the tail"')
        )
    # Only the layout and the carving are timed: the bridge plate and the hole stay out of the comb's way.
    head = head.replace(head[head.index("bridge_plate") :].splitlines()[0], "").replace(
        "147 mm from the neck", "60 mm from the neck"
    )
    return head.replace('"98 mm"', '"20 mm"') + "".join(row) + tail


def test_the_cost_of_many_sticks_grows_no_faster_than_n_log_n(capsys):
    took = {}
    for n in (10, 40, 160):
        least = float("inf")
        for again in range(3):
            # A plate already laid out or carved is remembered: each turn has braces of its own.
            design = parse(comb(n).replace('height = "4 mm"', f'height = "{4 + again / 10} mm"')).design
            start = time.perf_counter()
            placed, _problems = placed_with_problems(design)
            carved, _problems = carved_with_problems(placed)
            least = min(least, time.perf_counter() - start)
        assert len(carved.top.braces) == n
        took[n] = least
    told(capsys, "place and carve " + ", ".join(f"{n} sticks {t * 1e3:.0f} ms" for n, t in took.items()))
    # n log n from 40 to 160 is a factor of 5.5; the fixed part of the work only helps.
    assert took[160] <= 5.5 * took[40]
