"""Lengths, angles and shares as makers write them, and back again."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from braces.base.problems import as_read

MM_PER_UNIT = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,
    "ft": 304.8,
}  #: exact: ISO 80000-3, 1 in = 25.4 mm
_ALIASES = {
    "inch": "in",
    "inches": "in",
    '"': "in",
    "″": "in",
    "feet": "ft",
    "foot": "ft",
    "'": "ft",
    "′": "ft",
}
_NUMBER = r"[+-]?(?:\d{1,9}\s+\d{1,6}/\d{1,6}|\d{1,9}/\d{1,6}|\d{1,9}(?:\.\d{0,20})?|\.\d{1,20})"
LENGTH_PATTERN = rf"^\s*{_NUMBER}\s*(mm|cm|m|inches|inch|in|feet|foot|ft|\"|″|'|′)\s*$"
ANGLE_PATTERN = rf"^\s*{_NUMBER}\s*(deg|degrees|°)\s*$"
SHARE_PATTERN = rf"^\s*{_NUMBER}\s*%\s*$"
TEMPERATURE_PATTERN = rf"^\s*{_NUMBER}\s*(°?C|°?F)\s*$"
_BARE = re.compile(rf"^({_NUMBER})$", re.ASCII)
_COMMA = re.compile(r"\d,\d")


class UnitError(ValueError):
    """A text that is no quantity. ``advice`` says what to write."""

    def __init__(self, found: str, advice: str, *, bare: bool = False) -> None:
        super().__init__(found)
        self.found, self.advice, self.bare = found, advice, bare


def _number(text: str) -> float:
    """Value of "2.5", "5/16" or "1 1/4"."""
    sign = -1 if text.strip().startswith("-") else 1
    total = Fraction(0)
    for part in text.strip().lstrip("+-").split():
        if part.endswith("/0") or re.search(r"/0+$", part):
            raise UnitError(f'"{text.strip()}" divides by nothing', 'write a fraction such as "5/16 in"')
        total += Fraction(part)
    return sign * float(total)


def _parse(text: object, pattern: str, what: str, example: str) -> tuple[float, str]:
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise UnitError(f"{as_read(text)} is not {what}", f"write {what} with its unit, such as {example}")
    if isinstance(text, int | float):
        raise UnitError(f"{as_read(text)} has no unit", f"write {what} with its unit, such as {example}", bare=True)
    if len(text) > 80:
        raise UnitError(f"a text of {len(text)} characters is not {what}", f"write {what} such as {example}")
    plain = " ".join(text.split())  # any kind of blank, such as the unbreakable one of a word processor
    if _BARE.match(plain):
        raise UnitError(f"{as_read(text)} has no unit", f"write {what} with its unit, such as {example}", bare=True)
    # ASCII: a dotless i is no i, although it counts as one when capitals are ignored.
    if not re.match(pattern, plain, re.IGNORECASE | re.ASCII):
        advice = f"write {what} with its unit, such as {example}"
        if _COMMA.search(plain):
            advice += "; the decimal mark is a point"
        raise UnitError(f"{as_read(text)} is not {what}", advice)
    m = re.match(rf"^({_NUMBER})\s*(\S+)$", plain)
    assert m is not None  # the pattern above is the same number and one unit
    return _number(m.group(1)), m.group(2).lower()


def length_mm(text: object) -> float:
    """Return the mm of a written length.

    >>> length_mm("5/16 in"), length_mm("1 1/4 in"), length_mm("28 ft"), length_mm("6.5 mm")
    (7.9375, 31.75, 8534.4, 6.5)

    Raises UnitError for a bare number or anything else.
    """
    value, unit = _parse(text, LENGTH_PATTERN, "a length", '"6.5 mm", "5/16 in" or "28 ft"')
    return value * MM_PER_UNIT[_ALIASES.get(unit, unit)]


def angle_deg(text: object) -> float:
    """Return the degrees of a written angle.

    >>> angle_deg("98 deg")
    98.0
    """
    return _parse(text, ANGLE_PATTERN, "an angle", '"98 deg"')[0]


def share(text: object) -> float:
    """Return the fraction of a written percentage.

    >>> share("38 %")
    0.38
    """
    return _parse(text, SHARE_PATTERN, "a percentage", '"50 %"')[0] / 100


def celsius(text: object) -> float:
    """Return the degrees Celsius of a written temperature.

    >>> celsius("20 C"), celsius("68 F")
    (20.0, 20.0)
    """
    value, unit = _parse(text, TEMPERATURE_PATTERN, "a temperature", '"20 C" or "68 F"')
    return (value - 32) / 1.8 if unit.endswith("f") else value


@dataclass(frozen=True, slots=True)
class Scale:
    """A kind of quantity beside lengths and angles: the units it may be written in, and what they are in ours."""

    what: str
    example: str
    per_unit: tuple[tuple[str, float], ...]  #: (unit, its size in the unit that is used inside)

    @property
    def pattern(self) -> str:
        """Regular expression of a written value."""
        units = "|".join(re.escape(u) for u, _ in sorted(self.per_unit, key=lambda row: -len(row[0])))
        return rf"^\s*{_NUMBER}\s*({units})\s*$"

    def read(self, text: object) -> float:
        """Return a written value in the unit that is used inside. Raises UnitError."""
        value, unit = _parse(text, self.pattern, self.what, f'"{self.example}"')
        return value * next(size for name, size in self.per_unit if name.lower() == unit)


_LB_KG = 0.45359237  #: exact, as are the inch, the foot and g
_G_M_S2 = 9.80665
_LBF_N = _LB_KG * _G_M_S2
MODULUS = Scale("a modulus", "11.2 GPa", (("GPa", 1e3), ("MPa", 1.0), ("N/mm2", 1.0), ("Mpsi", 1e6 * _LBF_N / 25.4**2)))
DENSITY = Scale("a density", "410 kg/m3", (("kg/m3", 1.0), ("g/cm3", 1e3), ("lb/ft3", _LB_KG / 0.3048**3)))
FORCE = Scale("a pull", "54 N", (("N", 1.0), ("kgf", _G_M_S2), ("kg", _G_M_S2), ("lbf", _LBF_N), ("lb", _LBF_N)))
UNIT_WEIGHT = Scale("a unit weight", "0.59 g/m", (("g/m", 1.0), ("kg/m", 1e3), ("lb/in", _LB_KG * 1e3 / 0.0254)))
BEDDING = Scale("a stiffness of a bed", "40 N/mm3", (("N/mm3", 1.0), ("MPa/mm", 1.0)))
MASS = Scale("a mass", "41.2 g", (("g", 1.0), ("kg", 1e3), ("oz", _LB_KG * 1e3 / 16)))
FREQUENCY = Scale("a frequency", "412 Hz", (("Hz", 1.0),))
SCALES = (MODULUS, DENSITY, FORCE, UNIT_WEIGHT, BEDDING, MASS, FREQUENCY)


def mm_text(value_mm: float, digits: int = 1) -> str:
    """Format mm for a label, without a needless "-0" or trailing zeros.

    >>> mm_text(12.50), mm_text(-0.01), mm_text(8.0)
    ('12.5', '0', '8')
    """
    text = f"{value_mm:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def inch_text(value_mm: float, parts: int = 64) -> str:
    """Format mm as inches to the nearest 1/``parts``.

    >>> inch_text(31.75), inch_text(7.9375), inch_text(25.4)
    ('1 1/4', '5/16', '1')
    """
    units = floor(abs(value_mm) / 25.4 * parts + 0.5)
    whole, rest = divmod(units, parts)
    fraction = Fraction(rest, parts)
    text = f"{whole} {fraction}" if whole and rest else (f"{fraction}" if rest else f"{whole}")
    return f"-{text}" if value_mm < 0 and units else text
