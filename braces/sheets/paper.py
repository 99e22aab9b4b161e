"""Real sheets of paper and how a printer distorts them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

#: Kept free on every side of a sheet; common practice for office printers, which leave 3 to 6 mm unprinted.
MARGIN_MM: Final = 8.0


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper; ``name`` is what a maker types, ``title`` what the sheet says."""

    name: str
    title: str
    width_mm: float
    height_mm: float

    @property
    def turned(self) -> Paper:
        """The same sheet lying the other way."""
        return Paper(self.name, self.title, self.height_mm, self.width_mm)

    @property
    def is_landscape(self) -> bool:
        """Whether the long edge lies across."""
        return self.width_mm > self.height_mm


#: ISO 216 (a4, a3) and ASME Y14.1 A and B (letter, tabloid: 8.5 x 11 in and 11 x 17 in), all upright.
PAPERS: Final[dict[str, Paper]] = {
    p.name: p
    for p in (
        Paper("a4", "A4", 210.0, 297.0),
        Paper("letter", "Letter", 215.9, 279.4),
        Paper("a3", "A3", 297.0, 420.0),
        Paper("tabloid", "Tabloid", 279.4, 431.8),
    )
}


def paper(name: str) -> Paper:
    """Return the paper called ``name``; raise ``ValueError`` naming the known ones if there is none."""
    try:
        return PAPERS[name.lower()]
    except KeyError:
        raise ValueError(f"no paper {name!r}; known: {', '.join(PAPERS)}") from None


@dataclass(frozen=True, slots=True)
class PrinterScale:
    """What a length is multiplied by in the file so that it comes out of the printer true.

    ``x_ratio`` acts along the short edge of the paper, ``y_ratio`` along the long one: it is the paper that a
    printer stretches, so on a sheet that lies across the two change places. A bar that should be 100 mm and
    measures m mm asks for 100 / m. A factor outside 0.9 to 1.1 raises ``ValueError``: that is a wrong print
    setting, not a stretch.
    """

    x_ratio: float = 1.0
    y_ratio: float = 1.0

    def __post_init__(self) -> None:
        """Raise ``ValueError`` for a factor that no printer needs."""
        if not (0.9 <= self.x_ratio <= 1.1 and 0.9 <= self.y_ratio <= 1.1):
            raise ValueError(f"printer factors {self.x_ratio:g}, {self.y_ratio:g} are not within 0.9 to 1.1")

    @classmethod
    def measured(cls, across_mm: float, up_mm: float) -> PrinterScale:
        """Return the correction for an upright sheet whose 100 mm bars came out ``across_mm`` and ``up_mm`` long."""
        return cls(100.0 / across_mm, 100.0 / up_mm)

    @property
    def measured_mm(self) -> tuple[float, float]:
        """How long the printer would make a bar of 100 mm on an upright sheet: across, up."""
        return 100.0 / self.x_ratio, 100.0 / self.y_ratio

    def on(self, landscape: bool) -> tuple[float, float]:
        """Return the factors across and up a page."""
        return (self.y_ratio, self.x_ratio) if landscape else (self.x_ratio, self.y_ratio)
