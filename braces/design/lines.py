"""On which line of a TOML text each key stands, so that a message can point at it.

The standard parser keeps no positions. This reads only headers and the keys that begin a line; a key inside an
inline table is answered with the line of the key that holds the table.
"""

from __future__ import annotations

import re

from braces.base.problems import Where

_KEY = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_DOTTED = rf"{_KEY}(?:\s*\.\s*{_KEY})*"
_HEADER = re.compile(rf"^\s*(\[\[?)\s*({_DOTTED})\s*\]\]?")
_ASSIGN = re.compile(rf"^\s*({_DOTTED})\s*=\s*(.*)")


def _parts(dotted: str) -> list[str]:
    return [k.strip("\"'") for k in re.findall(_KEY, dotted)]


def key_lines(text: str) -> dict[Where, int]:
    """Return the 1-based line of every table header and of every key that begins a line."""
    lines: dict[Where, int] = {}
    counts: dict[Where, int] = {}
    table: Where = ()
    inside = ""  # the closing mark of a text that runs over several lines

    def real(parts: list[str]) -> Where:
        """Put the number of the newest element behind every name that is an array of tables."""
        path: Where = ()
        for part in parts:
            path += (part,)
            if path in counts:
                path += (counts[path] - 1,)
        return path

    for number, line in enumerate(text.split("\n"), 1):
        if inside:
            inside = "" if inside in line else inside
            continue
        if header := _HEADER.match(line):
            parts = _parts(header[2])
            if header[1] == "[[":
                array = (*real(parts[:-1]), parts[-1])
                counts[array] = counts.get(array, 0) + 1
                table = (*array, counts[array] - 1)
                lines.setdefault(array, number)
            else:
                table = real(parts)
            lines.setdefault(table, number)
        elif assign := _ASSIGN.match(line):
            path = table
            for part in _parts(assign[1]):
                path = (*path, part)
                lines.setdefault(path, number)
            for mark in ('"""', "'''"):
                if assign[2].count(mark) % 2:
                    inside = mark
    return lines


def line_of(lines: dict[Where, int], where: Where) -> int | None:
    """Return the line of the longest known beginning of ``where``, or None; () stands for the file as a whole."""
    for n in range(len(where), -1, -1):
        if where[:n] in lines:
            return lines[where[:n]]
    return None
