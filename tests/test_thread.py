"""Limits of threads are those of the published tables."""

import pytest
from fitwright.solver.length import INCH, MM
from fitwright.solver.notation import NotationError
from fitwright.solver.thread import parse_thread
from hypothesis import given
from hypothesis import strategies as st

_B11 = "ASME B1.1-2019"
_BASICS = "Machinery's Handbook 31, p. 1978 for the basic sizes, formulas of ASME B1.1-2019 for the rest"
# Ten-thousandths of an inch, highest and lowest: 2A major, 2A pitch, 2B minor, 2B pitch.
_UNIFIED = [
    ("8-32 UNC", (1631, 1571), (1428, 1399), (1390, 1300), (1475, 1437), _BASICS),
    ("10-24 UNC", (1890, 1818), (1619, 1586), (1550, 1450), (1672, 1629), _B11),
    ("10-32 UNF", (1891, 1831), (1688, 1658), (1640, 1560), (1736, 1697), _B11),
    ("12-24 UNC", (2150, 2078), (1879, 1845), (1810, 1710), (1933, 1889), _BASICS),
    ("1/4-20 UNC", (2489, 2408), (2164, 2127), (2070, 1960), (2224, 2175), _B11),
    ("1/2-13 UNC", (4985, 4876), (4485, 4435), (4340, 4170), (4565, 4500), _B11),
    ("1-14 UNS", (9984, 9881), (9520, 9467), (9380, 9230), (9605, 9536), _B11),
    ("5/8-32 UN", (6239, 6179), (6036, 6000), (5990, 5910), (6093, 6047), "ASME B1.1"),
    # That the trade threads mortise cylinders 1.150-32 is common practice.
    ("1.150-32 UNS", (11488, 11428), (11285, 11246), (11240, 11160), (11347, 11297),
     "computed by the formulas of ASME B1.1 with a length of engagement of nine pitches"),
]  # fmt: skip

# Micrometres, highest and lowest: major, pitch. ISO 965-2 tables.
_METRIC = [
    ("M3x0.5", (2980, 2874), (2655, 2580)),
    ("M4x0.7", (3978, 3838), (3523, 3433)),
    ("M5x0.8", (4976, 4826), (4456, 4361)),
    ("M6x1", (5974, 5794), (5324, 5212)),
    ("M8x1.25", (7972, 7760), (7160, 7042)),
]


