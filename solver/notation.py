"""The trade's notation for lengths and tolerances, read exactly.

Mixed fractions (`1-3/8 in`, `1 3/8"`, `1½ in`), decimals (`.870in`), feet and inches (`6' 8-1/2"`),
tolerances (`35 mm ± 0.1`, `0.870 in +0.002/-0.000`) and ranges (`1-3/8 in to 1-3/4 in`, `35..40 mm`).
Inches, millimetres and feet are known here; any other unit is looked up with pint, which is imported
only then. Numbers are read before pint sees anything, because pint takes `1 1/8 inch` for 0.125 in.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from .length import INCH, MM, Length, Unit
from .span import Span

if TYPE_CHECKING:
    from pint import UnitRegistry

_LONGEST_TEXT = 200
_LARGEST = 100_000 * MM
_FOOT = 12 * INCH
_NATIVE: dict[str, Length] = {
    **dict.fromkeys(("in", "inch", "inches", '"', "''"), INCH),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), MM),
    **dict.fromkeys(("ft", "foot", "feet", "'"), _FOOT),
}
# In workshop use a mil is a thousandth of an inch; pint's mil is an angle.
_ALIASES = {"mil": "thou", "mils": "thou"}
_KNOWN = [*_NATIVE, *_ALIASES, "cm", "m", "nm", "um", "micron", "thou", "metre", "meter", "yd", "yard"]

# One character for one, so that columns stay where they are.
_PLAIN = str.maketrans("″”“„’‘′‚−–—‐‑⁄∕", "\"\"\"\"''''-----//")  # noqa: RUF001

_VULGAR = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_NUMBER = re.compile(
    rf"(?:(?P<whole>[0-9]+)(?:-|\s+|(?=[{_VULGAR}])))?"
    rf"(?:(?P<top>[0-9]+)/(?P<bottom>[0-9]+)(?![.0-9])|(?P<vulgar>[{_VULGAR}]))"
    r"|(?P<decimal>[0-9]+(?:\.(?!\.)[0-9]*)?|\.[0-9]+)"
)
_SIGN, _PLUS, _MINUS, _SLASH = map(re.compile, (r"[+-]", r"\+", "-", "/"))
_MARK = re.compile(r"''|['\"]")
_WORD = re.compile(r"(?!to(?![^\W\d]))[^\W\d]+")
_ABBREVIATION_POINT = re.compile(r"\.(?![.0-9])")
_RANGE = re.compile(r"\.\.(?!\.)|to(?![^\W\d])")
_EQUAL_TOLERANCE = re.compile(r"±|\+\s*/?\s*-")


class NotationError(ValueError):
    """A text that can't be read: the `text`, the 0-based `column`, `what` is wrong and a `hint`."""

    def __init__(self, text: str, column: int, what: str, hint: str) -> None:
        super().__init__(text, column, what, hint)
        self.text = text
        self.column = column
        self.what = what
        self.hint = hint

    def __str__(self) -> str:
        return f"{self.what}; {self.hint}"

    @property
    def display(self) -> str:
        """Three lines: the text (or the part around the column), a caret under the column, the message."""
        start = max(0, self.column - 60)
        shown = "".join(c if c.isprintable() else " " for c in self.text[start : self.column + 40])
        return f"{shown}\n{' ' * (self.column - start)}^\n{self}"


def parse_length(text: str, unit: Unit | None = None, *, signed: bool = False) -> Length:
    """Read one length, exactly.

    `unit` is the unit of a number that bears none; without it such a number is refused. A sign is
    taken only if `signed`. Raises NotationError for anything that isn't one length of at most 100 m
    and a whole number of ten-millionths of a millimetre.
    """
    reader = _Reader(text)
    quantity = reader.quantity(signed=signed)
    reader.finish("give one length, such as 1-3/8 in or 35 mm")
    return _lengths(reader, [quantity], unit)[0]


