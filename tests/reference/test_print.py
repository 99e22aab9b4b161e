"""Sheets as a printer gets them: parsed with pikepdf and rasterised with pdfium, measured against the standards.

Sources: ISO 216 (A4 210 x 297 mm, A3 297 x 420 mm) and ASME Y14.1 (A 8.5 x 11 in, B 11 x 17 in), sizes from memory;
the inch of 25.4 mm; ISO 32000-1 for page boxes (14.11.2), PrintScaling (table 150) and optional content (8.11).
No paper was printed: what is measured is the raster at 600 dots per inch, whose dots are 0.042 mm.
"""

import hashlib
import io
import os
import subprocess
import sys
from itertools import combinations
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2
import pytest

SAMPLES = Path(__file__).parents[1] / "unit" / "sheets"
sys.path.append(str(SAMPLES))

from sheet_samples import all_drawings, plan  # noqa: E402

from braces.sheets.book import full_size_pages, full_size_pdf, tiled_pages, tiled_pdf  # noqa: E402
from braces.sheets.drawing import Drawing, Label, Stroke, polyline  # noqa: E402
from braces.sheets.page import Page  # noqa: E402
from braces.sheets.paper import PAPERS, PrinterScale  # noqa: E402
from braces.sheets.pdf import pdf  # noqa: E402
from braces.sheets.print_job import PrintJob  # noqa: E402

STANDARD_SIZES_MM = {
    "a4": (210.0, 297.0),
    "a3": (297.0, 420.0),
    "letter": (8.5 * 25.4, 11 * 25.4),
    "tabloid": (11 * 25.4, 17 * 25.4),
}
PRINTERS = [PrinterScale(), PrinterScale(1.004, 0.9985)]
DPI = 600
WITHIN_MM = 0.05
POINTS_PER_MM = 72 / 25.4


def crosses(step_mm=5.0, width_mm=330.0, height_mm=330.0):
    """A plan of small crosses at known places."""
    marks = []
    for x in np.arange(0, width_mm, step_mm):
        for y in np.arange(0, height_mm, step_mm):
            marks.append(polyline([(x - 1, y), (x + 1, y)], "dim"))
            marks.append(polyline([(x, y - 1), (x, y + 1)], "dim"))
    return Drawing("crosses", "crosses", "inside, neck up", "plan", tuple(marks))


class Raster:
    """One page at 600 dpi, asked for places in mm of the file, y up."""

    def __init__(self, data, index):
        self.page = pypdfium2.PdfDocument(data)[index]
        scale = DPI / 72
        image = self.page.render(scale=scale, grayscale=True).to_numpy()
        self.ink = 255 - image.reshape(image.shape[0], image.shape[1]).astype(float)
        self.dots = (
            self.ink.shape[1] / self.page.get_width() * POINTS_PER_MM,
            self.ink.shape[0] / self.page.get_height() * POINTS_PER_MM,
        )

    def box(self, x0, y0, x1, y1):
        """The ink in a box, and the place in mm of each of its columns and rows (rows from below)."""
        kx, ky = self.dots
        i0, i1 = int(np.floor(x0 * kx)), int(np.ceil(x1 * kx))
        flipped = self.ink[::-1]
        j0, j1 = int(np.floor(y0 * ky)), int(np.ceil(y1 * ky))
        return flipped[j0:j1, i0:i1], (np.arange(i0, i1) + 0.5) / kx, (np.arange(j0, j1) + 0.5) / ky

    def upright_line(self, x, y, low, high, near=0.6):
        """The x of an upright line near (x, y), looked for from y + low to y + high."""
        ink, xs, _ = self.box(x - near, y + low, x + near, y + high)
        assert ink.sum() > 0, "no line here"
        return float(ink.sum(axis=0) @ xs / ink.sum())

    def level_line(self, x, y, low, high, near=0.6):
        """The y of a level line near (x, y), looked for from x + low to x + high."""
        ink, _, ys = self.box(x + low, y - near, x + high, y + near)
        assert ink.sum() > 0, "no line here"
        return float(ink.sum(axis=1) @ ys / ink.sum())


