"""The registry of everything that can be made. A new product is one function and one row of PRODUCTS."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from braces.app.study import Study, file_stem
from braces.carved.values import Carved

if TYPE_CHECKING:
    from braces.app.strength import Answer
    from braces.app.tools import ToolSet
    from braces.sheets.drawing import Drawing
    from braces.sheets.paper import PrinterScale
    from braces.workshop.bench import Bench

Files = dict[str, bytes]  #: relative path -> content
Step = Callable[[str, float], None]  #: is told what is being made, and which share of the product is done
_RIM_POINTS = 40  #: points on each piece of an outline that a plate's solid follows


class Job:
    """A sound study on its way to paper; what several products need is worked out once."""

    def __init__(
        self,
        study: Study,
        paper: str,
        jobs: int = 1,
        step: Step = lambda _title, _share: None,
        inches: bool = False,
    ) -> None:
        if study.carved is None or study.loaded is None:
            raise ValueError("only a sound design can be made")
        self.study, self.paper, self.jobs, self.step, self.inches = study, paper, jobs, step, inches
        self.found: dict[str, Any] = {}  #: what products add to the summary
        self.carved: Carved = study.carved
        self.made: set[str] = set()  #: keys of what this run has made so far

    @property
    def instrument(self) -> str:
        """What the sheets call it."""
        return self.carved.placed.design.name

    @property
    def revision(self) -> str:
        """The maker's own mark and the design's hash."""
        return f"{self.carved.placed.design.revision} {self.study.revision_hash}"

    @cached_property
    def drawings(self) -> tuple[Drawing, ...]:
        """All drawings, plans first."""
        from braces.sheets.content import drawings

        return drawings(self.carved, self.inches)

    @cached_property
    def strength(self) -> Answer:
        """The mechanics. Raises DesignError if the design does not say enough."""
        from braces.app.strength import strength_of

        return strength_of(self.carved)

    @cached_property
    def bench(self) -> Bench:
        """The work around the braces."""
        from braces.app.workshop import bench_of

        return bench_of(self.carved)

    @cached_property
    def tools(self) -> list[ToolSet]:
        """The shop tools that the design asks for, all of them if it names none."""
        from braces.app.tools import tool_sets

        return tool_sets(self.study, self.jobs, self.step)

    @property
    def printer(self) -> PrinterScale:
        """What makes this maker's printer print true."""
        from braces.sheets.paper import PrinterScale

        bars = self.carved.placed.design.printer
        return PrinterScale.measured(bars.across_mm, bars.up_mm)


@dataclass(frozen=True, slots=True)
class Product:
    """One thing ``make`` can write."""

    key: str  #: for --only
    title: str  #: for the progress bar
    make: Callable[[Job], Files]
    asked: bool = False  #: made only when named, or when the design has the section
    section: str | None = None  #: of the design file that asks for it


def brace_files(carved: Carved) -> dict[str, list[str]]:
    """Return the files that belong to each brace, whether or not this run makes them."""
    return {
        b.name: [
            f"drawings/brace-{file_stem(b.name)}.svg",
            f"drawings/brace-{file_stem(b.name)}.dxf",
            f"solids/brace-{file_stem(b.name)}.step",
            *(f"drawings/form-{file_stem(b.name)}.{kind}" for kind in ("svg", "dxf") if b.is_curved),
        ]
        for b in carved.braces
    }


def _summary(job: Job) -> Files:
    return {"summary.json": _json(_summary_table(job))}


def _summary_table(job: Job) -> dict[str, Any]:
    from braces.reports.summary import summary

    return summary(job.carved, job.study.revision_hash, brace_files(job.carved)) | job.found


