"""Reasons and ways out in words, and as JSON: the only place where they are written out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from ..solver.element import MATED, Element
from ..solver.finding import Finding
from ..solver.length import Unit, format_length
from ..solver.reason import Member
from ..solver.statement import Keep
from .near import listing
from .refusal import Refusal, Way
from .wording import check_words, counted, measure_words, price


def refusal_lines(refusal: Refusal, unit: Unit, currency: str) -> Iterator[str]:
    """Yield the lines of a refusal: the members, what else stands in the way, and the ways out."""
    reason = refusal.reason
    unmet = [_unmet(member) for member in reason.asked if member.unmet]
    if not reason.members and not unmet:
        many = " at once" if " and " in refusal.asked else ""
        none = "the catalog has nothing for a position that must be filled"
        yield f"the application has no place for {refusal.asked}{many}" if refusal.asked else none
        return
    if refusal.asked:
        yield f"what stands against {refusal.asked}:"
    else:
        yield "these can't hold together:" if len(reason.members) > 1 else "this can't be:"
    yield from (f"- {text}" for text in unmet)
    alone = len(reason.members) == 1
    for member in reason.members:
        if member.evidence is None:
            yield f"- {_name(member, alone)}"
        elif refusal.detail == "short":
            yield _short(member, member.evidence, unit)
        else:
            yield from _full(member, member.evidence, unit)
    if refusal.detail == "short":
        return
    again = f": say `{refusal.again}`" if refusal.again else ""
    if refusal.more == "apart":
        yield f"another reason stands beside it{again}"
    elif refusal.more:
        yield f"another reason shares statements with it{again}"
    else:
        yield "no other reason stands beside it" if refusal.number == 1 else "no further reason stands beside these"
    yield from refusal.tried
    if refusal.ways:
        yield "ways out:" if len(refusal.ways) > 1 else "a way out:"
        for way in refusal.ways:
            yield f"- {way_words(way, currency)}"


def brief(elements: Sequence[Element], unmet: Sequence[str] = ()) -> str:
    """Write in a few words why something can't be: the first that stands against it.

    `elements` can't hold together with it; `unmet` are the positions for which the catalog has nothing that is so.
    """
    if unmet:
        return _nothing(unmet)
    for element in elements:
        if element.statement:
            return f"not with {element.statement.text}"
    return f"not by {elements[0].where}" if elements else "the application has no place for it"


def way_words(way: Way, currency: str) -> str:
    """Write a way out as what to change and what that brings; what is put in replaces what is first left out."""
    changed = [f"`{new}` instead of `{old}`" for new, old in zip(way.into, way.out, strict=False)]
    changed += [f"without `{old}`" for old in way.out[len(way.into) :]]
    changed += [f"add `{new}`" for new in way.into[len(way.out) :]]
    best = way.best
    codes = ", ".join(dict.fromkeys(line.part.code for line in best.lines))
    told = f", {best.verdict.value}" if best.verdict.rank else ""
    number = counted(way.count, "assembly", "assemblies")
    return f"{listing(changed, 'and')}: {number}; the best {codes}, {price(best.cost, currency)}{told}"


def _short(member: Member, finding: Finding, unit: Unit) -> str:
    told = measure_words(finding, unit) or finding.because
    return f"- {_name(member)}: {_asked(finding, unit)}: {told}{_source(finding)}"


def _full(member: Member, finding: Finding, unit: Unit) -> Iterator[str]:
    yield f"- {finding.where}: {_asked(finding, unit)}{_source(finding)}"
    if measured := measure_words(finding, unit):
        codes = ", ".join(part.code for part in member.parts)
        among = _among(member)
        which = f"nearest{' of ' if among else ''}{among}: " if member.nearest else f"one of {among}: " if among else ""
        yield f"    {which}{codes}{': ' if codes else ''}{measured}"
        yield f"    {finding.because}"
    else:
        yield f"    {finding.because}" + (f", one of {among}" if (among := _among(member)) else "")


def _among(member: Member) -> str:
    """Say of how many parts in which positions the ones shown are an instance; empty where there are no others."""
    many = [(name, number) for name, number in member.among if number > 1]
    return listing(
        (f"{number:,}{'' if at else ' parts'} for the {name}" for at, (name, number) in enumerate(many)), "and"
    )


def _asked(finding: Finding, unit: Unit) -> str:
    return "a required feature must be mated" if finding.check == MATED else check_words(finding, unit)


def _name(member: Member, alone: bool = False) -> str:
    said = member.element.statement
    if not said:
        return member.element.where
    crowd = alone and isinstance(said, Keep) and len(said.codes) > 1
    why = _unmet(member) if member.unmet else "the application has no place for all of these at once" if crowd else ""
    return f"the job says `{said.text}`{f': {why}' if why else ''}"


def _unmet(member: Member) -> str:
    return _nothing(member.unmet)


def _nothing(positions: Sequence[str]) -> str:
    return f"the catalog has no {listing(positions, 'or')} that is so"


def _source(finding: Finding) -> str:
    return f" [{finding.source}]" if finding.source else ""


def reason_form(refusal: Refusal, unit: Unit) -> dict[str, Any]:
    """Return a reason as JSON data."""
    return {
        "asked": [_member_form(member, unit) for member in refusal.reason.asked],
        "members": [_member_form(member, unit) for member in refusal.reason.members],
        "verified": refusal.reason.verified,
        "number": refusal.number,
        "more": refusal.more,
    }


def way_form(way: Way, currency: str) -> dict[str, Any]:
    """Return a way out as JSON data."""
    return {
        "without": list(way.out),
        "with": list(way.into),
        "count": way.count,
        "best": [line.part.code for line in way.best.lines],
        "cost": price(way.best.cost),
        "currency": currency or None,
        "verdict": way.best.verdict.value,
    }


def _member_form(member: Member, unit: Unit) -> dict[str, Any]:
    finding, said = member.evidence, member.element.statement
    span = finding.measure if finding else None
    lengths = {
        name: None if length is None else format_length(length, unit)
        for name, length in (
            ("nominal", span.nominal if span else None),
            ("low", span.low if span else None),
            ("high", span.high if span else None),
            ("margin", finding.margin if finding else None),
        )
    }
    return {
        "statement": said.text if said else None,
        "where": None if said else finding.where if finding else member.element.where,
        "check": check_words(finding, unit) if finding else None,
        **lengths,
        "unit": unit if span else None,
        "compared": (finding.compared or None) if finding else None,
        "unmet": list(member.unmet),
        "parts": [part.code for part in member.parts],
        "nearest": member.nearest,
        "among": dict(member.among),
        "because": finding.because if finding else None,
        "source": str(finding.source) if finding and finding.source else None,
    }
