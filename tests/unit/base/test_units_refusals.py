"""What is no quantity, and what the maker is told."""

import pytest

from braces.base.units import UnitError, angle_deg, length_mm, share


@pytest.mark.parametrize("value", [5, 5.0, "5", " 5/16 ", "1 1/4", "-3", ".5"])
def test_bare_numbers(value: object) -> None:
    with pytest.raises(UnitError) as caught:
        length_mm(value)
    assert caught.value.bare
    assert "unit" in caught.value.advice


@pytest.mark.parametrize(
    "value",
    [
        "",
        " ",
        "mm",
        "five mm",
        "5 mm mm",
        "5 furlongs",
        "5 ın",
        "5 incheſ",
        "٣ mm",
        "1/0 in",
        "1 1/0 in",
        "1e3 mm",
        "5,5 mm",
        "0x10 mm",
        "1_000 mm",
        "inf mm",
        "nan mm",
        "--5 mm",
        "5 %",
        "5 deg",
        "1234567890 mm",
        "5 mm" + " " * 100 + "x",
        True,
        None,
        [],
        "5\nmm\n6",
    ],
)
def test_no_lengths(value: object) -> None:
    with pytest.raises(UnitError) as caught:
        length_mm(value)
    assert not caught.value.bare


def test_advice_fits_the_mistake() -> None:
    with pytest.raises(UnitError) as comma:
        length_mm("6,5 mm")
    assert "decimal mark is a point" in comma.value.advice
    with pytest.raises(UnitError) as nothing:
        length_mm("1/0 in")
    assert "divides by nothing" in nothing.value.found
    for read, example in ((length_mm, "5/16 in"), (angle_deg, "98 deg"), (share, "50 %")):
        with pytest.raises(UnitError) as wrong:
            read("rubbish")
        assert example in wrong.value.advice


@pytest.mark.parametrize("text", ["5 mm", "98", "98 °C", "half a turn"])
def test_no_angles(text: str) -> None:
    with pytest.raises(UnitError):
        angle_deg(text)
