"""Every picture of the book by its key: how large it is in a given room, and its lines once it has its place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from braces.carved.values import Carved, CarvedBrace
from braces.sheets.drawing import Drawing, moved_mark
from braces.sheets.shopbook.bench import DECK_ASIDE_MM, deck_picture, strip_picture
from braces.sheets.shopbook.cut_out import cut_out, cut_out_ratio, cut_out_size_mm
from braces.sheets.shopbook.picture import Picture
from braces.sheets.shopbook.plates import PLATE_ASIDE_MM, face_of, plate_picture, whole_size_mm
from braces.sheets.shopbook.side_view import side_picture
from braces.sheets.strength_block import Block
from braces.sheets.strength_plan import Plate
from braces.sheets.words import PlateName, key_of, near_word
from braces.workshop.go_bars import PlateBars

Key = tuple[str, float, float]
_WIDE = ("side-", "rim-")
_SHORT_MM = 190.0


@dataclass(eq=False)
class Figures:
    """Pictures are made when first asked for, and kept: a book is laid out more than once."""

    carved: Carved
    bars: tuple[PlateBars, ...]
    strips: tuple[Drawing, ...]  #: templates of the rim

    def __post_init__(self) -> None:
        """Begin with none made."""
        self._made: dict[Key, Picture] = {}

    @cached_property
    def _plates(self) -> dict[str, Plate]:
        names: tuple[PlateName, PlateName] = ("top", "back")
        return {name: Plate(self.carved, name) for name in names}

    @cached_property
    def _braces(self) -> dict[str, CarvedBrace]:
        return {f"brace-{key_of(b.name)}": b for b in self.carved.braces}

    @cached_property
    def _others(self) -> dict[str, PlateBars | Drawing]:
        bars: dict[str, PlateBars | Drawing] = {f"deck-{b.plate}": b for b in self.bars}
        return bars | {d.key: d for d in self.strips}

    def has(self, key: str) -> bool:
        """Return whether there is a picture of that name."""
        kind, _, rest = key.partition("-")
        if kind in ("side", "cut"):
            return rest in self._braces
        return key in self._others or (kind == "plate" and rest in self._plates)

    @staticmethod
    def is_wide(key: str) -> bool:
        """Return whether a picture goes across the page."""
        return key.startswith(_WIDE)

    @staticmethod
    def is_cut_out(key: str) -> bool:
        """Return whether a picture shows the plate round a brace."""
        return key.startswith("cut-")

    def is_short(self, key: str) -> bool:
        """Return whether a side view is of a brace so short that there is room beside it."""
        return key.startswith("side-") and self._braces[key.partition("-")[2]].blank.length_mm <= _SHORT_MM

    def size_mm(self, key: str, width_mm: float, height_mm: float) -> tuple[float, float]:
        """Return how large a picture is in a room; only a picture that goes across the page has to be made for it."""
        kind, _, rest = key.partition("-")
        if kind == "cut":
            brace = self._braces[rest]
            return cut_out_size_mm(self._plates[brace.plate], brace.name, width_mm, height_mm)
        if kind in ("plate", "deck"):
            aside = PLATE_ASIDE_MM if kind == "plate" else DECK_ASIDE_MM
            return whole_size_mm(self._plates[rest], width_mm, height_mm, aside)
        return self.picture(key, width_mm, height_mm).size_mm

    def cut_out_ratio(self, key: str, width_mm: float, height_mm: float) -> float:
        """Return the scale of a brace's cut-out in a room."""
        brace = self._braces[key.partition("-")[2]]
        return cut_out_ratio(self._plates[brace.plate], brace.name, width_mm, height_mm)

    def face(self, key: str) -> str:
        """Return in words what is seen, without making the picture."""
        kind, _, rest = key.partition("-")
        if kind == "side":
            return f"seen from its {near_word(self._braces[rest], self.carved.placed.design.handed)} side"
        if kind == "cut":
            return face_of(self._plates[self._braces[rest].plate])
        if kind in ("plate", "deck"):
            return face_of(self._plates[rest])
        other = self._others[key]
        return other.face if isinstance(other, Drawing) else ""

    def picture(self, key: str, width_mm: float, height_mm: float) -> Picture:
        """Return a picture as large as a room allows. Raises ``KeyError`` for an unknown one."""
        wanted = (key, round(width_mm, 3), 0.0 if self.is_wide(key) else round(height_mm, 3))
        if wanted not in self._made:
            self._made[wanted] = self._make(key, width_mm, height_mm)
        return self._made[wanted]

    def _make(self, key: str, width_mm: float, height_mm: float) -> Picture:
        kind, _, rest = key.partition("-")
        if kind == "side":
            return side_picture(self._braces[rest], self.carved, width_mm)
        if kind == "cut":
            brace = self._braces[rest]
            return cut_out(self._plates[brace.plate], brace.name, width_mm, height_mm)
        if kind == "plate":
            return plate_picture(self._plates[rest], width_mm, height_mm)
        other = self._others[key]
        if isinstance(other, Drawing):
            return strip_picture(other, width_mm)
        return deck_picture(self._plates[other.plate], other, width_mm, height_mm)


def picture_block(made: Picture, width_mm: float, height_mm: float) -> Block:
    """Return a picture in the middle of the room it takes."""
    x0, _, x1, y1 = made.drawing.ink
    dx = (width_mm - (x0 + x1)) / 2
    return Block(tuple(moved_mark(m, dx, -y1) for m in made.drawing.marks), width_mm, height_mm)
