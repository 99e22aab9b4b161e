"""Beginning a design of one's own from a preset."""

from __future__ import annotations

import json
import os
import re
import tomllib
from pathlib import Path

from braces.design.load import preset_folder, preset_names


class CannotBegin(Exception):  # noqa: N818 - reads as what it is
    """Why a file was not begun, in a sentence for the maker."""


def begin(file: Path, like: str, outline: Path | None = None) -> None:
    """Write a copy of a preset under the file's own name, on an ``outline`` of the maker's own if one is given.

    Raises CannotBegin; never overwrites.
    """
    if like not in preset_names():
        raise CannotBegin(f'There is no preset "{like}". There are: {", ".join(preset_names())}.')
    if file.suffix != ".toml":
        raise CannotBegin(f'"{file}" should end in .toml, as in "{file.with_suffix(".toml")}".')
    text = (preset_folder() / f"{like}.toml").read_text(encoding="utf-8")
    plain = "".join(c if c.isprintable() else " " for c in file.stem)
    title = " ".join(plain.replace("-", " ").replace("_", " ").split()).capitalize() or like.capitalize()
    text = re.sub(
        r"^name = .*$",
        lambda _: f"name = {json.dumps(title[:60], ensure_ascii=False)}",
        text,
        count=1,
        flags=re.M,
    )
    if outline is not None:
        text = _on(text, _beside(file, outline))
    write_new(file, text)


def write_new(file: Path, text: str) -> None:
    """Write a file that is not there yet. Raises CannotBegin; never overwrites."""
    try:
        handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644)
    except FileExistsError:
        raise CannotBegin(f'"{file}" exists already; it was left as it is.') from None
    except OSError as error:
        raise CannotBegin(f'"{file}" cannot be written: {error.strerror}.') from None
    with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
        out.write(text)


def _beside(file: Path, outline: Path) -> str:
    """Return how a design names an outline file that lies in its folder or below."""
    if not outline.is_file():
        raise CannotBegin(f'There is no outline "{outline}". "braces trace" writes one from a drawing.')
    try:
        return outline.resolve().relative_to(file.parent.resolve()).as_posix()
    except ValueError:
        raise CannotBegin(f'"{outline}" does not lie beside "{file}": move it there first.') from None


def _on(text: str, outline: str) -> str:
    """Return a preset's text with an outline file in place of the body's length and bouts."""
    line = f"outline = {json.dumps(outline, ensure_ascii=False)}  # length, bouts and waist are read off it"
    body = re.compile(r"^\[body\].*?(?=^\[|\Z)", re.M | re.S)
    drawn = re.compile(r"^(?:length|lower_bout|waist|upper_bout)\s*=.*\n", re.M)

    def swapped(found: re.Match[str]) -> str:
        table = drawn.sub("", found[0])
        head, rest = table.split("\n", 1)
        return f"{head}\n{line}\n{rest}"

    return body.sub(swapped, text, count=1)


def preset_rows() -> list[tuple[str, str]]:
    """Return each preset's name with the first line of its file."""
    rows = []
    for name in preset_names():
        text = (preset_folder() / f"{name}.toml").read_text(encoding="utf-8")
        first = text.splitlines()[0].lstrip("# ")
        rows.append((name, first.split(": ", 1)[-1] if first else str(tomllib.loads(text).get("name", ""))))
    return rows
