"""A tool as it leaves the workshop's computer: an exact solid, and the marked pieces that a printer makes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import ceil
from typing import TYPE_CHECKING, Literal

import numpy as np

from braces.carved.values import Carved
from braces.curves.frames import Placement, stay
from braces.solids.mesh import Triangles, Vertices, mesh
from braces.solids.tools.bodies import Face, Mark, Split, body, engraved, pieces, triangles
from braces.solids.tools.settings import BED_MARGIN_MM, ToolSettings

if TYPE_CHECKING:
    from manifold3d import Manifold
    from OCP.TopoDS import TopoDS_Solid

MESH_MM = 0.01  #: how far a triangle may leave the surface it stands for
PICTURE_MM = 0.04  #: the same for a picture
Net = tuple[Vertices, Triangles]


_NOTHING = np.zeros((0, 3))


@dataclass(frozen=True, slots=True)
class Measure:
    """A dimension to draw between two places of a part's own frame."""

    view: Literal["above", "front", "left", "under"]
    a: tuple[float, float, float]
    b: tuple[float, float, float]
    name: str = ""  #: written before the figure


@dataclass(frozen=True, slots=True)
class Angle:
    """An angle to draw, seen from above."""

    at: tuple[float, float]
    from_deg: float
    to_deg: float
    radius_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One thing to print, in the orientation it is printed in, lowest point at z = 0."""

    name: str
    vertices: Vertices
    faces: Triangles

    @property
    def size_mm(self) -> tuple[float, float, float]:
        """Length, width and height."""
        x, y, z = (self.vertices.max(axis=0) - self.vertices.min(axis=0)).tolist()
        return x, y, z

    @property
    def volume_mm3(self) -> float:
        """Enclosed volume."""
        a, b, c = (self.vertices[self.faces[:, k]] for k in range(3))
        return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One tool."""

    name: str  #: of its files
    title: str
    shape: TopoDS_Solid  #: whole and without marks, in the frame it is printed in
    pieces: tuple[Piece, ...]
    orientation: str  #: how it lies on the bed
    note: str  #: how it was worked out and how it is used
    dimensions: tuple[tuple[str, float], ...]  #: label with its unit, value
    serves: tuple[str, ...]  #: the braces it is for
    count: int = 1  #: how many to make
    printed: bool = True  #: False: cut from wood or rod, its mesh is only a picture
    home: Placement = field(default_factory=stay)  #: from its own frame to where it is used
    bridges: str = ""  #: level ceilings that the printer has to bridge, if any
    has_end_view: bool = False  #: whether its left end shows more than a rectangle
    has_under_view: bool = False  #: whether something can only be seen from below
    marks: tuple[Mark, ...] = ()  #: what is engraved
    measures: tuple[Measure | Angle, ...] = ()  #: dimensions worth drawing, besides the overall ones
    picture: Net = (_NOTHING, _NOTHING.astype(np.int64))  #: coarse and without marks, its pieces in their places
    first_piece: Net = (_NOTHING, _NOTHING.astype(np.int64))  #: the first of them alone

    @property
    def volume_mm3(self) -> float:
        """Of all its pieces."""
        return sum(p.volume_mm3 for p in self.pieces)


