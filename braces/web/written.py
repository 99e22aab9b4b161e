"""Values as a design file writes them: what a drag sets keeps the rule, the words and the unit it was written in."""

from __future__ import annotations

from math import floor

from braces.base.units import UnitError, length_mm, mm_text
from braces.design.quantities import Place, Reach
from braces.design.rewrite import length_text

_SAME_MM = 0.05  #: half of what is read at the bench: "5/16 in" stays as it is where nothing moved
_TOWARDS_NECK = {"above": "below", "below": "above"}


def length(value_mm: float, like: object = None) -> str:
    """Return a length in the unit of the text it replaces.

    >>> length(8.26, "8.5 mm"), length(8.26, "5/16 in")
    ('8.3 mm', '0.325 in')
    """
    try:
        if abs(length_mm(like) - value_mm) < _SAME_MM:
            return str(like)
    except UnitError:
        pass
    return length_text(value_mm, like)


def angle(value_deg: float, step_deg: float = 0.1) -> str:
    """Return an angle on a step.

    >>> angle(97.83, 0.5)
    '98 deg'
    """
    return f"{mm_text(on_step(value_deg, step_deg), 2)} deg"


def share(value_ratio: float, fine: bool = False) -> str:
    """Return a share to half a per cent, or to a tenth.

    >>> share(0.4123)
    '41 %'
    """
    return f"{mm_text(on_step(value_ratio * 100, 0.1 if fine else 0.5), 1)} %"


def on_step(value: float, step: float) -> float:
    """Return the multiple of ``step`` next to a value."""
    return floor(value / step + 0.5) * step


def reach(value_mm: float, whole_mm: float, was: Reach, like: object = None, fine: bool = False) -> str:
    """Return a place along something ``whole_mm`` long, as a distance or a share, whichever it was."""
    return length(value_mm, like) if was.mm is not None else share(value_mm / whole_mm, fine)


def place(was: Place, by_dy_mm: float, step_mm: float, like: object = None) -> str:
    """Return a place on the centre line moved towards the neck, still named from the same thing.

    >>> place(Place("soundhole", "below", 38.0), -3.0, 1.0, "38 mm below the soundhole")
    '41 mm below the soundhole'
    >>> place(Place("saddle", "at", 0.0), 4.2, 1.0, "at the saddle")
    '4 mm above the saddle'
    """
    towards_neck = was.sense == "above" or (was.sense == "from" and was.anchor == "tail") or was.sense == "at"
    if was.sense == "at" and was.anchor == "neck":
        towards_neck = False
    value = on_step(was.by_mm + (by_dy_mm if towards_neck else -by_dy_mm), step_mm)
    sense: str = was.sense
    if sense == "at":
        if abs(value) < 1e-9:
            return f"at the {was.anchor}"
        sense = "from" if was.anchor in ("neck", "tail") else "above"
    # The hole has two edges, neck and tail nothing beyond them: there the distance ends at nought.
    if value < 0:
        turned = sense in _TOWARDS_NECK and was.anchor != "soundhole"
        sense, value = (_TOWARDS_NECK[sense], -value) if turned else (sense, 0.0)
    unit_like = like.split(" below ")[0].split(" above ")[0].split(" from ")[0] if isinstance(like, str) else None
    return f"{length(value, unit_like)} {sense} the {was.anchor}"