def _json(table: object) -> bytes:
    return (json.dumps(table, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _tables(job: Job) -> Files:
    from braces.reports.csv_files import cutlist_csv, stations_csv

    return {"cutlist.csv": cutlist_csv(job.carved), "stations.csv": stations_csv(job.carved)}


def _drawings(job: Job) -> Files:
    return _played(job.drawings)


def _played(drawings: Sequence[Drawing]) -> Files:
    from braces.sheets.dxf import dxf
    from braces.sheets.svg import svg

    files: Files = {}
    for drawing in drawings:
        files[f"drawings/{drawing.key}.svg"] = svg(drawing)
        files[f"drawings/{drawing.key}.dxf"] = dxf(drawing)
    return files


def _templates(job: Job) -> Files:
    from braces.sheets.book import full_size_pdf, tiled_pdf
    from braces.sheets.paper import paper

    return {
        "templates-full.pdf": full_size_pdf(job.drawings, job.instrument, job.revision, job.printer),
        f"templates-{job.paper}.pdf": tiled_pdf(
            job.drawings, paper(job.paper), job.instrument, job.revision, job.printer
        ),
    }


def _solids(job: Job) -> Files:
    from braces.carved.caps import cap_wood
    from braces.solids.brace import brace_solid
    from braces.solids.plate import PlateShape, plate_assembly
    from braces.solids.step import step_bytes

    placed = job.carved.placed
    files: Files = {}
    made = {b.name: brace_solid(b) for b in job.carved.braces}
    for name, solid in made.items():
        files[f"solids/brace-{file_stem(name)}.step"] = step_bytes(solid, name)
    for plate, where, facing, pose in (
        (job.carved.top, placed.top, -1, placed.top_pose),
        (job.carved.back, placed.back, 1, placed.back_pose),
    ):
        hole = None
        if plate.name == "top" and placed.soundhole_y_mm is not None:
            hole = (0.0, placed.soundhole_y_mm, placed.soundhole_radius_mm)
        rim = where.outline
        corners = tuple(_RIM_POINTS * i for i in rim.corners)
        faces = where.dome.outer, where.dome.inner
        shape = PlateShape(plate.name, facing, rim.dense(_RIM_POINTS), *faces, hole, corners)
        parts = [(b, made[b.name]) for b in plate.braces]
        for cap in plate.caps:
            wood = cap_wood(cap, next(b for b in plate.braces if b.name == cap.along))
            parts.append((wood, brace_solid(wood)))
            files[f"solids/{file_stem(cap.name)}.step"] = step_bytes(parts[-1][1], cap.name)
        files[f"solids/plate-{plate.name}.step"] = plate_assembly(plate.name, shape, parts, pose)
    return files


def _tools(job: Job) -> Files:
    from braces.app.tool_deck import seat_drawings
    from braces.sheets.book import full_size_pdf
    from braces.sheets.paper import paper
    from braces.sheets.print_job import PrintJob
    from braces.sheets.svg import svg
    from braces.sheets.tool_pages import tools_pdf

    sets = job.tools
    files = {path: data for made in sets for path, data in made.files.items()}
    cards = [card for made in sets for card in made.cards]
    files["tools.pdf"] = tools_pdf(cards, PrintJob(job.instrument, job.revision, paper(job.paper), job.printer))
    seats = seat_drawings(job.carved)
    if seats:
        files |= {f"drawings/{plan.key}.svg": svg(plan) for plan in seats}
        files["caul-seats-full.pdf"] = full_size_pdf(seats, job.instrument, job.revision, job.printer)
    job.found["tools"] = [row for made in sets for row in made.rows]
    return files | _summary(job)


def _strength(job: Job) -> Files:
    from braces.reports.strength import mechanics_summary
    from braces.sheets.paper import paper
    from braces.sheets.strength_pages import strength_pdf

    found = job.strength
    pages = strength_pdf(found.strength, job.carved, paper(job.paper), job.instrument, job.revision, found.outlook)
    job.found["mechanics"] = mechanics_summary(found.strength, found.outlook)
    return {"strength.pdf": pages, **_summary(job)}


def _bench_json(job: Job) -> Files:
    """The numbers of the workshop, beside whatever is drawn from them."""
    from braces.reports.bench_numbers import bench_numbers

    return {"bench.json": _json(bench_numbers(job.carved.placed.design, job.bench, job.study.revision_hash))}


def _rim(job: Job) -> Files:
    from braces.app.workshop import rim_drawings
    from braces.sheets.book import full_size_pdf, tiled_pdf
    from braces.sheets.paper import paper

    drawings = rim_drawings(job.carved, job.bench, job.inches)
    names = (job.instrument, job.revision, job.printer)
    return (
        _bench_json(job)
        | _played(drawings)
        | {
            "rim-full.pdf": full_size_pdf(drawings, *names),
            f"rim-{job.paper}.pdf": tiled_pdf(drawings, paper(job.paper), *names),
        }
    )


def _deck(job: Job) -> Files:
    from braces.app.workshop import deck_drawings
    from braces.sheets.book import full_size_pdf

    drawings = deck_drawings(job.carved, job.bench, job.inches)
    files = _bench_json(job) | _played(drawings)
    if drawings:
        files["deck-full.pdf"] = full_size_pdf(drawings, job.instrument, job.revision, job.printer)
    return files


def _book(job: Job) -> Files:
    from braces.app.book import book_files, told_tools
    from braces.workshop.book.book import shop_book

    # The mechanics take their time: the book tells them where they were asked for.
    strength = job.strength.strength if "strength" in job.made else None
    rows = [row for made in job.tools for row in made.rows] if "tools" in job.made else None
    told = told_tools(job.study, rows)
    book = shop_book(job.carved, job.bench, job.revision, strength, told, inches=job.inches)
    return _bench_json(job) | book_files(book, job.carved, job.bench, job.paper)


PRODUCTS: tuple[Product, ...] = (
    Product("summary", "numbers", _summary),
    Product("tables", "cut list and stations", _tables),
    Product("drawings", "drawings", _drawings),
    Product("templates", "templates", _templates),
    Product("solids", "solids", _solids),
    Product("rim", "rim templates", _rim, asked=True),
    Product("deck", "go-bar deck", _deck, asked=True),
    Product("tools", "shop tools", _tools, asked=True, section="tools"),
    Product("strength", "strength", _strength, asked=True),
    Product("book", "shop book", _book, asked=True),
)