def parse_span(text: str, unit: Unit | None = None, *, signed: bool = False) -> Span:
    """Read a length with an optional tolerance, or a range, whose nominal is the middle (rounded down).

    A number without a unit takes the next unit to its right, else the one to its left, else `unit`.
    A span may reach below 0 only if `signed`. Raises NotationError as `parse_length` does, and for
    limits in the wrong order.
    """
    reader = _Reader(text)
    first = reader.quantity(signed=signed)
    if reader.take(_RANGE):
        span = _range(reader, first, reader.quantity(signed=signed), unit)
    elif reader.take(_EQUAL_TOLERANCE):
        tolerance = reader.quantity()
        reader.finish("write a tolerance as ± 0.1 or +0.1/-0.2")
        nominal, reach = _toleranced(reader, [first, tolerance], unit)
        span = Span.plus_minus(nominal, reach)
    elif reader.take(_PLUS):
        plus = reader.quantity()
        minus = _lower_deviation(reader)
        reader.finish("write a tolerance as ± 0.1 or +0.1/-0.2")
        nominal, above, below = _toleranced(reader, [first, plus, minus], unit)
        span = Span(nominal - below, nominal, nominal + above)
    else:
        if reversed_tolerance := reader.take(_MINUS):
            what = "a tolerance starts with its upper part"
            raise reader.error(what, "write +0.002/-0.001", reversed_tolerance.start())
        reader.finish("write a tolerance as ± 0.1 or +0.1/-0.2, a range as 35..40 mm")
        span = Span.exact(*_lengths(reader, [first], unit))
    if span.low < 0 and not signed:
        raise NotationError(text, first.start, "the tolerance reaches below 0", "give a smaller tolerance")
    return span


@dataclass(frozen=True, slots=True)
class _Quantity:
    """A number and the size of its unit (None: it bears none), with the columns it fills."""

    value: Fraction
    unit: Fraction | None
    start: int
    end: int


