"""What a file says of closing the box is what the workshop works with, field by field."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.designs import design_of, text_of

from braces.app.bench_spec import bench_spec
from braces.app.study import follow
from braces.app.tools import settings_of
from braces.app.workshop import bench_of
from braces.design.load import preset_names
from braces.workshop.bench import BenchSpec, GlueSpec
from braces.workshop.clamps import ClampSpec
from braces.workshop.edges import EdgeSpec
from braces.workshop.go_bars import BarSpec, DeckSpec
from braces.workshop.humidity import AirSpec
from braces.workshop.props import PropSpec
from braces.workshop.rim import FlatBout, RimSpec
from braces.workshop.rosette import RosetteSpec

EVERYTHING = """
[rim]
sanding = "1.5 mm"
flat_bout = { from = "30 mm above the soundhole", lowered = "0.5 mm" }

[edges]
binding = "1/16 in"
purfling = "1 mm"

[rosette]
land = "3 mm"
depth = "1.2 mm"
cutter = "1/8 in"
pass = "0.6 mm"
step = "80 %"

[deck]
height = "24 in"
caul = "5 mm"
bar_material = "glass fibre"
bar_shape = "rod"
bar_thickness = "6 mm"
bar_width = "20 mm"
bar_length = "600 mm"
bar_over = "12 mm"
spacing = "40 mm"
glued = "carved"

[clamps]
spacing = "50 mm"
pad = "25 mm"
held = "free"
safe = "40 %"

[air]
glued = "42 %"
least = "25 %"
most = "70 %"
step = "3 %"
temperature = "68 F"
ring_angle = "75 deg"
allowed = "20 %"

[glue]
name = "hide glue"
hot = true
open_minutes = 2
clamp_minutes = 240
pressed_by = "clamps"

[[props]]
at = "60 mm from the tail"
off_centre = "70 mm"
side = "bass"
width = "10 mm"
thickness = "14 mm"
freed_by = "4 mm"
"""
WOODS = (
    ('thickness = "6 mm"\nheight = "15 mm"', 'thickness = "6 mm"\nheight = "15 mm"\nwood = "mahogany"'),
    ("depth = { tail", 'side_wood = "indian rosewood"\ndepth = { tail'),
)


def wanted(handed: str) -> BenchSpec:
    """470 mm from tail to neck, a hole of 92 mm about 142 mm below the neck: its upper edge at 374, 30 above at 404."""
    side = -1.0 if handed == "right" else 1.0
    return BenchSpec(
        rim=RimSpec(1.5, FlatBout(404.0, 0.5)),
        edges=EdgeSpec(25.4 / 16, 1.0),
        rosette=RosetteSpec(3.0, 1.2, 25.4 / 8, 0.6, 0.8),
        deck=DeckSpec(24 * 25.4, 5.0, BarSpec("glass fibre", "rod", 6.0, 20.0, 600.0), 12.0, 40.0, "carved"),
        clamps=ClampSpec(50.0, 25.0, "mahogany", "indian rosewood", "free", 0.4),
        air=AirSpec(0.42, 0.25, 0.7, 0.03, 20.0, 75.0, 0.2),
        glue=GlueSpec("hide glue", True, 2, 240),
        props=(PropSpec(side * 70.0, 60.0, 10.0, 14.0, 4.0),),
        method="clamps",
    )


@pytest.mark.parametrize("handed", ["right", "left"])
def test_every_field_reaches_the_workshop(handed: str) -> None:
    text = text_of("siskin") + EVERYTHING
    for old, new in (*WOODS, ('handed = "right"', f'handed = "{handed}"')):
        assert old in text
        text = text.replace(old, new, 1)
    found = follow("siskin.toml", text)
    assert found.loaded is not None, [str(p) for p in found.problems]
    spec = bench_spec(found.loaded.design)
    assert spec == wanted(handed)
    for name in BenchSpec.__dataclass_fields__:  # nothing above is the default by chance
        assert getattr(spec, name) != getattr(BenchSpec(), name), name


@pytest.mark.parametrize("name", ["siskin", "goshawk", "wren"])
def test_without_sections_everything_is_as_the_workshop_has_it(name: str) -> None:
    assert bench_spec(design_of(name)) == BenchSpec()


def test_the_deck_of_the_printed_tools_holds_where_there_is_no_other() -> None:
    tools = '\n[tools]\ndeck = "550 mm"\nbar_width = "16 mm"\n'
    found = follow("siskin.toml", text_of("siskin") + tools)
    assert found.loaded is not None
    deck = bench_spec(found.loaded.design).deck
    assert (deck.deck_mm, deck.bars.width_mm, deck.bars.thickness_mm, deck.over_mm) == (550.0, 16.0, 6.0, 8.0)
    found = follow("siskin.toml", text_of("siskin") + tools + '\n[deck]\nheight = "700 mm"\n')
    assert found.loaded is not None
    assert bench_spec(found.loaded.design).deck == DeckSpec(deck_mm=700.0)
    settings = settings_of(found.loaded.design)  # one deck for the book and for the printed tools
    assert (settings.deck_mm, settings.bar_width_mm, settings.bar_thickness_mm) == (700.0, 18.0, 5.0)


@pytest.mark.parametrize("name", preset_names())
def test_every_preset_is_worked_out_whole(name: str) -> None:
    found = follow(Path(f"{name}.toml"), text_of(name))
    assert found.carved is not None
    work = bench_of(found.carved)
    assert work.problems == ()
    assert len(work.props) == len(work.spec.props)
    assert all(p.way is not None and p.way.found for p in work.props)
