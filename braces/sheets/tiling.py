"""A plan cut into tiles of one paper: fewest sheets first, then fewest words cut, then seams off the lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from braces.sheets.drawing import Box, Drawing, Label
from braces.sheets.windows import (
    Region,
    Segments,
    crossing,
    settled,
    stroke_segments,
    with_labels,
)

#: Neighbours share a band this wide; the trim line runs along its middle.
OVERLAP_MM: Final = 14.0
#: Ink stays this far from the edge of what is printed.
_CLEAR_MM = 1.0
_PIXEL_MM = 1.0
_STEP_MM = 2.0
#: Ink this near to a seam is on it; more pixels of it than these mean that a line runs along the seam.
_NEAR_PIXELS = 6
_ALONG_PIXELS = 100

Side = Literal["left", "right", "below", "above"]
_STEPS: Final[dict[Side, tuple[int, int]]] = {
    "left": (-1, 0),
    "right": (1, 0),
    "below": (0, -1),
    "above": (0, 1),
}


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet of a plan. ``region`` is in plan mm; ``neighbours`` are the sheets sharing a band with it."""

    name: str
    column: int
    row: int
    region: Region
    neighbours: tuple[tuple[Side, str], ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """The tiles of a plan in reading order (row A is at the top), all of one window size.

    ``size_index`` tells which of the sizes asked for that is. ``labels`` are the drawing's, slid where the
    edge of a sheet would have cut them.
    """

    tiles: tuple[Tile, ...]
    labels: tuple[Label, ...]
    size_index: int
    broken_count: int
    least_share_ratio: float


@dataclass(frozen=True, slots=True)
class _Grid:
    """Windows of one size in columns and rows; row 0 is the lowest."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    columns: int
    rows: int

    def window(self, column: int, row: int) -> Box:
        x = self.x_mm + column * (self.width_mm - OVERLAP_MM)
        y = self.y_mm + row * (self.height_mm - OVERLAP_MM)
        return x, y, x + self.width_mm, y + self.height_mm

    def own(self, column: int, row: int) -> Box:
        """Return the part of the window up to the middles of the bands shared with other windows."""
        x0, y0, x1, y1 = self.window(column, row)
        half = OVERLAP_MM / 2
        return (
            x0 + half * (column > 0),
            y0 + half * (row > 0),
            x1 - half * (column < self.columns - 1),
            y1 - half * (row < self.rows - 1),
        )


def tiled(drawing: Drawing, sizes: Sequence[tuple[float, float]], ranks: Sequence[int]) -> Layout:
    """Return the best layout on windows of one of ``sizes``, (width, height) in mm.

    Where sheets and words cut are equal, a size of lower rank is preferred to more even shares.
    """
    segments = with_labels(stroke_segments(drawing.strokes), drawing.labels)
    raster = _Raster.of(segments, drawing.ink)
    layouts = [_layout(drawing, raster, size, k) for k, size in enumerate(sizes)]
    return min(layouts, key=lambda a: (len(a.tiles), a.broken_count, ranks[a.size_index], -a.least_share_ratio))


@dataclass(frozen=True, slots=True, eq=False)
class _Raster:
    """How much ink lies left of and below each point of a grid of pixels (a summed area table)."""

    x_mm: float
    y_mm: float
    table: NDArray[np.int64]

    @classmethod
    def of(cls, segments: Segments, ink: Box) -> _Raster:
        x0, y0 = ink[0] - 2, ink[1] - 2
        shape = (math.ceil(ink[2] - x0) + 3, math.ceil(ink[3] - y0) + 3)
        length = np.hypot(segments[:, 2] - segments[:, 0], segments[:, 3] - segments[:, 1])
        counts = np.maximum(np.ceil(length / (_PIXEL_MM / 2)).astype(int), 1) + 1
        which = np.repeat(np.arange(len(segments)), counts)
        first = np.repeat(np.cumsum(counts) - counts, counts)
        t = ((np.arange(len(which)) - first) / (counts[which] - 1))[:, None]
        points = segments[which, :2] * (1 - t) + segments[which, 2:] * t
        cells = np.floor(points - (x0, y0)).astype(int)
        marked = np.zeros(shape, dtype=np.int64)
        marked[cells[:, 0], cells[:, 1]] = 1
        table = np.zeros((shape[0] + 1, shape[1] + 1), dtype=np.int64)
        table[1:, 1:] = marked.cumsum(axis=0).cumsum(axis=1)
        return cls(x0, y0, table)

    def on_columns(self, edges_mm: NDArray[np.float64]) -> NDArray[np.int64]:
        """Return for each row of ``edges_mm`` the ink near its inner edges, as upright lines."""
        at = self.columns(edges_mm[:, 1:-1])
        last = self.table[:, -1]
        right, left = np.minimum(at + _NEAR_PIXELS, len(last) - 1), np.maximum(at - _NEAR_PIXELS, 0)
        return np.asarray((last[right] - last[left]).sum(axis=1), dtype=np.int64)

    def on_rows(self, edges_mm: NDArray[np.float64]) -> NDArray[np.int64]:
        """Return for each row of ``edges_mm`` the ink near its inner edges, as level lines."""
        at = self.rows(edges_mm[:, 1:-1])
        last = self.table[-1, :]
        above, below = np.minimum(at + _NEAR_PIXELS, len(last) - 1), np.maximum(at - _NEAR_PIXELS, 0)
        return np.asarray((last[above] - last[below]).sum(axis=1), dtype=np.int64)

    def columns(self, x_mm: NDArray[np.float64]) -> NDArray[np.int64]:
        """Return the table's row nearest to each x."""
        return np.clip(np.rint(x_mm - self.x_mm), 0, self.table.shape[0] - 1).astype(np.int64)

    def rows(self, y_mm: NDArray[np.float64]) -> NDArray[np.int64]:
        """Return the table's column nearest to each y."""
        return np.clip(np.rint(y_mm - self.y_mm), 0, self.table.shape[1] - 1).astype(np.int64)


def _layout(drawing: Drawing, raster: _Raster, size: tuple[float, float], size_index: int) -> Layout:
    x0, y0, x1, y1 = drawing.ink
    columns, x_starts = _starts(x0 - _CLEAR_MM, x1 + _CLEAR_MM, size[0])
    rows, y_starts = _starts(y0 - _CLEAR_MM, y1 + _CLEAR_MM, size[1])
    x_edges = _edges(x_starts, columns, size[0])
    y_edges = _edges(y_starts, rows, size[1])
    shares = _shares(raster, x_edges, y_edges)
    live = shares > 0
    sheets = live.sum(axis=(2, 3))
    least = np.where(live, shares, shares.max()).min(axis=(2, 3))
    boxes = np.array([label.ink for label in drawing.labels]).reshape(-1, 4)
    whole_x = _unbroken(boxes[:, 0], boxes[:, 2], x_edges)
    whole_y = _unbroken(boxes[:, 1], boxes[:, 3], y_edges)
    broken = len(boxes) - whole_x.astype(int) @ whole_y.astype(int).T
    off_centre = (
        np.abs(x_edges[:, 0] + x_edges[:, -1] - x0 - x1)[:, None]
        + np.abs(y_edges[:, 0] + y_edges[:, -1] - y0 - y1)[None, :]
    )
    busy = (raster.on_columns(x_edges)[:, None] + raster.on_rows(y_edges)[None, :]) // _ALONG_PIXELS
    order = (off_centre.ravel(), -least.ravel(), busy.ravel(), broken.ravel(), sheets.ravel())
    best = np.lexsort(order)[0]
    i, j = np.unravel_index(best, sheets.shape)
    grid = _Grid(float(x_starts[i]), float(y_starts[j]), *size, columns, rows)
    tiles, labels = _settled_tiles(grid, drawing)
    share = float(least[i, j] / max(shares[i, j].sum(), 1))
    return Layout(tiles, labels, size_index, int(broken[i, j]), share)


def _starts(low: float, high: float, size: float) -> tuple[int, NDArray[np.float64]]:
    """Return how many windows of ``size`` cover [low, high], and the places where the first may start."""
    pitch = size - OVERLAP_MM
    count = max(1, math.ceil((high - low - OVERLAP_MM) / pitch - 1e-9))
    slack = count * pitch + OVERLAP_MM - (high - low)
    return count, low - slack + np.linspace(0, slack, max(2, math.ceil(slack / _STEP_MM) + 1))


def _edges(starts: NDArray[np.float64], count: int, size: float) -> NDArray[np.float64]:
    """Return for every start the count + 1 edges of the windows' own parts."""
    pitch = size - OVERLAP_MM
    inner = starts[:, None] + OVERLAP_MM / 2 + pitch * np.arange(1, count)
    return np.hstack([starts[:, None], inner, starts[:, None] + count * pitch + OVERLAP_MM])


def _shares(raster: _Raster, x_edges: NDArray[np.float64], y_edges: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return the ink pixels in every own part: (x starts, y starts, columns, rows)."""
    i, j = raster.columns(x_edges), raster.rows(y_edges)
    at = raster.table[i[:, None, :, None], j[None, :, None, :]]
    return at[:, :, 1:, 1:] - at[:, :, :-1, 1:] - at[:, :, 1:, :-1] + at[:, :, :-1, :-1]


def _unbroken(low: NDArray[np.float64], high: NDArray[np.float64], edges: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return (starts, labels): whether no inner edge cuts the label, unless it lies in the shared band."""
    inner = edges[:, 1:-1, None]
    cut = (low < inner) & (high > inner)
    in_band = (low >= inner - OVERLAP_MM / 2) & (high <= inner + OVERLAP_MM / 2)
    broken: NDArray[np.bool_] = np.any(cut & ~in_band, axis=1)
    return ~broken


def _settled_tiles(grid: _Grid, drawing: Drawing) -> tuple[tuple[Tile, ...], tuple[Label, ...]]:
    """Return the tiles that hold ink, and the labels; no sheet stays that sliding a label has emptied."""
    cells = [(c, r) for r in reversed(range(grid.rows)) for c in range(grid.columns)]
    strokes = stroke_segments(drawing.strokes)
    labels = drawing.labels
    while True:
        ink = with_labels(strokes, labels)
        live = [cell for cell in cells if crossing(ink, grid.own(*cell)).any()]
        tiles = _tiles(grid, live)
        labels = settled(drawing.labels, [t.region for t in tiles])
        if len(live) == len(cells):
            return tiles, labels
        cells = live


def _tiles(grid: _Grid, live: Sequence[tuple[int, int]]) -> tuple[Tile, ...]:
    # Rows and columns are counted from the first that holds a sheet.
    top, first = max(r for _, r in live), min(c for c, _ in live)
    names = {(c, r): f"{letters(top - r)}{c - first + 1}" for c, r in live}
    tiles = []
    for c, r in live:
        found: list[tuple[Side, str]] = []
        window, own = grid.window(c, r), grid.own(c, r)
        kept = list(window)
        for k, (side, (dc, dr)) in enumerate(_STEPS.items()):
            if (c + dc, r + dr) in names:
                found.append((side, names[c + dc, r + dr]))
                edge = (0, 2, 1, 3)[k]
                kept[edge] = own[edge]
        region = Region(window, (kept[0], kept[1], kept[2], kept[3]))
        tiles.append(Tile(names[c, r], c - first, top - r, region, tuple(found)))
    return tuple(tiles)


def letters(index: int) -> str:
    """Return A ... Z, AA, AB ... for 0, 1, ..."""
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(65 + rest) + text
    return text
