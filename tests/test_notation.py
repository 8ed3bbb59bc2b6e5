"""The trade's notation is read exactly, and what can't be read is refused at its column."""

import subprocess
import sys

import pytest
from fitwright.solver.length import INCH, MM, Unit, format_length
from fitwright.solver.notation import NotationError, parse_length, parse_span
from fitwright.solver.span import Span
from hypothesis import example, given, settings
from hypothesis import strategies as st

_64TH = INCH // 64


@pytest.mark.parametrize(
    ("text", "wrong"),
    # pint alone has read these, silently, as the second length; both are mixed fractions of the trade.
    [("1 1/8 inch", INCH // 8), ("4 1/2 in", 2 * INCH)],
)
def test_a_mixed_fraction_is_a_sum(text: str, wrong: int) -> None:
    whole, part = text.split()[:2]
    top, bottom = map(int, part.split("/"))
    assert parse_length(text) == int(whole) * INCH + top * INCH // bottom != wrong


@pytest.mark.parametrize(
    ("text", "sixty_fourths"),
    [
        ("1-3/8 in", 88),
        ('1 3/8"', 88),
        ("1-3/8″", 88),
        ("1 3/8”", 88),
        ("1–3/8 inches", 88),  # noqa: RUF001
        ("1⅜ in", 88),
        ("1 ⅜ in", 88),
        ("1-⅜in.", 88),
        ("1 3⁄8 INCH", 88),  # noqa: RUF001
        ("1½ in", 96),
        ("½''", 32),
        ("⅜ in", 24),
        ("9/8 in", 72),
        ("1.375in", 88),
        (" 2 in ", 128),
        ("2. in", 128),
        ("0 in", 0),
        (".25 Inch", 16),
        ("6' 8-1/2\"", 5152),
        ("6'8½\"", 5152),
        ("6’ 8 1/2”", 5152),  # noqa: RUF001
        ("6′-8 1/2″", 5152),  # noqa: RUF001
        ("6 ft 8 in", 5120),
        ("6 ft. 8 in.", 5120),
        ("6 feet", 4608),
        ("6.5'", 4992),
        ("1\u00a03/8\u2009in", 88),
    ],
)
def test_inches_are_read_as_the_trade_writes_them(text: str, sixty_fourths: int) -> None:
    assert parse_length(text) == sixty_fourths * _64TH


@pytest.mark.parametrize(
    ("text", "length"),
    [
        (".870in", 870 * INCH // 1000),
        ("1/128 in", 1_984_375),
        ("0.000001 in", 254),
        ("35 mm", 35 * MM),
        ("35MM", 35 * MM),
        ("35.5 millimetres", 355 * MM // 10),
        ("0.0000001 mm", 1),
        ("1 1/2 mm", 3 * MM // 2),
        ("100000 mm", 10**12),
    ],
)
def test_other_lengths_are_exact(text: str, length: int) -> None:
    assert parse_length(text) == length


@pytest.mark.parametrize(
    ("text", "length"),
    [
        # The metre's multiples by the SI brochure; a thou and a mil are 0.001 in; 1 yd = 0.9144 m (1959).
        ("3.5 cm", 35 * MM),
        ("0.035 m", 35 * MM),
        ("250 um", MM // 4),
        ("250 \u00b5m", MM // 4),
        ("250 \u03bcm", MM // 4),
        ("250 microns", MM // 4),
        ("1 nm", 10),
        ("5 thou", INCH // 200),
        ("5 mil", INCH // 200),
        ("5 mils", INCH // 200),
        ("1 yd", 36 * INCH),
    ],
)
def test_other_units_are_converted_exactly(text: str, length: int) -> None:
    assert parse_length(text) == length


def test_inches_and_millimetres_never_load_the_unit_library() -> None:
    script = (
        "import sys\n"
        "from fitwright.solver.notation import parse_length, parse_span\n"
        "parse_length('1-3/8 in'), parse_span('35 mm ± 0.1'), parse_length('6 ft 8 in')\n"
        "print('pint' in sys.modules)\n"
        "parse_length('1 cm')\n"
        "print('pint' in sys.modules)\n"
    )
    ran = subprocess.run(
        [sys.executable, "-X", "utf8", "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    assert ran.stdout.split() == ["False", "True"]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_a_bare_number_takes_the_declared_unit_and_no_other_does(unit: Unit) -> None:
    size = INCH if unit == "in" else MM
    assert parse_length("1-3/8", unit) == 11 * size // 8
    assert parse_span("1-3/8 ± 1/8", unit) == Span.plus_minus(11 * size // 8, size // 8)
    assert parse_length("2 in", unit) == 2 * INCH
    assert parse_span("35 ± 0.1 mm", unit) == Span.plus_minus(35 * MM, MM // 10)


def test_signs_are_read_only_where_they_make_sense() -> None:
    assert parse_length("-1-3/8 in", signed=True) == -88 * _64TH
    assert parse_length("−3 mm", signed=True) == -3 * MM  # noqa: RUF001
    assert parse_length("+3 mm", signed=True) == 3 * MM
    assert parse_span("-1 mm..2 mm", signed=True) == Span(-MM, MM // 2, 2 * MM)
    assert parse_span("0 mm ± 0.5", signed=True) == Span.plus_minus(0, MM // 2)
    assert parse_span("-6' 8\"", signed=True) == Span.exact(-80 * INCH)


_870 = 870 * INCH // 1000
_THOU = INCH // 1000


@pytest.mark.parametrize(
    ("text", "span"),
    [
        ("35 mm", Span.exact(35 * MM)),
        ("35 mm ± 0.1", Span.plus_minus(35 * MM, MM // 10)),
        ("35 mm ± 0.1 mm", Span.plus_minus(35 * MM, MM // 10)),
        ("35±0.1mm", Span.plus_minus(35 * MM, MM // 10)),
        ("35 +/- 0.1 mm", Span.plus_minus(35 * MM, MM // 10)),
        ("35 +- 0.1 mm", Span.plus_minus(35 * MM, MM // 10)),
        ("0.870 in +0.002/-0.000", Span(_870, _870, _870 + 2 * _THOU)),
        ("0.870 +.002/-.000 in", Span(_870, _870, _870 + 2 * _THOU)),
        ("0.870 in +0/-0.002", Span(_870 - 2 * _THOU, _870, _870)),
        ("0.870 in +0.002 −0.001", Span(_870 - _THOU, _870, _870 + 2 * _THOU)),  # noqa: RUF001
        ("0.870 in +0.002/0", Span(_870, _870, _870 + 2 * _THOU)),
        ("0.870 in +2 thou/-1 thou", Span(_870 - _THOU, _870, _870 + 2 * _THOU)),
        ("0.870 in +0.02/-0.01 mm", Span(_870 - MM // 100, _870, _870 + MM // 50)),
        ("1-3/4 in +1/64/-1/32", Span(110 * _64TH, 112 * _64TH, 113 * _64TH)),
        ("1-3/4 in ± 0.5 mm", Span.plus_minus(112 * _64TH, MM // 2)),
        ("1-3/4 in ± 1/64", Span.plus_minus(112 * _64TH, _64TH)),
        ("1-3/4 ± 1/64 in", Span.plus_minus(112 * _64TH, _64TH)),
        ("6' 8\" ± 1/8", Span.plus_minus(80 * INCH, INCH // 8)),
        ("6' ± 1/8 in", Span.plus_minus(72 * INCH, INCH // 8)),
        ("1-3/8 in to 1-3/4 in", Span(88 * _64TH, 100 * _64TH, 112 * _64TH)),
        ("1-3/8 to 1-3/4 in", Span(88 * _64TH, 100 * _64TH, 112 * _64TH)),
        ("1-3/8 in to 1-3/4", Span(88 * _64TH, 100 * _64TH, 112 * _64TH)),
        ("35..40 mm", Span(35 * MM, 75 * MM // 2, 40 * MM)),
        ("35.5..40.5mm", Span(355 * MM // 10, 38 * MM, 405 * MM // 10)),
        ("35to40mm", Span(35 * MM, 75 * MM // 2, 40 * MM)),
        ("1 in .. 30 mm", Span(INCH, (INCH + 30 * MM) // 2, 30 * MM)),
        ("35 mm..35 mm", Span.exact(35 * MM)),
        ("0 mm..0.0000001 mm", Span(0, 0, 1)),
    ],
)
def test_tolerances_and_ranges_are_read(text: str, span: Span) -> None:
    assert parse_span(text) == span


_REFUSED_LENGTHS = [
    ("", 0, "there is no length here"),
    ("  \t ", 0, "there is no length here"),
    ("1" * 201, 200, "a text of 201 characters is no length"),
    ("1,5 mm", 1, "a comma is not a decimal point; write 1.5 mm"),
    ("1,500 mm", 1, "write 1.500 mm or 1500 mm"),
    ("1-3/8", 5, "1-3/8 has no unit; write 1-3/8 in or 1-3/8 mm"),
    ("3/0 in", 2, "a fraction can't have 0 below"),
    ("1-3/0 in", 4, "a fraction can't have 0 below"),
    ("1-9/8 in", 2, "9/8 after a whole number is not less than 1; write 2-1/8"),
    ("1 8/8 in", 2, "write 2"),
    ("-3 mm", 0, "can't be negative here"),
    ("+3 mm", 0, "no sign here"),
    ("nan", 0, "'nan' is not a number"),
    ("inf mm", 0, "'inf' is not a number"),
    ("NaN in", 0, "'NaN' is not a number"),
    ("1e3 mm", 1, "an exponent is not read"),
    ("1E-3 mm", 1, "an exponent is not read"),
    ("0x10 mm", 1, "x is not a known unit"),
    ("101 m", 0, "over 100 m"),
    ("9" * 150 + " in", 0, "over 100 m"),
    ("35 Mm", 0, "over 100 m"),
    ("1/3 in", 0, "not a whole number of ten-millionths of a millimetre"),
    ("0.00000001 mm", 0, "not a whole number of ten-millionths of a millimetre"),
    ("1/8 survey_foot", 0, "lengths in this unit are not kept exactly; use in or mm"),
    ("1 light_year", 0, "over 100 m"),
    ("1 in_", 2, "in_ is not a known unit; did you mean in?"),
    ("5 to_6 mm", 2, "to_ is not a known unit"),
    ("35 mm foo", 6, "'foo' is left over"),
    ("35 mm 20 mm", 6, "'20 mm' is left over"),
    ("35 mm ± 0.1", 6, "'± 0.1' is left over"),
    ("35 × 20 mm", 3, "'× 20 mm' is left over"),  # noqa: RUF001
    ("1.2.3 mm", 3, "one decimal point"),
    ("1/2/3 in", 3, "one stroke"),
    ("1.5/2 in", 3, "'/2 in' is left over"),
    ("1-3 in", 2, "no fraction follows '1'"),
    ("1 3 in", 2, "no fraction follows '1'"),
    ("35-40 mm", 3, "35..40 for a range"),
    ("35 inhc", 3, "inhc is not a known unit; did you mean inch?"),
    ("35 milimeters", 3, "did you mean millimeters?"),
    ("35 qqq", 3, "qqq is not a known unit; use in or mm"),
    ("5 cin", 2, "cin is not a known unit; did you mean in?"),
    ("5 mm²", 2, "mm² is not a known unit; did you mean mm?"),
    ("5 kg", 2, "kg is a unit of mass, not of length"),
    ("5 s", 2, "s is a unit of time, not of length"),
    ("5 min", 2, "min is a unit of time, not of length"),
    ("5 acre", 2, "acre is a unit of something else, not of length"),
    ("5 radian", 2, "radian is a unit of something else, not of length"),
    ("5 ENp", 2, "ENp is a unit of something else, not of length"),
    ("mm", 0, "'mm' is not a number"),
    ("٣ mm", 0, "'٣' is not a number"),
    ("6' 8", 3, "the inches after feet need their unit"),
    ("6' 8 mm", 3, "the inches after feet need their unit"),
    ("6.5' 3\"", 0, "feet before inches are whole"),
    ("6' 12\"", 3, "the inches after feet are less than 12"),
]

_REFUSED_SPANS = [
    ("35 ± 0.1", 2, "35 has no unit"),
    ("35 mm ±", 7, "a number is missing"),
    ("35 mm ± -0.1", 8, "can't be negative here"),
    ("35 mm ± 0,1", 9, "a comma is not a decimal point; write 0.1"),
    ("35 mm ± 0.1 kg", 12, "kg is a unit of mass"),
    ("35 mm ± 0.1 foo bar", 12, "foo is not a known unit"),
    ("35 mm ± 0.1 mm bar", 15, "'bar' is left over"),
    ("35 mm +0.1", 10, "the lower part of the tolerance is missing"),
    ("35 mm +0.1/", 11, "the lower part of the tolerance is missing"),
    ("35 mm +0.2/+0.1", 11, "limits on one side of the nominal as a range"),
    ("35 mm +0.2/0.1", 11, "the lower part of a tolerance needs a minus"),
    ("35 mm -0.1/+0.2", 6, "a tolerance starts with its upper part"),
    ("6 ft -0/+1 in", 5, "a tolerance starts with its upper part"),
    ("6' ± 1/8", 8, "needs its own unit"),
    ("40..35 mm", 0, "a range starts with its lower end"),
    ("35..", 4, "a number is missing"),
    ("35...40 mm", 2, "'...40 mm' is left over"),
    ("35 mm to 40 mm ± 1", 15, "'± 1' is left over"),
    ("0.5 mm ± 1", 0, "the tolerance reaches below 0"),
    ("-1..2 mm", 0, "can't be negative here"),
]


@pytest.mark.parametrize(("text", "column", "message"), _REFUSED_LENGTHS)
def test_what_is_no_length_is_refused_at_its_column(text: str, column: int, message: str) -> None:
    with pytest.raises(NotationError) as caught:
        parse_length(text)
    assert message in str(caught.value)
    assert (caught.value.text, caught.value.column) == (text, column)


@pytest.mark.parametrize(("text", "column", "message"), _REFUSED_SPANS)
def test_what_is_no_span_is_refused_at_its_column(text: str, column: int, message: str) -> None:
    with pytest.raises(NotationError) as caught:
        parse_span(text)
    assert message in str(caught.value)
    assert (caught.value.text, caught.value.column) == (text, column)


def test_the_display_has_a_caret_under_the_column() -> None:
    with pytest.raises(NotationError) as caught:
        parse_length("1,5 mm")
    assert caught.value.display == "1,5 mm\n ^\na comma is not a decimal point; write 1.5 mm"
    assert caught.value.what == "a comma is not a decimal point"
    assert caught.value.hint == "write 1.5 mm"


def test_the_display_is_three_lines_whatever_the_text() -> None:
    for text in ("35 mm\nfoo\tbar\x1b[0m", "x" * 10_000):
        with pytest.raises(NotationError) as caught:
            parse_length(text)
        shown, caret, message = caught.value.display.split("\n")
        assert shown.isprintable()
        assert len(shown) <= 100
        assert caret.strip() == "^"
        assert message == str(caught.value)


@given(st.integers(0, 64 * 3900))
@example(0)
@example(88)
def test_sixty_fourths_of_an_inch_are_read_back(count: int) -> None:
    length = count * _64TH
    assert parse_length(format_length(length, "in")) == length
    assert parse_length(format_length(-length, "in"), signed=True) == -length
    assert parse_length(format_length(length, "in", with_unit=False), "in") == length


@given(st.integers(0, 10**8))
@example(1)
def test_thousandths_of_a_millimetre_are_read_back(count: int) -> None:
    length = count * MM // 1000
    assert parse_length(format_length(length, "mm")) == length
    assert parse_length(format_length(-length, "mm"), signed=True) == -length


_PIECES = st.lists(
    st.sampled_from(
        [
            "1",
            "35",
            "0",
            ".5",
            "1-3/8",
            "3/8",
            "½",
            " ",
            "-",
            "+",
            "/",
            "±",
            "+/-",
            "..",
            "to",
            "in",
            "mm",
            "'",
            '"',
            "ft",
            "cm",
            "kg",
            ",",
            ".",
            "e3",
            "″",
            "nan",
        ]
    ),
    max_size=12,
).map("".join)


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(), _PIECES), st.sampled_from([None, "in", "mm"]), st.booleans())
@example("1 lambda", None, False)
@example("1 None", None, False)
@example("1 degC", None, False)
@example("1 \ud800", None, False)
@example("1 dB", None, False)
def test_any_text_is_read_or_refused(text: str, unit: Unit | None, signed: bool) -> None:
    column, lines = 0, 3
    for parse in (parse_length, parse_span):
        try:
            parse(text, unit, signed=signed)
        except NotationError as error:
            column = error.column
            lines = error.display.count("\n") + 1
        assert 0 <= column <= len(text)
        assert lines == 3


@settings(deadline=None)
@given(st.text("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZµμΩ°Å", min_size=1, max_size=6))
def test_any_word_for_a_unit_is_known_or_refused(word: str) -> None:
    try:
        length = parse_length(f"1 {word}")
    except NotationError as error:
        column = error.column
    else:
        assert length >= 0
        return
    assert 0 <= column <= len(word) + 2