class _Reader:
    """The text and how far it has been read."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.plain = text.translate(_PLAIN)
        self.at = 0
        if len(text) > _LONGEST_TEXT:
            what = f"a text of {len(text)} characters is no length"
            raise self.error(what, f"write at most {_LONGEST_TEXT}", _LONGEST_TEXT)
        if not text.strip():
            raise self.error("there is no length here", "write one such as 1-3/8 in or 35 mm", 0)

    def error(self, what: str, hint: str, column: int | None = None) -> NotationError:
        """The refusal at a column, by default the next one that isn't blank."""
        if column is None:
            self._skip_blanks()
            column = self.at
        return NotationError(self.text, column, what, hint)

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Read past blanks and the pattern, or stay where it doesn't follow."""
        before = self.at
        self._skip_blanks()
        found = pattern.match(self.plain, self.at)
        self.at = found.end() if found else before
        return found

    def finish(self, hint: str) -> None:
        """Refuse anything but blanks up to the end."""
        self._skip_blanks()
        if self.at < len(self.text):
            raise self.error(f"{self.text[self.at :].rstrip()!r} is left over", hint)

    def quantity(self, *, signed: bool = False) -> _Quantity:
        """Read a number with its unit, if it bears one; feet may be followed by inches."""
        sign = self.take(_SIGN)
        if sign and not signed:
            what = "a length has no sign here" if sign[0] == "+" else "a length can't be negative here"
            raise self.error(what, "leave the sign out", sign.start())
        self._skip_blanks()
        start = sign.start() if sign else self.at
        value = self._number()
        end = self.at
        unit = self._unit()
        if unit == _FOOT:
            inches = self._inches_of_foot()
            if inches is not None:
                if value.denominator != 1:
                    raise self.error("feet before inches are whole", "write 6' 8-1/2\"", start)
                value, unit, end = value * 12 + inches, Fraction(INCH), self.at
        return _Quantity(-value if sign and sign[0] == "-" else value, unit, start, end)

    def _skip_blanks(self) -> None:
        while self.at < len(self.plain) and self.plain[self.at].isspace():
            self.at += 1

    def _number(self) -> Fraction:
        found = self.take(_NUMBER)
        if not found:
            word = re.compile(r"\S*").match(self.plain, self.at)
            seen = self.text[self.at : word.end()] if word else ""
            what = f"{seen!r} is not a number" if seen else "a number is missing"
            raise self.error(what, "start with one such as 1-3/8 or 0.875")
        self._refuse_other_numbers(found)
        if found["decimal"]:
            return Fraction(found["decimal"])
        if found["vulgar"]:
            top, bottom = map(int, unicodedata.normalize("NFKC", found["vulgar"]).split("⁄"))  # noqa: RUF001
        else:
            top, bottom = int(found["top"]), int(found["bottom"])
        if bottom == 0:
            raise self.error("a fraction can't have 0 below", "write one such as 3/8", found.start("bottom"))
        whole = int(found["whole"] or 0)
        if found["whole"] and top >= bottom:
            what = f"{top}/{bottom} after a whole number is not less than 1"
            raise self.error(what, f"write {_mixed(whole + Fraction(top, bottom))}", found.start("top"))
        return whole + Fraction(top, bottom)

    def _refuse_other_numbers(self, found: re.Match[str]) -> None:
        """Refuse what would carry the number on in another notation."""
        number, rest = self.text[found.start() : found.end()], self.plain[found.end() :]
        if comma := re.match(r",([0-9]+)(\s*[^\W\d_]+)?", rest):
            digits, unit = comma[1], comma[2] or ""
            hint = f"write {number}.{digits}{unit}"
            if len(digits) == 3:
                hint += f" or {number}{digits}{unit}"
            raise self.error("a comma is not a decimal point", hint, self.at)
        if re.match(r"[eE][+-]?[0-9]", rest):
            raise self.error("an exponent is not read", "write the number out in full", self.at)
        if re.match(r"\.[0-9]", rest):
            raise self.error("a number has one decimal point", "write one such as 0.875", self.at)
        if re.match(r"/[0-9]", rest) and not found["decimal"]:
            raise self.error("a fraction has one stroke", "write one such as 3/8", self.at)
        if joined := re.match(rf"(?:-|\s+)[0-9.{_VULGAR}]", rest):
            column = self.at + joined.end() - 1
            raise self.error(
                f"no fraction follows {number!r}", "write 1-3/8 for a fraction, 35..40 for a range", column
            )

    def _unit(self) -> Fraction | None:
        found = self.take(_MARK) or self.take(_WORD)
        if not found:
            return None
        size = _native_size(found[0])
        if size is not None:
            if found[0].isalpha():
                self.take(_ABBREVIATION_POINT)
            return Fraction(size)
        return _foreign_size(self, self.text[found.start() : found.end()], found.start())

    def _inches_of_foot(self) -> Fraction | None:
        """Read the inches of `6' 8"` or `6'-8"`, or None where something else follows the feet."""
        before = self.at
        hyphen = self.take(re.compile(r"-(?=\s*[0-9.])"))
        self._skip_blanks()
        start = self.at
        if not _NUMBER.match(self.plain, self.at):
            self.at = before
            return None
        inches = self._number()
        if self._unit() != INCH:
            if hyphen:
                self.at = before
                return None
            raise self.error("the inches after feet need their unit", "write 6' 8-1/2\"", start)
        if inches >= 12:
            raise self.error("the inches after feet are less than 12", "write 6' 8-1/2\"", start)
        return inches


def _lower_deviation(reader: _Reader) -> _Quantity:
    """Read the `/-0.002` of a tolerance; a bare 0 needs no sign."""
    reader.take(_SLASH)
    negative = reader.take(_MINUS)
    hint = "write +0.002/-0.001; limits on one side of the nominal as a range"
    if not negative and not reader.take(re.compile(r"(?=\.?[0-9])")):
        raise reader.error("the lower part of the tolerance is missing", hint)
    start = reader.at
    minus = reader.quantity()
    if minus.value and not negative:
        raise reader.error("the lower part of a tolerance needs a minus", hint, start)
    return minus


