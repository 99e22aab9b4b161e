"""Units: what is written can be read back, and nothing that anybody may write breaks the reader."""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from braces.base.problems import as_read
from braces.base.units import MM_PER_UNIT, UnitError, angle_deg, inch_text, length_mm, mm_text, share

ANYTHING = st.one_of(
    st.text(),
    st.text("0123456789./ -+mincft%°deg\"'″′,ıſK\u00a0\n", max_size=20),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.none(),
    st.lists(st.integers()),
    st.dictionaries(st.text(), st.text()),
    st.integers(0, 4).map(lambda n: 10 ** (5000 * n)),
)


@settings(max_examples=200)
@given(ANYTHING)
def test_readers_raise_nothing_but_unit_errors(value: object) -> None:
    for read in (length_mm, angle_deg, share):
        told = refusal(read, value)
        assert told is None or (told.found and told.advice and len(told.found) < 200)


def refusal(read: Callable[[object], float], value: object) -> UnitError | None:
    try:
        read(value)
    except UnitError as error:
        return error
    return None


@given(ANYTHING, st.integers(8, 80))
def test_what_was_read_is_told_in_short(value: object, longest: int) -> None:
    assert len(as_read(value, longest)) <= max(longest + 2, 30)


@given(st.decimals(0, 10**6, places=4), st.sampled_from(sorted(MM_PER_UNIT)))
def test_decimals_round_trip(value: object, unit: str) -> None:
    assert length_mm(f"{value} {unit}") == pytest.approx(float(value) * MM_PER_UNIT[unit], rel=1e-12)  # type: ignore[arg-type]


@given(st.integers(0, 10**6), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_inches_round_trip(count: int, parts: int) -> None:
    """Any number of 64ths that inch_text writes is read back to the same length."""
    mm = float(Fraction(count, parts)) * 25.4
    assert length_mm(f"{inch_text(mm)} in") == pytest.approx(mm, abs=1e-9)


@given(st.floats(-1e6, 1e6))
def test_inches_are_the_nearest(mm: float) -> None:
    assert abs(length_mm(f"{inch_text(mm)} in") - mm) <= 25.4 / 128 + 1e-9


@given(st.floats(-1e6, 1e6), st.integers(0, 4))
def test_labels_are_the_nearest_and_never_a_negative_nothing(mm: float, digits: int) -> None:
    text = mm_text(mm, digits)
    assert text != "-0"
    assert abs(float(text) - mm) <= 0.5 * 10.0**-digits + 1e-9
    assert "." not in text or not text.endswith(("0", "."))


@given(st.integers(1, 10**9 - 1), st.integers(1, 10**6 - 1), st.integers(1, 10**6 - 1))
def test_mixed_fractions(whole: int, top: int, bottom: int) -> None:
    expected = float(whole + Fraction(top, bottom)) * 25.4
    assert length_mm(f"{whole} {top}/{bottom} in") == pytest.approx(expected, rel=1e-12)
    assert length_mm(f"-{whole} {top}/{bottom} in") == pytest.approx(-expected, rel=1e-12)
