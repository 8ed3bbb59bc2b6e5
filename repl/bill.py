"""The question `check`: is this list of parts a valid assembly?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import islice, product

from ..solver.assembly import Assembly
from ..solver.cutting import cut_to_fit
from ..solver.finding import Finding, Verdict
from ..solver.judge import judge
from ..solver.length import Length, format_length
from ..solver.part import Part
from .answer import Answer, Shown, Status
from .job import Job
from .question import Question
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


@dataclass(frozen=True, slots=True)
class Check(Question):
    """Whether the parts make a valid assembly, and every fault if they do not."""

    items: tuple[Item, ...]

    def answer(self, job: Job) -> Answer:
        """Judge the bill, placed where it has the fewest faults."""
        job.refuse_strangers()
        best = min(islice(self._placings(job), MOST_PLACINGS), key=_faults)
        failed = sum(finding.verdict is Verdict.FAILS for finding in best.findings)
        checks = counted(len(best.findings), "check", "checks")
        message = [f"{counted(failed, 'fault', 'faults')} in {checks}" if failed else f"{checks}, no fault"]
        message += [
            f"{line.part.code} is taken as cut to {format_length(line.cut, job.unit)}"
            for line in best.lines
            if line.cut is not None and line.part.code not in self._cuts
        ]
        accepted = best.verdict is Verdict.FITS or (best.verdict is Verdict.SELECTED and job.setting.selective)
        if best.verdict is Verdict.SELECTED and not accepted:
            message.append("the job does not accept that; say `selective` if it may")
        return replace(
            job.answer(self.text, best.verdict.value, [line.part for line in best.lines]),
            assemblies=(best,),
            detail="faults",
            message=tuple(message),
            status=Status.YES if accepted else Status.NO,
        )

    @property
    def _cuts(self) -> Mapping[str, Length]:
        return {item.code: item.cut for item in self.items if item.cut is not None}

    def _placings(self, job: Job) -> Iterator[Shown]:
        """Yield the bill in every arrangement over the positions that take its kinds."""
        positions = job.application.positions
        parts: list[Part] = []
        places: list[list[str]] = []
        faults: list[Finding] = []
        for code, number in self._numbers(job).items():
            part = job.catalog.parts[code]
            own = [name for name, position in positions.items() if part.kind in position.kinds]
            if not own:
                faults.append(_stranger(job, part))
                continue
            each = positions[own[0]].quantity
            if number is not None and number % each:
                faults.append(Finding.fault(own[0], f"{each} side by side", f"the bill has {number} x {code}"))
            for _ in range(1 if number is None else max(1, number // each)):
                parts.append(part)
                places.append(own)
        for chosen in product(*places):
            if job.watch:
                job.watch.tick()
            filled = {
                name: tuple(part for part, place in zip(parts, chosen, strict=True) if place == name)
                for name in positions
            }
            cuts = dict(cut_to_fit(job.setting, filled).cuts)
            cuts |= {
                name: self._cuts[part.code] for name, own in filled.items() for part in own if part.code in self._cuts
            }
            assembly = Assembly(filled, cuts)
            yield job.shown(assembly, [*faults, *judge(job.setting, assembly)])

    def _numbers(self, job: Job) -> Mapping[str, int | None]:
        """Return how many of each code there are; None: as many as its place takes. A stated host joins the bill."""
        found: dict[str, int | None] = {}
        for code in dict.fromkeys(item.code for item in self.items):
            own = [item.quantity for item in self.items if item.code == code]
            found[code] = None if own == [None] else sum(number or 1 for number in own)
        if job.setting.host and job.application.host:
            found.setdefault(job.setting.host, None)
        return found


def _stranger(job: Job, part: Part) -> Finding:
    kind = job.catalog.kinds.get(part.kind, part.kind)
    return Finding.fault(
        "bill",
        "a place for each part",
        f"{part.code} is a {kind}, for which the application {job.application.name} has no position",
    )


def _faults(shown: Shown) -> tuple[int, int]:
    """Weigh an assembly by its faults, then by what fits only if selected."""
    verdicts = Counter(finding.verdict for finding in shown.findings)
    return verdicts[Verdict.FAILS], verdicts[Verdict.SELECTED]
