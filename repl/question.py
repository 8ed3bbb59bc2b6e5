"""The questions about what fits: `fit`, `count`, `why`, `choices`, `reach`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from ..solver.application import Stack
from ..solver.assembly import Assembly
from ..solver.finding import Verdict, worst
from ..solver.length import format_length
from ..solver.part import Part
from .answer import Answer, Outcome, Row, Shown
from .job import MOST_ROWS, Job
from .nothing import nothing
from .order import PREFERENCE, Order
from .summary import concerning
from .wording import counted, price

DEFAULT_SHOWN = 5
MOST_SHOWN = 1_000
"""More assemblies than this are no list that anyone reads."""


@dataclass(frozen=True, slots=True)
class Question:
    """Something asked of a job; `text` is how."""

    text: str

    @property
    def cites(self) -> bool:
        """Whether it names an assembly by the number that it was shown with."""
        return False

    def following(self, before: Question | None) -> Question:
        """Return the question as it is meant after the one before it; None: there was none on the same facts."""
        return self

    def answer(self, job: Job) -> Answer:
        """Answer the question. Raises `JobError` if the job can't be asked, `OutOfTime` if the watch says so."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Fit(Question):
    """Which assemblies there are, the preferred first, or from the number `first` on; `order` is another order."""

    number: int = DEFAULT_SHOWN
    first: int = 1
    order: Order = PREFERENCE

    def answer(self, job: Job) -> Answer:
        """Show the first ones, or those from `first` on."""
        total = job.answers.count()
        if not total:
            return nothing(job, self.text)
        number = self.number if job.limit is None else min(self.number, job.limit)
        shown = _first(job.in_order(self.order), self.first + number - 1, self.first - 1)
        message = _counts(job, total)
        if total > 1 and shown:
            which = "" if len(shown) == total else f"{_which(self.first, len(shown))} "
            message[0] += f", {which}by {self.order.words}"
            if self.order != PREFERENCE and job.setting.selective:
                message.append("those that fit outright come first")
        elif not shown and number:
            message.append("there is none after these")
        parts = [line.part for each in shown for line in each.lines]
        begun = job.answer(self.text, outcome(job, shown), parts)
        return replace(begun, count=total, assemblies=tuple(shown), first=self.first, message=tuple(message))


@dataclass(frozen=True, slots=True)
class Count(Question):
    """How many assemblies there are."""

    def answer(self, job: Job) -> Answer:
        """Count them, exactly."""
        total = job.answers.count()
        if not total:
            return nothing(job, self.text)
        return replace(job.answer(self.text, outcome(job, ())), count=total, message=tuple(_counts(job, total)))


@dataclass(frozen=True, slots=True)
class Why(Question):
    """Why one of the assemblies fits: each joint, stack and rule of it in short, or every check with its numbers.

    With a `position`, what is found about that one only.
    """

    number: int
    position: str | None = None
    full: bool = False

    @property
    def cites(self) -> bool:
        """It does."""
        return True

    def answer(self, job: Job) -> Answer:
        """Show one assembly."""
        total = job.answers.count()
        if not total:
            return nothing(job, self.text)
        if self.number > total:
            return job.refused(self.text, f"there is no assembly {self.number}", f"the last of them is {total:,}")
        found = _first(job, self.number, self.number - 1)
        begun = job.answer(self.text, found[0].verdict.value, [line.part for line in found[0].lines])
        message = [f"assembly {self.number:,} of {total:,}"]
        if (name := self.position) is not None:
            found = [replace(found[0], findings=concerning(name, found[0], job.application))]
            message[0] += f": what concerns the {name}"
            if all(line.position != name for line in found[0].lines):
                message.append(f"the {name} is left empty")
            if not found[0].findings:
                message.append(f"no check reads the {name}")
        return replace(
            begun,
            count=total,
            assemblies=tuple(found),
            first=self.number,
            detail="findings" if self.full else "summary",
            message=tuple(message),
        )


