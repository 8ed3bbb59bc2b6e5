"""The job as a constraint problem: a variable for each position, one for each running state, tables between them."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from math import comb
from typing import Any

from constraint import Problem

from .application import OPENING, Position
from .choice import Choice
from .face import Mating
from .joint_run import JointRun
from .part import Part
from .relation import Relation
from .run import DEAD, Run
from .setting import JobError, Setting
from .stack_run import StackRun, stack_runs
from .word_run import KeepRun, LookRun, RuleRun

MOST_CHOICES = 300_000
"""More fillings than this of one repeated position are refused; a finish or a keyway in the job makes them few."""


@dataclass(slots=True)
class _Table:
    """What the runs read at one position: its choices, and the reading of each choice by each run."""

    choices: list[Choice]
    readings: dict[int, list[Hashable]]

    def restrict(self, kept: Sequence[bool]) -> None:
        self.choices = [choice for choice, keep in zip(self.choices, kept, strict=True) if keep]
        for number, column in self.readings.items():
            self.readings[number] = [reading for reading, keep in zip(column, kept, strict=True) if keep]


class Network:
    """A setting turned into tables over classes of interchangeable parts.

    `choices[position][value]` is what a variable's value stands for. `relations` are the tables; `states` the sizes
    of the running-state variables. `dead_end` names what leaves no choice at all, before any search.
    """

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.relations: list[Relation] = []
        self.states: dict[str, int] = {}
        self.dead_end: str | None = None
        self._runs = _runs(setting)
        self._tables = {name: self._table(name, position) for name, position in setting.application.positions.items()}
        for number, run in enumerate(self._runs):
            if self.dead_end is None:
                self._relate(number, run)
        self.choices: dict[str, list[Choice]] = {name: table.choices for name, table in self._tables.items()}

    def problem(self) -> Problem:
        """Return the python-constraint problem. There must be no `dead_end`."""
        problem = Problem()
        for name, choices in self.choices.items():
            problem.addVariable(name, range(len(choices)))
        for name, size in self.states.items():
            problem.addVariable(name, range(size))
        for relation in self.relations:
            problem.addConstraint(relation, relation.scope)
        return problem

    def _table(self, name: str, position: Position) -> _Table:
        runs = {number: run for number, run in enumerate(self._runs) if name in run.positions}
        classes = self._classes(name, position, runs)
        choices: list[Choice] = []
        columns: dict[int, list[Hashable]] = {number: [] for number in runs}
        for members in _fillings(name, position, len(classes)):
            counts = {member: members.count(member) for member in members}
            read = [
                run.gather(name, tuple(classes[member][0][at] for member in members))
                for at, run in enumerate(runs.values())
            ]
            if any(
                not run.ordered and run.step(run.start(), name, reading) is DEAD
                for run, reading in zip(runs.values(), read, strict=True)
            ):
                continue
            choices.append(Choice(tuple((classes[member][1], count) for member, count in counts.items())))
            for number, reading in zip(runs, read, strict=True):
                columns[number].append(reading)
        if not choices:
            self.dead_end = name
        return _Table(choices, columns)

    def _classes(
        self, name: str, position: Position, runs: Mapping[int, Run]
    ) -> list[tuple[tuple[Hashable, ...], list[Part]]]:
        """Return (readings, parts) for each class of parts that every run reads alike."""
        setting, kept = self.setting, set(self.setting.kept)
        traits = sorted({trait for run in runs.values() for trait in run.trait_names(name)})
        classes: dict[tuple[Hashable, ...], list[Part]] = {}
        for _, parts in setting.catalog.of_kinds(position.kinds):
            alike: dict[tuple[object, ...], list[Part]] = {}
            for part in parts:
                if setting.refusal(position, part) is None:
                    had = part.traits
                    key = (part.code if part.code in kept else None, *[had.get(trait) for trait in traits])
                    if key in alike:
                        alike[key].append(part)
                    else:
                        read = tuple(run.read(name, part) for run in runs.values())
                        alike[key] = classes.setdefault(read, [])
                        alike[key].append(part)
        return list(classes.items())

    def _relate(self, number: int, run: Run) -> None:
        """Turn a run into tables: constants are stepped over, one varying position is restricted, more are joined."""
        own = {
            name: self._tables[name].readings[number]
            if name != OPENING
            else [run.gather(OPENING, (run.read(OPENING, self.setting.opening),))]
            for name in run.positions
        }
        distinct = {name: list(dict.fromkeys(column)) for name, column in own.items()}
        run.prepare(distinct)
        order = list(run.positions)
        if not run.ordered:
            last = getattr(run, "cut_position", None)
            order.sort(key=lambda name: (len(distinct[name]) > 1 and name == last, len(distinct[name])))
        varying = [name for name in order if len(distinct[name]) > 1]

        def constants(state: Any, after: str | None) -> Any:
            """Step over the constant positions that follow."""
            for name in order[order.index(after) + 1 if after else 0 :]:
                if state is DEAD or name in varying:
                    break
                state = run.step(state, name, distinct[name][0])
            return state

        state = constants(run.start(), None)
        if not varying:
            if state is DEAD or not run.accepts(state):
                self.dead_end = run.positions[0]
            return
        scope: list[str] = []
        readings: list[list[int]] = []
        states: list[Any] = [] if state is DEAD else [state]
        for place, name in enumerate(varying):
            final = place == len(varying) - 1
            plain = final and order[-1] == name
            rows: list[tuple[int, int, int]] = []
            after: list[Any] = []
            numbers: dict[Any, int] = {}
            for i, j, following in run.steps(states, name, distinct[name], plain):
                following = constants(following, name)
                if following is DEAD or (final and not run.accepts(following)):
                    continue
                following = None if final else following
                if following not in numbers:
                    numbers[following] = len(after)
                    after.append(following)
                rows.append((i, j, numbers[following]))
            reads = {reading: j for j, reading in enumerate(distinct[name])}
            column = [reads[reading] for reading in own[name]]
            if place == 0:
                goes = {j: k for _, j, k in rows}
                kept = [j in goes for j in column]
                if not any(kept):
                    self.dead_end = name
                    return
                self._restrict(name, kept)
                scope, readings = [name], [[goes[j] for j in column if j in goes]]
            elif final:
                self.relations.append(Relation((*scope, name), (*readings, column), {(i, j) for i, j, _ in rows}))
            else:
                state_name = f"{number}:{name}"
                self.states[state_name] = len(after)
                identity = list(range(len(after)))
                self.relations.append(Relation((*scope, name, state_name), (*readings, column, identity), rows))
                scope, readings = [state_name], [identity]
            if not rows:
                self.dead_end = name
                return
            states = after

    def _restrict(self, name: str, kept: Sequence[bool]) -> None:
        """Drop choices of a position; tables made before are narrowed with it."""
        if all(kept):
            return
        self._tables[name].restrict(kept)
        for number, relation in enumerate(self.relations):
            if name in relation.scope:
                readings = [
                    [reading for reading, keep in zip(column, kept, strict=True) if keep] if own == name else column
                    for own, column in zip(relation.scope, relation.readings, strict=True)
                ]
                self.relations[number] = Relation(relation.scope, readings, relation.rows)


def _runs(setting: Setting) -> list[Run]:
    application = setting.application
    matings = {name: Mating(interface, setting.selective) for name, interface in setting.catalog.interfaces.items()}
    cut_parts = {
        name: {design.cut.dimension for design, _ in setting.catalog.of_kinds(position.kinds) if design.cut}
        for name, position in application.positions.items()
    }
    runs: list[Run] = [JointRun(setting, joint, matings) for joint in application.joints]
    runs += [LookRun(setting, trait) for trait in application.match]
    runs += [RuleRun(setting, rule) for rule in setting.rules]
    runs += [KeepRun(setting, code) for code in setting.kept]
    stacks: list[StackRun] = list(stack_runs(setting, cut_parts))
    return runs + stacks


def _fillings(name: str, position: Position, classes: int) -> Iterator[tuple[int, ...]]:
    """Yield what the position may hold, as classes in order; the empty filling where it is optional."""
    most = position.up_to or 1
    if comb(classes + most, most) > MOST_CHOICES:
        raise JobError(f"the position {name} can be filled in too many ways", "say more of what is wanted there")
    for count in range(0 if position.optional else 1, most + 1):
        yield from combinations_with_replacement(range(classes), count)
