"""Made-up drawings to test the sheets with: a body with bars, and side views of bars. Not real templates."""

from __future__ import annotations

import numpy as np

from braces.base.arrays import frozen_points
from braces.sheets.drawing import Drawing, Label, Mark, Stroke, polyline


def body_outline(length_mm: float = 490.0, width_mm: float = 390.0, count: int = 720) -> np.ndarray:
    """A closed, waisted curve (count, 2), symmetric about x = 0, standing on y = 0."""
    turn = np.linspace(0, 2 * np.pi, count, endpoint=False)
    y = (1 - np.cos(turn)) / 2
    half = np.sin(turn) * (1 - 0.35 * y + 0.22 * np.cos(4 * np.pi * y))
    points = np.column_stack([half / np.abs(half).max() * width_mm / 2, y * length_mm])
    return points


def plan(bar_count: int = 20, key: str = "plan-top") -> Drawing:
    """A body 490 x 390 mm with bars at all angles, each with its name along it."""
    marks: list[Mark] = [
        Stroke(frozen_points(body_outline()), "cut", closed=True),
        polyline([(0, -5), (0, 495)], "centre"),
    ]
    ring = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    hole = np.column_stack([50 * np.cos(ring), 330 + 50 * np.sin(ring)])
    marks.append(Stroke(frozen_points(hole), "edge", closed=True))
    for k in range(bar_count):
        angle = np.radians((k * 37) % 180 - 90)
        middle = np.array([((k * 53) % 240) - 120, 40 + (k * 97) % 400])
        along = np.array([np.cos(angle), np.sin(angle)])
        aside = np.array([-along[1], along[0]])
        a, b = middle - 45 * along, middle + 45 * along
        foot = [a + 4 * aside, b + 4 * aside, b - 4 * aside, a - 4 * aside]
        marks.append(Stroke(frozen_points(foot), "glue", closed=True))
        at = middle - 1.25 * aside
        marks.append(Label(float(at[0]), float(at[1]), f"bar {k + 1} 8 × 12", 2.5, float(np.degrees(angle)), "middle"))
    marks.append(Label(0, -12, "tail end ↓ bar ½ off × 2°", 3.5, anchor="middle", bold=True))
    marks.append(polyline([(-195, 500), (195, 500)], "dim"))
    marks.append(Label(0, 502, "390 across the lower bout", 2.5, anchor="middle", layer="dim"))
    return Drawing(key, "plan of the top", "inside of the top, neck up: treble side on the left", "plan", tuple(marks))


def side_view(name: str, length_mm: float, height_mm: float) -> Drawing:
    """The side of a bar with an arched foot, station ticks below, words above."""
    x = np.linspace(0, length_mm, max(60, int(length_mm / 2)))
    foot = ((x - length_mm / 2) ** 2 - (length_mm / 2) ** 2) / (2 * 8534.0)
    top = height_mm * (0.25 + 0.75 * np.sin(np.pi * x / length_mm) ** 0.7)
    outline = np.vstack([np.column_stack([x, foot]), np.column_stack([x, top])[::-1]])
    marks: list[Mark] = [
        Stroke(frozen_points(outline), "cut", closed=True),
        Stroke(frozen_points(np.column_stack([x, foot + 0.01])), "glue"),
        polyline([(0, -2), (length_mm, -2), (length_mm, height_mm + 2), (0, height_mm + 2)], "blank", closed=True),
        polyline([(length_mm / 2, height_mm), (length_mm / 2, 3)], "relief"),
        Label(4, height_mm + 4, name, 3.5, bold=True),
        Label(length_mm - 4, height_mm + 4, name, 3.5, bold=True, anchor="end"),
    ]
    for station in np.arange(0, length_mm + 1, 20.0):
        marks.append(polyline([(station, -3), (station, -6)], "dim"))
        height = float(np.interp(station, x, top) - np.interp(station, x, foot))
        marks.append(Label(float(station), -10, f"{height:.1f}", 2.5, anchor="middle", layer="dim"))
    windows = ((0.3 * length_mm, 0.42 * length_mm), (0.56 * length_mm, 0.7 * length_mm))
    key = "brace-" + name.replace(" ", "-")
    return Drawing(key, name, "seen from the bass side, neck end on the right", "strip", tuple(marks), windows)


def side_views() -> tuple[Drawing, ...]:
    """Side views 90 to 520 mm long."""
    lengths = (520, 515, 300, 260, 240, 150, 145, 110, 90, 90)
    return tuple(side_view(f"bar {k + 1}", float(n), 12 + (k * 5) % 14) for k, n in enumerate(lengths))


def all_drawings() -> tuple[Drawing, ...]:
    """A plan and ten side views."""
    return (plan(), *side_views())
