"""Limits of screw threads, from their designation.

Unified threads, classes 2A and 2B: the formulas of ASME B1.1-2019 in decimal arithmetic, with the
roundings that reproduce its tables. Older printed tables differ by up to 0.0001 in.
Metric threads, class 6g, M3 to M8 coarse: values of ISO 965-2.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from difflib import get_close_matches
from fractions import Fraction

from .length import INCH, MM, Length
from .notation import NotationError
from .span import Span

# Numbered screws: 0.060 in + 0.013 in a number; with the turns an inch of the coarsest standard thread.
# A whole number with fewer turns than that is a size in inches (1-14 against 1-64).
_COARSEST = {0: 80, 1: 64, 2: 56, 3: 48, 4: 40, 5: 40, 6: 32, 8: 32, 10: 24, 12: 24}
_FEWEST_TURNS, _MOST_TURNS = 4, 80
_LARGEST_SIZE = 6
_LONGEST_TEXT = 80

# Standard series by basic size in inches (ASME B1.1, from memory).
_SERIES: dict[str, dict[str, int]] = {
    "UNC": {
        "0.073": 64, "0.086": 56, "0.099": 48, "0.112": 40, "0.125": 40, "0.138": 32, "0.164": 32,
        "0.190": 24, "0.216": 24, "1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14, "1/2": 13, "9/16": 12,
        "5/8": 11, "3/4": 10, "7/8": 9, "1": 8, "9/8": 7, "5/4": 7, "11/8": 6, "3/2": 6, "7/4": 5,
        "5/2": 4, "11/4": 4, "3": 4, "13/4": 4, "7/2": 4, "15/4": 4, "4": 4,
    },
    "UNF": {
        "0.060": 80, "0.073": 72, "0.086": 64, "0.099": 56, "0.112": 48, "0.125": 44, "0.138": 40,
        "0.164": 36, "0.190": 32, "0.216": 28, "1/4": 28, "5/16": 24, "3/8": 24, "7/16": 20, "1/2": 20,
        "9/16": 18, "5/8": 18, "3/4": 16, "7/8": 14, "1": 12, "9/8": 12, "5/4": 12, "11/8": 12, "3/2": 12,
    },
    "UNEF": {
        "0.216": 32, "1/4": 32, "5/16": 32, "3/8": 32, "7/16": 28, "1/2": 28, "9/16": 24, "5/8": 24,
        "11/16": 24, "3/4": 20, "13/16": 20, "7/8": 20, "15/16": 20, "1": 20, "17/16": 18, "9/8": 18,
        "19/16": 18, "5/4": 18, "21/16": 18, "11/8": 18, "23/16": 18, "3/2": 18, "25/16": 18, "13/8": 18,
        "27/16": 18,
    },
}  # fmt: skip
_TURNS = {name: {Fraction(size): turns for size, turns in sizes.items()} for name, sizes in _SERIES.items()}
_CONSTANT_TURNS = (4, 6, 8, 12, 16, 20, 28, 32)

# Size: pitch, then major and pitch diameter of 6g as highest and lowest, in micrometres (ISO 965-2).
_METRIC_6G = {
    3: ("0.5", (2980, 2874), (2655, 2580)),
    4: ("0.7", (3978, 3838), (3523, 3433)),
    5: ("0.8", (4976, 4826), (4456, 4361)),
    6: ("1", (5974, 5794), (5324, 5212)),
    8: ("1.25", (7972, 7760), (7160, 7042)),
}

_UNIFIED_STEPS = (
    ("size", re.compile(r"#?[0-9]+-[0-9]+/[0-9]+(?=-)|#?[0-9]+/[0-9]+|[0-9]*\.[0-9]{1,4}(?![0-9])|#?[0-9]+")),
    ("hyphen", re.compile("-")),
    ("turns", re.compile(r"[0-9]+(?![./0-9])")),
    ("series", re.compile(r"\s*([A-Za-z]+)")),
    ("class", re.compile(r"\s*-?\s*([0-9][A-Za-z])\s*$")),
)
_METRIC = re.compile(r"[Mm]([0-9]+)(?:\s*[xX×]\s*([0-9.]+))?\s*-?\s*")  # noqa: RUF001
_UNIFIED_HINT = "write one as 1.150-32 UNS-2A or 10-24 UNC-2B"
_METRIC_HINT = "write one of M3x0.5-6g, M4x0.7-6g, M5x0.8-6g, M6x1-6g, M8x1.25-6g"


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread of a tolerance class.

    `designation` is size and pitch in one spelling (`1.150-32`, `10-24`, `M5x0.8`): threads that bear
    the same one go together if one is internal. `grade` is the tolerance class (`2A`).
    """

    designation: str
    grade: str
    internal: bool
    spans: tuple[tuple[str, Span], ...]

    def limits(self) -> dict[str, Span]:
        """The diameters that the class limits on both sides, each around the middle of its limits.

        `major` and `pitch` for an external thread, `pitch` and `minor` for an internal one.
        """
        return dict(self.spans)


