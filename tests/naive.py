"""Which elements of a job each assembly violates, found by trying them all; and a least conflict by leaving out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import product

from fitwright.solver.application import Joint, Rule, Stack
from fitwright.solver.assembly import Assembly
from fitwright.solver.element import Element, of_finding, of_statement, resting_on
from fitwright.solver.finding import Verdict
from fitwright.solver.judge import judge
from fitwright.solver.setting import Setting
from fitwright.solver.statement import Keep
from worlds import candidates

Clause = frozenset[Element]
"""Elements that an assembly violates together: a check, and the statements without which it is not read."""


class Naive:
    """Which elements each candidate violates, by the judge alone: `tried` are all candidates with their clauses."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        checks: list[Joint | Stack | Rule] = [*setting.joints, *setting.stacks, *setting.rules]
        kinds = {Joint: "joint", Stack: "stack", Rule: "rule"}
        self._rests = {f"{kinds[type(check)]} {check.name}": resting_on(setting, check) for check in checks}
        self.tried = [(assembly, frozenset(self._clauses(assembly))) for assembly in self._assemblies()]
        self.faults = {clauses for _, clauses in self.tried}

    def exists(self, active: Iterable[Element]) -> bool:
        wanted = frozenset(active)
        return any(not any(clause <= wanted for clause in clauses) for clauses in self.faults)

    def _assemblies(self) -> Iterator[Assembly]:
        for parts in candidates(self.setting):
            filled = dict(zip(self.setting.application.positions, parts, strict=True))
            cuts = {name: own[0].design.cut for name, own in filled.items() if own and own[0].design.cut}
            for lengths in product(*(range(cut.low, cut.high + 1, cut.step) for cut in cuts.values() if cut)):
                yield Assembly(filled, dict(zip(cuts, lengths, strict=True)))

    def _clauses(self, assembly: Assembly) -> Iterator[Clause]:
        welcome = Verdict.SELECTED.rank if self.setting.selective else Verdict.FITS.rank
        for name, parts in assembly.parts.items():
            for part in parts:
                for said in self.setting.refusals(self.setting.application.positions[name], part):
                    yield frozenset({of_statement(said)})
        for said in self.setting.measures:
            cuts = [part.design.cut for part in assembly.parts[said.position]]
            is_cut = any(cut and cut.dimension == said.dimension for cut in cuts)
            if is_cut and not said.admits(assembly.cuts[said.position]):
                yield frozenset({of_statement(said)})
        used = {part.code for part in assembly.all_parts}
        for said in self.setting.facts:
            if isinstance(said, Keep) and not used.issuperset(said.codes):
                yield frozenset({of_statement(said)})
        for finding in judge(self.setting, assembly):
            if finding.where.startswith(("joint ", "stack ", "rule ", "match ")) and finding.verdict.rank > welcome:
                element = of_finding(finding)
                yield frozenset({element}) | self._rests.get(element.where, frozenset())


def by_deletion(elements: Sequence[Element], consistent: Callable[[Iterable[Element]], bool]) -> list[Element]:
    """Return a least set that is inconsistent: each element is left out in turn, and stays out if that mends nothing.

    (Chinneck and Dravnieks, Locating Minimal Infeasible Constraint Sets in Linear Programs, ORSA JoC 1991, 3.1)
    """
    left = list(elements)
    for element in elements:
        fewer = [each for each in left if each != element]
        if not consistent(fewer):
            left = fewer
    return left
