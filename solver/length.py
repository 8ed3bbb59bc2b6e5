"""Lengths as exact integers, and how they are written for a reader.

A length is a whole number of tenths of a nanometre. An inch is 25.4 mm exactly (agreement of the
English-speaking national laboratories, 1959), so 1/128 in, 0.000001 in and 0.001 mm are all whole
numbers here: 1/128 in is 1 984 375. No float takes part in anything.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, TypeAlias

if TYPE_CHECKING:
    from .span import Span

Length: TypeAlias = int
"""A count of tenths of a nanometre; negative for an offset to the other side."""

Unit: TypeAlias = Literal["in", "mm"]
"""The two units that lengths are shown in."""

MM: Length = 10_000_000
"""One millimetre."""

INCH: Length = 254_000_000
"""One inch, 25.4 mm exactly."""

_SIZE: dict[Unit, Length] = {"in": INCH, "mm": MM}
_PLACES: dict[Unit, int] = {"in": 4, "mm": 3}
_MOST_PLACES = 7
_FINEST_FRACTION = 64


def format_length(length: Length, unit: Unit, *, with_unit: bool = True) -> str:
    """Write a length in inches or millimetres.

    Inches are a fraction where one of at most sixty-fourths is exact (`1-3/8 in`), otherwise decimals
    to four places (`0.8705 in`); millimetres are decimals to three. Rounding is half to even. A
    length that would be shown as 0 without being 0 gets more places, up to seven.
    """
    fraction = _fraction(abs(length)) if unit == "in" else None
    number = _decimal(abs(length), unit) if fraction is None else fraction
    sign = "-" if length < 0 and number != "0" else ""
    return f"{sign}{number} {unit}" if with_unit else f"{sign}{number}"


def format_exactly(length: Length, unit: Unit) -> str:
    """Write a length so that `parse_length` reads back exactly that.

    It is in the unit asked for where the digits of `format_length` are exact there, else in the other unit where they
    are exact in that, else with as many places as it takes, at last in millimetres, which are always exact at seven.
    """
    other: Unit = "mm" if unit == "in" else "in"
    for each, places in ((unit, _PLACES[unit]), (other, _PLACES[other]), (unit, _MOST_PLACES)):
        if each == "in" and _fraction(abs(length)) is not None:
            return format_length(length, each)
        if length * 10**places % _SIZE[each] == 0:
            return _exact(length, each, places)
    return _exact(length, "mm", _MOST_PLACES)


def format_span(span: Span, unit: Unit) -> str:
    """Write a span as nominal and tolerance: `35 mm ± 0.1`, `0.87 in +0.002/-0`, or `35 mm` if exact.

    The tolerance is in the unit of the nominal. `parse_span` reads the text back to the same span
    whenever every number is exact in the digits shown.
    """
    nominal = format_length(span.nominal, unit)
    above, below = span.high - span.nominal, span.nominal - span.low
    if above == below:
        return nominal if above == 0 else f"{nominal} ± {format_length(above, unit, with_unit=False)}"
    plus, minus = (format_length(part, unit, with_unit=False) for part in (above, below))
    # Next to the slash of a fraction a bare slash would be hard to read.
    slash = " / " if "/" in plus + minus else "/"
    return f"{nominal} +{plus}{slash}-{minus}"


def _fraction(size: Length) -> str | None:
    """Write a size of no sign as a mixed fraction of an inch, or None where sixty-fourths are not exact."""
    count, rest = divmod(size * _FINEST_FRACTION, INCH)
    if rest:
        return None
    whole, top = divmod(count, _FINEST_FRACTION)
    bottom = _FINEST_FRACTION
    while top and top % 2 == 0:
        top, bottom = top // 2, bottom // 2
    if not top:
        return str(whole)
    return f"{whole}-{top}/{bottom}" if whole else f"{top}/{bottom}"


def _exact(length: Length, unit: Unit, places: int) -> str:
    return f"{'-' if length < 0 else ''}{_digits(abs(length) * 10**places // _SIZE[unit], places)} {unit}"


def _decimal(size: Length, unit: Unit) -> str:
    places = _PLACES[unit]
    while not (count := _round_half_even(size * 10**places, _SIZE[unit])) and size and places < _MOST_PLACES:
        places += 1
    return _digits(count, places)


def _digits(count: int, places: int) -> str:
    """Write a count of the last of `places` decimals as a decimal number."""
    whole, rest = divmod(count, 10**places)
    digits = f"{rest:0{places}d}".rstrip("0")
    return f"{whole}.{digits}" if digits else str(whole)


def _round_half_even(top: int, bottom: int) -> int:
    whole, rest = divmod(top, bottom)
    return whole + (2 * rest > bottom or (2 * rest == bottom and whole % 2 == 1))
