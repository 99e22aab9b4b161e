"""From a file to a Design, or to every reason why not."""

from __future__ import annotations

import os
import stat
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from braces.base.problems import DesignError, Problem, Where
from braces.design.explain import explained
from braces.design.lines import key_lines
from braces.design.model import Design
from braces.design.woods import wood_problems

MAX_BYTES = 256 * 1024
MAX_DEPTH = 8


@dataclass(frozen=True, slots=True, eq=False)
class Loaded:
    """A design with the text it came from."""

    design: Design
    text: str  #: exactly as written, so that saving can give it back
    lines: dict[Where, int]  #: where each key stands


class BadFile(DesignError):  # noqa: N818 - reads as what it is
    """A DesignError that knows the lines of the file it is about."""

    def __init__(self, problems: list[Problem], lines: dict[Where, int]) -> None:
        super().__init__(problems)
        self.lines = lines


def preset_names() -> tuple[str, ...]:
    """Names of the instruments that come with the program, in alphabetical order."""
    return tuple(sorted(p.stem for p in preset_folder().glob("*.toml")))


def preset_folder() -> Path:
    """Return where the presets lie: beside the package in a checkout, inside it when installed."""
    beside = Path(__file__).resolve().parents[2] / "presets"
    return beside if beside.is_dir() else Path(str(files("braces"))) / "presets"


def find(name_or_path: str) -> Path:
    """Return the file meant by a path or by a preset's name."""
    if name_or_path in preset_names() and not Path(name_or_path).is_file():
        return preset_folder() / f"{name_or_path}.toml"
    return Path(name_or_path)


def read_text(path: Path) -> str:
    """Return the text of a design file. Raises BadFile if it cannot be one."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        advice = f"give a path, or one of the presets: {', '.join(preset_names())}"
        raise BadFile([Problem("F01", (), f'"{path}" cannot be read: {reason}', advice)], {}) from None
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise BadFile([Problem("F01", (), f'"{path}" is not a plain file', "give the path of a design file")], {})
        data = file.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise BadFile(
            [
                Problem(
                    "F02",
                    (),
                    f"the file is larger than {MAX_BYTES // 1024} kB",
                    "check that this is the design file",
                )
            ],
            {},
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise BadFile(
            [
                Problem(
                    "F03",
                    (),
                    f"line {line} holds a byte that is not UTF-8",
                    "save the file as UTF-8 in your editor",
                )
            ],
            {},
        ) from None


def parse(text: str) -> Loaded:
    """Return the design written in ``text``. Raises BadFile with every problem of its keys and values."""
    try:
        raw = tomllib.loads(text)
    except RecursionError:
        raise BadFile([Problem("F05", (), "tables are nested too deep", "a design needs four levels")], {}) from None
    except ValueError as error:  # also numbers of absurd length
        raise BadFile(
            [
                Problem(
                    "F04",
                    (),
                    f"not TOML: {str(error)[:160]}",
                    "texts stand in double quotes, tables in braces on one line",
                )
            ],
            {},
        ) from None
    lines = key_lines(text)
    if _depth(raw) > MAX_DEPTH:
        raise BadFile([Problem("F05", (), "tables are nested too deep", "a design needs four levels")], lines)
    try:
        design = Design.model_validate(raw)
    except ValidationError as error:
        raise BadFile(explained(error, raw), lines) from None
    problems = wood_problems(design) + _name_problems(design)
    if problems:
        raise BadFile(problems, lines)
    return Loaded(design, text, lines)


def load(name_or_path: str) -> Loaded:
    """Return the design in a file or of a preset. Raises BadFile."""
    return parse(read_text(find(name_or_path)))


def _depth(value: Any) -> int:
    children = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return 1 + max((_depth(v) for v in children), default=0)


def _name_problems(design: Design) -> list[Problem]:
    """Brace names must stay apart, also as file names."""
    problems = []
    seen: dict[str, str] = {}
    for plate in ("top", "back"):
        for i, brace in enumerate(getattr(design, plate).braces):
            key = "-".join(brace.name.lower().replace("_", " ").split())
            if key in seen:
                problems.append(
                    Problem(
                        "K04",
                        (plate, "braces", i, "name"),
                        f'"{brace.name}" is named twice',
                        "give each brace its own name, on both plates",
                    )
                )
            seen[key] = brace.name
    return problems
