"""Write a CalculiX deck of a case, run it, and read back frequencies and mid-plane movement."""

from __future__ import annotations

import os
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

import numpy as np

from braces.base.arrays import Floats
from braces.mechanics.solid_check.cases import DENSITY_KG_M3, TEST_WOOD, Case
from braces.mechanics.solid_check.mesh import Bricks, bricks

PLATE_LAYERS = 2
_DENSITY = ("*DENSITY", f"{DENSITY_KG_M3 * 1e-12:g}")
RIGID = {"free": 6, "supported": 3}


@dataclass(frozen=True, slots=True, eq=False)
class SolidResult:
    """What the solid model says, at the mid-plane nodes of the plate."""

    x_mm: Floats
    y_mm: Floats
    hertz: Floats  #: rigid motions dropped
    shapes: Floats  #: (nodes, modes) outward
    deflection_mm: Floats | None  #: outward, under the case's load
    nodes_count: int
    seconds: tuple[float, ...]  #: one number: the run's wall time


def available() -> bool:
    """Is CalculiX installed?"""
    return shutil.which("ccx") is not None


def deck(case: Case, made: Bricks, modes: int) -> str:
    """Return the input file."""
    out = ["*NODE,NSET=NALL", *(f"{n + 1},{p[0]:.9g},{p[1]:.9g},{p[2]:.9g}" for n, p in enumerate(made.places))]
    out.append("*ELEMENT,TYPE=C3D20R,ELSET=EALL")
    for n, nodes in enumerate(made.elements):
        out += [",".join(map(str, [n + 1, *nodes[:10]])) + ",", ",".join(map(str, nodes[10:]))]
    mid = sorted(n for (_, _, level), n in made.number.items() if level == PLATE_LAYERS)
    out += ["*NSET,NSET=MID", *(f"{n}," for n in mid)]
    e = TEST_WOOD
    out += [
        "*MATERIAL,NAME=WOOD",
        "*ELASTIC,TYPE=ENGINEERING CONSTANTS",
        f"{e.e_l_mpa},{e.e_r_mpa},{e.e_t_mpa},{e.nu_lr_ratio},{e.nu_lt_ratio},{e.nu_rt_ratio},{e.g_lr_mpa},{e.g_lt_mpa}",
        f"{e.g_rt_mpa},293.",
        *_DENSITY,
        # Round an upright axis the local axes 1 2 3 (outward, round, up) are T L R of a bent bar.
        "*MATERIAL,NAME=ROUND",
        "*ELASTIC,TYPE=ENGINEERING CONSTANTS",
        f"{e.e_t_mpa},{e.e_l_mpa},{e.e_r_mpa},{e.nu_lt_ratio * e.e_t_mpa / e.e_l_mpa:.9g},"
        f"{e.nu_rt_ratio * e.e_t_mpa / e.e_r_mpa:.9g},{e.nu_lr_ratio},{e.g_lt_mpa},{e.g_rt_mpa}",
        f"{e.g_lr_mpa},293.",
        *_DENSITY,
    ]
    d = case.directions
    # Local axes 1 2 3 are L R T: in the plate x, y, z; in a bar along itself, upright, across.
    frames = {-1: (1.0, 0.0, 0.0, 0.0, 1.0, 0.0)}
    for k, s in enumerate(case.sticks):
        frames[k] = (d[s.along, 0], d[s.along, 1], 0.0, 0.0, 0.0, 1.0)
    for k, frame in frames.items():
        own = [n + 1 for n, o in enumerate(made.owner) if o == k]
        wood, system = "WOOD", ""
        if k >= 0 and case.sticks[k] is case.bent:
            line = case.course(case.sticks[k])
            x, y = line.at(0.0, line.radius_mm)
            wood, system, frame = "ROUND", ",SYSTEM=CYLINDRICAL", (x, y, 0.0, x, y, 1.0)
        if own:
            out += [
                f"*ELSET,ELSET=E{k + 1}",
                *(f"{n}," for n in own),
                f"*ORIENTATION,NAME=O{k + 1}{system}",
                ",".join(f"{v:.9g}" for v in frame),
                f"*SOLID SECTION,ELSET=E{k + 1},MATERIAL={wood},ORIENTATION=O{k + 1}",
            ]
    out += _edges(case, made)
    if case.edge in ("clamped", "hinged") and case.load:
        # P2 is the face of nodes 5 to 8, the outer one; a positive value presses on it.
        out += [
            "*STEP",
            "*STATIC",
            "*DLOAD",
            *(f"{n},P2,{-p:g}" for n, p in made.loaded),
            "*NODE PRINT,NSET=MID",
            "U",
            "*END STEP",
        ]
    out += ["*STEP", "*FREQUENCY", f"{modes + RIGID.get(case.edge, 0)}", "*NODE PRINT,NSET=MID", "U", "*END STEP", ""]
    return "\n".join(out)