@dataclass(frozen=True, slots=True)
class Choices(Question):
    """What can still stand in each position, or in one."""

    position: str | None

    def answer(self, job: Job) -> Answer:
        """Count the assemblies with each part."""
        total = job.answers.count()
        if not total:
            return nothing(job, self.text)
        rows = self._each(job) if self.position is None else self._one(job, self.position)
        kept, first = job.shortened(rows, None if self.position is None else MOST_ROWS)
        message = [counted(total, "assembly", "assemblies")]
        if len(kept) < len(rows):
            what = ("position", "positions") if self.position is None else ("choice", "choices")
            message.append(counted(len(rows), *what) + first)
        begun = job.answer(self.text, outcome(job, ()))
        return replace(begun, count=total, rows=kept, message=tuple(message))

    def _each(self, job: Job) -> list[Row]:
        rows: list[Row] = []
        for name in job.application.positions:
            counts = job.answers.choices(name)
            codes = sorted(part.code for part in counts if part)
            shown = ", ".join(codes[:3]) + (f" and {len(codes) - 3:,} more" if len(codes) > 3 else "")
            rows.append({"position": name, "parts": len(codes), "left empty in": counts.get(None, 0), "codes": shown})
        return rows

    def _one(self, job: Job, position: str) -> list[Row]:
        return [
            {
                "code": part.code if part else "(left empty)",
                "assemblies": number,
                "title": part.title if part else "",
                "status": part.status if part else "",
                "price": price(part.price, job.catalog.currency) if part else "",
            }
            for part, number in sorted(job.answers.choices(position).items(), key=lambda each: by_preference(each[0]))
        ]


@dataclass(frozen=True, slots=True)
class Reach(Question):
    """From where to where a stack's sum goes over all assemblies."""

    stack: str

    def answer(self, job: Job) -> Answer:
        """Give the lowest and the highest sum that tolerances allow."""
        total = job.answers.count()
        if not total:
            return nothing(job, self.text)
        stack = next(stack for stack in job.application.stacks if stack.name == self.stack)
        span = job.answers.reach(stack)
        if stack not in job.setting.stacks:
            missing = [words for words, checks in job.unstated.items() if stack.name in checks]
            return job.refused(
                self.text, f"the stack {stack.name} reads what the job does not say", f"say `{'`, `'.join(missing)}`"
            )
        if span is None:
            none = f"the stack {stack.name} is read in none of them"
            answer = job.answer(self.text, outcome(job, ()))
            return replace(answer, count=total, message=(counted(total, "assembly", "assemblies"), none))
        low, high = format_length(span.low, job.unit), format_length(span.high, job.unit)
        message = [counted(total, "assembly", "assemblies"), "tolerances are included"]
        if cut := self._cut(job, stack):
            message.append(f"{' and '.join(cut)} is cut to measure and left out")
        rows: tuple[Row, ...] = ({"stack": stack.name, "low": low, "high": high, "what": stack.title},)
        return replace(job.answer(self.text, outcome(job, ())), count=total, rows=rows, message=tuple(message))

    @staticmethod
    def _cut(job: Job, stack: Stack) -> list[str]:
        """Return the dimensions of the stack that some part lets be cut."""
        cuts = {(part.kind, part.design.cut.dimension) for part in job.catalog.parts.values() if part.design.cut}
        return [
            f"{ref.owner} {ref.name}"
            for _, ref in stack.gap.terms
            if ref.owner in job.application.positions
            and any((kind, ref.name) in cuts for kind in job.application.positions[ref.owner].kinds)
        ]


def _counts(job: Job, total: int) -> list[str]:
    """Return how many there are, and how many of them need no selecting."""
    message = [counted(total, "assembly", "assemblies")]
    if job.setting.selective:
        outright = job.outright.answers.count()
        message.append(f"{outright:,} fit outright, {total - outright:,} if selected")
    return message


def _which(first: int, number: int) -> str:
    if first > 1:
        return f"number {first:,}" if number == 1 else f"numbers {first:,} to {first + number - 1:,}"
    return "the first" if number == 1 else f"the first {number}"


def in_order(job: Job) -> Iterator[Assembly]:
    """Yield the answers in the job's order, those that fit outright before those that fit only if selected."""
    leads = job.order.leads(job.setting)
    yield from job.outright.answers.in_order(leads)
    if job.setting.selective:
        for assembly in job.answers.in_order(leads):
            if worst([finding.verdict for finding in job.answers.findings(assembly)]) is not Verdict.FITS:
                yield assembly


def _first(job: Job, most: int, start: int = 0) -> list[Shown]:
    found = []
    for assembly in islice(in_order(job), start, most):
        if job.watch:
            job.watch.tick()
        found.append(job.passed(assembly))
    return found


def by_preference(part: Part | None) -> tuple[int, str]:
    """Return what the choices for a position are sorted by: nothing there, then the preferred part."""
    return (part.preference, part.code) if part else (-1, "")


def outcome(job: Job, shown: Sequence[Shown]) -> Outcome:
    """Return the best verdict there is on a job that has answers; what is shown has the best ones first."""
    if shown:
        return shown[0].verdict.value
    return "fits" if job.outright.answers.exist else "fits if selected"
