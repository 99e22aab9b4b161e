"""Places on the centre line."""

import pytest
from pydantic import TypeAdapter
from support.designs import design_of

from braces.design.quantities import Place, PlaceField
from braces.placed.anchors import anchors
from braces.placed.refused import Refused

#: Place in words -> mm from the tail, on siskin: 470 long, 92 mm hole centred 142 from the neck, waist at 284.
PLACES = {
    "at the waist": 284.0,
    "at the lower bout": 128.0,
    "at the upper bout": 388.0,
    "90 mm from the neck": 380.0,
    "110 mm from the tail": 110.0,
    "at the soundhole": 328.0,
    "32 mm below the soundhole": 328 - 46 - 32,
    "34 mm above the soundhole": 328 + 46 + 34,
    "10 mm above the waist": 294.0,
    "10 mm below the waist": 274.0,
    "20 mm above the tail": 20.0,
    "20 mm below the neck": 450.0,
    "-5 mm above the waist": 279.0,
    "At  the WAIST": 284.0,
    "1 in below waist": 284 - 25.4,
}


def place(text: str) -> Place:
    return TypeAdapter(PlaceField).validate_python(text)


@pytest.mark.parametrize("text", PLACES)
def test_places(text: str) -> None:
    assert anchors(design_of("siskin"), []).y(place(text), ()) == pytest.approx(PLACES[text])


def test_saddle_line_is_an_anchor() -> None:
    known = anchors(design_of("siskin"), [])
    saddle = 470 - 630 / 2 ** (13 / 12)
    assert known.edges["saddle"] == pytest.approx((saddle, saddle))
    assert known.y(place("10 mm above the saddle"), ()) == pytest.approx(saddle + 10)


@pytest.mark.parametrize("text", ["1 mm above the neck", "1 mm below the tail", "400 mm below the soundhole"])
def test_off_the_body(text: str) -> None:
    with pytest.raises(Refused) as caught:
        anchors(design_of("siskin"), []).y(place(text), ("x",))
    assert caught.value.problem is not None
    assert (caught.value.problem.code, caught.value.problem.where) == ("L07", ("x",))


def test_no_soundhole_no_anchor() -> None:
    design = design_of("siskin", ('soundhole = { diameter = "92 mm", centre = "142 mm from the neck" }\n', ""))
    with pytest.raises(Refused) as caught:
        anchors(design, []).y(place("3 mm below the soundhole"), ("x",))
    assert caught.value.problem is not None
    assert caught.value.problem.code == "L04"
    assert "no soundhole" in caught.value.problem.found
