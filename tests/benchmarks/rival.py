"""Who is compared: each takes a generated job and says how many assemblies there are."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from importlib import import_module
from statistics import median
from time import perf_counter

from fitwright.solver.network import Network
from fitwright.solver.setting import Setting

from .generate import setting
from .isolated import Died, TooLong, isolated
from .raw import Raw, by_kind


@dataclass(frozen=True, slots=True)
class Rival:
    """A solver that counts: `module` holds its `count`, of a raw job and of `options`; `needs` is its library.

    Libraries are imported where they compete, so that nobody else's memory holds them.
    """

    module: str
    needs: str
    options: tuple[str, ...] = ()
    given: str = ""

    def prepare(self, job: Setting) -> Callable[[], int]:
        """Do what the rival is given for nothing, and return its call."""
        import_module(self.needs)
        module = import_module(f".{self.module}", __package__)
        if self.given == "network":
            network = Network(job)
            return lambda: int(module.count_network(network))
        if self.given == "classes":
            raw = Raw.of_classes(job)
            return lambda: int(module.count(raw, *self.options))
        stock = by_kind(job.catalog)
        return lambda: int(module.count(Raw.of(job, stock), *self.options))


RIVALS = {
    "python-constraint2": Rival("plain_constraint", "constraint"),
    "cp-sat": Rival("cpsat", "ortools.sat.python.cp_model"),
    "clingo": Rival("answer_set", "clingo"),
    "dd-cudd": Rival("decision_diagram", "dd.cudd", ("cudd",)),
    "dd-autoref": Rival("decision_diagram", "dd.autoref", ("autoref",)),
    "python-constraint2-given-network": Rival("plain_constraint", "constraint", given="network"),
    "cp-sat-given-classes": Rival("cpsat", "ortools.sat.python.cp_model", given="classes"),
    "dd-cudd-given-classes": Rival("decision_diagram", "dd.cudd", ("cudd",), given="classes"),
}
ENUMERATING = ("python-constraint2", "cp-sat", "clingo")
"""Those that list what they count, over raw items."""


@dataclass(slots=True)
class Trial:
    """What a rival did with one job: the seconds of each run and the count, or why there is none."""

    rival: str
    limit: float
    seconds: list[float] = field(default_factory=list)
    count: int | None = None
    over_time: bool = False
    died: str = ""

    @property
    def least(self) -> float | None:
        """The seconds that it takes, or took without coming to an end; None where that says nothing."""
        return median(self.seconds) if self.seconds else self.limit if self.over_time else None


def compete(rival: str, kind: str, size: int, limit: float, repeats: int) -> Trial:
    """Let the rival count up to `repeats` times, each within the limit, in a process of its own."""
    trial = Trial(rival, limit)
    try:
        for seconds, count in isolated(_runs, (rival, kind, size, limit, repeats), limit):
            trial.seconds.append(seconds)
            trial.count = count
    except TooLong:
        trial.over_time = not trial.seconds
    except Died as end:
        trial.died = str(end)
    return trial


def _runs(rival: str, kind: str, size: int, limit: float, repeats: int) -> Iterator[tuple[float, int] | None]:
    job = setting(kind, size)
    spent = 0.0
    for _ in range(repeats):
        counting = RIVALS[rival].prepare(job)
        yield None
        start = perf_counter()
        count = counting()
        seconds = perf_counter() - start
        yield seconds, count
        spent += seconds
        if spent > limit / 2:
            return
