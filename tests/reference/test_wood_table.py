"""Densities and moduli in the table of woods.

Source: USDA Wood Handbook, FPL-GTR-282 (2021) and FPL-GTR-190 (2010): table 5-3 for specific gravity and modulus of
elasticity at 12 % moisture content, eq. 4-14 for density, table 4-6a for its printed examples, note to table 5-1 for
E_L = 1.1 x modulus of elasticity.
"""

import pytest

from braces.design.woods import wood, woods

#: specific gravity, modulus of elasticity in MPa (table 5-3, 12 %)
TABLE_5_3 = {
    "sitka spruce": (0.40, 10800),
    "engelmann spruce": (0.35, 8900),
    "red spruce": (0.40, 11400),
    "white spruce": (0.36, 9600),
    "black spruce": (0.42, 11100),
    "western redcedar": (0.32, 7700),
    "sugar maple": (0.63, 12600),
    "black walnut": (0.55, 11600),
    "black cherry": (0.50, 10300),
    "yellow-poplar": (0.42, 10900),
    "basswood": (0.37, 10100),
}


def density_4_14(specific_gravity: float, moisture_percent: float) -> float:
    """Eq. 4-14: 1000 x specific gravity x (1 + x / 100), kg/m3."""
    return 1000 * specific_gravity * (1 + moisture_percent / 100)


def test_equation_against_its_printed_table() -> None:
    """Table 4-6a: 0.60 at 12 % gives 672, 0.40 at 100 % gives 800 kg/m3."""
    assert density_4_14(0.60, 12) == pytest.approx(672)
    assert density_4_14(0.40, 100) == pytest.approx(800)


@pytest.mark.parametrize("name", TABLE_5_3)
def test_density_and_modulus(name: str) -> None:
    gravity, modulus = TABLE_5_3[name]
    row = wood(name)
    assert row.density_kg_m3 == pytest.approx(density_4_14(gravity, 12), rel=1e-12)
    assert row.strength.moe_mpa == modulus
    assert row.elastic.e_l_mpa == pytest.approx(1.1 * modulus, rel=1e-12)


@pytest.mark.parametrize("name", sorted(woods()))
def test_every_wood_can_exist(name: str) -> None:
    """Stiffest along the grain; Poisson's ratios within the bounds that positive strain energy sets (Jones 1999)."""
    e = wood(name).elastic
    assert e.e_l_mpa > e.e_r_mpa > 0
    assert e.e_l_mpa > e.e_t_mpa > 0
    for nu, stiff, soft in (
        (e.nu_lr_ratio, e.e_l_mpa, e.e_r_mpa),
        (e.nu_lt_ratio, e.e_l_mpa, e.e_t_mpa),
        (e.nu_rt_ratio, e.e_r_mpa, e.e_t_mpa),
    ):
        assert nu < (stiff / soft) ** 0.5
    assert 100 < wood(name).density_kg_m3 < 1300


def test_names_are_found_whatever_their_capitals() -> None:
    assert wood("Engelmann  Spruce") is wood("engelmann spruce")
