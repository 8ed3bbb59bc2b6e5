"""The question `check`: is this list of parts a valid assembly?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice, product
from typing import NamedTuple

from ..solver.application import Position
from ..solver.assembly import Assembly
from ..solver.cutting import cut_to_fit
from ..solver.finding import Finding, Verdict
from ..solver.judge import judge
from ..solver.length import Length, Unit, format_exactly
from ..solver.part import Cut, Part
from .answer import Answer, Line, Shown
from .job import Job
from .near import listing
from .question import Question
from .status import Status
from .wording import counted

MOST_PLACINGS = 2_000
"""So many ways of placing a bill are tried; the kinds of the parts leave far fewer."""

MOST_ITEMS = 99


@dataclass(frozen=True, slots=True)
class Item:
    """A line of the bill: a part by its code, how many (None: as many as its place takes), and its cut length."""

    code: str
    quantity: int | None = None
    cut: Length | None = None


class Placing(NamedTuple):
    """A bill arranged over the positions: the assembly, how it is shown, and the cut lengths that the bill gives."""

    assembly: Assembly
    shown: Shown
    given: Mapping[str, Length]

    @property
    def faults(self) -> tuple[int, int]:
        """How many checks fail, and how many fit only if selected."""
        verdicts = Counter(finding.verdict for finding in self.shown.findings)
        return verdicts[Verdict.FAILS], verdicts[Verdict.SELECTED]


@dataclass(frozen=True, slots=True)
class Check(Question):
    """Whether the parts make a valid assembly, and every fault if they do not."""

    items: tuple[Item, ...]

    def answer(self, job: Job) -> Answer:
        """Judge the bill, placed where it has the fewest faults."""
        job.refuse_strangers()
        best, all_tried = placed(job, self.items)
        shown, checks = best.shown, counted(len(best.shown.findings), "check", "checks")
        failed = best.faults[0]
        message = [f"{counted(failed, 'fault', 'faults')} in {checks}" if failed else f"{checks}, no fault"]
        if failed and not all_tried:
            message.append(f"the parts can stand in more ways than the {MOST_PLACINGS:,} that were tried")
        message += _lengths(job, best)
        accepted = shown.verdict is Verdict.FITS or (shown.verdict is Verdict.SELECTED and job.setting.selective)
        if shown.verdict is Verdict.SELECTED and not accepted:
            message.append("the job does not accept that; say `selective` if it may")
        return replace(
            job.answer(self.text, shown.verdict.value, [line.part for line in shown.lines]),
            assemblies=(shown,),
            detail="faults",
            message=tuple(message),
            status=Status.YES if accepted else Status.NO,
        )


def placed(job: Job, bill: Sequence[Item]) -> tuple[Placing, bool]:
    """Return the bill placed where it has the fewest faults, and whether every way of placing it was tried."""
    placings = _placings(job, bill)
    best = min(islice(placings, MOST_PLACINGS), key=lambda placing: placing.faults)
    return best, next(placings, None) is None


def _placings(job: Job, bill: Sequence[Item]) -> Iterator[Placing]:
    """Yield the bill in every arrangement over the positions that take its kinds."""
    positions = job.application.positions
    items: list[tuple[Part, Length | None, list[dict[str, int]]]] = []
    faults: list[Finding] = []
    for (code, cut), number in _numbers(job, bill).items():
        part = job.catalog.parts[code]
        own = [position for position in positions.values() if part.kind in position.kinds]
        if not own:
            faults.append(_stranger(job, part))
            continue
        spreads = list(_spreads(own, number))
        if not spreads:
            sides = listing(sorted({str(position.quantity) for position in own}), "or")
            faults.append(Finding.fault(own[0].name, f"{sides} side by side", f"the bill has {number} x {code}"))
            spreads = [{own[0].name: 1}]
        items.append((part, cut, spreads))
    for chosen in product(*(spreads for _, _, spreads in items)):
        if job.watch:
            job.watch.tick()
        filled: dict[str, tuple[Part, ...]] = dict.fromkeys(positions, ())
        given: dict[str, Length] = {}
        for (part, cut, _), spread in zip(items, chosen, strict=True):
            for place, times in spread.items():
                filled[place] += (part,) * times
                if cut is not None:
                    given[place] = cut
        assembly = Assembly(filled, {**cut_to_fit(job.setting, filled).cuts, **given})
        shown = job.shown(assembly, [*faults, *judge(job.setting, assembly)], given)
        yield Placing(assembly, shown, given)


def _numbers(job: Job, bill: Sequence[Item]) -> Mapping[tuple[str, Length | None], int | None]:
    """Return how many of each code and cut length there are; None: as many as its place takes.

    A stated host joins the bill.
    """
    found: dict[tuple[str, Length | None], int | None] = {}
    for key in dict.fromkeys((item.code, item.cut) for item in bill):
        own = [item.quantity for item in bill if (item.code, item.cut) == key]
        found[key] = None if own == [None] else sum(number or 1 for number in own)
    if job.setting.host and job.application.host:
        found.setdefault((job.setting.host, None), None)
    return found


def _spreads(own: Sequence[Position], number: int | None) -> Iterator[dict[str, int]]:
    """Yield how often a part can stand in each of its positions so that so many are used up; None: once, anywhere."""
    if number is None:
        yield from ({position.name: 1} for position in own)
    elif not own:
        if number == 0:
            yield {}
    else:
        for times in range(number // own[0].quantity, -1, -1):
            for rest in _spreads(own[1:], number - times * own[0].quantity):
                yield {own[0].name: times, **rest} if times else rest


def _lengths(job: Job, placing: Placing) -> Iterator[str]:
    """Yield what must be said of the lengths of parts that are cut to measure."""
    waiting = job.waiting(placing.assembly)
    for line in placing.shown.lines:
        cut = line.part.design.cut
        if not cut:
            continue
        if (given := placing.given.get(line.position)) is not None:
            yield from _nearest(line, cut, given, job.unit)
        elif line.position in waiting:
            unsaid = listing([f"the {said}" for said in waiting[line.position]], "and")
            yield f"{line.part.code} is to be cut when {unsaid} is known"
        elif line.cut is not None:
            yield f"{line.part.code} is taken as cut to {format_exactly(line.cut, job.unit)}"


def _nearest(line: Line, cut: Cut, given: Length, unit: Unit) -> Iterator[str]:
    """Yield the nearest lengths to one that the part can't be cut to."""
    last = (cut.high - cut.low) // cut.step
    below, rest = divmod(given - cut.low, cut.step)
    if 0 <= below <= last and not rest:
        return
    steps = sorted({min(max(step, 0), last) for step in (below, below + 1)})
    near = listing([format_exactly(cut.low + step * cut.step, unit) for step in steps], "or")
    yield f"{line.part.code} can't be cut to {format_exactly(given, unit)}; the nearest of its lengths: {near}"


def _stranger(job: Job, part: Part) -> Finding:
    kind = job.catalog.kinds.get(part.kind, part.kind)
    return Finding.fault(
        "bill",
        "a place for each part",
        f"{part.code} is a {kind}, for which the application {job.application.name} has no position",
    )
