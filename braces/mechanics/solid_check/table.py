"""Print how far the plate model is from solid elements: `python -m braces.mechanics.solid_check.table`.

Options: `--quick` runs one small case only; `--mm 6` sets the solid mesh.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterable
from pathlib import Path

import numpy as np

from braces.mechanics.analyse import REPORT
from braces.mechanics.solid_check.calculix import available, run
from braces.mechanics.solid_check.cases import EVERY, QUICK
from braces.mechanics.solid_check.compare import Errors, compare

LONGEST_MM = 10.0  #: of a solid element; 12 against 6 mm moves no frequency by 0.2 %
HEAD = (
    "| case | edge | mode 1 | modes 2 to 10, worst | deflection, rms | turn of the loaded patch | least MAC "
    "| unknowns | s | solid model s |",
    "|-|-|-|-|-|-|-|-|-|-|",
)


def row(e: Errors) -> str:
    """Return one row of the table, errors in %."""
    others = e.modes_ratio[1:]
    worst = float(others[int(np.argmax(np.abs(others)))])
    deflection = "-" if e.deflection_ratio is None else f"{100 * e.deflection_ratio:.1f}"
    turn = "-" if e.turn_ratio is None else f"{100 * e.turn_ratio:+.1f}"
    return (
        f"| {e.case} | {e.edge} | {100 * float(e.modes_ratio[0]):+.2f} | {100 * worst:+.2f} | {deflection} | {turn} "
        f"| {e.least_mac_ratio:.3f} | {e.unknowns_count} | {e.seconds[0]:.1f} | {e.seconds[1]:.0f} |"
    )


def errors(quick: bool, longest_mm: float) -> Iterable[Errors]:
    """Yield the errors of each case, one after the other."""
    with tempfile.TemporaryDirectory() as folder:
        for case in (QUICK,) if quick else EVERY:
            yield compare(case, run(case, Path(folder), longest_mm), REPORT, longest_mm)


def main() -> None:
    """Print the table as it is made."""
    parser = argparse.ArgumentParser(description="plate model against solid elements, errors in %")
    parser.add_argument("--quick", action="store_true", help="one small case")
    parser.add_argument("--mm", type=float, default=LONGEST_MM, help="longest solid element, mm")
    given = parser.parse_args()
    if not available():
        raise SystemExit("CalculiX is not installed: apt-get install calculix-ccx")
    print("\n".join(HEAD))
    for e in errors(given.quick, given.mm):
        print(row(e), flush=True)


if __name__ == "__main__":
    main()
