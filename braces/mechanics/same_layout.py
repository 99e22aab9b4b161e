"""Whether two carvings stand on the same layout: same plate, same braces in the same places, same joints."""

from __future__ import annotations

import numpy as np

from braces.carved.values import Carved, CarvedBrace
from braces.placed.values import PlacedPlate

_CLOSE_MM = 1e-6


class LayoutChangedError(ValueError):
    """The braces or the plate lie otherwise than in the design that a live model was built for."""


def check_layout(before: Carved, after: Carved, plate: str) -> None:
    """Raise LayoutChangedError, with the first difference in words, unless only the carving differs."""
    found = _plate_difference(_placed(before, plate), _placed(after, plate)) or _hole_difference(before, after, plate)
    if found:
        raise LayoutChangedError(found)
    old, new = (made.top if plate == "top" else made.back for made in (before, after))
    if [b.name for b in old.braces] != [b.name for b in new.braces]:
        raise LayoutChangedError(f"the {plate} has other braces")
    for a, b in zip(old.braces, new.braces, strict=True):
        found = _brace_difference(a, b)
        if found:
            raise LayoutChangedError(found)


def _placed(carved: Carved, plate: str) -> PlacedPlate:
    return carved.placed.top if plate == "top" else carved.placed.back


def _same(a: object, b: object) -> bool:
    """Are two numbers, or two lists of points, the same within a nanometre? None is the same as None only."""
    if a is None or b is None:
        return a is b
    x, y = np.asarray(a, dtype=np.float64), np.asarray(b, dtype=np.float64)
    return x.shape == y.shape and bool(np.allclose(x, y, rtol=0, atol=_CLOSE_MM))


def _hole_difference(before: Carved, after: Carved, plate: str) -> str | None:
    if plate != "top":
        return None
    a, b = before.placed, after.placed
    same = _same(a.soundhole_y_mm, b.soundhole_y_mm) and _same(a.soundhole_radius_mm, b.soundhole_radius_mm)
    return None if same else "the soundhole differs"


def _plate_difference(a: PlacedPlate, b: PlacedPlate) -> str | None:
    if a is b:
        return None
    if not _same(a.outline.dense(2), b.outline.dense(2)) or not _same(a.lining.dense(2), b.lining.dense(2)):
        return "the outline or the lining differs"
    # Braces are written in the plate's own part of the file: what a live model follows is left out of the comparison.
    if (a.spec.thickness_mm, a.spec.wood, a.spec.bridge_plate, a.spec.centre_strip) != (
        b.spec.thickness_mm,
        b.spec.wood,
        b.spec.bridge_plate,
        b.spec.centre_strip,
    ):
        return "the plate's wood, its thickness or what is glued on it differs"
    if a.dome != b.dome:
        return "the dome differs"
    if not (_same(a.bridge, b.bridge) and _same(a.bridge_plate, b.bridge_plate) and _same(a.strip, b.strip)):
        return "the bridge, the bridge plate or the centre strip lies elsewhere"
    return None if len(a.patches) == len(b.patches) else "the patches differ"


def _brace_difference(a: CarvedBrace, b: CarvedBrace) -> str | None:
    if a is b:
        return None
    if not (
        _same(a.origin_xy_mm, b.origin_xy_mm) and _same(a.heading_xy, b.heading_xy) and _same(a.radius_mm, b.radius_mm)
    ):
        return f'the brace "{a.name}" lies elsewhere'
    if not (_same(a.length_mm, b.length_mm) and _same(a.width_mm, b.width_mm)):
        return f'the brace "{a.name}" has another length or width'
    places = [[(n.with_, n.opens, n.kind) for n in brace.notches] for brace in (a, b)]
    walls = [[(n.at_mm, n.angle_deg, n.width_mm) for n in brace.notches] for brace in (a, b)]
    return None if places[0] == places[1] and _same(*walls) else f'the notches of the brace "{a.name}" lie elsewhere'