def _edges(case: Case, made: Bricks) -> list[str]:
    if case.edge == "free":
        return []
    nodes = sorted(made.edge)
    if case.edge == "clamped":
        return ["*BOUNDARY", *(f"{n},1,3" for n in nodes)]
    out = ["*BOUNDARY", *(f"{n},3,3" for n in nodes)]
    if case.edge == "supported":
        return out
    # A plate's hinge: the mid-plane stays put, the edge face stays straight as it turns.
    top = {made.edge[n][:2]: n for n in nodes if made.edge[n][2] == 2 * PLATE_LAYERS}
    ties: list[str] = []
    for n in nodes:
        x, y, level = made.edge[n]
        if level == PLATE_LAYERS:
            out.append(f"{n},1,2")
        elif level != 2 * PLATE_LAYERS and (x, y) in top:
            ratio = (level - PLATE_LAYERS) / PLATE_LAYERS
            for axis in (1, 2):
                ties += ["*EQUATION", "2", f"{n},{axis},1.,{top[x, y]},{axis},{-ratio:g}"]
    return ties + out


def run(case: Case, folder: Path, longest_mm: float, modes: int = 10) -> SolidResult:
    """Return the solid model's answer. Raises RuntimeError if CalculiX fails."""
    made = bricks(case, longest_mm, PLATE_LAYERS)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "case.inp").write_text(deck(case, made, modes), encoding="ascii")
    start = perf_counter()
    done = subprocess.run(
        ["ccx", "case"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        env=dict(os.environ, OMP_NUM_THREADS="2", CCX_NPROC_EQUATION_SOLVER="2"),
    )
    took = perf_counter() - start
    if not (folder / "case.dat").exists() or "*ERROR" in done.stdout:
        raise RuntimeError(done.stdout[-2000:])
    hertz, moved = read((folder / "case.dat").read_text(encoding="ascii"))
    mid = sorted(n for (_, _, level), n in made.number.items() if level == PLATE_LAYERS)
    xy = np.array([made.places[n - 1][:2] for n in mid])
    static = case.edge in ("clamped", "hinged") and bool(case.load)
    skip = RIGID.get(case.edge, 0)
    shapes = np.array(moved[1:] if static else moved)[skip:, :].T
    return SolidResult(
        xy[:, 0], xy[:, 1], hertz[skip:], shapes, np.array(moved[0]) if static else None, len(made.places), (took,)
    )


def read(text: str) -> tuple[Floats, list[list[float]]]:
    """Return (frequencies Hz, outward displacement of every printed block) of a .dat file."""
    hertz: list[float] = []
    blocks: list[list[float]] = []
    table = False
    for row in text.splitlines():
        word = row.split()
        if "E I G E N V A L U E   O U T P U T" in row:
            table = True
        elif "P A R T I C I P A T I O N" in row:
            table = False
        elif row.lstrip().startswith("displacements"):
            blocks.append([])
            table = False
        elif table and len(word) == 5 and word[0].isdigit():
            hertz.append(float(word[3]))
        elif blocks and len(word) == 4 and word[0].isdigit() and not table:
            blocks[-1].append(float(word[3]))
    return np.array(hertz), [b for b in blocks if b]
