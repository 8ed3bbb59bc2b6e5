"""The question `instead of`: what else would do where a part stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import TYPE_CHECKING

from ..solver.assembly import Assembly
from ..solver.instead import Instead
from ..solver.part import Part
from ..solver.reason import cores
from ..solver.setting import JobError
from ..solver.soft import SoftNetwork
from ..solver.statement import Into, Keep, Statement, Used, Without
from .answer import Answer, Row
from .job import MOST_ROWS, Job
from .near import listing
from .question import Question, outcome
from .status import Status
from .why_not import WhyNot
from .wording import counted, price

if TYPE_CHECKING:
    from ..solver.interchange import Interchange

EVERYWHERE, ONE_WAY, HERE, WITH_CHANGES, NEVER = (
    "drop-in everywhere",
    "one way",
    "drop-in here",
    "with changes",
    "never",
)

MOST_REASONS = 4
"""For so many sorts of parts that never do the reason is sought; more would take too long."""


@dataclass(frozen=True, slots=True)
class _Group:
    """Parts that are alike in what can be said of them."""

    word: str
    parts: tuple[Part, ...]
    told: str
    changes: int


@dataclass(frozen=True, slots=True)
class InsteadOf(Question):
    """Each other part that could stand where one stands: how freely, and what else would have to change."""

    code: str

    def answer(self, job: Job) -> Answer:
        """Hold every part of the position's kinds against the preferred assembly with the part."""
        part = job.catalog.parts[self.code]
        free = job.having(_without(job.statements, self.code))
        best = free.adding(Used((self.code,), text=f"use {self.code}")).answers.cheapest()
        if best is None:
            told = WhyNot(self.text, Used((self.code,), text=f"use {self.code}")).answer(free)
            refusal = told.refusal and replace(told.refusal, again=f"why not {self.code}")
            nowhere = f"{self.code} is in no assembly, so nothing stands in for it"
            return replace(told, message=(nowhere, *told.message), refusal=refusal)
        position = next(name for name, own in best.parts.items() if part in own)
        instead = Instead(free.setting, best, position, part, job.watch)
        shown = free.passed(best)
        groups = [*_alike(job, part, best, instead), *_never(free, position, part, instead)]
        numbers = {word: sum(len(group.parts) for group in groups if group.word == word) for word in _WORDS}
        rows = [_row(job, group) for group in groups]
        kept, first = job.shortened(rows, MOST_ROWS)
        for group in groups[: len(kept)]:
            if group.word != NEVER:
                free.passed(instead.assembly(group.parts[0]))
        others = sum(numbers.values()) - numbers[NEVER]
        message = [
            f"{counted(others, 'part', 'parts')} can stand in for {self.code}: {_counts(numbers)}"
            if others
            else f"nothing can stand in for {self.code}: {_counts(numbers) or 'there is no other of its kind'}",
            f"as {position} of {', '.join(dict.fromkeys(line.part.code for line in shown.lines))}",
            *_superseded(job, part, groups),
        ]
        if first:
            message.append(counted(len(rows), "row", "rows") + first)
        begun = free.answer(self.text, outcome(free, [shown]) if others else "does not fit", best.all_parts)
        return replace(
            begun, count=others, rows=kept, message=tuple(message), status=Status.YES if others else Status.NO
        )


_WORDS = (EVERYWHERE, ONE_WAY, HERE, WITH_CHANGES, NEVER)


def _without(statements: Iterable[Statement], code: str) -> Iterator[Statement]:
    """Yield the statements without what they say of one part."""
    for said in statements:
        if isinstance(said, Keep | Used | Without) and code in said.codes:
            if left := tuple(each for each in said.codes if each != code):
                yield replace(said, codes=left, text=f"{said.text.split()[0]} {', '.join(left)}")
        elif not (isinstance(said, Into) and said.code == code):
            yield said


def _alike(job: Job, part: Part, best: Assembly, instead: Instead) -> list[_Group]:
    """Return the parts that can stand there, alike ones together, the most welcome first."""
    interchange = job.interchange
    groups: dict[tuple[int, int, str, str, int], list[Part]] = {}
    for found in instead.found:
        changes = _changes(best, instead.assembly(found.parts[0]), part, found.parts[0]) if found.changes else ""
        for other in found.parts:
            word, apart = _relation(interchange, part, other)
            if not word:
                word = WITH_CHANGES if found.changes else HERE
            told = "; ".join(filter(None, (changes, _keys(job, part, other), apart)))
            groups.setdefault((found.changes, _WORDS.index(word), told, other.status, other.price), []).append(other)
    made = [_Group(_WORDS[word], tuple(own), told, changes) for (changes, word, told, *_), own in groups.items()]
    return sorted(made, key=lambda each: (each.changes, _WORDS.index(each.word), each.parts[0].preference))


