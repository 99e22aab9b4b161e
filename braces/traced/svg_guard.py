"""What an SVG file must satisfy before it is read: no XML tricks, no endless reuse, and a size in a real unit."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from xml.etree import ElementTree

from braces.traced.drawn_units import MM_PER_DRAWN_UNIT
from braces.traced.pieces import MAX_ENTITIES, refusal, too_many

_MAX_DEPTH = 100
_LENGTH = re.compile(r"^\s*([+-]?(?:\d{1,12}(?:\.\d{0,12})?|\.\d{1,12})(?:[eE][+-]?\d{1,2})?)\s*([a-zA-Z%]*)\s*$")


@dataclass(frozen=True, slots=True, eq=False)
class SafeSvg:
    """A drawing whose root is stripped of its own scaling: one px of ``text`` is one user unit of the root."""

    text: str
    scale: tuple[float, float] | None  #: mm per user unit in x and in y; None if the file does not say
    unit: str  #: the unit its width is written in, "" if none
    hidden_count: int  #: things switched off (display: none), which are not read


def guarded(data: bytes, name: str) -> SafeSvg:
    """Return the drawing if it is harmless. Raises DesignError if it is not, or no SVG."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refusal("T06", name, "it is not UTF-8 text", "save it as plain SVG") from None
    if re.search(r"<!\s*(doctype|entity)", text, re.IGNORECASE):
        raise refusal(
            "T05",
            name,
            "it declares a DOCTYPE or an ENTITY, which is not read for safety",
            'delete the line that begins with "<!DOCTYPE", or save it as plain SVG',
        )
    root = _tree(text, name)
    if root.tag.rpartition("}")[2] != "svg":
        raise refusal("T06", name, "it is XML, but no SVG", "give an SVG drawing")
    if _expanded_count(root, name) > MAX_ENTITIES:
        raise too_many(name)
    return _without_scaling(root)


def _tree(text: str, name: str) -> ElementTree.Element:
    root: ElementTree.Element | None = None
    depth, count = 0, 0
    try:
        for event, element in ElementTree.iterparse(io.StringIO(text), events=("start", "end")):
            root = element if root is None else root
            depth += 1 if event == "start" else -1
            count += event == "start"
            if depth > _MAX_DEPTH:
                raise refusal("T05", name, "groups are nested too deep", "ungroup the drawing and save it again")
            if count > 5 * MAX_ENTITIES:
                raise too_many(name)
    except ElementTree.ParseError as error:
        raise refusal("T06", name, f"it is no readable SVG: {error}", "save it as plain SVG again") from None
    assert root is not None  # an empty text is a ParseError
    return root


def _expanded_count(root: ElementTree.Element, name: str) -> int:
    """How many elements there are once every <use> stands for what it shows; reuse within reuse multiplies."""
    by_id = {e.get("id"): e for e in root.iter() if e.get("id")}
    known: dict[ElementTree.Element, int] = {}
    open_ones: set[ElementTree.Element] = set()

    def count(element: ElementTree.Element) -> int:
        if element in known:
            return known[element]
        if element in open_ones or len(open_ones) > 4 * _MAX_DEPTH:
            raise refusal(
                "T05", name, "a <use> shows itself, or reuse is nested too deep", "unlink the clones and save it again"
            )
        open_ones.add(element)
        total = 1 + sum(count(child) for child in element)
        if element.tag.rpartition("}")[2] == "use":
            href = next((v for k, v in element.attrib.items() if k.rpartition("}")[2] == "href"), "")
            target = by_id.get(href.lstrip("#"))
            total += count(target) if target is not None else 0
        open_ones.discard(element)
        known[element] = min(total, 10 * MAX_ENTITIES)
        return known[element]

    return count(root)


def _hidden_count(root: ElementTree.Element) -> int:
    off = re.compile(r"display\s*:\s*none")
    return sum(e.get("display") == "none" or bool(off.search(e.get("style", ""))) for e in root.iter())


def _measure(text: str | None) -> tuple[float, str] | None:
    match = _LENGTH.match(text or "")
    if not match or match.group(2) == "%" or not 0 < float(match.group(1)) < 1e9:
        return None
    return float(match.group(1)), match.group(2).lower()


def _without_scaling(root: ElementTree.Element) -> SafeSvg:
    """Take the root's own scaling out, so that it can be applied exactly and only once."""
    width, height = _measure(root.get("width")), _measure(root.get("height"))
    try:
        box = [float(v) for v in root.get("viewBox", "").replace(",", " ").split()]
    except ValueError:
        box = []
    has_box = len(box) == 4 and 0 < box[2] < 1e9 and 0 < box[3] < 1e9
    if not has_box:
        box = [0.0, 0.0, width[0] if width else 1000.0, height[0] if height else 1000.0]
    scale, unit = None, ""
    for size in (width, height):
        if size and size[1] in MM_PER_DRAWN_UNIT and size[1] != "px":
            unit = unit or size[1]
    if unit:
        # Without a viewBox a user unit is a px of CSS, whatever unit the width is written in.
        px = MM_PER_DRAWN_UNIT["px"]
        across = _mm(width) / box[2] if has_box and width else None
        down = _mm(height) / box[3] if has_box and height else None
        scale = (px, px) if not has_box else _fitted(across, down, root.get("preserveAspectRatio", ""))
    root.set("width", f"{box[2]!r}")
    root.set("height", f"{box[3]!r}")
    root.set("viewBox", f"0 0 {box[2]!r} {box[3]!r}")  # an offset moves the whole drawing, which changes nothing
    return SafeSvg(ElementTree.tostring(root, encoding="unicode"), scale, unit, _hidden_count(root))


def _mm(size: tuple[float, str]) -> float:
    return size[0] * MM_PER_DRAWN_UNIT[size[1] or "px"]


def _fitted(across: float | None, down: float | None, ratio: str) -> tuple[float, float]:
    """Mm per user unit in x and y; unless told "none", a drawing is scaled evenly to fit (or to fill: "slice")."""
    if across is None or down is None:
        even = across if across is not None else down
        assert even is not None  # one of them gave the unit
        return even, even
    if ratio.strip().startswith("none"):
        return across, down
    even = max(across, down) if "slice" in ratio else min(across, down)
    return even, even
