"""The kinds of check that an interface or an application may ask for: same, within, and gap (or limit)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import gcd
from typing import NamedTuple

from .finding import Finding, Source, Verdict
from .length import Length
from .share import share_within
from .span import Span

Tokens = tuple[str, ...]


class Ref(NamedTuple):
    """A dimension or token by its owner: a side of an interface, or a position of an application."""

    owner: str
    name: str

    def __str__(self) -> str:
        return f"{self.owner}.{self.name}"


class Term(NamedTuple):
    """A dimension taken `factor` times (an integer, usually +1 or -1)."""

    factor: int
    ref: Ref

    def __str__(self) -> str:
        times = "" if abs(self.factor) == 1 else f"{abs(self.factor)} x "
        return f"{'-' if self.factor < 0 else ''}{times}{self.ref}"


class Demand(NamedTuple):
    """`constant` + the sum of the terms must not be negative.

    `weight` is how much more it has to spare for each unit by which the bounds of its gap are moved out.
    """

    constant: Length
    terms: tuple[Term, ...]
    weight: int = 1

    def span(self, dimension: Callable[[Ref], Span]) -> Span:
        """Return the margin left: low is the worst case, high the best."""
        return Span.total([Span.exact(self.constant)] + [dimension(ref) * factor for factor, ref in self.terms])

    def share(self, owner: str, dimensions: Mapping[str, Span], best: bool, without: str | None = None) -> Length:
        """Return what the terms of one owner add in the worst case, or in the best; one dimension may be left out."""
        total = 0
        for factor, ref in self.terms:
            if ref.owner == owner and ref.name != without:
                span = dimensions[ref.name]
                total += factor * (span.high if (factor > 0) is best else span.low)
        return total


Bound = Length | tuple[Term, ...]


@dataclass(frozen=True, slots=True)
class Gap:
    """A sum of dimensions that must lie between two bounds; each bound is a length or itself a sum.

    Where terms are halves or thirds, sum and bounds are held `divisor` times, so that all factors stay whole.
    """

    terms: tuple[Term, ...]
    at_least: Bound | None
    at_most: Bound | None
    because: str
    source: Source | None = None
    divisor: int = 1

    def demands(self) -> tuple[Demand, ...]:
        """Return the inequalities, first one for each bound; what stands on both sides of one is netted out.

        In the worst case these are all. In the best, one dimension may be wanted large for the one bound and small for
        the other; that both can be met at once is what the others ask (two linear functions reach 0 together somewhere
        in a box where each of their weighted sums does, and only the weights that cancel a dimension matter).
        """
        found = self.sides()
        return (*found, *_together(*found)) if len(found) == 2 else found

    def sides(self) -> tuple[Demand, ...]:
        """Return the inequalities of the bounds alone."""
        bounds = ((self.at_least, 1), (self.at_most, -1))
        return tuple(_demand(self.terms, bound, sign) for bound, sign in bounds if bound is not None)

    def refs(self) -> set[Ref]:
        """Return every dimension that the check reads."""
        bounds = [bound for bound in (self.at_least, self.at_most) if isinstance(bound, tuple)]
        return {term.ref for terms in (self.terms, *bounds) for term in terms}

    def divided(self, total: Span) -> Span:
        """Return a total of the terms as the sum that was written, rounded outwards."""
        return Span(total.low // self.divisor, total.nominal // self.divisor, -(-total.high // self.divisor))

    def judge(self, dimension: Callable[[Ref], Span], where: str) -> Finding:
        """Compare the worst and the best case with the bounds."""
        sides = self.sides()
        least = min(demand.span(dimension).low for demand in sides)
        measure = self.divided(Span.total([dimension(ref) * factor for factor, ref in self.terms]))
        verdict, share = Verdict.FITS, 1.0
        if least < 0:
            best = min(demand.span(dimension).high for demand in self.demands())
            verdict, share = (Verdict.SELECTED, 0.0) if best >= 0 else (Verdict.FAILS, 0.0)
        if verdict is Verdict.SELECTED:
            share = share_within(
                [[dimension(ref) * factor for factor, ref in demand.terms] for demand in sides],
                [demand.constant for demand in sides],
            )
        read = tuple((ref, dimension(ref)) for ref in sorted(self.refs()))
        margin = least // self.divisor
        return Finding(where, self, verdict, self.because, self.source, measure, margin, share=share, read=read)


def _demand(terms: tuple[Term, ...], bound: Bound, sign: int) -> Demand:
    limits = () if isinstance(bound, int) else bound
    factors: dict[Ref, int] = {}
    for factor, ref in terms:
        factors[ref] = factors.get(ref, 0) + sign * factor
    for factor, ref in limits:
        factors[ref] = factors.get(ref, 0) - sign * factor
    return Demand(-sign * bound if isinstance(bound, int) else 0, _net(factors))


def _together(one: Demand, other: Demand) -> Iterator[Demand]:
    """Yield the weighted sums of two demands in which a dimension that they want otherwise cancels out."""
    wanted, against = ({ref: factor for factor, ref in demand.terms} for demand in (one, other))
    pairs = ((factor, against.get(ref, 0)) for ref, factor in wanted.items())
    weights = {_lowest(abs(b), abs(a)): None for a, b in pairs if a * b < 0}
    for many, more in weights:
        factors = {ref: many * wanted.get(ref, 0) + more * against.get(ref, 0) for ref in (*wanted, *against)}
        demand = Demand(many * one.constant + more * other.constant, _net(factors), many + more)
        if demand.terms or demand.constant < 0:
            yield demand


def _lowest(one: int, other: int) -> tuple[int, int]:
    shared = gcd(one, other)
    return one // shared, other // shared


def _net(factors: Mapping[Ref, int]) -> tuple[Term, ...]:
    return tuple(Term(factor, ref) for ref, factor in factors.items() if factor)


@dataclass(frozen=True, slots=True)
class Same:
    """Two tokens that must be equal."""

    left: Ref
    right: Ref
    because: str
    source: Source | None = None

    def holds(self, left: Tokens, right: Tokens) -> bool:
        """Tell whether both sides say the same words."""
        return left == right

    def __str__(self) -> str:
        return f"{self.left} same as {self.right}"


@dataclass(frozen=True, slots=True)
class Within:
    """A token that must stand in the other side's set (the keyways that a key section enters)."""

    left: Ref
    right: Ref
    because: str
    source: Source | None = None

    def holds(self, left: Tokens, right: Tokens) -> bool:
        """Tell whether each word on the left is one of those on the right."""
        return set(left) <= set(right)

    def __str__(self) -> str:
        return f"{self.left} within {self.right}"


TokenCheck = Same | Within
Check = Same | Within | Gap


def judge_tokens(check: TokenCheck, left: Tokens, right: Tokens, where: str) -> Finding:
    """Compare the words of the two sides."""
    verdict = Verdict.FITS if check.holds(left, right) else Verdict.FAILS
    compared = f"{' '.join(left) or 'nothing'} | {' '.join(right) or 'nothing'}"
    return Finding(
        where, check, verdict, check.because, check.source, compared=compared, share=float(verdict is Verdict.FITS)
    )