def parse_thread(text: str) -> Thread:
    """Read a designation such as `1.150-32 UNS-2A`, `10-24 UNC-2B`, `1/4-20 UNC-2A` or `M5x0.8-6g`.

    Raises NotationError for a text that names no thread whose limits are known here.
    """
    start = len(text) - len(text.lstrip())
    if start == len(text):
        raise NotationError(text, 0, "there is no thread here", _UNIFIED_HINT)
    if len(text) > _LONGEST_TEXT:
        what = f"a text of {len(text)} characters is no thread"
        raise NotationError(text, _LONGEST_TEXT, what, _UNIFIED_HINT)
    return _metric(text, start) if text[start] in "Mm" else _unified(text, start)


def _unified(text: str, at: int) -> Thread:
    words: dict[str, str] = {}
    columns: dict[str, int] = {}
    for name, pattern in _UNIFIED_STEPS:
        found = pattern.match(text, at)
        if not found:
            missing = {"hyphen": "hyphen after the size", "turns": "whole number of turns an inch"}
            blanks = len(text[at:]) - len(text[at:].lstrip())
            what = f"the {missing.get(name, name)} of the thread is missing"
            raise NotationError(text, at + blanks, what, _UNIFIED_HINT)
        words[name], columns[name] = found[found.lastindex or 0], found.start(found.lastindex or 0)
        at = found.end()

    def refusal(name: str, what: str, hint: str) -> NotationError:
        return NotationError(text, columns[name], what, hint)

    turns, series, grade = int(words["turns"]), words["series"].upper(), words["class"].upper()
    if not _FEWEST_TURNS <= turns <= _MOST_TURNS:
        raise refusal("turns", f"{words['turns']} turns an inch are not covered", "from 4 to 80 are")
    size = _size(words["size"], turns)
    if size is None:
        raise refusal("size", f"{words['size']} is not a size of screw thread", _UNIFIED_HINT)
    if not Fraction("0.06") <= size <= _LARGEST_SIZE or size * turns < 3:
        what = f"no thread of size {words['size']} has {turns} turns an inch"
        raise refusal("size", what, "sizes are from #0 to 6 in")
    if series not in (*_SERIES, "UN", "UNS"):
        near = get_close_matches(series, [*_SERIES, "UN", "UNS"], n=1)
        hint = f"did you mean {near[0]}?" if near else "use UNC, UNF, UNEF, UN or UNS"
        raise refusal("series", f"{words['series']} is not a thread series known here", hint)
    standard = [_TURNS[series].get(size)] if series in _TURNS else list(_CONSTANT_TURNS)
    if series != "UNS" and turns not in standard:
        right = ", ".join(str(count) for count in standard if count)
        hint = f"{series} has {right}; a special thread is UNS" if right else "a special thread is UNS"
        raise refusal("turns", f"{series} has no {words['size']}-{turns}", hint)
    if grade not in ("2A", "2B"):
        what = f"class {words['class']} is not known here"
        raise refusal("class", what, "use 2A (external) or 2B (internal)")
    by_diameter = series in ("UNC", "UNF") or (series == "UN" and turns in (4, 6, 8))
    spans = _unified_limits(size, turns, by_diameter=by_diameter, internal=grade == "2B")
    return Thread(f"{_size_name(size, turns)}-{turns}", grade, grade == "2B", spans)