@dataclass(frozen=True, slots=True)
class Join:
    """How a part too long for the bed is put together again."""

    pins: tuple[tuple[float, float], ...]  #: (y, z) of the holes along X
    pin_mm: float  #: of the dowel or pin itself
    letter_at: tuple[float, float]  #: (y, z) of the letters beside each joint
    letter_mm: float = 5.0
    play_mm: float = 0.3  #: hole over pin, so that a dowel goes in
    clear_of: tuple[tuple[float, float], ...] = ()  #: stretches of X in which no cut may fall


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A tool before its marks and its joints."""

    name: str
    title: str
    shape: TopoDS_Solid
    orientation: str
    note: str
    dimensions: tuple[tuple[str, float], ...]
    serves: tuple[str, ...]
    marks: tuple[Mark, ...]
    net: Manifold | None = None  #: its mesh, where that came first
    join: Join | None = None
    count: int = 1
    printed: bool = True
    home: Placement = field(default_factory=stay)
    bridges: str = ""
    has_end_view: bool = False
    measures: tuple[Measure | Angle, ...] = ()


def bed_length_mm(settings: ToolSettings) -> float:
    """Return the longest piece that lies square on the bed."""
    return max(settings.bed_mm[:2]) - 2 * BED_MARGIN_MM


def piece_count(length_mm: float, settings: ToolSettings) -> int:
    """Return into how many pieces a length is cut."""
    return max(1, ceil(length_mm / bed_length_mm(settings) - 1e-9))


def cut_places(low_mm: float, high_mm: float, settings: ToolSettings) -> list[float]:
    """Return where a part between two X is cut: into equal pieces, as few as the bed allows."""
    n = piece_count(high_mm - low_mm, settings)
    return [low_mm + (high_mm - low_mm) * k / n for k in range(1, n)]


def finished(draft: Draft, settings: ToolSettings) -> Part:
    """Return the part with its marks engraved and cut into pieces where it is longer than the bed.

    Raises:
        SolidError: if a mesh does not close.
    """
    net = draft.net if draft.net is not None else body(*mesh(draft.shape, MESH_MM))
    low, high = net.bounding_box()[0], net.bounding_box()[3]
    places = cut_places(low, high, settings) if draft.printed and draft.join else []
    marks = list(draft.marks)
    if draft.join:
        marks += _letters(places, draft.join)
    plain = _plain(net, places)
    net = engraved(net, marks)
    found = [net]
    if draft.join and places:
        split = Split(tuple(places), draft.join.pins, draft.join.pin_mm + draft.join.play_mm, 3 * draft.join.pin_mm)
        found = pieces(net, split)
    return Part(
        draft.name,
        draft.title,
        draft.shape,
        tuple(_piece(draft.name, k, len(found), made) for k, made in enumerate(found, 1)),
        draft.orientation,
        draft.note,
        draft.dimensions,
        draft.serves,
        draft.count,
        draft.printed,
        draft.home,
        draft.bridges,
        draft.has_end_view,
        any(m.face == "under" for m in marks)
        or any(m.view == "under" for m in draft.measures if isinstance(m, Measure)),
        tuple(marks),
        draft.measures,
        _as_one(plain),
        plain[0],
    )


def _plain(net: Manifold, places: Sequence[float]) -> list[Net]:
    """Return the pieces of a part without marks and pins, as coarse as a picture may be."""
    rest, found = net.simplify(PICTURE_MM), []
    for x in places:
        rest, before = rest.split_by_plane((1, 0, 0), x)
        found.append(before)
    meshes = [made.to_mesh64() for made in (*found, rest)]
    return [(np.array(m.vert_properties[:, :3]), np.array(m.tri_verts, dtype=np.int64)) for m in meshes]


def _as_one(nets: Sequence[Net]) -> Net:
    first = np.cumsum([0, *(len(v) for v, _ in nets)])
    faces = [f + k for (_, f), k in zip(nets, first, strict=False)]
    return np.concatenate([v for v, _ in nets]), np.concatenate(faces)


def _letters(places: Sequence[float], join: Join) -> list[Mark]:
    """Return the same letter on both sides of every joint."""
    y, z = join.letter_at
    room = 2.0 * join.letter_mm
    return [
        Mark(chr(ord("A") + k), (x + side * join.letter_mm, y, z), (room, room), join.letter_mm)
        for k, x in enumerate(places)
        for side in (-1, 1)
    ]


def _piece(name: str, number: int, of: int, made: Manifold) -> Piece:
    vertices, faces = triangles(made)
    vertices = vertices - [0.0, 0.0, vertices[:, 2].min()]
    for array in (vertices, faces):
        array.setflags(write=False)
    return Piece(name if of == 1 else f"{name}-{number}", vertices, faces)


def label(carved: Carved, settings: ToolSettings) -> str:
    """Return the instrument's name and revision as they are engraved."""
    design = carved.placed.design
    return " ".join(word for word in (design.name, design.revision, settings.mark) if word)


def name_mark(
    carved: Carved,
    settings: ToolSettings,
    more: str,
    at: tuple[float, float, float],
    room: tuple[float, float],
    height_mm: float = 5.0,
    turn_deg: float = 0.0,
    face: Face = "up",
) -> Mark:
    """Return the mark that says which part of which instrument this is, as much of it as its room can hold."""
    design = carved.placed.design
    short = (
        f"{design.name} {design.revision} {more}",
        f"{settings.mark} {more}" if settings.mark else "",
        f"{design.revision} {more}",
        f"{design.name} {design.revision}",
        settings.mark,
        more,
    )
    others = tuple(" ".join(text.split()) for text in short if text.strip())
    return Mark(f"{label(carved, settings)} {more}".strip(), at, room, height_mm, turn_deg, face, others)


def stem(name: str) -> str:
    """Return a name as a part of a file's name."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.lower())
    return "-".join(word for word in plain.split("-") if word)


def together(names: Sequence[str]) -> str:
    """Return several names as one: what they share, or the first and how many more.

    >>> together(["x-bass", "x-treble"]), together(["finger 1-bass"]), together(["back 1", "back 3"])
    ('x', 'finger 1-bass', 'back 1 + back 3')
    """
    if len(names) == 1:
        return names[0]
    first = names[0]
    for suffix in ("-bass", "-treble"):
        root = first.removesuffix(suffix)
        if root != first and {n.removesuffix("-bass").removesuffix("-treble") for n in names} == {root}:
            return root
    return " + ".join(names) if len(names) <= 2 else f"{first} + {len(names) - 1} more"
