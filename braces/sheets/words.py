"""Words and numbers as they stand on the drawings: sides, faces, sizes."""

from __future__ import annotations

from math import isinf
from typing import Literal

from braces.carved.values import CarvedBrace
from braces.placed.dome import Dome

Hand = Literal["right", "left"]
PlateName = Literal["top", "back"]
XY = tuple[float, float]

_FOOT_MM = 304.8
#: A direction that leans less than this towards a side is not said to run to it (sine of 20 degrees).
_LEAN_RATIO = 0.342


def one(value: float) -> str:
    """Return a number with one decimal, never "-0.0".

    >>> one(12.34), one(-0.01)
    ('12.3', '0.0')
    """
    text = f"{value:.1f}"
    return "0.0" if text == "-0.0" else text


def two(value: float) -> str:
    """Return a number with two decimals, where a fit depends on it."""
    text = f"{value:.2f}"
    return "0.00" if text == "-0.00" else text


def mirror(plate: PlateName) -> int:
    """Return the sign that turns a body x into the drawing's u: a top seen from inside is mirrored, a back is not."""
    return -1 if plate == "top" else 1


def side_of(x: float, hand: Hand) -> str:
    """Return the side of the body that lies towards ``x`` (its sign counts)."""
    return "treble" if (x > 0) == (hand == "right") else "bass"


def plan_face(plate: PlateName, hand: Hand) -> str:
    """Return in words which face of a plate its plan shows, and where its treble side is.

    >>> plan_face("top", "right")
    'inside of the top, neck up: treble side on the left'
    """
    treble_x = 1 if hand == "right" else -1
    where = "right" if mirror(plate) * treble_x > 0 else "left"
    return f"inside of the {plate}, neck up: treble side on the {where}"


def lateral(brace: CarvedBrace) -> XY:
    """Return the plan direction of bench Y, the far side of the side view; see ``CarvedBrace``."""
    hx, hy = brace.heading_xy
    return (hy, -hx) if brace.plate == "top" else (-hy, hx)


def _along(y: float) -> str:
    return "neck" if y > 0 else "tail"


def _runs_across(brace: CarvedBrace) -> bool:
    hx, hy = brace.heading_xy
    return abs(hx) >= abs(hy)


def end_word(brace: CarvedBrace, hand: Hand, at_end: bool = True) -> str:
    """Return the one word that tells this end of a brace from its other end."""
    hx, hy = brace.heading_xy
    sign = 1 if at_end else -1
    return side_of(sign * hx, hand) if _runs_across(brace) else _along(sign * hy)


def end_words(brace: CarvedBrace, hand: Hand, at_end: bool = True) -> str:
    """Return where this end of a brace points: "treble", or "treble and tail" if it leans to both."""
    hx, hy = brace.heading_xy
    sign = 1 if at_end else -1
    words = [side_of(sign * hx, hand)] if abs(hx) > _LEAN_RATIO else []
    words += [_along(sign * hy)] if abs(hy) > _LEAN_RATIO else []
    return " and ".join(words if _runs_across(brace) else words[::-1])


def near_word(brace: CarvedBrace, hand: Hand) -> str:
    """Return the side from which the side view is seen: that of Y < 0, looking along +Y."""
    lx, ly = lateral(brace)
    return _along(-ly) if _runs_across(brace) else side_of(-lx, hand)


def far_word(brace: CarvedBrace, hand: Hand) -> str:
    """Return the side that the side view does not show."""
    lx, ly = lateral(brace)
    return _along(ly) if _runs_across(brace) else side_of(lx, hand)


def brace_face(brace: CarvedBrace, hand: Hand) -> str:
    """Return in words which side of a brace its side view shows, and which end is on the right."""
    return f"seen from its {near_word(brace, hand)} side: {end_word(brace, hand)} end on the right, glue face down"


def dome_words(dome: Dome) -> str:
    """Return the dish of a plate as makers name it, with its mm."""
    if isinf(dome.radius_mm):
        return "flat"
    what = "arched across" if dome.shape == "cylinder" else "dome"
    feet = dome.radius_mm / _FOOT_MM
    if abs(feet - round(feet)) < 1e-6:
        return f"{what} {round(feet)} ft = {dome.radius_mm:.0f} mm"
    return f"{what} {dome.radius_mm:.0f} mm"


def key_of(name: str) -> str:
    """Return a brace's name as a file stem: lower case, with dashes for everything that is no letter or digit.

    >>> key_of("Tone bar_1")
    'tone-bar-1'
    """
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.lower())
    return "-".join(part for part in plain.split("-") if part)
