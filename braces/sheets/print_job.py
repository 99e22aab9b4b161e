"""What all sheets of one print have in common, and how a sheet gets its strip and its number."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from braces.sheets.drawing import Box, Mark
from braces.sheets.page import Page, Placement
from braces.sheets.paper import Paper, PrinterScale
from braces.sheets.title_strip import Frame, StripWords, frame


@dataclass(frozen=True, slots=True)
class Pose:
    """How a sheet lies, and at which edge its strip is: below, or at the left with its words turned."""

    landscape: bool
    strip_left: bool = False


#: The pose to prefer comes first.
POSES: Final = (Pose(False), Pose(True), Pose(False, True), Pose(True, True))


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A sheet before it has a number: its words and its content in page mm."""

    title: str
    face: str
    pose: Pose
    marks: tuple[Mark, ...]
    placements: tuple[Placement, ...] = ()
    scale: str = "scale 1:1"


@dataclass(frozen=True, slots=True)
class PrintJob:
    """One set of sheets: for which instrument, of which revision, on which paper, for which printer."""

    instrument: str
    revision: str
    paper: Paper
    printer: PrinterScale

    def size_mm(self, landscape: bool) -> tuple[float, float]:
        """Return the true width and height of the paper in the mm that the drawings are in.

        A printer that shrinks gets a file that is larger than the paper is, so the page holds less.
        """
        sheet = self.paper.turned if landscape else self.paper
        x_ratio, y_ratio = self.printer.on(landscape)
        return sheet.width_mm / x_ratio, sheet.height_mm / y_ratio

    def window(self, pose: Pose, title: str, face: str) -> Box:
        """Return the room for the drawing on a sheet whose strip says ``title`` and ``face``."""
        return self._frame(pose, title, face, "sheet 888 of 888", "scale 1:1").window

    def page(self, draft: Draft, number: int, count: int) -> Page:
        """Return the finished sheet ``number`` of ``count``."""
        width, height = self.size_mm(draft.pose.landscape)
        x_ratio, y_ratio = self.printer.on(draft.pose.landscape)
        sheet = f"sheet {number} of {count}"
        strip = self._frame(draft.pose, draft.title, draft.face, sheet, draft.scale)
        marks = draft.marks + strip.marks
        return Page(draft.title, width, height, marks, draft.placements, x_ratio, y_ratio)

    def _frame(self, pose: Pose, title: str, face: str, sheet: str, scale: str) -> Frame:
        words = StripWords(self.instrument, self.revision, title, face, sheet, self.paper.title, scale)
        return frame(*self.size_mm(pose.landscape), words, pose.strip_left)
