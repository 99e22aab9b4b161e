"""The pages that show how a plate rings: its modes as small pictures with their still lines."""

from __future__ import annotations

from math import ceil

from braces.mechanics.ranges import mode_bound
from braces.mechanics.values import PlateStrength, Strength
from braces.sheets.drawing import Box, Drawing, Label, Mark, Stroke
from braces.sheets.lettering import ABOVE_RATIO, BELOW_RATIO
from braces.sheets.page import Placement
from braces.sheets.strength_block import paragraph, stacked
from braces.sheets.strength_field import Field, Hatch, clear_cut, contours, field, hatch, hatched
from braces.sheets.strength_leaf import Folder, Leaf
from braces.sheets.strength_numbers import span
from braces.sheets.strength_plan import THIN, Plate, PlateMap, thin_drawing
from braces.sheets.words import plan_face

_STILL = "heavy"  #: pen of the still lines
_NUMBER_MM, _TEXT_MM = 3.5, 2.5
_GAP_MM, _WORDS_GAP_MM = 5.0, 4.0
_CAPTION_MM = 1.5 + (ABOVE_RATIO + 0.5) * _NUMBER_MM + (ABOVE_RATIO + BELOW_RATIO) * _TEXT_MM
_PITCH_MM, _STEP_MM, _ANGLE_DEG = 1.3, 0.3, 45.0
_LEAST = 0.04  #: of the largest movement: what moves less is left white
#: A still line counts if the plate moves by so much of its largest movement so near to it.
_NEAR_MM, _NEAR_LEAST = 12.0, 0.03


def modes_leaf(strength: Strength, plate: Plate, folder: Folder) -> Leaf | None:
    """Return the page of one plate, or None if it has no modes."""
    solved = strength.top if plate.name == "top" else strength.back
    if not solved.modes:
        return None
    title = f"how the {plate.name} rings by itself"
    face = plan_face(plate.name, plate.view.carved.placed.design.handed)
    window = folder.window(title, face, landscape=True)
    words = stacked([paragraph(_words(solved), window[2] - window[0])], 0.0)
    low = window[1] + words.height_mm + _WORDS_GAP_MM
    marks: list[Mark] = list(words.at(window[0], window[1] + words.height_mm))
    placements: list[Placement] = []
    pictures = _Pictures(plate, solved, cells((window[0], low, window[2], window[3]), len(solved.modes), plate.size_mm))
    for number, mode in enumerate(solved.modes, start=1):
        moves = field(mode.shape)
        placements += pictures.placed(number, moves)
        marks += pictures.marks(number, moves)
        x, y = pictures.caption(number)
        marks.append(Label(x, y, f"{number} · {mode.frequency_hz:.0f} Hz", _NUMBER_MM, anchor="middle", bold=True))
        y -= (0.5 + BELOW_RATIO) * _NUMBER_MM + ABOVE_RATIO * _TEXT_MM - 0.5
        text = span(mode.frequency_hz, mode_bound(strength, number), 0, "Hz")
        marks.append(Label(x, y, text, _TEXT_MM, anchor="middle"))
    return Leaf(title, face, True, tuple(marks), tuple(placements))


def _words(solved: PlateStrength) -> str:
    return (
        "Heavy lines stand still. The hatched parts move outward while the white parts move inward, and back. "
        "Thin lines: braces, bridge, linings. Below each picture: the range in which the frequency of the model lies; "
        "the wood may shift all of them much further. The plate alone on its rim, without strings, without the air in "
        f"the box; rim: {solved.rim}."
    )


def cells(box: Box, count: int, size_mm: tuple[float, float]) -> list[Box]:
    """Return ``count`` equal cells, row by row, that show pictures of a size (mm) as large as can be."""
    wide, high = box[2] - box[0], box[3] - box[1]

    def scale(across: int) -> float:
        down = ceil(count / across)
        cell = ((wide - (across - 1) * _GAP_MM) / across, (high - (down - 1) * _GAP_MM) / down - _CAPTION_MM)
        return min(cell[0] / size_mm[0], cell[1] / size_mm[1])

    across = max(range(1, count + 1), key=scale)
    down = ceil(count / across)
    w, h = (wide - (across - 1) * _GAP_MM) / across, (high - (down - 1) * _GAP_MM) / down
    out = []
    for k in range(count):
        x, y = box[0] + (k % across) * (w + _GAP_MM), box[3] - (k // across) * (h + _GAP_MM)
        out.append((x, y - h, x + w, y))
    return out


class _Pictures:
    """What the pictures of one plate share: their scale, the plate in thin lines, where hatching can be."""

    def __init__(self, plate: Plate, solved: PlateStrength, boxes: list[Box]) -> None:
        self.plate, self.boxes = plate, boxes
        x0, y0, x1, y1 = boxes[0]
        self.where = plate.fitted((0.0, _CAPTION_MM, x1 - x0, y1 - y0))
        scale = self.where.scale_ratio
        # On a lining the plate hardly moves; where it stands still there means nothing.
        self.region = plate.region(to_lining=solved.rim != "free")
        between = plate.region(to_lining=solved.rim != "free", less_braces=True)
        self.ground = plate.ground(self.where)
        self.places: Hatch = hatch(between, _PITCH_MM / scale, _ANGLE_DEG, _STEP_MM / scale)

    def caption(self, number: int) -> tuple[float, float]:
        """Return where the first line of words below a picture stands."""
        x0, y0, x1, _ = self.boxes[number - 1]
        low = float(self.where.on_page(self.plate.outline)[:, 1].min())
        return (x0 + x1) / 2, y0 + low - 1.5 - ABOVE_RATIO * _NUMBER_MM

    def placed(self, number: int, moves: Field) -> list[Placement]:
        """Return the plate and the hatching of a picture."""
        box = self.boxes[number - 1]
        lines = [Stroke(self.where.on_page(p), THIN[0]) for p in hatched(moves, self.places, _LEAST, 1)]
        drawings = [self.ground] + ([thin_drawing(f"mode-{number}", lines)] if lines else [])
        return [_at(d, box) for d in drawings]

    def marks(self, number: int, moves: Field) -> list[Mark]:
        """Return the outline and the still lines of a picture."""
        x0, y0, _, _ = self.boxes[number - 1]
        here = PlateMap(self.where.view, self.where.scale_ratio, self.where.x_mm + x0, self.where.y_mm + y0)
        still = [p for p in contours(moves, 0.0, self.region) if clear_cut(moves, p, _NEAR_MM, _NEAR_LEAST)]
        return [*self.plate.edges(here), *(here.stroke(line, _STILL) for line in still)]


def _at(drawing: Drawing, box: Box) -> Placement:
    return Placement(drawing, box[0], box[1], box, 1.0, THIN)
