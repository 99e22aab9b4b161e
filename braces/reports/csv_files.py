"""cutlist.csv and stations.csv."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from braces.base.units import inch_text
from braces.carved.values import Carved
from braces.workshop.cutlist import cut_list
from braces.workshop.stations import stations


def _csv(header: list[str], rows: Iterable[list[str]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue().encode()


def cutlist_csv(carved: Carved) -> bytes:
    """Return the cut list: every piece of wood to start from."""
    header = [
        "piece",
        "for",
        "wood",
        "count",
        "length_mm",
        "width_mm",
        "height_mm",
        "length_in",
        "width_in",
        "height_in",
        "note",
    ]
    return _csv(
        header,
        (
            [
                p.piece,
                p.plate,
                p.wood,
                str(p.count),
                *(f"{v:.1f}" for v in p.size_mm),
                *(inch_text(v) for v in p.size_mm),
                p.note,
            ]
            for p in cut_list(carved)
        ),
    )


def stations_csv(carved: Carved) -> bytes:
    """Return height and top width every 10 mm of every brace."""
    return _csv(
        ["brace", "plate", "at_mm", "height_mm", "top_width_mm"],
        (
            [b.name, b.plate, f"{s.at_mm:.2f}", f"{s.height_mm:.2f}", f"{s.land_mm:.2f}"]
            for b in carved.braces
            for s in stations(b)
        ),
    )