def _toleranced(reader: _Reader, quantities: list[_Quantity], unit: Unit | None) -> list[Length]:
    """The lengths of a nominal and its tolerance, which never takes its unit from a nominal in feet."""
    nominal, *tolerance = quantities
    if nominal.unit == _FOOT and not tolerance[-1].unit:
        what = "a tolerance of a length in feet needs its own unit"
        raise reader.error(what, "write it in inches, as ± 1/8 in", tolerance[-1].end)
    return _lengths(reader, quantities, unit)


def _range(reader: _Reader, first: _Quantity, last: _Quantity, unit: Unit | None) -> Span:
    reader.finish("write a range as 35..40 mm or 1-3/8 in to 1-3/4 in")
    low, high = _lengths(reader, [first, last], unit)
    if low > high:
        raise reader.error("a range starts with its lower end", "swap the two ends", first.start)
    return Span(low, (low + high) // 2, high)


def _lengths(reader: _Reader, quantities: list[_Quantity], unit: Unit | None) -> list[Length]:
    """The lengths, each by its own unit, else the next to its right, else to its left, else the declared."""
    sizes = [quantity.unit for quantity in quantities]
    for i in reversed(range(len(sizes) - 1)):
        sizes[i] = sizes[i] or sizes[i + 1]
    for i in range(1, len(sizes)):
        sizes[i] = sizes[i] or sizes[i - 1]
    declared = Fraction(_NATIVE[unit]) if unit else None
    return [_length(reader, quantity, size or declared) for quantity, size in zip(quantities, sizes, strict=True)]


def _length(reader: _Reader, quantity: _Quantity, size: Fraction | None) -> Length:
    number = reader.text[quantity.start : quantity.end]
    if size is None:
        raise reader.error(f"{number} has no unit", f"write {number} in or {number} mm", quantity.end)
    length = quantity.value * size
    if abs(length) > _LARGEST:
        raise reader.error("this is over 100 m", "check the number and its unit", quantity.start)
    if length.denominator != 1:
        if size not in _NATIVE.values():
            raise reader.error("lengths in this unit are not kept exactly", "use in or mm", quantity.start)
        hint = "inches go to 1/128 or 0.000001, millimetres to 0.0000001"
        raise reader.error("this is not a whole number of ten-millionths of a millimetre", hint, quantity.start)
    return length.numerator


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return f"{whole}-{rest}" if rest else str(whole)


def _native_size(name: str) -> Length | None:
    # Mm is a megametre; every other way of using capitals leaves no doubt.
    return None if name == "Mm" else _NATIVE.get(name.lower())


def _foreign_size(reader: _Reader, name: str, column: int) -> Fraction:
    """The size of a unit that pint knows; a refusal if it knows none of the name, or none of length."""
    registry = _registry()
    names = registry.parse_unit_name(_ALIASES.get(name.lower(), name))
    prefix, unit = names[0][:2] if names else ("", "")
    powers = dict(registry.get_dimensionality(unit)) if unit else {}  # no prefix: some units must not have one
    if unit and powers != {"[length]": 1}:
        kind = next(iter(powers)).strip("[]") if list(powers.values()) == [1] else "something else"
        raise reader.error(f"{name} is a unit of {kind}, not of length", "use in or mm", column)
    # A slip of the finger such as `cin` must not pass as a hundredth of an inch.
    if not unit or (prefix and unit != "meter" and (prefix, unit) != ("micro", "inch")):
        near = get_close_matches(name.lower(), _KNOWN, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}?" if near else "use in or mm"
        raise reader.error(f"{name} is not a known unit", hint, column)
    metres, _ = registry.get_base_units(prefix + unit)
    return Fraction(str(metres)) * 1000 * MM


@lru_cache(maxsize=1)
def _registry() -> UnitRegistry[Fraction]:
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Fraction)
