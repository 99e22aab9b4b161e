"""The printed sheets of side views, nested."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from braces.sheets.drawing import Box, Drawing, Mark, moved_mark
from braces.sheets.joins import Piece, pieces
from braces.sheets.nesting import Spot, packed
from braces.sheets.page import Placement
from braces.sheets.print_job import POSES, Draft, Pose, PrintJob
from braces.sheets.tiling import letters

_GAP_MM = 5.0
#: A join to glue, and to get wrong, is as much bother as so much of a sheet.
_JOIN_COST = 0.34
#: More faces than this are not listed in the title strip.
_FACES_LISTED = 1
_MANY_FACES = "each view says under it from which side it is seen"


@dataclass(frozen=True, slots=True, eq=False)
class Nest:
    """Pieces of strips and where they lie on sheets of one pose."""

    pieces: tuple[Piece, ...]
    spots: tuple[Spot, ...]
    pose: Pose

    @property
    def page_count(self) -> int:
        """Number of sheets."""
        return 1 + max((s.page for s in self.spots), default=-1)

    @property
    def join_count(self) -> int:
        """Number of joins to glue."""
        return sum(len(p.joins) for p in self.pieces) // 2


def nested(drawings: Sequence[Drawing], job: PrintJob) -> Nest:
    """Return the strips nested on sheets of the pose that makes least work: sheets to print, joins to glue.

    Raises ``ValueError`` if one fits on none.
    """
    nests, reasons = [], []
    for pose in POSES:
        try:
            nests.append(_nest(drawings, job, pose))
        except ValueError as e:
            reasons.append(str(e))
    if not nests:
        raise ValueError("; ".join(reasons))
    return min(nests, key=lambda n: (n.page_count + _JOIN_COST * n.join_count, n.join_count))


def _nest(drawings: Sequence[Drawing], job: PrintJob, pose: Pose) -> Nest:
    x0, y0, x1, y1 = _room(drawings, job, pose)
    names = _join_names()
    parts = tuple(p for d in drawings for p in pieces(d, x1 - x0, names))
    sizes = [(p.box[2] - p.box[0], p.box[3] - p.box[1]) for p in parts]
    return Nest(parts, packed(sizes, x1 - x0, y1 - y0, _GAP_MM), pose)


def _join_names() -> Iterator[str]:
    k = 0
    while True:
        yield letters(k)
        k += 1


def _room(drawings: Sequence[Drawing], job: PrintJob, pose: Pose) -> Box:
    """Return the window left by the tallest strip that a sheet of these drawings may need."""
    faces = (_MANY_FACES, *(d.face for d in drawings))
    longest = sorted(dict.fromkeys(faces), key=len)[-_FACES_LISTED:]
    return job.window(pose, _title(drawings), "; ".join(longest))


def nest_drafts(nest: Nest, job: PrintJob) -> tuple[Draft, ...]:
    """Return the sheets of a nest."""
    room = _room([p.drawing for p in nest.pieces], job, nest.pose)
    drafts = []
    for number in range(nest.page_count):
        marks: list[Mark] = []
        placements: list[Placement] = []
        here = [(p, s) for p, s in zip(nest.pieces, nest.spots, strict=True) if s.page == number]
        for piece, spot in here:
            dx, dy = room[0] + spot.x_mm - piece.box[0], room[1] + spot.y_mm - piece.box[1]
            x0, y0, x1, y1 = piece.window
            placements.append(Placement(piece.drawing, dx, dy, (x0 + dx, y0 + dy, x1 + dx, y1 + dy)))
            marks += [moved_mark(m, dx, dy) for m in piece.marks]
        drawings = [p.drawing for p, _ in here]
        faces = list(dict.fromkeys(d.face for d in drawings))
        face = "; ".join(faces) if len(faces) <= _FACES_LISTED else _MANY_FACES
        drafts.append(Draft(_title(drawings), face, nest.pose, tuple(marks), tuple(placements)))
    return tuple(drafts)


def contents(nest: Nest, page: int) -> str:
    """Return what is on one sheet of a nest, in words."""
    here = [p for p, s in zip(nest.pieces, nest.spots, strict=True) if s.page == page]
    names: list[str] = []
    for piece in here:
        joins = f" (join {' and '.join(piece.joins)})" if piece.joins else ""
        names.append(piece.drawing.title + joins)
    return "; ".join(names)


def _title(drawings: Sequence[Drawing]) -> str:
    titles = list(dict.fromkeys(d.title for d in drawings))
    if len(titles) == 1:
        return titles[0]
    return "rim templates" if all(d.key.startswith("rim-") for d in drawings) else "side views of braces"
