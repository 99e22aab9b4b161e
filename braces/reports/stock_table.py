"""What a stick or plate turned out to be, as text for a terminal."""

from __future__ import annotations

from braces.design.woods import Wood
from braces.mechanics.stock_tests import Found
from braces.reports.plain_tables import Page


def stock_table(found: Found, like: Wood, section: str) -> str:
    """Return measured values beside the table's, and the section to paste; at most 100 columns wide."""
    page = Page()
    e, mark = like.elastic, like.elastic.provenance
    rows = [
        ("modulus along the grain", found.e_along_mpa, found.e_along_spread_mpa, "MPa", e.e_l_mpa, mark),
        ("modulus across, quartersawn", found.e_across_mpa, found.e_across_spread_mpa, "MPa", e.e_r_mpa, mark),
        ("shear modulus of the plate", found.shear_mpa, found.shear_spread_mpa, "MPa", e.g_lr_mpa, mark),
        ("density", found.density_kg_m3, found.density_spread_kg_m3, "kg/m3", like.density_kg_m3, like.provenance),
    ]
    page.table(
        f"Measured, with its standard uncertainty, beside {like.name} of the table",
        ("", "measured", "+-", "unit", "table", "table's mark"),
        ((n, f"{v:.0f}", f"{s or 0:.0f}", u, f"{t:.0f}", m) for n, v, s, u, t, m in rows if v is not None),
        "lrrlrl",
    )
    if found.e_along_mpa is not None:
        ratio = (e.e_l_mpa / found.e_along_mpa) ** (1 / 3)
        page.say(
            f"As a brace by itself it is as stiff as the table's wood at {100 * ratio:.1f} % of the height (E h^3); "
            'braces carve with "as stiff in NAME" works it out on the plate.'
        )
    page.say(
        "The uncertainty covers the readings, taken as independent (GUM, JCGM 100:2008, 5.1.2); not a crooked stick, "
        "run-out, or moisture other than 12 %."
    )
    page.say("Paste this into the design file, and name it with wood or brace_wood:")
    page.say()
    return f"{page.text()}\n\n{section}"
