"""Lengths are exact, and shown without artefacts in the user's unit."""

from fractions import Fraction

import pytest
from fitwright.solver.length import INCH, MM, format_exactly, format_length, format_span
from fitwright.solver.notation import parse_length, parse_span
from fitwright.solver.span import Span
from hypothesis import example, given
from hypothesis import strategies as st


def test_an_inch_is_25_4_millimetres_exactly() -> None:
    # International yard and pound agreement, 1959.
    assert INCH * 10 == MM * 254


def test_the_divisions_of_the_trade_are_whole_numbers() -> None:
    assert INCH % 128 == 0
    assert INCH // 128 == 1_984_375
    assert INCH % 1_000_000 == 0
    assert MM % 1000 == 0
    # 1/64 in = 396 875 nm, by the same agreement.
    assert INCH // 64 == 396_875 * 10


@pytest.mark.parametrize(
    ("sixty_fourths", "shown"),
    [
        (88, "1-3/8 in"),
        (24, "3/8 in"),
        (128, "2 in"),
        (-8, "-1/8 in"),
        (-88, "-1-3/8 in"),
        (0, "0 in"),
        (1, "1/64 in"),
        (127, "1-63/64 in"),
    ],
)
def test_inches_are_mixed_fractions_where_sixty_fourths_are_exact(sixty_fourths: int, shown: str) -> None:
    assert format_length(sixty_fourths * INCH // 64, "in") == shown


@pytest.mark.parametrize(
    ("length", "unit", "shown"),
    [
        (8705 * INCH // 10_000, "in", "0.8705 in"),
        (870 * INCH // 1000, "in", "0.87 in"),
        (INCH // 128, "in", "0.0078 in"),
        (-870 * INCH // 1000, "in", "-0.87 in"),
        (35 * MM, "in", "1.378 in"),
        (INCH // 100_000, "in", "0.00001 in"),
        (INCH // 1_000_000, "in", "0.000001 in"),
        (35 * MM, "mm", "35 mm"),
        (-35 * MM, "mm", "-35 mm"),
        (MM // 1000, "mm", "0.001 mm"),
        (INCH // 64, "mm", "0.397 mm"),
        (3, "mm", "0.0000003 mm"),
        (MM * 100, "mm", "100 mm"),
        (0, "mm", "0 mm"),
    ],
)
def test_other_lengths_are_short_decimals(length: int, unit: str, shown: str) -> None:
    assert format_length(length, "in" if unit == "in" else "mm") == shown


@pytest.mark.parametrize(
    ("tenths_of_micrometres", "shown"),
    [(15, "0.002"), (25, "0.002"), (35, "0.004"), (26, "0.003"), (-25, "-0.002"), (5, "0.0005")],
)
def test_halves_are_rounded_to_the_even_digit(tenths_of_micrometres: int, shown: str) -> None:
    assert format_length(tenths_of_micrometres * MM // 10_000, "mm", with_unit=False) == shown


def test_what_rounds_to_nothing_bears_no_sign() -> None:
    assert format_length(-1, "in") == "0 in"


@given(st.integers(-(10**12), 10**12), st.sampled_from(["in", "mm"]))
@example(1, "mm")
@example(INCH // 128, "in")
def test_the_number_shown_is_within_half_a_digit_of_the_length(length: int, unit: str) -> None:
    shown = format_length(length, "in" if unit == "in" else "mm", with_unit=False)
    size, places = (INCH, 4) if unit == "in" else (MM, 3)
    if "/" in shown:
        whole, _, part = shown.lstrip("-").rpartition("-")
        value = Fraction(whole or 0) + Fraction(part)
        value = -value if shown.startswith("-") else value
        assert value * size == length
    else:
        assert abs(Fraction(shown) - Fraction(length, size)) * 10**places <= Fraction(1, 2)


@pytest.mark.parametrize(
    ("length", "unit", "shown"),
    [
        (19 * INCH // 16, "in", "1-3/16 in"),
        (19 * INCH // 16, "mm", "1-3/16 in"),
        (60 * MM, "in", "60 mm"),
        (60 * MM, "mm", "60 mm"),
        (2 * INCH, "mm", "50.8 mm"),
        (INCH // 128, "in", "0.0078125 in"),
        (INCH // 128, "mm", "0.1984375 mm"),
        (-INCH // 128, "in", "-0.0078125 in"),
        (3, "in", "0.0000003 mm"),
        (0, "in", "0 in"),
    ],
)
def test_a_length_that_is_written_exactly_changes_its_unit_before_it_is_rounded(
    length: int, unit: str, shown: str
) -> None:
    assert format_exactly(length, "in" if unit == "in" else "mm") == shown


@given(st.integers(-(10**12), 10**12), st.sampled_from(["in", "mm"]))
def test_a_length_that_is_written_exactly_is_read_back_as_it_was(length: int, unit: str) -> None:
    assert parse_length(format_exactly(length, "in" if unit == "in" else "mm"), signed=True) == length


@pytest.mark.parametrize(
    ("span", "unit", "shown"),
    [
        (Span.exact(35 * MM), "mm", "35 mm"),
        (Span.plus_minus(35 * MM, MM // 10), "mm", "35 mm ± 0.1"),
        (Span.plus_minus(7 * INCH // 4, INCH // 64), "in", "1-3/4 in ± 1/64"),
        (Span(870 * INCH // 1000, 870 * INCH // 1000, 872 * INCH // 1000), "in", "0.87 in +0.002/-0"),
        (Span(868 * INCH // 1000, 870 * INCH // 1000, 870 * INCH // 1000), "in", "0.87 in +0/-0.002"),
        (Span(55 * INCH // 32, 7 * INCH // 4, 113 * INCH // 64), "in", "1-3/4 in +1/64 / -1/32"),
        (Span.plus_minus(-3 * MM, MM), "mm", "-3 mm ± 1"),
    ],
)
def test_a_span_shows_its_tolerance(span: Span, unit: str, shown: str) -> None:
    assert format_span(span, "in" if unit == "in" else "mm") == shown


_PARTS = st.integers(0, 5000)


@given(st.integers(-(10**5), 10**5), _PARTS, _PARTS)
def test_a_span_in_micrometres_is_read_back_as_it_was(nominal: int, below: int, above: int) -> None:
    step = MM // 1000
    span = Span((nominal - below) * step, nominal * step, (nominal + above) * step)
    assert parse_span(format_span(span, "mm"), signed=True) == span


@given(st.integers(-(10**4), 10**4), _PARTS, _PARTS, st.sampled_from([64, 10_000]), st.sampled_from([64, 10_000]))
def test_a_span_in_inches_is_read_back_as_it_was(
    nominal: int, below: int, above: int, parts: int, tolerance_parts: int
) -> None:
    step, finer = INCH // parts, INCH // tolerance_parts
    span = Span(nominal * step - below * finer, nominal * step, nominal * step + above * finer)
    assert parse_span(format_span(span, "in"), signed=True) == span
