"""Ways out of a job without answers: a statement left out or changed, each solved again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

from ..solver.element import Element, of_statement
from ..solver.length import INCH, MM, Length, format_exactly, format_length, format_span
from ..solver.part import Part
from ..solver.setting import JobError
from ..solver.soft import SoftNetwork
from ..solver.span import Span
from ..solver.statement import Door, Into, OfStatus, OpeningIs, Selective, Statement, Want
from .facts import THICKEST, THINNEST
from .job import Job
from .refusal import Way

MOST_WAYS = 5
MOST_VALUES = 2
"""So many other values of one statement are offered."""

FARTHEST = INCH
"""Doors that are thicker or thinner by up to this are tried."""


@dataclass
class WaysOut:
    """The ways out where the elements of a core can't hold together; what is `asked` stays as it is.

    `tried` says, when the ways have been looked for, what was not found.
    """

    job: Job
    soft: SoftNetwork
    core: Sequence[Element]
    asked: tuple[Statement, ...] = ()
    tried: list[str] = field(default_factory=list)
    _jobs: dict[tuple[Statement, ...], Job] = field(default_factory=dict)

    def found(self) -> tuple[Way, ...]:
        """Return up to five ways, those with the fewest changes and the most assemblies first."""
        blamed = [element.statement for element in self.core if element.statement]
        ways = [way for said in blamed for way in self._about(said)]
        if not self.job.setting.selective:
            ways += self._solved((), (Selective(text="selective"),))
        if not ways:
            others = [element.statement for element in self.soft.elements if element.statement]
            pairs = {frozenset((one, other)): (one, other) for one, other in product(blamed, others) if one != other}
            free = [pair for pair in pairs.values() if not set(pair).intersection(self.asked)]
            ways = [way for pair in free for way in self._about_both(*pair)]
        if not ways:
            self.tried.append("no way out was found by leaving out or changing one or two statements")
        return tuple(sorted(ways, key=lambda way: (way.changes, -way.count))[:MOST_WAYS])

    def _lives_without(self, out: Iterable[Statement]) -> bool:
        return self.soft.exists(set(self.soft.elements).difference(map(of_statement, out)))

    def _about(self, said: Statement) -> Iterator[Way]:
        if isinstance(said, Door):
            yield from self._other_doors(said)
            return
        if not self._lives_without((said,)):
            return
        changed = [
            way for other in _alternatives(self._changed((said,), ()), said) for way in self._solved((said,), (other,))
        ]
        # What an opening is can't be left out; and where one other value is all that is left, it says more to name it.
        known = {other.count for other in changed}
        if not isinstance(said, OpeningIs) and self._changed((said,), ()).answers.count() not in known:
            yield from self._solved((said,))
        yield from changed

    def _about_both(self, one: Statement, other: Statement) -> Iterator[Way]:
        doors = [said for said in (one, other) if isinstance(said, Door)]
        rest = [said for said in (one, other) if not isinstance(said, Door | OpeningIs)]
        if len(doors) == len(rest) == 1:
            yield from self._other_doors(doors[0], rest)
        elif len(rest) == 2 and self._lives_without(rest):
            yield from self._solved(rest)

    def _solved(self, out: Sequence[Statement], into: Sequence[Statement] = ()) -> list[Way]:
        """Return the way of a change if the changed job has answers, with their number and the best of them."""
        job = self._changed(out, into)
        try:
            best = job.answers.cheapest()
        except JobError:  # so open that it can't be asked
            return []
        if best is None:
            return []
        texts = [tuple(said.text for said in some) for some in (out, into)]
        return [Way(texts[0], texts[1], job.answers.count(), job.passed(best))]

    def _changed(self, out: Sequence[Statement], into: Sequence[Statement]) -> Job:
        statements = (*(said for said in self.job.statements if said not in out), *into)
        if statements not in self._jobs:
            shorter = self._changed(out, into[:-1]) if into else self.job.having(statements)
            self._jobs[statements] = shorter.adding(into[-1]) if into else shorter
        return self._jobs[statements]

    def _other_doors(self, door: Door, out: Sequence[Statement] = ()) -> Iterator[Way]:
        """Try doors of other thicknesses, the nearest first, on the steps that doors are measured in."""
        if out and not self._lives_without((door, *out)):
            return
        step = INCH // 16 if self.job.unit == "in" else MM
        for nominal in _near(door.thickness.nominal, step):
            shift = nominal - door.thickness.nominal
            span = Span(door.thickness.low + shift, nominal, door.thickness.high + shift)
            if span.low < THINNEST or span.high > THICKEST:
                continue
            other = Door(span, text=f"door {format_span(span, self.job.unit)}")
            statements = tuple(other if said == door else said for said in self.soft.setting.statements)
            soft = self.soft.with_setting(replace(self.soft.setting, statements=statements))
            left = set(soft.elements).difference(map(of_statement, out))
            if soft.exists(left) and (ways := self._solved((door, *out), (other,))):
                yield from ways
                return
        if out:
            return
        self.tried.append(
            f"no door up to {format_exactly(FARTHEST, self.job.unit)} thicker or thinner fits either, in steps of "
            f"{format_length(step, self.job.unit)}"
        )


def _near(length: Length, step: Length) -> list[Length]:
    """Return the lengths on whole steps within reach, the nearest first."""
    first, last = -(-(length - FARTHEST) // step), (length + FARTHEST) // step
    return sorted((at * step for at in range(first, last + 1)), key=lambda other: (abs(other - length), other))


def _alternatives(job: Job, said: Statement) -> list[Statement]:
    """Return other values of a statement that stand in answers to the job without it, the most frequent first."""
    counts: dict[str, int] = {}
    for name, position in job.application.positions.items():
        if isinstance(said, Into) != position.host:
            continue
        for part, number in _stated(job.answers.choices(name)):
            for value in _values(part, said):
                counts[value] = max(counts.get(value, 0), number)
    values = sorted(counts, key=lambda value: (-counts[value], value))[:MOST_VALUES]
    if isinstance(said, Into):
        return [Into(value, text=f"into {value}") for value in values[:1]]
    if isinstance(said, Want):
        return [Want(said.trait, (value,), text=f"want {said.trait} {value}") for value in values]
    if isinstance(said, OfStatus):
        known = (*said.statuses, *(value for value in values if value not in said.statuses))
        return [OfStatus(known, text=f"want status {', '.join(known)}")] if len(known) > len(said.statuses) else []
    return []


def _stated(choices: Mapping[Part | None, int]) -> Iterator[tuple[Part, int]]:
    yield from ((part, number) for part, number in choices.items() if part is not None)


def _values(part: Part, said: Statement) -> tuple[str, ...]:
    if isinstance(said, Into):
        return (part.code,)
    if isinstance(said, Want):
        return tuple(value for value in part.traits.get(said.trait, ()) if value not in said.values)
    return (part.status,) if isinstance(said, OfStatus) else ()