def bars(page):
    """The four check bars of a page as data: (0 across or 1 up, start point), in true mm."""
    found = []
    for mark in page.marks:
        if isinstance(mark, Stroke) and mark.layer == "sheet":
            length = np.ptp(mark.points, axis=0)
            for axis in (0, 1):
                if length[axis] in (pytest.approx(100.0), pytest.approx(101.6)) and length[1 - axis] == 0:
                    found.append((axis, tuple(mark.points.min(axis=0)), float(length[axis])))
    return found


def measured_bar(raster, page, axis, start, nominal):
    """Distance in the raster between the end ticks of a bar, looked at beside the bar where no other tick reaches."""
    ratio = (page.x_ratio, page.y_ratio)
    ends = []
    for along in (0.0, nominal):
        at = [start[0], start[1]]
        at[axis] += along
        x, y = at[0] * ratio[0], at[1] * ratio[1]
        if axis == 0:
            ends.append(raster.upright_line(x, y, 0.95, 1.2))
        else:
            ends.append(raster.level_line(x, y, -1.2, -0.95))
    return ends[1] - ends[0]


@pytest.mark.parametrize("printer", PRINTERS, ids=["plain", "corrected"])
@pytest.mark.parametrize("name", ["a4", "tabloid"])
def test_check_bars_of_tiles_are_true(name, printer):
    job = PrintJob("Wren 04", "3f9a1c2", PAPERS[name], printer)
    pages = tiled_pages(all_drawings(), job)
    data = pdf(pages, "test")
    # The cover, a tile and a nest: each kind of sheet.
    for index in (0, 2, len(pages) - 1):
        page, raster = pages[index], Raster(data, index)
        found = bars(page)
        kinds = sorted((axis, round(length, 6)) for axis, _, length in found)
        assert kinds == [(0, 100.0), (0, 101.6), (1, 100.0), (1, 101.6)]
        for axis, start, length in found:
            wanted = {100.0: 100.0, 101.6: 4 * 25.4}[round(length, 6)] * (page.x_ratio, page.y_ratio)[axis]
            assert measured_bar(raster, page, axis, start, length) == pytest.approx(wanted, abs=WITHIN_MM)


@pytest.mark.parametrize("printer", PRINTERS, ids=["plain", "corrected"])
def test_check_bars_of_full_size_pages_are_true(printer):
    pages = full_size_pages(all_drawings()[:3], "Wren 04", "3f9a1c2", printer)
    data = pdf(pages, "test")
    for index in (0, 2):
        page, raster = pages[index], Raster(data, index)
        for axis, start, length in bars(page):
            wanted = length * (page.x_ratio, page.y_ratio)[axis]
            assert measured_bar(raster, page, axis, start, length) == pytest.approx(wanted, abs=WITHIN_MM)


def seen_crosses(drawing, page, raster):
    """Plan point -> place in the raster, of the crosses of a plan that are whole on a page."""
    (placement,) = page.placements
    x0, y0, x1, y1 = placement.window
    others = [m.ink for m in page.marks]
    found = {}
    for a, b in zip(drawing.strokes[::2], drawing.strokes[1::2], strict=True):
        x, y = float(b.points[0, 0]), float(a.points[0, 1])
        px, py = x + placement.x_mm, y + placement.y_mm
        clear = all(c < px - 1.5 or a > px + 1.5 or d < py - 1.5 or b > py + 1.5 for a, b, c, d in others)
        if clear and x0 + 1.5 < px < x1 - 1.5 and y0 + 1.5 < py < y1 - 1.5:
            fx, fy = px * page.x_ratio, py * page.y_ratio
            found[x, y] = np.array((raster.upright_line(fx, fy, 0.4, 0.8), raster.level_line(fx, fy, 0.4, 0.8)))
    return found


