"""What is still possible in a job: how many assemblies a further statement would leave, and why if none."""

from __future__ import annotations

from collections import OrderedDict, deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from ..solver.answers import Answers
from ..solver.element import Element
from ..solver.reason import cores, unmet
from ..solver.setting import JobError, Setting
from ..solver.soft import SoftNetwork
from ..solver.statement import Keep, Statement, Use, Used, Without
from .job import Job
from .reasons import brief

MOST_JOBS = 16
"""So many other jobs (with a second door, without the host) are kept solved."""

STEPS = 400_000
"""Steps through graphs that one keystroke may cost; about 40 ms."""

Facts = tuple[Statement, ...]


@dataclass
class Keystroke:
    """What a keystroke may still cost, for all outlooks that it looks into, and what was wished for meanwhile."""

    wishes: deque[Callable[[], object]] = field(default_factory=deque)
    steps: int = STEPS


class Outlook:
    """Counts and reasons for statements that might be said next, each found once.

    What takes longer than a keystroke is only noted, and `settle` finds it: one thread may settle while another asks
    without waiting. The work is stopped by the job's watch; what was found before stays.
    """

    def __init__(self, job: Job, key: Keystroke | None = None) -> None:
        self.job = job
        self._key = key or Keystroke()
        self._answers: Answers | None = None
        self._refused = False
        self._steps = 0
        self._others: OrderedDict[Facts, Outlook] = OrderedDict()
        self._counts: dict[Statement, int | None] = {}
        self._reasons: dict[Statement, str] = {}
        self._total: int | None = None

    @property
    def solved(self) -> bool:
        """Whether the job's answers are known, or that it can't be asked."""
        return self._answers is not None or self._refused

    @property
    def total(self) -> int | None:
        """How many assemblies there are; None where that is not known yet or the job can't be asked."""
        return self._total

    def keystroke(self) -> None:
        """Begin anew: what was wished for before is no longer, and there is time again."""
        self._key.wishes.clear()
        self._key.steps = STEPS

    def settle(self) -> bool:
        """Find one thing that was asked for and not known; tell whether there was any. Raises what the watch raises."""
        if not self.solved:
            self.solve()
            return True
        try:
            wish = self._key.wishes.popleft()
        except IndexError:
            return False
        wish()
        return True

    def solve(self) -> None:
        """Solve the job itself. Raises what the watch raises."""
        if self.solved:
            return
        try:
            answers = self.job.answers
            for position in self.job.application.positions:
                answers.choices(position)
        except JobError:
            self._refused = True
            return
        self._total = answers.count()
        self._steps = sum(len(values) for _, arcs in answers.graph.nodes for values, _ in arcs)
        self._answers = answers

    def on(self, said: Facts) -> Outlook:
        """Return the outlook on the job with other facts; itself where they are the job's own."""
        try:
            facts = Setting(self.job.catalog, said).facts
        except JobError:
            facts = said
        return self._on(facts)

    def leaves(self, said: Statement, wait: bool = False) -> int | None:
        """Return how many assemblies are left if this is said too.

        None: it is not known yet, the job can't be asked so, or it would be about something else.
        """
        if said not in self._counts:
            count, known = self._count(said, wait)
            if not known:
                self._key.wishes.append(lambda: self.leaves(said, wait=True))
                return None
            self._counts[said] = count
        return self._counts[said]

    @property
    def frequencies(self) -> Mapping[str, int]:
        """In how many assemblies each part stands, at most in one position; none as long as that is not known."""
        return self._frequencies if self._answers else {}

    @cached_property
    def _frequencies(self) -> dict[str, int]:
        found: dict[str, int] = {}
        for position in self.job.application.positions:
            for part, count in self._answers.choices(position).items() if self._answers else ():
                if part is not None:
                    found[part.code] = max(count, found.get(part.code, 0))
        return found

    def reason(self, said: Statement, wait: bool = False) -> str:
        """Return in a few words why a statement leaves nothing; empty where it leaves something or is not known yet."""
        if said not in self._reasons:
            if not wait:
                self._key.wishes.append(lambda: self.reason(said, wait=True))
                return ""
            self._reasons[said] = "" if self.leaves(said, wait=True) != 0 else self._why_not(said)
        return self._reasons[said]

    def _count(self, said: Statement, wait: bool) -> tuple[int | None, bool]:
        """Return the count, and whether it is known now."""
        if isinstance(said, Use):
            return None, True
        try:
            facts = Setting(self.job.catalog, (*self.job.statements, said)).facts
        except JobError:
            return None, True
        base = self._on(tuple(each for each in facts if each is not said))
        if not base.ready(wait):
            return None, False
        if base._answers is None:
            return None, True
        if not isinstance(said, Keep | Used | Without) or len(said.codes) > 1:
            if not wait and base._steps > self._key.steps:
                return None, False
            self._key.steps -= base._steps
        found = base._answers.count_with(said)
        if found is not None:
            return found, True
        own = self._on(facts)
        known = own.ready(wait)
        return own.total, known

    def ready(self, wait: bool) -> bool:
        """Tell whether the job is solved, solving it where there is time to wait."""
        if wait:
            self.solve()
        return self.solved

    def _on(self, facts: Facts) -> Outlook:
        if facts == self.job.statements:
            return self
        if facts not in self._others:
            self._others[facts] = Outlook(self.job.having(facts), self._key)
            while len(self._others) > MOST_JOBS:
                self._others.popitem(last=False)
        return self._others[facts]

    def _why_not(self, said: Statement) -> str:
        if self.total == 0:
            return "the job has no answers as it is"
        job = self.job.having(Setting(self.job.catalog, (*self.job.statements, said)).facts)
        try:
            soft = SoftNetwork(job.setting, job.watch)
        except JobError:
            return ""
        core: tuple[Element, ...] = next(cores(soft, (said,)), ())
        return brief(core, unmet(soft, said))
