"""The plan of the deck against the bars it shows."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from shapely.geometry import LinearRing, Polygon
from support.designs import carved_of

from braces.sheets.deck_plan import deck_drawing
from braces.sheets.lettering import lacking
from braces.workshop.go_bars import DeckSpec, plate_bars


@pytest.mark.parametrize("name", ["fieldfare", "linnet", "wren"])
@pytest.mark.parametrize("plate", ["top", "back"])
def test_every_bar_is_shown_and_numbered_once(name: str, plate: str) -> None:
    carved, spec = carved_of(name), DeckSpec()
    bars = plate_bars(carved, plate, spec)
    drawing = deck_drawing(carved, bars, spec)
    rings = [s.points.mean(axis=0) for s in drawing.strokes if s.closed and len(s.points) == 24]
    assert len(rings) == len(bars.places)
    flip = -1 if plate == "top" else 1  # inside of a top: mirrored; of a back: as it is
    for place, ring in zip(bars.places, rings, strict=True):
        assert ring == pytest.approx((flip * place.at[0], place.at[1]), abs=1e-6)
    numbers = [w.text for w in drawing.labels if w.bold and w.text.isdigit()]
    assert sorted(numbers, key=int) == [str(p.number) for p in bars.places]
    for row in bars.braces:
        assert any(w.text == f"{row.places[0].number} to {row.places[-1].number}" for w in drawing.labels)
    assert not lacking("".join(w.text for w in drawing.labels))


def test_numbers_stand_apart_and_nearest_their_own_bar() -> None:
    carved, spec = carved_of("fieldfare"), DeckSpec()
    bars = plate_bars(carved, "top", spec)
    drawing = deck_drawing(carved, bars, spec)
    rooms = [Polygon(w.corners).buffer(-0.05) for w in drawing.labels]
    assert not any(a.intersects(b) for a, b in itertools.combinations(rooms, 2))
    edges = [LinearRing(s.points) for s in drawing.strokes if s.layer == "edge" and s.closed]
    at = np.array([(-p.at[0], p.at[1]) for p in bars.places])
    for w in drawing.labels:
        if w.bold and w.text.isdigit():
            assert not any(Polygon(w.corners).buffer(-0.05).intersects(e) for e in edges)
            nearest = int(np.argmin(np.hypot(*(at - (w.x_mm, w.y_mm + 1.25)).T)))
            assert str(bars.places[nearest].number) == w.text
