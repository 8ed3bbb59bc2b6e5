"""A dimension with its tolerance: every length from a lowest to a highest, around a nominal.

The arithmetic is that of intervals: each term of a sum may lie anywhere in its span, independently of
the others, and the result holds every sum that can come about (the worst case). The nominal goes along.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .length import Length


@dataclass(frozen=True, slots=True)
class Span:
    """The lengths from `low` to `high`, both included, meant to be `nominal`.

    Raises ValueError unless low <= nominal <= high.
    """

    low: Length
    nominal: Length
    high: Length

    def __post_init__(self) -> None:
        if not self.low <= self.nominal <= self.high:
            raise ValueError(f"a span needs low <= nominal <= high, not {self.low}, {self.nominal}, {self.high}")

    @classmethod
    def exact(cls, nominal: Length) -> Span:
        """The span of one length, without tolerance."""
        return cls(nominal, nominal, nominal)

    @classmethod
    def plus_minus(cls, nominal: Length, tolerance: Length) -> Span:
        """The span of a nominal and an equal tolerance either way; ValueError if it is negative."""
        return cls(nominal - tolerance, nominal, nominal + tolerance)

    @classmethod
    def total(cls, spans: Iterable[Span]) -> Span:
        """The worst-case sum of any number of independent spans; exactly 0 for none."""
        low = nominal = high = 0
        for span in spans:
            low += span.low
            nominal += span.nominal
            high += span.high
        return cls(low, nominal, high)

    def __add__(self, other: Span) -> Span:
        if not isinstance(other, Span):
            return NotImplemented
        return Span(self.low + other.low, self.nominal + other.nominal, self.high + other.high)

    def __sub__(self, other: Span) -> Span:
        """The worst-case difference; `a - a` is not 0 unless `a` is exact, the two being independent."""
        if not isinstance(other, Span):
            return NotImplemented
        return Span(self.low - other.high, self.nominal - other.nominal, self.high - other.low)

    def __neg__(self) -> Span:
        return Span(-self.high, -self.nominal, -self.low)

    def __mul__(self, factor: int) -> Span:
        """The span taken `factor` times; a negative factor turns it round."""
        if not isinstance(factor, int):
            return NotImplemented
        first, last = self.low * factor, self.high * factor
        return Span(min(first, last), self.nominal * factor, max(first, last))

    __rmul__ = __mul__

    @property
    def width(self) -> Length:
        """The whole tolerance, highest less lowest."""
        return self.high - self.low

    def contains(self, length: Length) -> bool:
        """Whether the length lies in the span, its ends included."""
        return self.low <= length <= self.high

    def within(self, other: Span) -> bool:
        """Whether every length of this span lies in the other."""
        return other.low <= self.low and self.high <= other.high

    def overlaps(self, other: Span) -> bool:
        """Whether some length lies in both."""
        return self.low <= other.high and other.low <= self.high

    def intersection(self, other: Span) -> Span | None:
        """The lengths in both, around this span's nominal or the end nearest to it; None if none are."""
        low, high = max(self.low, other.low), min(self.high, other.high)
        if low > high:
            return None
        return Span(low, min(max(self.nominal, low), high), high)

    def hull(self, other: Span) -> Span:
        """The smallest span that holds both, around this span's nominal."""
        return Span(min(self.low, other.low), self.nominal, max(self.high, other.high))
