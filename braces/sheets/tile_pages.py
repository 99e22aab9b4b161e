"""The printed sheets of a tiled plan."""

from __future__ import annotations

from braces.sheets.drawing import Drawing, moved_mark
from braces.sheets.page import Placement
from braces.sheets.print_job import POSES, Draft, PrintJob
from braces.sheets.tile_marks import tile_marks
from braces.sheets.tiling import OVERLAP_MM, Layout, tiled
from braces.sheets.windows import is_shown, stroke_segments, with_labels


def plan_layout(drawing: Drawing, job: PrintJob) -> Layout:
    """Return the tiles of a plan on the paper of ``job``."""
    sizes = []
    for pose in POSES:
        x0, y0, x1, y1 = job.window(pose, _title(drawing, "AA88"), _face(drawing))
        sizes.append((x1 - x0, y1 - y0))
    return tiled(drawing, sizes, [int(pose.strip_left) for pose in POSES])


def plan_drafts(drawing: Drawing, layout: Layout, job: PrintJob, first_sheet: int) -> tuple[Draft, ...]:
    """Return a sheet for every tile; the first will be number ``first_sheet``."""
    sheet_of = {tile.name: first_sheet + k for k, tile in enumerate(layout.tiles)}
    ink = with_labels(stroke_segments(drawing.strokes), layout.labels)
    pose = POSES[layout.size_index]
    room = job.window(pose, _title(drawing, "AA88"), _face(drawing))
    drafts = []
    for tile in layout.tiles:
        x0, y0, x1, y1 = tile.region.window
        dx, dy = room[0] - x0, room[1] - y0
        words = tuple(label for label in layout.labels if is_shown(label, tile.region))
        marks = tuple(moved_mark(m, dx, dy) for m in (*words, *tile_marks(tile, ink, sheet_of)))
        placement = Placement(drawing, dx, dy, (room[0], room[1], x1 + dx, y1 + dy))
        title = _title(drawing, tile.name) if len(layout.tiles) > 1 else drawing.title
        drafts.append(Draft(title, _face(drawing), pose, marks, (placement,)))
    return tuple(drafts)


def _title(drawing: Drawing, tile: str) -> str:
    return f"{drawing.title}, tile {tile}"


def _face(drawing: Drawing) -> str:
    return f"{drawing.face} · tiles overlap {OVERLAP_MM:g} mm"
