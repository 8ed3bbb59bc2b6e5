"""The same jobs stated to CPMpy over the raw items, and the least conflicts that its tools find there over OR-Tools."""

from __future__ import annotations

from collections.abc import Iterator
from time import perf_counter
from typing import Any

import cpmpy
from cpmpy.tools import mus, quickxplain
from fitwright.solver.application import OPENING
from fitwright.solver.element import Element, of_match, of_rule, of_stack, of_statement, resting_on, statements
from fitwright.solver.setting import Setting
from fitwright.solver.statement import Used

from .overconstrained import is_least, name_of, overconstrained
from .raw import Item, Table, by_kind, joint_tables, look_tables, total_of

TOOLS = {"mus": mus, "quickxplain": quickxplain}


class Stated:
    """`switches` are what can be left out, by name; `hard` says what each asks while it is on.

    An item is a number; what a joint or look compares of it is looked up, and tables are over what is compared.
    """

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.hard: list[Any] = []
        self.switches: dict[str, Any] = {}
        stock = by_kind(setting.catalog)
        self.domains: dict[str, list[Item]] = {}
        for name, position in setting.application.positions.items():
            self.domains[name] = [part for kind in sorted(position.kinds) for part in stock[kind]]
            if position.optional:
                self.domains[name].append(None)
        self.items = {name: cpmpy.intvar(0, len(own) - 1, name=name) for name, own in self.domains.items()}
        self._state_parts()
        for joint in setting.joints:
            for table in joint_tables(setting, joint, self.domains):
                self._state_table(f"joint {joint.name}", table)
        for trait in setting.application.match:
            for table in look_tables(setting, trait, self.domains):
                self._state_table(of_match(trait).where, table)
        self._state_rules()
        self._state_stacks()

    def least(self, tool: str) -> list[str]:
        """Return the names of a least conflict."""
        names = {switch.name: name for name, switch in self.switches.items()}
        return [names[switch.name] for switch in TOOLS[tool](list(self.switches.values()), hard=self.hard)]

    def _switch(self, name: str) -> Any:
        return self.switches.setdefault(name, cpmpy.boolvar(name=f"e{len(self.switches)}"))

    def _when(self, name: str, rests_on: frozenset[Element], asked: Any) -> None:
        switches = [self._switch(name), *(self._switch(name_of(element)) for element in rests_on)]
        self.hard.append(cpmpy.all(switches).implies(asked))

    def _state_parts(self) -> None:
        for said in statements(self.setting):
            name = name_of(of_statement(said))
            self._switch(name)
            for position, domain in self.domains.items():
                if sieve := said.sieve(self.setting.catalog, self.setting.application.positions[position]):
                    passing = [at for at, item in enumerate(domain) if item is None or not sieve.refuses(item)]
                    self._when(name, frozenset(), _in(self.items[position], passing))
            for code in said.codes if isinstance(said, Used) else ():
                places = [
                    self.items[position] == at
                    for position, domain in self.domains.items()
                    for at, item in enumerate(domain)
                    if item and item.code == code
                ]
                self._when(name, frozenset(), cpmpy.any(places))

    def _state_table(self, name: str, table: Table) -> None:
        sides = []
        numbers: list[dict[Any, int]] = [{}, {}]
        for position, column, own in zip(table.names, (table.left, table.right), numbers, strict=True):
            reads = [own.setdefault(each, len(own)) for each in column]
            side = cpmpy.intvar(0, len(own) - 1, name=f"{name} {position} {len(self.hard)}")
            self.hard.append(cpmpy.Element(reads, self.items[position]) == side)
            sides.append(side)
        near: dict[Any, list[Any]] = {}
        for other in numbers[1]:
            near.setdefault(None if other is None else table.key(other), []).append(other)
        rows = []
        for one, i in numbers[0].items():
            others = (
                numbers[1] if one is None else [*near.get(table.key(one), ()), *([None] if None in numbers[1] else [])]
            )
            rows += [
                (i, numbers[1][other]) for other in others if one is None or other is None or table.agree(one, other)
            ]
        asked = cpmpy.Table(sides, rows) if rows else cpmpy.BoolVal(False)
        if table.unless:
            absent = self.items[table.unless] == self.domains[table.unless].index(None)
            asked = absent.implies(asked)
        self._when(name, frozenset(), asked)

    def _state_rules(self) -> None:
        for rule in self.setting.rules:
            left, right = rule.check.left, rule.check.right
            name, rests_on = of_rule(rule).where, resting_on(self.setting, rule)
            rights = [item.traits[right.name] if item else None for item in self.domains[right.owner]]
            if left.owner == OPENING:
                said = self.setting.opening.traits[left.name]
                passing = [at for at, had in enumerate(rights) if had is None or rule.check.holds(said, had)]
                self._when(name, rests_on, _in(self.items[right.owner], passing))
            else:
                lefts = [item.traits[left.name] if item else None for item in self.domains[left.owner]]
                self._state_table(name, Table((left.owner, right.owner), lefts, rights, rule.check.holds))

    def _state_stacks(self) -> None:
        for stack in self.setting.stacks:
            total = total_of(self.setting, stack, self.domains)
            least, most = (
                cpmpy.sum(
                    [cpmpy.Element([each[end] for each in own], self.items[at]) for at, own in total.terms.items()]
                )
                for end in (0, 1)
            )
            asked = (least >= total.low) & (most <= total.high)
            if total.when and None in self.domains[total.when]:
                asked = (self.items[total.when] != self.domains[total.when].index(None)).implies(asked)
            self._when(of_stack(stack).where, resting_on(self.setting, stack), asked)


def _in(item: Any, numbers: list[int]) -> Any:
    return cpmpy.InDomain(item, numbers) if numbers else cpmpy.BoolVal(False)


def theirs(
    kind: str, size: int, demand: str, tool: str, repeats: int
) -> Iterator[tuple[float, float, list[str], bool] | None]:
    """Yield (seconds to state the job, seconds to find the conflict, names, whether it is least by ours)."""
    job = overconstrained(kind, size, demand)
    for _ in range(repeats):
        yield None
        start = perf_counter()
        stated = Stated(job)
        middle = perf_counter()
        names = stated.least(tool)
        end = perf_counter()
        yield middle - start, end - middle, names, is_least(job, names)
