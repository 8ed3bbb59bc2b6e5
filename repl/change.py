"""The question `change`: what must be exchanged for an assembly to do another job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from ..solver.application import Application
from ..solver.catalog import Catalog
from ..solver.fate import Fate, fates
from ..solver.held import Held
from ..solver.nearest import Near, Nearest
from ..solver.statement import Into, Keep, Measure, OfStatus, Statement, Use, Used, Want, subject
from .answer import Answer, Line
from .bill import Item, placed
from .changed import Change, Changed, Keying, Step
from .job import Job
from .question import DEFAULT_SHOWN, Question, in_order
from .why_not import WhyNot
from .wording import counted


@dataclass(frozen=True, slots=True)
class ChangeTo(Question):
    """What stays, goes and comes where an assembly, by its number or as a bill, is to satisfy other statements."""

    of: int | tuple[Item, ...]
    to: tuple[Statement, ...]

    @property
    def cites(self) -> bool:
        """It does, unless it has a bill."""
        return isinstance(self.of, int)

    def answer(self, job: Job) -> Answer:
        """Show the nearest assemblies to what is there, all of them counted."""
        if isinstance(self.of, int):
            total = job.answers.count()
            if self.of > total:
                last = f"the last of them is {total:,}" if total else "the job has none: say `why not`"
                return job.refused(self.text, f"there is no assembly {self.of:,}", last)
            old = job.passed(next(islice(in_order(job), self.of - 1, None))).lines
            stranger = None
        else:
            job.refuse_strangers()
            found, _ = placed(job, self.of)
            old = tuple(
                line if line.cut is None or line.position in found.given else replace(line, cut=None)
                for line in found.shown.lines
            )
            placed_codes = {line.part.code for line in old}
            stranger = next((item.code for item in self.of if item.code not in placed_codes), None)
        if stranger:
            return job.refused(
                self.text,
                f"the application {job.application.name} has no place for {stranger}",
                "leave it out, or say what the parts are now used for",
            )
        statements, left_out = changed_statements(job.catalog, job.statements, self.to)
        new = job.having(statements)
        if not new.answers.exist:
            told = WhyNot(self.text).answer(new)
            changed = self._changed(new, left_out, (), has_keys=False)
            return replace(told, message=("nothing fits after the change", *told.message), changed=changed)
        return self._nearest(new, list(_held(job.application, old)), left_out)

    def _nearest(self, job: Job, held: Sequence[Held], left_out: Sequence[Statement]) -> Answer:
        nearest = Nearest(job.setting, held, job.watch)
        most = DEFAULT_SHOWN if job.limit is None else job.limit
        found = list(islice(nearest.in_order(), most))
        shown = tuple(job.passed(each.assembly) for each in found)
        changes = tuple(_change(job, nearest, held, each) for each in found)
        has_keys = any(_keyed(job.catalog, each.part.traits) for each in held)
        data = self._changed(job, left_out, changes, has_keys=has_keys)
        parts = [line.part for each in shown[:1] for line in each.lines]
        begun = job.answer(self.text, shown[0].verdict.value if shown else "fits", parts)
        number = counted(nearest.count, "assembly", "assemblies")
        message = () if shown else (f"{number} as near as any",)
        return replace(begun, count=nearest.count, assemblies=shown, changed=data, message=message)

    def _changed(
        self, job: Job, left_out: Sequence[Statement], changes: tuple[Change, ...], *, has_keys: bool
    ) -> Changed:
        to, out = (tuple(said.text for said in some) for some in (self.to, left_out))
        return Changed(to, job.statements, out, changes, has_keys)


def changed_statements(
    catalog: Catalog, said: Sequence[Statement], to: Sequence[Statement]
) -> tuple[tuple[Statement, ...], tuple[Statement, ...]]:
    """Return a job's statements after a change, and those that had to be left out for it.

    New statements take the place of those about the same; parts to keep are what the change is about, and another
    application has other hosts and positions. Those left out are parts to keep and what the application can't take.
    """
    kept: list[Statement] = []
    left_out: list[Statement] = []
    replaced = {_about(new) for new in to}
    application = next((catalog.applications[new.application] for new in reversed(to) if isinstance(new, Use)), None)
    for each in said:
        if _about(each) in replaced:
            continue
        if isinstance(each, Keep | Used) or (application and not _goes_with(catalog, application, each)):
            left_out.append(each)
        else:
            kept.append(each)
    # The application comes first, since what else is said is understood by it.
    uses = [new for new in to if isinstance(new, Use)]
    return (*uses, *kept, *(new for new in to if new not in uses)), tuple(left_out)


def _about(said: Statement) -> object:
    if isinstance(said, Want):
        return "want", said.trait
    if isinstance(said, OfStatus):
        return "want", "status"
    return subject(said) or said


def _goes_with(catalog: Catalog, application: Application, said: Statement) -> bool:
    if isinstance(said, Into):
        return application.host is not None and catalog.parts[said.code].kind in application.host.kinds
    return not isinstance(said, Measure) or said.position in application.positions


def _held(application: Application, lines: Iterable[Line]) -> Iterator[Held]:
    for line in lines:
        yield Held(line.position, line.part, line.quantity, line.cut, application.positions[line.position].host)


def _change(job: Job, nearest: Nearest, held: Sequence[Held], near: Near) -> Change:
    places = list(job.application.positions)
    # A position of another application comes before all that are there now.
    order = {place: number for number, place in enumerate(places)}
    found = fates(held, near, job.application)
    found.sort(key=lambda fate: (order.get(fate.new or fate.old or "", -1), fate.new is not None))
    cost = sum(fate.part.price * fate.pieces for fate in found if fate.word == "comes" and not fate.host)
    return Change(tuple(found), near.distance, cost, tuple(_steps(nearest, found, job.application.work)))


def _steps(nearest: Nearest, found: Sequence[Fate], work: Sequence[str]) -> Iterator[Step]:
    """Yield the steps: what was put in last comes out first, and what is put in goes in the order of work."""
    turn = {name: number for number, name in enumerate(work)}
    for fate in sorted(found, key=lambda fate: -turn.get(fate.old or "", len(turn))):
        if fate.old and fate.word in ("goes", "moves", "is cut"):
            yield Step("take out", fate.pieces, fate.part.code, fate.old)
    coming = sorted(found, key=lambda fate: turn.get(fate.new or "", len(turn)))
    for fate in coming:
        if fate.new and fate.cut is not None and fate.cut != fate.was:
            yield Step("cut", fate.pieces, fate.part.code, fate.new, fate.cut)
    for fate in coming:
        if fate.new and fate.word in ("comes", "moves", "is cut"):
            keying = nearest.keying(fate.part) if fate.word == "comes" and not fate.host else 0
            yield Step("put in", fate.pieces, fate.part.code, fate.new, pinned_to=_PINNED[keying])


_PINNED: tuple[Keying, ...] = ("", "the keys in use", "new keys")


def _keyed(catalog: Catalog, traits: Iterable[str]) -> bool:
    return any(name in catalog.traits and catalog.traits[name].keyed for name in traits)
