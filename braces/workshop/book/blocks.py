"""The kinds of which a book is made: words, boxes to tick, warnings, tables, pictures by their keys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; ``small`` for what is only there to look up."""

    text: str
    small: bool = False


@dataclass(frozen=True, slots=True)
class Checks:
    """Boxes to tick."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Warned:
    """A caution in full."""

    text: str


@dataclass(frozen=True, slots=True)
class WarnedBefore:
    """One line that sends back to a caution given in full before, at the section ``anchor``."""

    title: str
    place: str  #: where, in words
    anchor: str


@dataclass(frozen=True, slots=True)
class Link:
    """A name, and the section it leads to."""

    name: str
    anchor: str


@dataclass(frozen=True, slots=True)
class Links:
    """What belongs to something: pages of this book, and names of other sheets."""

    pages: tuple[Link, ...] = ()
    sheets: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A table. The last ``numbers_count`` columns are set as numbers. A row is as long as ``head``.

    One to be ``written`` in has high rows with lines.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers_count: int = 0
    written: bool = False

    def __post_init__(self) -> None:
        """Raise ``ValueError`` for a row of another length than the heading."""
        if any(len(row) != len(self.head) for row in self.rows):
            raise ValueError(f"the table {self.caption!r} has rows that do not fit its heading")


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture, made by whoever lays the book out; one that cannot be made is left out."""

    key: str
    caption: str


Block = Words | Checks | Warned | WarnedBefore | Links | Table | Figure


@dataclass(frozen=True, slots=True)
class Section:
    """A heading that can be linked to, and what stands under it.

    A ``step`` keeps its pieces near each other; a ``brace`` stands on one page.
    """

    anchor: str
    title: str
    blocks: tuple[Block, ...]
    kind: Literal["text", "step", "brace"] = "text"


@dataclass(frozen=True, slots=True)
class Chapter:
    """Sections under a heading."""

    anchor: str
    title: str
    blocks: tuple[Block, ...]  #: before the first section
    sections: tuple[Section, ...] = ()

    @property
    def every_block(self) -> Iterator[Block]:
        """All blocks in order."""
        yield from self.blocks
        for section in self.sections:
            yield from section.blocks


@dataclass(frozen=True, slots=True)
class Book:
    """The whole book; its front page shows the name, the pictures and the list of chapters."""

    name: str
    about: str
    revision: str
    pictures: tuple[Figure, ...]
    front: tuple[Block, ...]
    chapters: tuple[Chapter, ...]
