"""What a printed tool is made of."""

from __future__ import annotations

from braces.workshop.habits import table


def filament_names() -> tuple[str, ...]:
    """Return the filaments of the table."""
    return tuple(table("filaments"))


def filament_kg_m3(name: str) -> float:
    """Return a filament's density. Raises KeyError if it is not in the table.

    >>> filament_kg_m3("PLA")
    1240.0
    """
    return float(table("filaments")[" ".join(name.lower().split())]["density_kg_m3"])
