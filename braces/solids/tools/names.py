"""The names of the shop tools, for messages and settings. Loads neither the CAD kernel nor a mesh library."""

from __future__ import annotations

TOOL_NAMES: tuple[str, ...] = (
    "sanding-caul",
    "dome-gauge",
    "crossing-gauge",
    "notch-gauge",
    "pocket-gauge",
    "strip-gauge",
    "carving-gauge",
    "section-gauge",
    "height-gauge",
    "clamping-caul",
    "outer-caul",
    "go-bar",
    "pocket-jig",
)
