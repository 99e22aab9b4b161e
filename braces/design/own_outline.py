"""A body outline of the maker's own, in a file beside the design."""

from __future__ import annotations

from pathlib import Path, PurePosixPath
from typing import Any

from braces.base.problems import DesignError, Problem, Where

_WHERE: Where = ("body", "outline")
_FROM_FILE = ("length", "lower_bout", "waist", "upper_bout")
MAX_BYTES = 256 * 1024


def with_outline(raw: dict[str, Any], folder: Path | None) -> tuple[dict[str, Any], list[Problem]]:
    """Return the raw design with the outline its body names, read in, and what is wrong with that.

    The file's curve takes the place of its name; the body's length and bouts are read off it. A design without an
    outline of its own comes back as it is.
    """
    body = raw.get("body")
    if not isinstance(body, dict) or not isinstance(body.get("outline"), str):
        return raw, []
    written = [key for key in _FROM_FILE if key in body]
    if written:
        found = f'"{written[0]}" is given although the outline says it'
        return _without(raw), [Problem("K01", ("body", written[0]), found, "remove it, or remove outline")]
    try:
        text = _text(body["outline"], folder)
    except OSError as error:
        found = f'"{body["outline"][:80]}" cannot be read: {error.strerror or error}'
        return _without(raw), [Problem("F01", _WHERE, found, "give the name of an outline file beside the design")]
    except (ValueError, UnicodeDecodeError) as error:
        return _without(raw), [Problem("F01", _WHERE, str(error), "give the name of a file that braces trace wrote")]
    from braces.traced.outline_file import read_outline

    try:
        read = read_outline(text)
    except DesignError as error:
        return _without(raw), [Problem(p.code, _WHERE, p.found, p.advice) for p in error.problems]
    places = read.places
    bouts = {"lower_bout": places.lower_bout}
    bouts |= {"waist": places.waist or places.lower_bout, "upper_bout": places.upper_bout or places.lower_bout}
    sizes = {k: {"width": _mm(p.width_mm), "at": _mm(p.at_mm)} for k, p in bouts.items()}
    return raw | {"body": body | sizes | {"length": _mm(places.length_mm), "outline": read.path}}, []


def _mm(value: float) -> str:
    return f"{value:.6f} mm"


def _without(raw: dict[str, Any]) -> dict[str, Any]:
    """The design with stand-ins for what the outline should have said, so that its other problems can be told."""
    body = {k: v for k, v in raw["body"].items() if k != "outline"}
    bout = {"width": "300 mm", "at": "200 mm"}
    return raw | {"body": {"length": "480 mm", "lower_bout": bout, "waist": bout, "upper_bout": bout} | body}


def _text(name: str, folder: Path | None) -> str:
    """The text of a file in the design's own folder. Raises OSError, or ValueError with a sentence."""
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or "\\" in name or ":" in name or not path.parts:
        raise ValueError(f'"{name[:80]}" is not a file in the design\'s own folder')
    if folder is None:
        raise ValueError("this design lies in no folder that could hold an outline")
    file = (folder / path).resolve()
    if not file.is_relative_to(folder.resolve()):
        raise ValueError(f'"{name[:80]}" leads out of the design\'s own folder')
    if not file.is_file():
        raise FileNotFoundError(2, "no such file")
    with file.open("rb") as handle:
        data = handle.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise ValueError(f"the outline file is larger than {MAX_BYTES // 1024} kB")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ValueError("the outline file is not UTF-8 text") from None
