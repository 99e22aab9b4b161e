"""What was read from a drawing: lines in mm, each with where it came from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from braces.base.arrays import Points, frozen_points
from braces.base.problems import DesignError, Problem

MAX_BYTES = 8 * 1024 * 1024
MAX_POINTS = 200_000
MAX_ENTITIES = 20_000
FARTHEST_MM = 100_000.0  #: a coordinate beyond this is no place on a drawing of a guitar
WITHIN_MM = 0.01  #: how far a piece's chords may stand off the curve that was drawn


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One drawn line."""

    points: Points  #: (n, 2), n >= 2, mm, x to the right, y up as drawn; a closed one does not repeat its first point
    label: str  #: what it is in the drawing, e.g. "SPLINE on layer MOULD"
    closed: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """Everything read from one file."""

    pieces: tuple[Piece, ...]
    unit: str  #: unit the drawing is in, e.g. "in"
    unit_from: str  #: how that is known, e.g. "the file's header"
    passed_over: tuple[str, ...] = ()  #: what is no line, e.g. "3 TEXT"


def refusal(code: str, name: str, found: str, advice: str) -> DesignError:
    """Return the error that turns a file away for one reason."""
    return DesignError([Problem(code, (name,), found, advice)])


def too_many(name: str) -> DesignError:
    """Return the error for a drawing beyond every size limit."""
    return refusal(
        "T02",
        name,
        f"the drawing holds more than {MAX_POINTS} points or {MAX_ENTITIES} things",
        "save only the outline to a file of its own",
    )


class Collector:
    """Gathers pieces while a drawing is read, and stops a drawing that is too large or too far away."""

    def __init__(self, name: str, mm_per_unit: float) -> None:
        self.name, self.mm_per_unit = name, mm_per_unit
        self.pieces: list[Piece] = []
        self.passed: dict[str, int] = {}
        self._point_count = 0
        self._entity_count = 0

    @property
    def within(self) -> float:
        """Allowed stand-off of a chord, in drawing units."""
        return WITHIN_MM / self.mm_per_unit

    def entity(self, count: int = 1) -> None:
        """Count things met. Raises DesignError when there are too many."""
        self._entity_count += count
        if self._entity_count > MAX_ENTITIES:
            raise too_many(self.name)

    def reach(self, xy: object) -> NDArray[np.float64]:
        """Return coordinates (drawing units) as an array. Raises DesignError if any lies off all drawings."""
        a = np.asarray(xy, dtype=float)
        if not np.all(np.abs(a) * self.mm_per_unit <= FARTHEST_MM):  # also catches not-a-number
            raise refusal(
                "T17",
                self.name,
                "there are coordinates more than 100 m from the origin, or no numbers",
                "move the drawing to the origin and save it again, or check --unit",
            )
        return a

    def add(self, xy: object, label: str, closed: bool = False) -> None:
        """Take a line of points in drawing units; repeated points are merged."""
        points = self.reach(xy)[:, :2] * self.mm_per_unit
        self._point_count += len(points)
        if self._point_count > MAX_POINTS:
            raise too_many(self.name)
        keep = np.append(True, np.any(np.abs(np.diff(points, axis=0)) > 1e-7, axis=1))
        points = points[keep]
        if len(points) > 3 and np.all(np.abs(points[0] - points[-1]) <= 1e-6):
            points, closed = points[:-1], True
        if len(points) < 2:
            self.pass_over("point or line of no length")
            return
        self.pieces.append(Piece(frozen_points(points), label, closed and len(points) > 2))

    def pass_over(self, what: str) -> None:
        """Note something that is no line."""
        self.passed[what] = self.passed.get(what, 0) + 1

    def result(self, unit: str, unit_from: str) -> Pieces:
        """Return what was gathered. Raises DesignError if there is no line at all."""
        noted = tuple(f"{n} {what}" for what, n in sorted(self.passed.items()))
        if not self.pieces:
            raise refusal(
                "T04",
                self.name,
                "there is no line in it" + (f", only {', '.join(noted)}" if noted else ""),
                "draw the outline as lines, arcs, polylines or splines, not as text, picture or fill",
            )
        return Pieces(tuple(self.pieces), unit, unit_from, noted)
