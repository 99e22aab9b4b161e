"""How much a form shared by all tiles saves against drawing the plan anew on every page. Figures, not deadlines."""

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.append(str(Path(__file__).parents[1] / "unit" / "sheets"))

from sheet_samples import plan

from braces.base.arrays import frozen_points
from braces.sheets.book import tiled_pages
from braces.sheets.drawing import Stroke
from braces.sheets.paper import PAPERS, PrinterScale
from braces.sheets.pdf import pdf
from braces.sheets.print_job import PrintJob

PAGES = 30


def rich_plan():
    """A plan as heavy as a real one: 24 bars of 401 points beside the outline."""
    drawing = plan()
    x = np.linspace(-150, 150, 401)
    waves = tuple(Stroke(frozen_points(np.column_stack([x, 20 * k + np.sin(x / 9)])), "glue") for k in range(24))
    return replace(drawing, marks=drawing.marks + waves)


def seconds(pages):
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        data = pdf(pages, "bench")
        best = min(best, time.perf_counter() - start)
    return best, len(data)


def test_a_shared_form_beats_drawing_every_page(capsys):
    job = PrintJob("Wren 04", "3f9a1c2", PAPERS["a4"], PrinterScale())
    tiles = tiled_pages([rich_plan()], job)[1:]
    pages = (tiles * PAGES)[:PAGES]
    # A copy of the drawing for every page has the same marks, but no form is shared.
    alone = tuple(
        replace(p, placements=tuple(replace(q, drawing=replace(q.drawing)) for q in p.placements)) for p in pages
    )
    shared_s, shared_bytes = seconds(pages)
    alone_s, alone_bytes = seconds(alone)
    with capsys.disabled():
        print(
            f"\n{PAGES} tiles: shared {shared_s * 1e3:.0f} ms, {shared_bytes / 1e3:.0f} kB; "
            f"redrawn {alone_s * 1e3:.0f} ms, {alone_bytes / 1e3:.0f} kB; "
            f"{alone_s / shared_s:.1f} times faster, {alone_bytes / shared_bytes:.1f} times smaller"
        )
    # Measured 8 to 12 times; half of the least still means that the forms are shared.
    assert alone_s / shared_s > 4
    assert alone_bytes / shared_bytes > 4
