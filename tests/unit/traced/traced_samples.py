"""Outlines to trace: a made-up body in closed form, turned, cut away, and written as DXF, SVG and CSV."""

from __future__ import annotations

import io
from collections.abc import Sequence

import numpy as np

LENGTH_MM = 480.0


def body(count: int = 720, lopsided_mm: float = 0.0) -> np.ndarray:
    """A waisted closed curve (count, 2), mm, anticlockwise from the tail (0, 0), symmetric about x = 0.

    With a = 2 pi i / count: y = L (1 - cos a) / 2, x = sin a (240 + 60 cos a + 115 cos 2a). ``lopsided_mm`` pushes
    the treble side out by as much times sin a squared.
    """
    a = 2 * np.pi * np.arange(count) / count
    y = LENGTH_MM * (1 - np.cos(a)) / 2
    x = np.sin(a) * (240 + 60 * np.cos(a) + 115 * np.cos(2 * a))
    return np.column_stack([x + np.where(x > 0, lopsided_mm * np.sin(a) ** 2, 0.0), y])


def cutaway(count: int = 720) -> np.ndarray:
    """The body with everything within 105 mm of (165, 470) taken off its treble shoulder: two real corners."""
    p = body(count)
    centre, radius = np.array([165.0, 470.0]), 105.0
    keep = np.hypot(*(p - centre).T) > radius
    first = int(np.flatnonzero(~keep)[0])
    last = int(np.flatnonzero(~keep)[-1])
    a, b = p[first - 1], p[last + 1]
    start, end = (np.arctan2(*(q - centre)[::-1]) for q in (a, b))
    angles = np.linspace(start % (2 * np.pi), end % (2 * np.pi), 60)[1:-1]
    scoop = centre + radius * np.column_stack([np.cos(angles), np.sin(angles)])
    return np.concatenate([p[:first], scoop, p[last + 1 :]])


def moved(p: np.ndarray, turn_deg: float, shift: tuple[float, float] = (0.0, 0.0)) -> np.ndarray:
    """Points turned anticlockwise about the origin, then shifted."""
    c, s = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))
    return np.asarray(p @ np.array([[c, s], [-s, c]]) + np.array(shift))


def csv(p: np.ndarray, header: str = "x_mm,y_mm") -> bytes:
    return (header + "\n" + "\n".join(f"{x:.9f},{y:.9f}" for x, y in p) + "\n").encode()


def path_d(p: np.ndarray, close: bool = True) -> str:
    return "M " + " L ".join(f"{x:.9f} {y:.9f}" for x, y in p) + (" Z" if close else "")


def svg(body_text: str, attributes: str = 'width="600mm" height="600mm" viewBox="0 0 600 600"') -> bytes:
    ns = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f"<svg {ns} {attributes}>{body_text}</svg>".encode()


def dxf_bytes(document: object) -> bytes:
    out = io.StringIO()
    document.write(out)  # type: ignore[attr-defined]
    return out.getvalue().encode()


def off_curve(points: np.ndarray, curve: np.ndarray) -> np.ndarray:
    """Distances from points to a closed line, every side looked at (slow and simple)."""
    a, d = curve, np.roll(curve, -1, axis=0) - curve
    w = points[:, None, :] - a[None]
    t = np.clip(np.sum(w * d, axis=2) / np.sum(d * d, axis=1), 0, 1)
    return np.asarray(np.min(np.linalg.norm(w - t[..., None] * d, axis=2), axis=1))


def codes(problems: Sequence[object]) -> list[str]:
    return [p.code for p in problems]  # type: ignore[attr-defined]