@pytest.mark.parametrize("printer", PRINTERS, ids=["plain", "corrected"])
def test_known_points_are_true_on_tiles_and_meet_on_neighbours(printer):
    drawing = crosses()
    job = PrintJob("Wren 04", "3f9a1c2", PAPERS["a4"], printer)
    pages = tiled_pages([drawing], job)[1:]
    data = pdf(pages, "test")
    seen = [seen_crosses(drawing, page, Raster(data, k)) for k, page in enumerate(pages)]
    assert len(pages) >= 3
    for page, found in zip(pages, seen, strict=True):
        ratio = np.array((page.x_ratio, page.y_ratio))
        plan_points = np.array(list(found))
        printed = np.array(list(found.values())) / ratio
        assert len(found) > 50
        off = (printed - printed[0]) - (plan_points - plan_points[0])
        assert np.abs(off).max() < WITHIN_MM
    # Sheets laid on each other: what lies in the shared band lies at the same places of the plan.
    shared = 0
    for a, b in combinations(range(len(pages)), 2):
        both = sorted(set(seen[a]) & set(seen[b]))
        if len(both) > 1:
            ratio = np.array((pages[a].x_ratio, pages[a].y_ratio))
            gap = np.array([(seen[a][p] - seen[b][p]) / ratio for p in both])
            assert np.ptp(gap, axis=0).max() < WITHIN_MM
            shared += 1
    assert shared >= len(pages) - 1


@pytest.mark.parametrize("printer", PRINTERS, ids=["plain", "corrected"])
def test_known_points_are_true_on_the_full_size_page(printer):
    drawing = crosses(step_mm=40.0, width_mm=400.0, height_mm=500.0)
    pages = full_size_pages([drawing], "Wren 04", "3f9a1c2", printer)
    found = seen_crosses(drawing, pages[0], Raster(pdf(pages, "test"), 0))
    points, printed = np.array(list(found)), np.array(list(found.values()))
    assert len(found) == 10 * 13
    off = (printed - printed[0]) / (pages[0].x_ratio, pages[0].y_ratio) - (points - points[0])
    assert np.abs(off).max() < WITHIN_MM


@pytest.mark.parametrize("name", list(PAPERS))
def test_pages_are_real_paper_and_are_not_to_be_scaled(name):
    with pikepdf.open(io.BytesIO(tiled_pdf(all_drawings(), PAPERS[name], "Wren 04", "3f9a1c2", PRINTERS[1]))) as file:
        for page in file.pages:
            boxes = [[float(v) for v in page.obj[key]] for key in ("/MediaBox", "/CropBox", "/TrimBox")]
            assert boxes[0] == boxes[1] == boxes[2]
            size = sorted(v / POINTS_PER_MM for v in boxes[0][2:])
            assert size == pytest.approx(STANDARD_SIZES_MM[name], abs=0.001)
            assert boxes[0][:2] == [0, 0]
            assert "/Rotate" not in page.obj
            assert "/UserUnit" not in page.obj
        preferences = file.Root.ViewerPreferences
        assert preferences.PrintScaling == "/None"
        assert preferences.PickTrayByPDFSize is True


def test_full_size_pages_have_exact_boxes():
    pages = full_size_pages([plan()], "Wren 04", "3f9a1c2")
    with pikepdf.open(io.BytesIO(full_size_pdf([plan()], "Wren 04", "3f9a1c2"))) as file:
        page = file.pages[0]
        assert [float(v) / POINTS_PER_MM for v in page.MediaBox] == pytest.approx(
            [0, 0, *pages[0].file_size_mm], abs=0.0001
        )
        assert page.MediaBox == page.CropBox == page.TrimBox


def test_layers_are_optional_content_and_drawn_once():
    data = tiled_pdf([plan()], PAPERS["a4"], "Wren 04", "3f9a1c2")
    with pikepdf.open(io.BytesIO(data)) as file:
        groups = file.Root.OCProperties.OCGs
        assert [str(g.Name) for g in groups] == ["cut", "edge", "centre", "glue", "dim", "note", "trim", "sheet"]
        forms = {}
        for page in file.pages:
            for form in page.Resources.XObject.values():
                forms[form.objgen] = str(form.OC.Name)
        # One form per layer with strokes, shared by the map on the cover and all tiles.
        assert sorted(forms.values()) == ["centre", "cut", "dim", "edge", "glue"]
        assert len(file.pages) > 5


def test_fonts_are_embedded_subsets():
    data = tiled_pdf([plan()], PAPERS["a4"], "Wren 04", "3f9a1c2")
    with pikepdf.open(io.BytesIO(data)) as file:
        for font in file.pages[1].Resources.Font.values():
            inner = font.DescendantFonts[0]
            assert "+" in str(inner.BaseFont)
            assert len(inner.FontDescriptor.FontFile2.read_bytes()) < 60_000
    assert len(data) < 150_000


