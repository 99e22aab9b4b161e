"""The maker's own sticks and strings: read with units, named like a wood of the table, refused with a way out."""

import pytest
from support.designs import text_of

from braces.base.problems import DesignError
from braces.base.units import DENSITY, FORCE, MODULUS, UNIT_WEIGHT
from braces.carved.carve import carve
from braces.design.load import parse
from braces.design.own_woods import own_woods, wood_of
from braces.design.woods import wood
from braces.placed.place import place

PIECE = '\n[stock."billet 7"]\nlike = "Sitka spruce"\ndensity = "400 kg/m3"\ne_along = "12 GPa"\n'


def wren(*extra: str, **changes: str) -> str:
    text = text_of("wren")
    for old, new in changes.items():
        assert old in text
        text = text.replace(old, new)
    return text + "".join(extra)


def test_a_piece_takes_the_place_of_the_table_for_whoever_names_it() -> None:
    design = parse(text_of("wren").replace('brace_wood = "Sitka spruce"', 'brace_wood = "Billet  7"') + PIECE).design
    own, listed = wood_of(design, "billet 7"), wood("Sitka spruce")
    assert (own.density_kg_m3, own.elastic.e_l_mpa) == (400.0, 12000.0)
    assert own.elastic.e_r_mpa / own.elastic.e_l_mpa == pytest.approx(listed.elastic.e_r_mpa / listed.elastic.e_l_mpa)
    assert own.weakest_mark == "measured"
    heavy, light = carve(place(parse(text_of("wren")).design)), carve(place(design))
    for a, b in zip(heavy.braces, light.braces, strict=True):
        assert b.mass_g == pytest.approx(a.mass_g * 400 / listed.density_kg_m3)


def test_a_piece_with_a_name_of_the_table_replaces_that_wood() -> None:
    design = parse(text_of("wren") + '\n[stock."Sitka spruce"]\ndensity = "25 lb/ft3"\n').design
    assert wood_of(design, "sitka spruce").density_kg_m3 == pytest.approx(400.46, abs=0.01)
    assert wood_of(design, "sitka spruce").weakest_mark == "stiffness text, density measured"
    assert list(own_woods(design)) == ["sitka spruce"]


@pytest.mark.parametrize(
    ("extra", "code", "where"),
    [
        ('\n[stock.b]\ndensity = "400 kg/m3"\n', "K02", ("stock", "b", "like")),
        ('\n[stock.b]\nlike = "lead"\n', "V05", ("stock", "b", "like")),
        ('\n[stock.b]\nlike = "redwood"\ndensity = "400"\n', "V01", ("stock", "b", "density")),
        ('\n[stock.b]\nlike = "redwood"\ne_along = "12000 GPa"\n', "V03", ("stock", "b", "e_along")),
        ('\n[stock."a\\u001b[31m"]\nlike = "redwood"\n', "V02", ("stock", "a\x1b[31m")),
        ('\n[stock.b]\nlike = "redwood"\nweight = "12 g"\n', "K01", ("stock", "b", "weight")),
    ],
)
def test_what_is_wrong_with_a_piece(extra: str, code: str, where: tuple[str, ...]) -> None:
    with pytest.raises(DesignError) as caught:
        parse(text_of("wren") + extra)
    assert [(p.code, p.where) for p in caught.value.problems] == [(code, where)]


def test_a_key_mistyped_in_stock_is_not_taken_for_a_piece() -> None:
    with pytest.raises(DesignError, match='did you mean "extra_height"'):
        parse(text_of("wren").replace("extra_height", "extra_hight"))


@pytest.mark.parametrize(
    ("each", "code", "key"),
    [
        ('each = [ { note = "A4" } ]', "K02", "tension"),
        ('each = [ { note = "A4", tension = "50 N", unit_weight = "0.4 g/m" } ]', "K01", "unit_weight"),
        ('each = [ { note = "H4", tension = "50 N" } ]', "V02", "note"),
        ('each = [ { note = "A4", tension = "50" } ]', "V01", "tension"),
    ],
)
def test_what_is_wrong_with_a_string(each: str, code: str, key: str) -> None:
    with pytest.raises(DesignError) as caught:
        parse(text_of("wren").replace('set = "ukulele"', each))
    assert [(p.code, p.where) for p in caught.value.problems] == [(code, ("strings", "each", 0, key))]


def test_a_set_and_own_strings_exclude_each_other() -> None:
    with pytest.raises(DesignError, match="beside strings of your own"):
        parse(
            text_of("wren").replace('set = "ukulele"', 'set = "ukulele"\neach = [ { note = "A4", tension = "50 N" } ]')
        )


def test_units_of_the_trade() -> None:
    # Exact definitions: lb = 0.45359237 kg, in = 25.4 mm, g = 9.80665 m/s2 (ISO 80000, NIST SP 811).
    assert MODULUS.read("1 Mpsi") == pytest.approx(6894.757, abs=0.001)
    assert DENSITY.read("1 lb/ft3") == pytest.approx(16.01846, abs=1e-5)
    assert FORCE.read("10 lb") == pytest.approx(44.48222, abs=1e-5)
    assert FORCE.read("5 kg") == pytest.approx(49.03325, abs=1e-5)
    assert UNIT_WEIGHT.read("0.00002215 lb/in") == pytest.approx(0.395554, abs=1e-6)
