"""The strength report as pages: what stands on them, that nothing overlaps, that they are full and always the same."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pypdfium2
import pytest
import shapely
from strength_samples import BOUNDS, HIGH, LOW, outlook_of, strength_of
from support.designs import carved_of

from braces.carved.values import Carved
from braces.mechanics.outlook import Outlook
from braces.mechanics.values import Strength
from braces.sheets.drawing import Stroke
from braces.sheets.lettering import lacking
from braces.sheets.page import Page
from braces.sheets.paper import MARGIN_MM, paper
from braces.sheets.strength_pages import strength_pages, strength_pdf

#: (design, paper, with gains)
CASES = [
    ("fieldfare", "a4", False),
    ("fieldfare", "letter", True),
    ("dunnock", "a3", True),
    ("whimbrel", "tabloid", False),
    ("goshawk", "a4", True),
]
NAMES = [f"{n} on {p}{' with gains' if g else ''}" for n, p, g in CASES]


@cache
def pages_of(name: str, on: str, with_gains: bool) -> tuple[Page, ...]:
    carved = carved_of(name)
    outlook = outlook_of(carved) if with_gains else Outlook()
    return strength_pages(strength_of(name), carved, paper(on), name.capitalize(), "A 00000000", outlook)


@pytest.fixture(params=CASES, ids=NAMES)
def pages(request: pytest.FixtureRequest) -> tuple[Page, ...]:
    return pages_of(*request.param)


def texts(page: Page) -> list[str]:
    return [label.text for label in page.labels]


def said(pages: tuple[Page, ...]) -> str:
    return " ".join(t for p in pages for t in texts(p))


def line_of(stroke: Stroke) -> shapely.LineString:
    points = stroke.points
    return shapely.LineString(np.vstack([points, points[:1]]) if stroke.closed else points)


def lines_on(page: Page) -> list[shapely.LineString]:
    """Every line of a page in page mm, those of placed drawings too."""
    lines = [line_of(m) for m in page.marks if isinstance(m, Stroke)]
    for p in page.placements:
        for stroke in p.drawing.strokes:
            moved = stroke.points * p.magnification_ratio + np.array((p.x_mm, p.y_mm))
            lines.append(line_of(Stroke(moved, stroke.layer, stroke.closed)))
    return lines


def test_nothing_overlaps(pages: tuple[Page, ...]) -> None:
    for page in pages:
        labels = list(page.labels)
        rooms = [shapely.Polygon(label.corners) for label in labels]
        words, lines = shapely.STRtree(rooms), shapely.STRtree(lines_on(page))
        for k, room in enumerate(rooms):
            over = [labels[j].text for j in words.query(room, "intersects") if j != k]
            assert not over, (page.title, labels[k].text, over)
            assert not len(lines.query(room, "intersects")), (page.title, labels[k].text)


def test_letters_are_large_enough_whole_and_known(pages: tuple[Page, ...]) -> None:
    for page in pages:
        for label in page.labels:
            assert label.height_mm >= 2.5
            x0, y0, x1, y1 = label.ink
            assert min(x0, y0) > MARGIN_MM - 0.1, label
            assert x1 < page.width_mm - MARGIN_MM + 0.1, label
            assert y1 < page.height_mm - MARGIN_MM + 0.1, label
            assert not lacking(label.text), label


def test_no_page_is_half_empty(pages: tuple[Page, ...]) -> None:
    """No level band without ink is higher than a quarter of the page, and marks reach over its width."""
    for page in pages:
        bands = sorted((m.ink[1], m.ink[3]) for m in page.marks)
        reached, widest = MARGIN_MM, 0.0
        for low, high in bands:
            widest, reached = max(widest, low - reached), max(reached, high)
        widest = max(widest, page.height_mm - MARGIN_MM - reached)
        assert widest < page.height_mm / 4, page.title
        boxes = [m.ink for m in page.marks]
        assert max(b[2] for b in boxes) - min(b[0] for b in boxes) > 0.85 * page.width_mm


def test_every_page_says_what_it_is_and_is_no_template(pages: tuple[Page, ...]) -> None:
    for k, page in enumerate(pages, start=1):
        words = " ".join(texts(page))
        assert f"sheet {k} of {len(pages)}" in words
        assert "revision A 00000000" in words
        assert "nothing here is to scale" in words
        assert "scale 1:1" not in words
        assert "measure both" not in words
    assert "A model, not a promise: bring a new top up to pitch slowly." in texts(pages[0])


def test_numbers_stand_beside_their_ranges(pages: tuple[Page, ...]) -> None:
    """A number may be too low by the first ratio of its bound and too high by the second."""
    words = said(pages)
    # 0.6 deg, at most 4 % too low and 1 % too high; 200 Hz 1 % and 2 %; 150 Hz; mode 2 at 400 Hz 2 % and 3 %.
    for text in ("0.59 to 0.62°", "196 to 202 Hz", "147 to 152 Hz", "388 to 408 Hz"):
        assert text in words, text
    assert "450 N" in words  # 100 + 150 + 200
    assert "225 g" in words  # 180 + 45


def test_all_braces_are_named_with_one_number_each(pages: tuple[Page, ...], request: pytest.FixtureRequest) -> None:
    name = request.node.callspec.params["pages"][0]
    table = said(pages)
    for brace in carved_of(name).braces:
        stem = brace.name.removesuffix("-bass").removesuffix("-treble")
        assert stem in table, brace.name


def test_what_a_millimetre_changes_is_said_only_if_known() -> None:
    without, with_ = pages_of("fieldfare", "a4", False), pages_of("fieldfare", "letter", True)
    assert "Take 1 mm off" not in said(without)
    assert "Take 1 mm off" in said(with_)
    first = texts(with_[0])
    row = first[first.index("Take 1 mm off") :]
    # One stick: 4 x 0.25 g, 0.001 + 0.002 + 0.003 + 0.004 deg, 4 x 0.5 Hz; a pair twice that.
    at = row.index("x-bass")
    assert row[at + 1 : at + 4] == ["1.00", "+0.010", "−2.0"]
    at = row.index("finger 1, both")
    assert row[at + 1 : at + 4] == ["2.00", "+0.020", "−4.0"]
    length = next(b for b in carved_of("fieldfare").braces if b.name == "x-bass").length_mm
    at = row.index("x-bass")
    assert row[at + 4].split()[0] == "0"
    assert row[at + 5].split()[0] == f"{length:.0f}"


def outlines(page: Page) -> list[np.ndarray]:
    """The largest closed lines of a page: the outlines of the plates."""
    rings = [m.points for m in page.marks if isinstance(m, Stroke) and m.closed]
    high = max(np.ptp(r[:, 1]) for r in rings)
    return [r for r in rings if np.ptp(r[:, 1]) > 0.9 * high]


def still_lines(page: Page) -> list[np.ndarray]:
    return [m.points for m in page.marks if isinstance(m, Stroke) and m.layer == "heavy"]


def inside(line: np.ndarray, ring: np.ndarray) -> bool:
    low, high = ring.min(axis=0), ring.max(axis=0)
    return bool((line >= low).all() and (line <= high).all())


def test_still_lines_run_where_the_modes_stand_still() -> None:
    """Modes 1 to 4 of the sample: none; level at y = 240; the centre line; both."""
    page = next(p for p in pages_of("dunnock", "a3", True) if p.title == "how the back rings by itself")
    rings = outlines(page)
    assert len(rings) == 10
    length = np.ptp(carved_of("dunnock").placed.back.outline.dense(30)[:, 1])
    for k, ring in enumerate(rings):
        lines = [s for s in still_lines(page) if inside(s, ring)]
        scale = np.ptp(ring[:, 1]) / length
        level = ring[:, 1].min() + 240 * scale
        middle = (ring[:, 0].min() + ring[:, 0].max()) / 2
        if k % 4 == 0:
            assert not lines
        for line in lines:
            off_level, off_middle = np.abs(line[:, 1] - level), np.abs(line[:, 0] - middle)
            off = {1: off_level, 2: off_middle, 3: np.minimum(off_level, off_middle)}[k % 4]
            assert off.max() < 0.35  # mm on paper
        if k % 4:
            across = sum(np.ptp(line, axis=0).max() for line in lines)
            assert across > 0.6 * np.ptp(ring[:, 0])


def test_the_deflection_has_its_extremes_and_its_levels() -> None:
    page = next(p for p in pages_of("fieldfare", "a4", False) if p.title == "how the top moves under the strings")
    words = texts(page)
    numbers = [w for w in words if re.fullmatch(r"[+−][0-9.]+", w)]
    assert {f"+{HIGH[0]:.2f}", f"−{-LOW[0]:.2f}"} <= set(numbers)
    text = " ".join(words)
    assert "One line for every 0.05 mm" in text
    assert "450 N" in text
    marked = {w for w in words if re.fullmatch(r"−?0\.[0-9]{2}", w)}
    assert {"0.10", "0.20", "0.30", "0.40"} <= marked
    # A line of 0.25 mm round the hill is a circle of radius 70 sqrt(2 ln 2) mm, the dip too far to bend it much.
    ring = outlines(page)[0]
    scale = np.ptp(ring[:, 1]) / np.ptp(carved_of("fieldfare").placed.top.outline.dense(30)[:, 1])
    label = next(m for m in page.labels if m.text == "0.25")
    x = (label.x_mm - (ring[:, 0].min() + ring[:, 0].max()) / 2) / scale
    y = (label.y_mm + 1.25 - ring[:, 1].min()) / scale
    assert np.hypot(x - HIGH[1][0], y - HIGH[1][1]) == pytest.approx(70 * np.sqrt(2 * np.log(2)), abs=2.0)


def test_without_a_load_or_bounds_nothing_is_made_up() -> None:
    from dataclasses import replace

    full = strength_of("dunnock")
    top = replace(full.top, deflection=None, bridge_turn_deg=None, bridge_rise_mm=None, stresses=())
    bare: Strength = replace(full, top=top, bounds=())
    carved: Carved = carved_of("dunnock")
    made = strength_pages(bare, carved, paper("a4"), "Dunnock", "A")
    words = said(made)
    assert "how the top moves" not in " ".join(p.title for p in made)
    assert "bridge turns" not in words
    assert "bound not measured" in words
    assert re.search(r"\d to \d", words) is None


def test_the_file_is_always_the_same_and_on_the_paper_asked_for() -> None:
    carved, strength = carved_of("fieldfare"), strength_of("fieldfare")
    first = strength_pdf(strength, carved, paper("a4"), "Fieldfare", "A 00000000")
    assert first == strength_pdf(strength, carved, paper("a4"), "Fieldfare", "A 00000000")
    file = pypdfium2.PdfDocument(first)
    assert len(file) == len(pages_of("fieldfare", "a4", False))
    sizes = {tuple(sorted(round(v * 25.4 / 72) for v in page.get_size())) for page in file}
    assert sizes == {(210, 297)}
    read = file[0].get_textpage().get_text_range()
    assert "A model, not a promise" in read
    file.close()


def test_larger_paper_shows_the_same_with_larger_letters() -> None:
    page = pages_of("dunnock", "a3", True)[0]
    assert (page.width_mm, page.height_mm) == pytest.approx((297, 420))
    assert min(label.height_mm for label in page.labels) == pytest.approx(2.5 * 297 / 210)


def test_bounds_are_those_of_the_analysis(pages: tuple[Page, ...]) -> None:
    words = said(pages)
    for b in BOUNDS:
        assert f"{b.quantity}: up to" in words