def test_text_is_found_only_where_it_is_seen():
    job = PrintJob("Wren 04", "3f9a1c2", PAPERS["a4"], PrinterScale())
    pages = tiled_pages([plan()], job)
    file = pypdfium2.PdfDocument(pdf(pages, "test"))
    everywhere = [file[k].get_textpage().get_text_range() for k in range(len(pages))]
    for label in plan().labels:
        on = {k for k, page in enumerate(pages) if any(m.text == label.text for m in page.labels)}
        found = {k for k, text in enumerate(everywhere) if label.text in text}
        assert found == on
        assert on


def test_special_signs_come_back_as_text():
    text = "× ° ½ ← → ↑ ↓ √ − – ≥ Ø ·"
    page = Page("signs", 210.0, 297.0, (Label(20, 200, text), Label(20, 150, text, bold=True)))
    found = pypdfium2.PdfDocument(pdf([page], "t"))[0].get_textpage().get_text_range()
    assert found.split("\r\n") == [text, text]


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_capitals_are_printed_as_high_as_asked_and_words_as_long(bold, angle):
    """ISO 3098-1 measures lettering by the height of capitals."""
    label = Label(60.0, 80.0, "HIIIH", 10.0, angle, "middle", bold=bold)
    raster = Raster(pdf([Page("h", 210.0, 297.0, (label,))], "t"), 0)
    ink, xs, ys = raster.box(10, 10, 200, 290)
    x, y = xs[ink.max(axis=0) > 127], ys[ink.max(axis=1) > 127]
    across, up = np.ptp(x), np.ptp(y)
    height, length = (up, across) if angle == 0 else (across, up)
    assert height == pytest.approx(10.0, abs=0.1)
    # The first and last stem stand a little inside the width, the same on both sides.
    middle = (x.min() + x.max()) / 2 if angle == 0 else (y.min() + y.max()) / 2
    assert middle == pytest.approx(60.0 if angle == 0 else 80.0, abs=0.1)
    assert label.width_mm - 4 < length < label.width_mm


def test_line_widths_are_printed_true():
    """ISO 128 widths; a line of 0.5 mm is 11.8 dots wide."""
    strokes = (polyline([(20, 50), (120, 50)], "cut"), polyline([(20, 60), (120, 60)], "edge"))
    raster = Raster(pdf([Page("w", 210.0, 297.0, strokes)], "t"), 0)
    for y, width in ((50, 0.5), (60, 0.25)):
        ink, _, _ = raster.box(60, y - 2, 61, y + 2)
        assert ink.mean(axis=1).sum() / 255 / raster.dots[1] == pytest.approx(width, abs=0.03)


def test_nothing_is_coloured():
    file = pypdfium2.PdfDocument(tiled_pdf(all_drawings(), PAPERS["a4"], "Wren 04", "3f9a1c2"))
    for index in range(len(file)):
        image = file[index].render(scale=1).to_numpy().astype(int)
        assert np.ptp(image[:, :, :3], axis=2).max() == 0


def test_the_same_bytes_again_and_in_another_process():
    code = (
        "import sys, hashlib; sys.path.append(sys.argv[1])\n"
        "from sheet_samples import all_drawings\n"
        "from braces.sheets.book import tiled_pdf, full_size_pdf\n"
        "from braces.sheets.paper import PAPERS\n"
        "from braces.sheets.dxf import dxf\n"
        "from braces.sheets.svg import svg\n"
        "d = all_drawings()\n"
        "data = tiled_pdf(d, PAPERS['a4'], 'W', 'r') + full_size_pdf(d, 'W', 'r')\n"
        "data += b''.join(map(dxf, d)) + b''.join(map(svg, d))\n"
        "print(hashlib.sha256(data).hexdigest())\n"
    )
    root = str(Path(__file__).parents[2])
    runs = [
        subprocess.run(
            [sys.executable, "-c", code, str(SAMPLES)],
            env=dict(os.environ, PYTHONHASHSEED=seed, PYTHONPATH=root),
            capture_output=True,
            text=True,
            check=True,
            cwd=root,
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1]
    assert len(runs[0].strip()) == hashlib.sha256().digest_size * 2