def _size(word: str, turns: int) -> Fraction | None:
    """The basic major diameter in inches, or None where the word gives none."""
    numbered = word.startswith("#")
    word = word.removeprefix("#")
    if word.isdigit():
        number = int(word)
        if number in _COARSEST and (numbered or turns >= _COARSEST[number]):
            return Fraction(60 + 13 * number, 1000)
    if numbered or int(word.rpartition("/")[2] if "/" in word else "1") == 0:
        return None
    whole, _, part = word.rpartition("-")
    return int(whole or "0") + Fraction(part)


def _size_name(size: Fraction, turns: int) -> str:
    for number, coarsest in _COARSEST.items():
        if size == Fraction(60 + 13 * number, 1000) and turns >= coarsest:
            return str(number)
    if 64 % size.denominator == 0:
        whole, rest = divmod(size, 1)
        return "-".join(str(part) for part in (whole, rest) if part)
    return f"{_decimal(size):.3f}" if (size * 1000).denominator == 1 else f"{_decimal(size):.4f}"


def _unified_limits(size: Fraction, turns: int, *, by_diameter: bool, internal: bool) -> tuple[tuple[str, Span], ...]:
    """The limits by the formulas of ASME B1.1-2019, inches; each rounding is half up."""
    with localcontext() as context:
        context.prec = 50
        diameter, pitch = _decimal(size), 1 / Decimal(turns)
        engagement = diameter if by_diameter else 9 * pitch
        pitch_root = _root(pitch * pitch)
        basic = _round(diameter - Decimal("0.649519053") * pitch, 4)
        tolerance = _round(Decimal("0.0015") * (_root(diameter) + engagement.sqrt()) + Decimal("0.015") * pitch_root, 6)
        if internal:
            pitch_high = _round(basic + _round(Decimal("1.300") * tolerance, 6), 4)
            minor = diameter - Decimal("1.082531755") * pitch
            minor_low = _round(minor, 3)
            minor_high = _round(_round(minor, 6) + _minor_tolerance(diameter, pitch, pitch_root), 3)
            return ("pitch", _between(basic, pitch_high)), ("minor", _between(minor_low, minor_high))
        allowance = _round(Decimal("0.300") * tolerance, 4)
        major_high = diameter - allowance
        major_low = _round(major_high - _round(Decimal("0.060") * pitch_root, 6), 4)
        pitch_high = basic - allowance
        pitch_low = _round(pitch_high - tolerance, 4)
        return ("major", _between(major_low, major_high)), ("pitch", _between(pitch_low, pitch_high))


def _minor_tolerance(diameter: Decimal, pitch: Decimal, pitch_root: Decimal) -> Decimal:
    """Tolerance of the minor diameter, class 2B; the formula below 1/4 in is from memory."""
    least = Decimal("0.25") * pitch - Decimal("0.40") * pitch * pitch
    if diameter >= Decimal("0.25"):
        return least
    small = Decimal("0.05") * pitch_root + Decimal("0.03") * pitch / diameter - Decimal("0.002")
    return min(max(small, least), Decimal("0.394") * pitch)


def _metric(text: str, at: int) -> Thread:
    found = _METRIC.match(text, at)
    row = _METRIC_6G.get(int(found[1])) if found else None
    if not found or row is None:
        raise NotationError(text, at, "this metric thread is not known here", _METRIC_HINT)
    coarse, major, pitch = row
    if found[2] and found[2] != coarse:
        right = f"M{int(found[1])} has {coarse}"
        raise NotationError(text, found.start(2), f"pitch {found[2]} is not known here", right)
    grade = text[found.end() :].rstrip()
    if grade != "6g":
        what = f"class {grade} is not known here" if grade else "the class of the thread is missing"
        raise NotationError(text, found.end(), what, "use 6g (external)")
    spans = (("major", _micrometres(*major)), ("pitch", _micrometres(*pitch)))
    return Thread(f"M{int(found[1])}x{coarse}", grade, False, spans)


def _micrometres(high: int, low: int) -> Span:
    return _around_middle(low * (MM // 1000), high * (MM // 1000))


def _between(low: Decimal, high: Decimal) -> Span:
    return _around_middle(int(low * INCH), int(high * INCH))


def _around_middle(low: Length, high: Length) -> Span:
    return Span(low, (low + high) // 2, high)


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _root(value: Decimal) -> Decimal:
    """The cube root, freed of the last digits' noise, which could tip a rounding."""
    return _round(value ** (Decimal(1) / 3), 30)


def _round(value: Decimal, places: int) -> Decimal:
    return value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
