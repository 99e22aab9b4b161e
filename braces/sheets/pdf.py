"""PDF sink: pages as data become a file that a printer is told not to scale.

The strokes of a drawing are written once per layer, as a form that every page showing the drawing refers to,
so overlaps of neighbouring sheets are the same by construction. Every layer is an optional content group.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from braces.sheets.drawing import Box, Drawing, Label, Mark, Stroke, inked
from braces.sheets.layers import LAYERS, Layer, pen
from braces.sheets.page import Page, Placement
from braces.sheets.pdf_font import NAMES, embedded, words

_POINTS_PER_MM = 72 / 25.4
_MAP_PEN_MM = 0.13


@dataclass(frozen=True, slots=True)
class Bookmark:
    """A line of the list of contents that a viewer shows beside the pages."""

    title: str
    page: int  #: from 0
    under: tuple[Bookmark, ...] = ()


def pdf(pages: Sequence[Page], title: str, bookmarks: Sequence[Bookmark] = ()) -> bytes:
    """Return ``pages`` as a PDF, always the same bytes; raise ``ValueError`` if there are none."""
    if not pages:
        raise ValueError("no pages")
    return _Writer(title).written(pages, bookmarks)


def _path(stroke: Stroke) -> str:
    """Return the operators that draw a stroke with the pen in force, in mm."""
    n = len(stroke.points)
    pattern = "%.3f %.3f m\n" + "%.3f %.3f l\n" * (n - 1) + ("s\n" if stroke.closed else "S\n")
    return pattern % tuple(stroke.points.ravel())


def _pen(layer: Layer) -> str:
    # Round caps would eat into the gaps of a dashed line.
    dashes = " ".join(f"{v:g}" for v in layer.dashes_mm)
    return f"{0 if layer.dashes_mm else 1} J {layer.width_mm:g} w [{dashes}] 0 d\n"


class _Writer:
    """Collects what pages share: forms of drawings, layers, letters used."""

    def __init__(self, title: str) -> None:
        import pikepdf

        self._kit = pikepdf
        self._pdf = pikepdf.new()
        self._pdf.docinfo["/Title"] = title
        self._layers: dict[str, Any] = {}
        self._forms: dict[int, dict[str, tuple[str, Any]]] = {}
        self._form_count = 0
        self._letters: dict[bool, set[str]] = {False: set(), True: set()}
        self._fonts = self._pdf.make_indirect(pikepdf.Dictionary())

    def written(self, pages: Sequence[Page], bookmarks: Sequence[Bookmark]) -> bytes:
        for page in pages:
            self._add(page)
        if bookmarks:
            with self._pdf.open_outline() as outline:
                outline.root.extend(map(self._outlined, bookmarks))
        for bold, letters in self._letters.items():
            if letters:
                self._fonts[NAMES[bold]] = embedded(self._pdf, bold, letters)
        self._describe()
        out = io.BytesIO()
        self._pdf.save(out, deterministic_id=True, object_stream_mode=self._kit.ObjectStreamMode.generate)
        return out.getvalue()

    def _outlined(self, bookmark: Bookmark) -> Any:
        item = self._kit.OutlineItem(bookmark.title, bookmark.page)
        item.children.extend(map(self._outlined, bookmark.under))
        item.is_closed = True
        return item

    def _describe(self) -> None:
        """Ask the viewer to print at actual size on paper of the page's size, with all layers on."""
        kit, root = self._kit, self._pdf.Root
        groups = kit.Array([self._layers[name] for name in LAYERS if name in self._layers])
        default = kit.Dictionary(Name=kit.String("Layers"), Order=groups, ON=groups, OFF=kit.Array())
        root.OCProperties = kit.Dictionary(OCGs=groups, D=default)
        root.ViewerPreferences = kit.Dictionary(
            PrintScaling=kit.Name("/None"), PickTrayByPDFSize=True, DisplayDocTitle=True
        )

    def _layer(self, name: str) -> Any:
        """Return the optional content group of a layer."""
        if name not in self._layers:
            kit = self._kit
            group = kit.Dictionary(Type=kit.Name.OCG, Name=kit.String(pen(name).name))
            self._layers[name] = self._pdf.make_indirect(group)
        return self._layers[name]

    def _forms_of(self, drawing: Drawing) -> dict[str, tuple[str, Any]]:
        """Return layer -> name and form of the drawing's strokes on that layer; the caller sets the pen."""
        # Keyed by identity: the pages keep the drawings alive while this writer works.
        if id(drawing) not in self._forms:
            paths: dict[str, list[str]] = {}
            for stroke in drawing.strokes:
                paths.setdefault(stroke.layer, []).append(_path(stroke))
            self._forms[id(drawing)] = {
                layer: self._form(layer, "".join(paths[layer]), drawing.ink) for layer in LAYERS if layer in paths
            }
        return self._forms[id(drawing)]

    def _form(self, layer: str, paths: str, ink: Box) -> tuple[str, Any]:
        kit = self._kit
        x0, y0, x1, y1 = ink
        form = kit.Stream(
            self._pdf,
            paths.encode("ascii"),
            Type=kit.Name.XObject,
            Subtype=kit.Name.Form,
            BBox=kit.Array([round(v, 3) for v in (x0 - 1, y0 - 1, x1 + 1, y1 + 1)]),
            OC=self._layer(layer),
        )
        self._form_count += 1
        return f"/F{self._form_count}", self._pdf.make_indirect(form)

    def _add(self, page: Page) -> None:
        kit = self._kit
        forms: dict[str, Any] = {}
        sx, sy = page.x_ratio * _POINTS_PER_MM, page.y_ratio * _POINTS_PER_MM
        body = [f"q {sx:.8f} 0 0 {sy:.8f} 0 0 cm 1 j 0 G 0 g\n"]
        for placement in page.placements:
            body += self._placed(placement, forms)
        body += self._marks(page.marks)
        body.append("Q\n")
        width, height = (round(v * _POINTS_PER_MM, 4) for v in page.file_size_mm)
        sheet = self._pdf.add_blank_page(page_size=(width, height))
        box = kit.Array([0, 0, width, height])
        for name in ("/MediaBox", "/CropBox", "/TrimBox"):
            sheet.obj[name] = box
        sheet.obj.Contents = self._pdf.make_indirect(kit.Stream(self._pdf, "".join(body).encode("ascii")))
        used = [name for name in LAYERS if any(m.layer == name for m in page.marks)]
        sheet.obj.Resources = kit.Dictionary(
            Font=self._fonts,
            XObject=kit.Dictionary(forms),
            Properties=kit.Dictionary({f"/{name}": self._layer(name) for name in used}),
        )

    def _placed(self, placement: Placement, forms: dict[str, Any]) -> Iterable[str]:
        x0, y0, x1, y1 = placement.window
        m = placement.magnification_ratio
        yield f"q {x0:.4f} {y0:.4f} {x1 - x0:.4f} {y1 - y0:.4f} re W n\n"
        yield f"{m:.6f} 0 0 {m:.6f} {placement.x_mm:.4f} {placement.y_mm:.4f} cm\n"
        for layer, (name, form) in self._forms_of(placement.drawing).items():
            if placement.only and layer not in placement.only:
                continue
            forms[name] = form
            yield f"0 J {_MAP_PEN_MM / m:.4f} w [] 0 d\n" if placement.only else _pen(pen(layer))
            yield f"{name} Do\n"
        yield "Q\n"

    def _marks(self, marks: Sequence[Mark]) -> Iterable[str]:
        for name, layer in LAYERS.items():
            mine = [m for m in inked(marks) if m.layer == name]
            if not mine:
                continue
            yield f"/OC /{name} BDC\n" + _pen(layer)
            for mark in mine:
                if isinstance(mark, Label):
                    self._letters[mark.bold].update(mark.text)
                    yield words(mark) + "\n"
                else:
                    yield _path(mark)
            yield "EMC\n"
