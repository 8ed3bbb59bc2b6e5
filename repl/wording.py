"""Numbers, checks and findings in words."""

from __future__ import annotations

from collections.abc import Mapping
from math import gcd

from ..solver.check import Bound, Gap, Ref, Same, Term, Within
from ..solver.finding import Finding, Verdict
from ..solver.length import Length, Unit, format_length, format_span
from ..solver.span import Span


def counted(number: int, one: str, many: str) -> str:
    """Return a number with its noun."""
    return f"{number:,} {one if number == 1 else many}"


def price(hundredths: int, currency: str = "") -> str:
    """Write an amount with two places and its currency, if it has one."""
    return f"{hundredths // 100}.{hundredths % 100:02} {currency}".rstrip()


def share(part: float) -> str:
    """Write an expected share as a percentage that is never rounded to all or none."""
    if part >= 0.9995:
        return "100 %" if part >= 1 else "over 99.9 %"
    return f"{part:.1%}".replace("%", " %") if part >= 0.0005 else "under 0.1 %"


def check_words(finding: Finding, unit: Unit) -> str:
    """Write out what was checked, lengths in the unit."""
    check, numbers = finding.check, dict(finding.read)
    if isinstance(check, Gap):
        bounds = [
            f"{word} {_bound(check, bound, numbers, unit)}"
            for word, bound in (("at least", check.at_least), ("at most", check.at_most))
            if bound is not None
        ]
        return ", ".join([_sum(check, check.terms), *bounds])
    if isinstance(check, Same):
        return f"{_owned(check.left)} the same as {_owned(check.right)}"
    if isinstance(check, Within):
        return f"{_owned(check.left)} one of {_owned(check.right)}"
    return check


def measure_words(finding: Finding, unit: Unit) -> str:
    """Write what was measured or compared, and what there is to spare."""
    if finding.measure is None or finding.margin is None:
        left, _, right = finding.compared.partition(" | ")
        if isinstance(finding.check, Within) and " " in right:
            one = "one" if finding.verdict is Verdict.FITS else "none"
            return f"{left}, {one} of {', '.join(right.split())}"
        return f"{left} and {right}" if right else left
    span = finding.measure
    text = format_length(span.nominal, unit)
    if isinstance(finding.check, Gap) and (written := _written_out(finding.check, dict(finding.read), unit)):
        text = f"{written} = {text}"
    if span.width:
        text += f" ({format_length(span.low, unit)} to {format_length(span.high, unit)})"
    if finding.margin >= 0:
        return f"{text}, {format_length(finding.margin, unit)} to spare"
    text += f", {format_length(-finding.margin, unit)} {_beyond(finding)} in the worst case"
    return f"{text}, {share(finding.share)} expected to fit" if finding.verdict is Verdict.SELECTED else text


def _beyond(finding: Finding) -> str:
    """Say which limit the worst case is beyond; where it is beyond both, the one that it is farther from."""
    if not isinstance(finding.check, Gap):
        return "beyond the limit"
    numbers, words = dict(finding.read), []
    if finding.check.at_least is not None:
        words.append("under the least")
    if finding.check.at_most is not None:
        words.append("over the most")
    margins = [demand.span(numbers.__getitem__).low for demand in finding.check.sides()]
    return words[min(range(len(margins)), key=margins.__getitem__)]


def sum_words(gap: Gap) -> str:
    """Write out the sum that a gap bounds."""
    return _sum(gap, gap.terms)


def _owned(ref: Ref) -> str:
    return f"{ref.owner} {ref.name}"


def _sum(gap: Gap, terms: tuple[Term, ...], names: Mapping[Ref, str] | None = None) -> str:
    """Write a sum or bound of a gap as its author did: with halves and thirds, where they are held as wholes."""
    text = ""
    for factor, ref in terms:
        shared = gcd(factor, gap.divisor)
        times, parts = abs(factor) // shared, gap.divisor // shared
        sign = ("- " if factor < 0 else "+ ") if text else ("-" if factor < 0 else "")
        text += f"{' ' if text else ''}{sign}{'' if times == 1 else f'{times} x '}"
        text += f"{names[ref] if names else _owned(ref)}{'' if parts == 1 else f' / {parts}'}"
    return text


def _written_out(gap: Gap, numbers: Mapping[Ref, Span], unit: Unit) -> str:
    """Write a sum of several terms in numbers; empty for a single one."""
    if len(gap.terms) < 2:
        return ""
    return _sum(gap, gap.terms, {ref: _number(span.nominal, unit) for ref, span in numbers.items()})


def _number(length: Length, unit: Unit) -> str:
    text = format_length(length, unit, with_unit=False)
    return f"({text})" if length < 0 else text


def _bound(gap: Gap, bound: Bound, numbers: Mapping[Ref, Span], unit: Unit) -> str:
    if isinstance(bound, int):
        return format_length(bound // gap.divisor, unit)
    total = gap.divided(Span.total(numbers[ref] * factor for factor, ref in bound))
    return f"{_sum(gap, bound)} ({format_span(total, unit)})"
