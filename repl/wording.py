"""Numbers, checks and findings in words."""

from __future__ import annotations

from collections.abc import Mapping

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
            f"{word} {_bound(bound, numbers, unit)}"
            for word, bound in (("at least", check.at_least), ("at most", check.at_most))
            if bound is not None
        ]
        return ", ".join([_sum(check.terms), *bounds])
    if isinstance(check, Same):
        return f"{_owned(check.left)} the same as {_owned(check.right)}"
    if isinstance(check, Within):
        return f"{_owned(check.left)} one of {_owned(check.right)}"
    return check


def measure_words(finding: Finding, unit: Unit) -> str:
    """Write what was measured or compared, and what there is to spare."""
    if finding.measure is None or finding.margin is None:
        left, _, right = finding.compared.partition(" | ")
        return f"{left} and {right}" if right else left
    span = finding.measure
    text = format_length(span.nominal, unit)
    if isinstance(finding.check, Gap) and (written := _written_out(finding.check.terms, dict(finding.read), unit)):
        text = f"{written} = {text}"
    if span.width:
        text += f" ({format_length(span.low, unit)} to {format_length(span.high, unit)})"
    if finding.margin >= 0:
        return f"{text}, {format_length(finding.margin, unit)} to spare"
    text += f", {format_length(-finding.margin, unit)} short in the worst case"
    return f"{text}, {share(finding.share)} expected to fit" if finding.verdict is Verdict.SELECTED else text


def _owned(ref: Ref) -> str:
    return f"{ref.owner} {ref.name}"


def _sum(terms: tuple[Term, ...], names: Mapping[Ref, str] | None = None) -> str:
    text = ""
    for factor, ref in terms:
        times = "" if abs(factor) == 1 else f"{abs(factor)} x "
        sign = ("- " if factor < 0 else "+ ") if text else ("-" if factor < 0 else "")
        text += f"{' ' if text else ''}{sign}{times}{names[ref] if names else _owned(ref)}"
    return text


def _written_out(terms: tuple[Term, ...], numbers: Mapping[Ref, Span], unit: Unit) -> str:
    """Write a sum of several terms in numbers; empty for a single one."""
    if len(terms) < 2:
        return ""
    return _sum(terms, {ref: _number(span.nominal, unit) for ref, span in numbers.items()})


def _number(length: Length, unit: Unit) -> str:
    text = format_length(length, unit, with_unit=False)
    return f"({text})" if length < 0 else text


def _bound(bound: Bound, numbers: Mapping[Ref, Span], unit: Unit) -> str:
    if isinstance(bound, int):
        return format_length(bound, unit)
    total = Span.total(numbers[ref] * factor for factor, ref in bound)
    return f"{_sum(bound)} ({format_span(total, unit)})"
