"""Sheet 1: what to print and how, how the tiles lie, what is on which sheet."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from braces.sheets.drawing import Box, Label, Mark
from braces.sheets.joins import SLIP_MM
from braces.sheets.lettering import wrapped
from braces.sheets.page import Placement
from braces.sheets.print_job import Draft, Pose, PrintJob
from braces.sheets.tile_map import TileMap, tile_map
from braces.sheets.tiling import OVERLAP_MM

TITLE: Final = "read this sheet first"
FACE: Final = "how to print the templates and put them together"
_HEAD_MM, _SUB_MM, _TEXT_MM = 5.0, 3.5, 2.5
_PITCH_MM = 4.4
_GAP_MM = 7.0
_MAP_MM = 88.0
_LIST_GAP_MM = 8.0
_NUMBER_MM = 8.0
_POSE = Pose(landscape=False)
@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the list: a sheet's number and what is on it."""

    sheet: int
    text: str


def steps(tiled: bool, joined: bool) -> tuple[str, ...]:
    """Return what to do, in order."""
    todo = [
        "Print this sheet first, at 100 % (“actual size”), not fitted to the page.",
        "Measure both check bars from the middle of one end line to the middle of the other: 100 mm, 4 in.",
        "If a bar is off although the setting was right, put 100 / measured mm into the design as the "
        "printer's correction: x along the short edge of the paper, y along the long edge. "
        "Then make the sheets again.",
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
            "A long side view is in parts that meet at a join letter. Trim the right part along the dashed "
            "line and lay it on the left part: the middle lines of the comb must meet end to end. "
            f"If another pair meets, the parts have slipped by {SLIP_MM:g} mm or more."
        )
    return tuple(todo)


def cover_drafts(
    job: PrintJob, todo: Sequence[str], maps: Sequence[TileMap], entries: Sequence[Entry], count: int
) -> tuple[Draft, ...]:
    """Return sheet 1, and more of its kind if the list is long; ``count`` is the number of all sheets."""
    room = job.window(_POSE, TITLE, FACE)
    column = (room[2] - room[0] - _LIST_GAP_MM) / 2
    lines = [(str(e.sheet) if k == 0 else "", text) for e in entries for k, text in enumerate(
        wrapped(e.text, column - _NUMBER_MM, _TEXT_MM)
    )]
    head, y = _head(room, f"full-size templates on {job.paper.title} · {count} sheets", todo)
    maps_shown, y = _maps(room, y, maps)
    drafts: list[Draft] = []
    marks, placements = [*head, *(m for marks, _ in maps_shown for m in marks)], [p for _, p in maps_shown]
    while True:
        y -= _PITCH_MM
        marks.append(Label(room[0], y, "what is on which sheet", _SUB_MM, bold=True, layer="sheet"))
        per_column = max(0, int((y - room[1] - 2) / _PITCH_MM))
        now, lines = lines[:2 * per_column], lines[2 * per_column:]
        marks += _list(room[0], y, column, now, per_column)
        drafts.append(Draft(TITLE, FACE, _POSE, tuple(marks), tuple(placements), "not to scale but the bars"))
        if not lines:
            return tuple(drafts)
        marks, placements, y = [], [], room[3]


def _head(room: Box, subtitle: str, todo: Sequence[str]) -> tuple[list[Mark], float]:
    """Return the heading and the steps, and the y below them."""
    y = room[3] - _HEAD_MM
    marks: list[Mark] = [Label(room[0], y, TITLE, _HEAD_MM, bold=True, layer="sheet")]
    y -= _SUB_MM + 3.5
    marks.append(Label(room[0], y, subtitle, _SUB_MM, layer="sheet"))
    y -= 3.0
    for number, text in enumerate(todo, start=1):
        for k, line in enumerate(wrapped(text, room[2] - room[0] - _NUMBER_MM, _TEXT_MM)):
            y -= _PITCH_MM
            if k == 0:
                marks.append(Label(room[0], y, f"{number}", _TEXT_MM, bold=True, layer="sheet"))
            marks.append(Label(room[0] + _NUMBER_MM, y, line, _TEXT_MM, layer="sheet"))
        y -= 1.0
    return marks, y


def _maps(
    room: Box, y: float, maps: Sequence[TileMap]
) -> tuple[list[tuple[tuple[Mark, ...], Placement]], float]:
    """Return the maps side by side below ``y``, and the y below them."""
    if not maps:
        return [], y
    width = (room[2] - room[0] - _LIST_GAP_MM * (len(maps) - 1)) / len(maps)
    shown = []
    lowest = y
    for k, plan in enumerate(maps):
        x = room[0] + k * (width + _LIST_GAP_MM)
        marks, placement = tile_map(plan, (x, y - _GAP_MM - _MAP_MM, x + width, y - _GAP_MM))
        lowest = min(lowest, *(m.ink[1] for m in marks))
        shown.append((marks, placement))
    return shown, lowest - 2.0


def _list(
    x0: float, y: float, column: float, lines: Sequence[tuple[str, str]], per_column: int
) -> list[Mark]:
    """Return the lines in two columns below ``y``, evenly filled."""
    half = min(per_column, (len(lines) + 1) // 2)
    marks: list[Mark] = []
    for k, (number, text) in enumerate(lines):
        x = x0 + (column + _LIST_GAP_MM) * (k >= half)
        at = y - _PITCH_MM * (k % max(half, 1) + 1) - 1.0
        if number:
            marks.append(Label(x + _NUMBER_MM - 2.5, at, number, _TEXT_MM, anchor="end", layer="sheet"))
        marks.append(Label(x + _NUMBER_MM, at, text, _TEXT_MM, layer="sheet"))
    return marks
