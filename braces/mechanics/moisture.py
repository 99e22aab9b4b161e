"""How much water wood takes up from the air, and how its size follows.

Source of every equation here: USDA Wood Handbook, FPL-GTR-190 (2010) and FPL-GTR-282 (2021),
chapters 4, 5 and 13.
"""

from __future__ import annotations

from math import cos, log, radians, sin

from braces.design.woods import Movement

FIBRE_SATURATION_PERCENT = 30.0  #: above it wood no longer swells (handbook, chapter 4)
COEFFICIENT_RANGE_PERCENT = (6.0, 14.0)  #: where the coefficients of table 13-5 hold


def equilibrium_moisture_percent(temperature_c: float, humidity_percent: float) -> float:
    """Return the moisture content that wood comes to in steady air, % of its oven-dry mass (equation 4-5).

    Holds for about -1 to 55 deg C and 5 to 95 % relative humidity; single pieces scatter by about 1 %.
    Raises ValueError outside 0 <= humidity < 100 or -20 <= temperature <= 100.

    >>> round(equilibrium_moisture_percent(21.1, 65.0), 1)
    12.0
    """
    _check(temperature_c, humidity_percent)
    t, h = temperature_c, humidity_percent / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    bound = (k1 * k * h + 2 * k1 * k2 * k**2 * h**2) / (1 + k1 * k * h + k1 * k2 * k**2 * h**2)
    return 1800 / w * (k * h / (1 - k * h) + bound)


def equilibrium_moisture_glass_percent(temperature_c: float, humidity_percent: float) -> float:
    """Return the same by the later form, equation 4-6 (Glass and others 2014): a second opinion."""
    _check(temperature_c, humidity_percent)
    if humidity_percent == 0:
        return 0.0
    t = temperature_c + 273.15
    base: float = -0.000612 * t * (1 - t / 647.1) ** 2.43 * log(1 - humidity_percent / 100)
    return float(100 * base ** (0.0577 * t**0.430))


def _check(temperature_c: float, humidity_percent: float) -> None:
    if not 0 <= humidity_percent < 100:
        raise ValueError(f"relative humidity must be 0 to 100 %, got {humidity_percent}")
    if not -20 <= temperature_c <= 100:
        raise ValueError(f"air between -20 and 100 deg C is meant, got {temperature_c}")


def size_change_mm(size_mm: float, change_ratio: float, from_percent: float, to_percent: float) -> float:
    """Return how much a size grows between two moisture contents: D C (M_to - M_from), chapter 13.

    ``change_ratio`` is the coefficient of table 13-5 for each 1 %. Holds between 6 and 14 %.

    >>> round(size_change_mm(400.0, 0.00148, 8.0, 6.0), 3)
    -1.184
    """
    return size_mm * change_ratio * (to_percent - from_percent)


def change_ratio_along_ring(movement: Movement, ring_angle_deg: float) -> float:
    """Return the coefficient of a face whose growth rings stand at ``ring_angle_deg`` to it.

    90 is quartersawn (the width moves radially), 0 is flatsawn (tangentially); between them the strain turns
    as a tensor does: C_R sin^2 + C_T cos^2.
    """
    a = radians(ring_angle_deg)
    return movement.radial_ratio * sin(a) ** 2 + movement.tangential_ratio * cos(a) ** 2


def property_at(
    value_at_12: float, value_green: float, moisture_percent: float, meeting_percent: float = 25.0
) -> float:
    """Return a strength or modulus at another moisture content: P12 (P12/Pg)^((12-M)/(Mp-12)), equation 5-3.

    ``meeting_percent`` Mp is where drying starts to matter: 25 unless the handbook lists the species.

    >>> round(property_at(103000.0, 66000.0, 8.0, 24.0), -2)
    119500.0
    """
    if moisture_percent >= meeting_percent:
        return value_green
    exponent = (12 - moisture_percent) / (meeting_percent - 12)
    return float(value_at_12 * (value_at_12 / value_green) ** exponent)


def density_at_kg_m3(density_at_12_kg_m3: float, moisture_percent: float) -> float:
    """Return the density at another moisture content up to 30 % (equations 4-12 to 4-14).

    >>> round(density_at_kg_m3(672.0, 12.0), 6)
    672.0
    """
    gravity_12 = density_at_12_kg_m3 / 1120.0
    basic = gravity_12 / (1 + 0.265 * gravity_12 * (1 - 12 / 30))
    left = max(0.0, 1 - moisture_percent / FIBRE_SATURATION_PERCENT)
    return 1000 * basic / (1 - 0.265 * basic * left) * (1 + moisture_percent / 100)