def _limits(text: str, unit: int) -> dict[str, tuple[int, int]]:
    spans = parse_thread(text).limits()
    assert all(span.low % unit == span.high % unit == 0 for span in spans.values())
    return {name: (span.high // unit, span.low // unit) for name, span in spans.items()}


@pytest.mark.parametrize(("name", "major", "pitch", "_minor", "_pitch", "source"), _UNIFIED)
def test_limits_of_class_2a_are_published(
    name: str,
    major: tuple[int, int],
    pitch: tuple[int, int],
    _minor: tuple[int, int],
    _pitch: tuple[int, int],
    source: str,
) -> None:
    assert _limits(f"{name}-2A", INCH // 10_000) == {"major": major, "pitch": pitch}, source


@pytest.mark.parametrize(("name", "_major", "_pitch", "minor", "pitch", "source"), _UNIFIED)
def test_limits_of_class_2b_are_published(
    name: str,
    _major: tuple[int, int],
    _pitch: tuple[int, int],
    minor: tuple[int, int],
    pitch: tuple[int, int],
    source: str,
) -> None:
    assert _limits(f"{name}-2B", INCH // 10_000) == {"pitch": pitch, "minor": minor}, source


@pytest.mark.parametrize(("name", "major", "pitch"), _METRIC)
def test_limits_of_class_6g_are_published(name: str, major: tuple[int, int], pitch: tuple[int, int]) -> None:
    assert _limits(f"{name}-6g", MM // 1000) == {"major": major, "pitch": pitch}


@pytest.mark.parametrize("name", [row[0] for row in _UNIFIED])
def test_an_external_thread_enters_its_internal_one(name: str) -> None:
    external, internal = parse_thread(f"{name}-2A"), parse_thread(f"{name}-2B")
    assert (external.internal, internal.internal) == (False, True)
    assert external.designation == internal.designation
    # The allowance of class 2A is a clearance at the pitch diameter even in the tightest case.
    assert (internal.limits()["pitch"] - external.limits()["pitch"]).low > 0


def test_the_nominal_is_the_middle_of_the_limits() -> None:
    span = parse_thread("1/4-20 UNC-2A").limits()["major"]
    assert span.nominal == (span.low + span.high) // 2


@pytest.mark.parametrize(
    ("text", "designation"),
    [
        ("1.150-32 UNS-2A", "1.150-32"),
        ("1.15-32 UNS-2A", "1.150-32"),
        ("  1.150-32uns 2b ", "1.150-32"),
        ("10-24 UNC-2B", "10-24"),
        ("#10-24 UNC-2B", "10-24"),
        (".190-24 UNC-2B", "10-24"),
        ("1/4-20 UNC-2A", "1/4-20"),
        ("2/8-20 UNC-2A", "1/4-20"),
        (".250-20 UNC-2A", "1/4-20"),
        ("1-1/4-7 UNC-2A", "1-1/4-7"),
        ("1-14 UNS-2A", "1-14"),
        ("1-64 UNC-2A", "1-64"),
        ("M5x0.8-6g", "M5x0.8"),
        ("m5X0.8-6g", "M5x0.8"),
        ("M5-6g", "M5x0.8"),
    ],
)
def test_one_thread_has_one_designation(text: str, designation: str) -> None:
    assert parse_thread(text).designation == designation


def test_a_number_1_screw_is_not_a_1_inch_thread() -> None:
    # No. 1 = 0.060 in + 0.013 in (ASME B1.1).
    number, inch = (parse_thread(text).limits()["major"] for text in ("1-64 UNC-2A", "1-14 UNS-2A"))
    assert number.high < 73 * INCH // 1000 < inch.low < INCH


@pytest.mark.parametrize(
    ("text", "column", "message"),
    [
        ("", 0, "there is no thread here"),
        ("big-20 UNC-2A", 0, "the size of the thread is missing"),
        ("1/0-20 UNC-2A", 0, "1/0 is not a size"),
        ("#7-32 UNC-2A", 0, "#7 is not a size"),
        ("1/4", 3, "hyphen after the size"),
        ("1/4-4.5 UNC-2A", 4, "whole number of turns"),
        ("1/4-200 UNC-2A", 4, "200 turns an inch are not covered"),
        ("1/4-21 UNC-2A", 4, "UNC has no 1/4-21; UNC has 20"),
        ("3-30 UN-2A", 2, "UN has no 3-30"),
        ("60-8 UNS-2A", 0, "no thread of size 60"),
        ("1/4-8 UNS-2A", 0, "no thread of size 1/4"),
        ("1/4-20", 6, "the series of the thread is missing"),
        ("1/4-20 UNCC-2A", 7, "did you mean UNC?"),
        ("1/4-20 UNC", 10, "the class of the thread is missing"),
        ("1/4-20 UNC-3A", 11, "use 2A"),
        ("1/4-20 UNC-2A left", 10, "the class of the thread is missing"),
        ("M7-6g", 0, "this metric thread is not known here"),
        ("M5x1-6g", 3, "M5 has 0.8"),
        ("M5x0.8-6H", 7, "use 6g"),
        ("M5x0.8", 6, "the class of the thread is missing"),
        ("9" * 81, 80, "a text of 81 characters"),
    ],
)
def test_what_is_no_known_thread_is_refused_at_its_column(text: str, column: int, message: str) -> None:
    with pytest.raises(NotationError) as caught:
        parse_thread(text)
    assert message in str(caught.value)
    assert caught.value.column == column


@given(st.one_of(st.text(), st.text("0123456789-/.#MxUNCFES 2AB6g", max_size=20)))
def test_any_text_is_read_or_refused(text: str) -> None:
    column = 0
    try:
        thread = parse_thread(text)
    except NotationError as error:
        column = error.column
    else:
        assert len(thread.limits()) == 2
    assert 0 <= column <= len(text)