def _keys(job: Job, part: Part, other: Part) -> str:
    """Say what becomes of the keys; empty where neither part has any."""
    keyed = [name for name, trait in job.catalog.traits.items() if trait.keyed and name in other.traits]
    if not keyed:
        return ""
    same = all(set(other.traits[name]).intersection(part.traits.get(name, ())) for name in keyed)
    return "to be pinned to the keys in use" if same else "takes other keys"


def _relation(interchange: Interchange, part: Part, other: Part) -> tuple[str, str]:
    """Return how a part may replace another in every job, empty where it may not, and what tells them apart."""
    if not interchange.replaces(part, other).everywhere:
        return "", ""
    back = interchange.replaces(other, part)
    if back.everywhere:
        return EVERYWHERE, ""
    if back.witness is None:
        return "", ""
    said = "; ".join(each.text for each in back.witness.statements)
    return ONE_WAY, f"{part.code} can't replace it in `{said}`: {back.witness.finding.where}"


def _changes(old: Assembly, new: Assembly, part: Part, other: Part) -> str:
    """Say which parts besides the two change."""
    told = []
    for name, parts in new.parts.items():
        come, gone = list(parts), list(old.parts.get(name, ()))
        for each in [*come]:
            if each in gone:
                come.remove(each)
                gone.remove(each)
        if part in gone and other in come:
            gone.remove(part)
            come.remove(other)
        for one, instead in zip_longest(come, gone):
            if one and instead:
                told.append(f"{name} {one.code} instead of {instead.code}")
            else:
                told.append(f"{name} {one.code} added" if one else f"without {name} {instead.code}")
    return ", ".join(told)


def _never(job: Job, position: str, part: Part, instead: Instead) -> Iterator[_Group]:
    """Yield the parts of the position's kinds that can't stand there, grouped by the reason."""
    place = job.application.positions[position]
    possible = {each for found in instead.found for each in found.parts}
    refused: dict[str, list[Part]] = {}
    left: dict[object, list[Part]] = {}
    for shelf in job.catalog.shelves(place.kinds):
        for each in shelf.parts:
            if each is part or each in possible:
                continue
            if said := next(job.setting.refusals(place, each), None):
                refused.setdefault(f"the job says `{said.text}`", []).append(each)
            else:
                left.setdefault(instead.kin(each), []).append(each)
    for told, parts in _reasons(job, list(left.values())):
        refused.setdefault(told, []).extend(parts)
    for told, parts in refused.items():
        yield _Group(NEVER, tuple(sorted(parts, key=lambda each: (each.preference, each.code))), told, 0)


def _reasons(job: Job, groups: Sequence[Sequence[Part]]) -> Iterator[tuple[str, Sequence[Part]]]:
    """Yield a least reason why the parts of each group can't be used, for as many groups as are sought."""
    sought = [(Used((parts[0].code,), text=f"use {parts[0].code}"), parts) for parts in groups[:MOST_REASONS]]
    try:
        soft = SoftNetwork(job.having((*job.statements, *(used for used, _ in sought))).setting, job.watch)
    except JobError:  # with its statements left out the job is too open to be asked
        soft, sought = None, []
    for used, parts in sought:
        core = next(cores(soft, (used,), [other for other, _ in sought if other is not used]), ()) if soft else ()
        said = [f"`{element.statement.text}`" for element in core if element.statement]
        checks = list(dict.fromkeys(element.where for element in core if not element.statement))
        yield f"not with {listing([*said, *checks], 'and')}" if core else "it goes with nothing", parts
    for parts in groups[len(sought) :]:
        yield "`why not` and the code gives the reason", parts


def _row(job: Job, group: _Group) -> Row:
    first = group.parts[0]
    return {
        "code": first.code,
        "alike": len(group.parts),
        "stands in": group.word if group.word != WITH_CHANGES else f"{group.word}: {group.changes}",
        "status": first.status,
        "price": price(first.price, job.catalog.currency),
        "what to know": group.told,
    }


def _counts(numbers: dict[str, int]) -> str:
    return ", ".join(f"{number:,} {word}" for word, number in numbers.items() if number)


def _superseded(job: Job, part: Part, groups: Sequence[_Group]) -> Iterator[str]:
    """Say how the parts do by which the catalog says that this one is replaced, one after another."""
    seen = {part.code}
    code = part.replaced_by
    while code and code not in seen:
        seen.add(code)
        word = next((group.word for group in groups if code in {each.code for each in group.parts}), None)
        yield f"the catalog says that {code} replaces it: {word or 'it has no place there'}"
        code = job.catalog.parts[code].replaced_by if code in job.catalog.parts else None
