"""One design, followed as far as it goes: read, placed, carved, with everything wrong with it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from braces.app.bench_problems import bench_problems
from braces.base.problems import Problem, Where
from braces.carved.carve import carved_with_problems
from braces.carved.values import Carved
from braces.design.lines import line_of
from braces.design.load import BadFile, Loaded, find, parse, read_text
from braces.placed.place import placed_with_problems


@dataclass(frozen=True, slots=True, eq=False)
class Study:
    """What became of a design file."""

    path: Path
    loaded: Loaded | None
    carved: Carved | None  #: None if the file or the layout is too wrong to carve
    problems: tuple[Problem, ...]
    lines: dict[Where, int]

    @property
    def stem(self) -> str:
        """Name of the output folder: the file's name as plain letters, digits and dashes."""
        return file_stem(self.path.stem)

    @property
    def sound(self) -> bool:
        """Whether everything can be made."""
        return self.carved is not None and not any(p.fatal for p in self.problems)

    @property
    def revision_hash(self) -> str:
        """Eight letters that change with the design's text."""
        text = self.loaded.text if self.loaded else ""
        return hashlib.sha256(text.replace("\r\n", "\n").encode()).hexdigest()[:8]

    def line(self, problem: Problem) -> int | None:
        """Line of the file that a problem is about."""
        return line_of(self.lines, problem.where)


def file_stem(name: str) -> str:
    """Return a name that is safe as a file's on any system."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.lower())
    return "-".join(part for part in plain.split("-") if part) or "design"


def study(name_or_path: str) -> Study:
    """Follow a design as far as it goes. Never raises for what a maker wrote."""
    path = find(name_or_path)
    try:
        text = read_text(path)
    except BadFile as error:
        return Study(path, None, None, error.problems, error.lines)
    return follow(path, text)


def follow(path: str | Path, text: str) -> Study:
    """Follow the design written in ``text``, which need not be saved; ``path`` is what messages call it."""
    try:
        loaded = parse(text, Path(path).parent)
    except BadFile as error:
        return Study(Path(path), None, None, error.problems, error.lines)
    placed, problems = placed_with_problems(loaded.design)
    carved = None
    if placed is not None:
        carved, more = carved_with_problems(placed)
        problems = problems + more
        if carved is not None and loaded.design.tools is not None:
            from braces.app.tools import problems_of

            problems = problems + list(problems_of(carved))
        if carved is not None:
            problems = problems + list(bench_problems(carved))
    return Study(Path(path), loaded, carved, _once(problems), loaded.lines)


def _once(problems: list[Problem]) -> tuple[Problem, ...]:
    """Two sticks of one entry may be wrong in the same way: say it once."""
    return tuple(dict.fromkeys(problems))
