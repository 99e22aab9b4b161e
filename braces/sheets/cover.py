"""Sheet 1: what to print and how, how the tiles lie, what is on which sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from braces.sheets.drawing import Box, Label, Mark
from braces.sheets.join_marks import SLIP_MM
from braces.sheets.lettering import wrapped
from braces.sheets.page import Placement
from braces.sheets.paper import PrinterScale
from braces.sheets.print_job import Draft, Pose, PrintJob
from braces.sheets.tile_map import TileMap, tile_map
from braces.sheets.tiling import OVERLAP_MM

TITLE: Final = "read this sheet first"
FACE: Final = "how to print the templates and put them together"
_HEAD_MM, _SUB_MM, _TEXT_MM = 5.0, 3.5, 2.5
_PITCH_MM = 4.4
_GAP_MM = 8.0
_NUMBER_MM = 8.0
_MAPS_IN_A_ROW = 2
#: Room for the words below a map.
_MAP_WORDS_MM = 16.0
_POSE = Pose(landscape=False)


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the list: a sheet's number and what is on it."""

    sheet: int
    text: str


def steps(tiled: bool, joined: bool, printer: PrinterScale) -> tuple[str, ...]:
    """Return what to do, in order."""
    across, up = printer.measured_mm
    todo = [
        "Print this sheet first, at 100 % (“actual size”), not fitted to the page.",
        "Measure both check bars from the middle of one end line to the middle of the other: 100 mm, 4 in.",
        "If a 100 mm bar of this sheet is off although the setting was right, write into the design's [printer] "
        "what it measures: across for the lower bar, up for the upright one. Then make the sheets again."
        if printer == PrinterScale()
        else f"These sheets are corrected for across = {across:.2f}, up = {up:.2f} mm in the design's [printer]. If a "
        "100 mm bar of this sheet is still off, write the old value × measured / 100 instead.",
        "Print the rest with the same setting and measure the bars on every sheet before you cut or glue.",
    ]
    if tiled:
        todo.append(
            f"Tiles share a band of {OVERLAP_MM:g} mm. Trim each along its dashed lines at the left and "
            "below, lay it over its neighbours there so that the crosses meet, and glue. "
            "Begin with the lowest row, at the left."
        )
    if joined:
        todo.append(
            "A long side view or strip is in parts that meet at a join letter. Trim the right part along the dashed "
            "line and lay it on the left part: the middle lines of the comb must meet end to end. "
            f"If another pair meets, the parts have slipped by {SLIP_MM:g} mm or more."
        )
    return tuple(todo)


def cover_drafts(
    job: PrintJob, todo: Sequence[str], maps: Sequence[TileMap], entries: Sequence[Entry], count: int
) -> tuple[Draft, ...]:
    """Return sheet 1, and more of its kind if there is much to say; ``count`` is the number of all sheets."""
    flow = _Flow(job.window(_POSE, TITLE, FACE))
    _head(flow, f"full-size templates on {job.paper.title} · {count} sheets", todo)
    for k in range(0, len(maps), _MAPS_IN_A_ROW):
        _map_row(flow, maps[k : k + _MAPS_IN_A_ROW])
    _list(flow, entries)
    return tuple(
        Draft(TITLE, FACE, _POSE, tuple(marks), tuple(placements), "not to scale but the bars")
        for marks, placements in flow.sheets
    )


class _Flow:
    """Fills sheets from the top down; ``y_mm`` is how far it has come on the last one."""

    def __init__(self, room: Box) -> None:
        self.left_mm, self._low, right, self._high = room
        self.width_mm = right - self.left_mm
        self.sheets: list[tuple[list[Mark], list[Placement]]] = []
        self.next_sheet()

    def next_sheet(self) -> None:
        self.sheets.append(([], []))
        self.y_mm = self._high

    def left_over_mm(self) -> float:
        return self.y_mm - self._low

    def words(self, x_mm: float, text: str, height_mm: float = _TEXT_MM, **more: Any) -> None:
        """Set words on the baseline reached."""
        self.sheets[-1][0].append(Label(x_mm, self.y_mm, text, height_mm, layer="sheet", **more))


def _head(flow: _Flow, subtitle: str, todo: Sequence[str]) -> None:
    flow.y_mm -= _HEAD_MM
    flow.words(flow.left_mm, TITLE, _HEAD_MM, bold=True)
    flow.y_mm -= _SUB_MM + 3.5
    flow.words(flow.left_mm, subtitle, _SUB_MM)
    flow.y_mm -= 3.0
    for number, text in enumerate(todo, start=1):
        for k, line in enumerate(wrapped(text, flow.width_mm - _NUMBER_MM, _TEXT_MM)):
            flow.y_mm -= _PITCH_MM
            if k == 0:
                flow.words(flow.left_mm, f"{number}", bold=True)
            flow.words(flow.left_mm + _NUMBER_MM, line)
        flow.y_mm -= 1.0


def _map_row(flow: _Flow, maps: Sequence[TileMap]) -> None:
    """Set a row of maps side by side."""
    width = (flow.width_mm - _GAP_MM * (_MAPS_IN_A_ROW - 1)) / _MAPS_IN_A_ROW
    if flow.left_over_mm() < _GAP_MM + width + _MAP_WORDS_MM:
        flow.next_sheet()
    else:
        flow.y_mm -= _GAP_MM
    marks, placements = flow.sheets[-1]
    lowest = flow.y_mm
    for k, plan in enumerate(maps):
        x = flow.left_mm + k * (width + _GAP_MM)
        drawn, placement = tile_map(plan, (x, flow.y_mm - width, x + width, flow.y_mm))
        marks += drawn
        placements.append(placement)
        lowest = min(lowest, *(m.ink[1] for m in drawn))
    flow.y_mm = lowest


def _list(flow: _Flow, entries: Sequence[Entry]) -> None:
    """Set the list of sheets in two columns, evenly filled, on as many sheets as it takes."""
    column = (flow.width_mm - _GAP_MM) / 2
    lines = [
        (str(entry.sheet) if k == 0 else "", text)
        for entry in entries
        for k, text in enumerate(wrapped(entry.text, column - _NUMBER_MM, _TEXT_MM))
    ]
    while lines:
        if flow.left_over_mm() < _GAP_MM + 5 * _PITCH_MM:
            flow.next_sheet()
        flow.y_mm -= _GAP_MM
        flow.words(flow.left_mm, "what is on which sheet", _SUB_MM, bold=True)
        flow.y_mm -= 1.0
        most = int(flow.left_over_mm() / _PITCH_MM)
        half = min(most, (len(lines) + 1) // 2)
        top = flow.y_mm
        for k, (number, text) in enumerate(lines[: 2 * half]):
            x = flow.left_mm + (column + _GAP_MM) * (k // half)
            flow.y_mm = top - _PITCH_MM * (k % half + 1)
            if number:
                flow.words(x + _NUMBER_MM - 2.5, number, anchor="end")
            flow.words(x + _NUMBER_MM, text)
        lines = lines[2 * half :]
        flow.y_mm = top - _PITCH_MM * half
