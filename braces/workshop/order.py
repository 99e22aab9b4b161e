"""The job in order, from raw stock to the closed box: only the steps that this design has, as data.

How the work is done is common practice; every measurement comes from the design.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from braces.base.units import inch_text, mm_text
from braces.carved.values import Carved
from braces.workshop.bench import Bench
from braces.workshop.cautions import Caution


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the job."""

    number: int
    title: str
    text: str  #: what to do, in sentences
    checks: tuple[str, ...]  #: boxes to tick: each one thing to see or to measure
    cautions: tuple[Caution, ...]
    drawings: tuple[str, ...]  #: keys of the drawings that belong to it


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """What the writers of steps need."""

    carved: Carved
    bench: Bench
    inches: bool = False

    def say(self, value_mm: float, digits: int = 1) -> str:
        """Return a length as the book writes it."""
        return length_words(value_mm, self.inches, digits)


@dataclass(frozen=True, slots=True)
class Draft:
    """A step before it is numbered."""

    title: str
    text: str
    checks: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    drawings: tuple[str, ...] = field(default=())


def brace_key(name: str) -> str:
    """Return the stem of a brace's drawing, which is also its page in the book.

    >>> brace_key("Tone bar_1")
    'brace-tone-bar-1'
    """
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.lower())
    return "brace-" + "-".join(part for part in plain.split("-") if part)


def length_words(value_mm: float, inches: bool = False, digits: int = 1) -> str:
    """Return a length in mm, with inches to 1/64 beside it if asked.

    >>> length_words(98.84), length_words(98.84, inches=True)
    ('98.8 mm', '98.8 mm (3 57/64 in)')
    """
    mm = f"{mm_text(value_mm, digits)} mm"
    return f"{mm} ({inch_text(value_mm)} in)" if inches else mm


def steps(carved: Carved, bench: Bench, inches: bool = False) -> tuple[Step, ...]:
    """Return the steps of the whole job, numbered from 1; lengths with inches beside them if asked."""
    from braces.workshop.steps_box import box_steps
    from braces.workshop.steps_plates import plate_steps

    job = Job(carved, bench, inches)
    drafts = [*plate_steps(job), *box_steps(job)]
    return tuple(Step(i, d.title, d.text, d.checks, d.cautions, d.drawings) for i, d in enumerate(drafts, 1))
