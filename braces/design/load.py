"""From a file to a Design, or to every reason why not."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from braces.base.problems import DesignError, Problem, Where, as_read
from braces.design.braces import BraceSpec
from braces.design.explain import explained
from braces.design.lines import key_lines
from braces.design.model import Design
from braces.design.own_outline import with_outline
from braces.design.own_woods import wood_problems

MAX_BYTES = 256 * 1024
MAX_DEPTH = 8
_FOUR_LEVELS = "a design needs four levels"
_DEEP_KEY = re.compile(r"""(?<![\w-])(?:(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){24}""")


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
    data = _bytes(path)
    if len(data) > MAX_BYTES:
        raise _bad("F02", f"the file is larger than {MAX_BYTES // 1024} kB", "check that this is the design file")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise _bad(
            "F03", f"line {line} holds a byte that is not UTF-8", "save the file as UTF-8 in your editor", line
        ) from None


def _bytes(path: Path) -> bytes:
    """The first bytes of a plain file, one more than a design may have; a pipe or a device is never waited for."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        advice = f"give a path, or one of the presets: {', '.join(preset_names())}"
        raise _bad("F01", f"{as_read(str(path))} cannot be read: {reason}", advice) from None
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise _bad("F01", f"{as_read(str(path))} is not a plain file", "give the path of a design file")
        with os.fdopen(handle, "rb", closefd=False) as file:
            return file.read(MAX_BYTES + 1)
    except OSError as error:
        raise _bad("F01", f"{as_read(str(path))} cannot be read: {error.strerror}", "check the disk") from None
    finally:
        os.close(handle)


def _bad(code: str, found: str, advice: str, line: int | None = None) -> BadFile:
    """Return a BadFile about the whole file, or about one line of it."""
    return BadFile([Problem(code, (), found, advice)], {} if line is None else {(): line})


def parse(text: str, folder: Path | None = None) -> Loaded:
    """Return the design written in ``text``; an outline it names lies in ``folder``.

    Raises BadFile with every problem of its keys and values.
    """
    raw = _toml(text)
    lines = key_lines(text)  # after the parser's limits: a key of thousands of parts would take all memory
    raw, problems = with_outline(raw, folder)
    try:
        design = Design.model_validate(raw)
    except ValidationError as error:
        raise BadFile([*problems, *explained(error, raw)], lines) from None
    problems += wood_problems(design) + _string_problems(design) + _only_on_top(design) + _name_problems(design)
    if problems:
        raise BadFile(problems, lines)
    return Loaded(design, text, lines)


def _toml(text: str) -> dict[str, Any]:
    """The tables of a TOML text that is nested no deeper than a design can be."""
    if long_key := _DEEP_KEY.search(text):  # the parser's time grows with the square of a key's parts
        raise _bad("F05", "a key has too many parts", _FOUR_LEVELS, text.count("\n", 0, long_key.start()) + 1)
    try:
        raw = tomllib.loads(text)
    except RecursionError:
        raise _bad("F05", "tables are nested too deep", _FOUR_LEVELS) from None
    except tomllib.TOMLDecodeError as error:
        raise _not_toml(str(error), text) from None
    except ValueError:
        raise _bad("F04", "a number is of absurd length", "write numbers as texts with their unit") from None
    if _depth(raw) > MAX_DEPTH:
        raise _bad("F05", "tables are nested too deep", _FOUR_LEVELS)
    return raw


def _not_toml(message: str, text: str) -> BadFile:
    at = re.search(r" \(at (?:line (\d+), column (\d+)|end of document)\)$", message)
    what = message[: at.start()] if at else message
    line = None if at is None else int(at[1]) if at[1] else text.count("\n") + 1
    column = f" in column {at[2]}" if at and at[2] else " at the end of the file" if at else ""
    advice = "texts stand in double quotes, a table in braces on one line; every key stands once in its table"
    return _bad("F04", f"not TOML: {what[:160]}{column}", advice, line)


def load(name_or_path: str) -> Loaded:
    """Return the design in a file or of a preset. Raises BadFile."""
    path = find(name_or_path)
    return parse(read_text(path), path.parent)


def _depth(value: Any) -> int:
    """How many tables and lists stand in one another, no further than the limit needs."""
    depth, level = 1, [value]
    while depth <= MAX_DEPTH:
        level = [
            child for v in level for child in (v.values() if isinstance(v, dict) else v if isinstance(v, list) else ())
        ]
        if not level:
            return depth
        depth += 1
    return depth


def _name_problems(design: Design) -> list[Problem]:
    """Sticks must have names of their own, also as file names and also those named by a pair or a mirror image."""
    problems = []
    seen: set[str] = set()
    for plate in ("top", "back"):
        for i, brace in enumerate(getattr(design, plate).braces):
            keys = {"-".join(re.split(r"[ _-]+", n.lower())).strip("-"): n for n in stick_names(brace)}
            for twice in sorted(seen & keys.keys()):
                found = f'a brace named "{keys[twice]}" stands above'
                problems.append(
                    Problem("K04", (plate, "braces", i, "name"), found, "give each brace its own name, on both plates")
                )
            seen |= keys.keys()
    return problems


def stick_names(brace: BraceSpec) -> tuple[str, ...]:
    """Return the names of the sticks that one entry of a design makes; a lattice is known by its own name only."""
    if brace.lay == "fan":
        return tuple(f"{brace.name}-{i}" for i in range(1, brace.count + 1))
    if brace.lay == "crossing pair" or getattr(brace, "mirrored", False):
        return f"{brace.name}-bass", f"{brace.name}-treble"
    return (brace.name,)


def _string_problems(design: Design) -> list[Problem]:
    """A string of one's own says its pull or what it weighs, not both; such strings stand in place of a set."""
    strings, problems = design.strings, []
    if strings.set is not None and strings.each:
        advice = "remove it, or remove each; your own strings stand in place of a set"
        problems.append(Problem("K01", ("strings", "set"), '"set" is given beside strings of your own', advice))
    for i, string in enumerate(strings.each):
        given = [string.tension_n is not None, string.metre_mass_g is not None]
        where = ("strings", "each", i)
        if all(given):
            found = '"unit_weight" is given beside the tension'
            problems.append(Problem("K01", (*where, "unit_weight"), found, "remove one of the two"))
        elif not any(given):
            advice = 'add tension = "... N" or unit_weight = "... g/m"'
            problems.append(Problem("K02", (*where, "tension"), '"tension" is missing', advice))
    return problems


def _only_on_top(design: Design) -> list[Problem]:
    """The two plates share their fields, but a back has no hole and no bridge."""
    return [
        Problem("K01", ("back", part), f'"{part}" is not known on the back', "remove it, or move it to [top]")
        for part in ("soundhole", "bridge", "bridge_plate")
        if getattr(design.back, part) is not None
    ]
