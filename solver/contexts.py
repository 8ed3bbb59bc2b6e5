"""Every assembly of an application, whatever the job says: which of them a part stands in, and which it would spoil."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from itertools import islice
from typing import Any

from .application import OPENING, Application
from .catalog import Catalog
from .columns import Columns
from .contrary import ContraryRun, ContraryStackRun
from .face import Mating
from .joint_run import JointRun
from .length import Length
from .network import cut_dimensions
from .order import Information
from .part import Part
from .prune import Domains, supported
from .relate import Columns as Columned
from .relate import Related, balance, relate
from .relation import Table
from .run import DEAD, Reader, Run
from .said import PREPARATION, THICKNESS, Said, bearing, opening_values, read_of_opening, with_door
from .sample import Sample
from .search import graph_of_tables
from .setting import Setting
from .span import Span
from .stack_run import StackRun, stack_runs
from .statement import Door, OpeningIs, Statement, Use
from .tally import Tally
from .watch import Watch
from .word_run import LookRun, RuleRun, TraitReader

Solution = Mapping[Hashable, int]
"""A value for each variable; that of the opening, where a door is stated, is its place among the doors."""

Kept = Mapping[str, Collection[int]]
"""For some positions, the values that may be taken."""


@dataclass(frozen=True, slots=True)
class Stand:
    """A part in one of the positions that it may take: the values of the position's variable that hold it."""

    position: str
    part: Part
    values: tuple[int, ...]


class Contexts(Columns):
    """The assemblies of an application, over classes of parts that agree in every check and in each of the `traits`.

    `doors` are the thicknesses that a stated door may have, the preferred first. `readers` are those of every check
    of the application, read or not, and of the traits. Raises `TooManyWays` where they can't be listed.
    """

    def __init__(
        self, catalog: Catalog, application: Application, traits: Sequence[str], doors: Sequence[Length], watch: Watch
    ) -> None:
        setting = Setting(catalog, (Use(application.name, text=f"use {application.name}"),))
        matings = {name: Mating(interface, False) for name, interface in catalog.interfaces.items()}
        self.readers: list[Reader] = [
            *(JointRun(setting, joint, matings) for joint in application.joints),
            *(LookRun(setting, trait) for trait in application.match),
            *(RuleRun(setting, rule) for rule in application.rules),
            *stack_runs(setting, cut_dimensions(setting), application.stacks),
            *(TraitReader(setting, trait) for trait in traits),
        ]
        super().__init__(setting, self.readers, watch)
        self.doors = tuple(doors)
        self._settings: dict[Said, Setting] = {}
        self._runs: dict[tuple[int, Said], Run | StackRun | None] = {}
        self._seen: dict[tuple[int, Said], dict[str, Sequence[Any]]] = {}
        self._related: dict[tuple[int, Said], Related] = {}
        self._readings: dict[tuple[int, str, tuple[int, ...]], Any] = {}
        self._samples: dict[Said, Sample | None] = {}
        self._lasting: dict[Said, list[Table]] = {}
        self._information: dict[int, Information] = {}
        self._domains: dict[Hashable, Domains | None] = {}
        self._found: dict[tuple[Said, str, tuple[int, ...]], list[Solution]] = {}
        self._values: dict[str, dict[str, tuple[int, ...]]] = {}
        for number, reader in enumerate(self.readers):
            if isinstance(reader, JointRun):
                self._prepare(number, reader)

    def stand(self, position: str, part: Part) -> Stand:
        """Return the part in a position that takes its kind."""
        if position not in self._values:
            found: dict[str, list[int]] = {}
            for value, choice in enumerate(self.choices[position]):
                for members, _ in choice.classes:
                    for each in members:
                        found.setdefault(each.code, []).append(value)
            self._values[position] = {code: tuple(values) for code, values in found.items()}
        return Stand(position, part, self._values[position].get(part.code, ()))

    def setting_of(self, said: Said) -> Setting:
        """Return the job that says no more than this; a stated door has no thickness there."""
        if said not in self._settings:
            more: list[Statement] = [said.of_opening] if said.of_opening else []
            if said.door:
                more.append(Door(Span.exact(0)))
            self._settings[said] = Setting(self.setting.catalog, (*self.setting.statements, *more))
        return self._settings[said]

    def ways_to_read(self, reader: Reader) -> Iterator[Said]:
        """Yield the least that must be stated so that the reader is read, in every way there is."""
        catalog, rule = self.setting.catalog, reader.rule if isinstance(reader, RuleRun) else None
        prepared = [
            OpeningIs(PREPARATION, (name,), text=f"opening {PREPARATION} {name}") for name in catalog.preparations
        ]
        if isinstance(reader, JointRun) and OPENING in reader.positions:
            yield from map(Said, prepared)
        elif rule and (names := [ref.name for ref in (rule.check.left, rule.check.right) if ref.owner == OPENING]):
            for value in opening_values(catalog, names[0]):
                yield Said(OpeningIs(names[0], (value,), text=f"opening {names[0]} {value}"))
        elif isinstance(reader, StackRun):
            read = read_of_opening(reader)
            for made in [None, *prepared] if read - {THICKNESS} else [None]:
                for door in (False, True) if THICKNESS in read else (False,):
                    if any(left is not None for left in reader.begun(self.setting_of(Said(made, door)).opening).sums):
                        yield Said(made, door)
        else:
            yield Said()

    def sample(self, said: Said) -> None:
        """Have an assembly at hand for every part that stands in one under these statements: it pays for many parts."""
        if said not in self._samples:
            domains, tables = self._domains_under(said), self._tables_under(said)
            graph = graph_of_tables(domains or {}, tables, dict(self._information), self.watch)
            self._samples[said] = None if domains is None else Sample(graph)

    def standing(self, stand: Stand, said: Said, kept: Kept | None = None) -> Solution | None:
        """Return an assembly that holds the part under these statements, with these values only; None: no such."""
        for solution in self._known(stand, said):
            if all(solution[name] in values for name, values in (kept or {}).items()):
                return solution
        return self._solve(stand, said, Related(kept={name: frozenset(own) for name, own in (kept or {}).items()}))

    def spoiling(self, stand: Stand, other: Stand, number: int, said: Said) -> Solution | None:
        """Return an assembly under these statements that reader `number` refuses with the other part; None: none."""
        if (reader := self._under(number, said)) is None:
            return None
        columns, variables = self._columns_under(number, said), self._variables(number)
        contrary = ContraryStackRun(reader) if isinstance(reader, StackRun) else ContraryRun(reader)
        for solution in self._known(stand, said):
            read = {
                name: column[solution[variables.get(name, name)] if len(column) > 1 else 0]
                for name, column in columns.items()
            }
            read[stand.position] = self._replaced(stand, other, number, solution[stand.position])
            if _accepts(contrary, read):
                return solution
        replaced = {value: self._replaced(stand, other, number, value) for value in stand.values}
        elsewhere = replaced[stand.values[0]]  # it does not matter
        every = range(len(self.choices[stand.position]))
        columns = {**columns, stand.position: [replaced.get(value, elsewhere) for value in every]}
        variables = {name: own for name, own in variables.items() if name != stand.position}
        return self._solve(stand, said, self._relate(contrary, f"not {number}", columns, variables))

    def reading(self, number: int, stand: Stand) -> Any:
        """Return what reader `number` sees of the part where it stands; parts with equal values are seen alike."""
        key = number, stand.position, stand.values
        if key not in self._readings:
            self._readings[key] = self.readers[number].read(stand.position, stand.part)
        return self._readings[key]

    def parts(self, stand: Stand, solution: Solution) -> dict[str, tuple[Part, ...]]:
        """Return the parts of a solution, with the very part where it stands."""
        found = {}
        for name, own in self.choices.items():
            parts: list[Part] = []
            for members, count in own[solution[name]].classes:
                there = name == stand.position and stand.part in members
                parts += [stand.part if there else members[0]] * count
            found[name] = tuple(parts)
        return found

    def _prepare(self, number: int, reader: JointRun) -> None:
        """Let a joint know the faces of every part, and of every preparation."""
        readings: dict[str, list[Any]] = {
            name: list(dict.fromkeys(self.columns[number, name])) for name in reader.positions if name != OPENING
        }
        if OPENING in reader.positions:
            openings = [self.setting_of(said).opening for said in self.ways_to_read(reader)]
            readings[OPENING] = [reader.gather(OPENING, (reader.read(OPENING, each),)) for each in openings]
        reader.prepare(readings)

    def _known(self, stand: Stand, said: Said) -> list[Solution]:
        """Return the assemblies found so far that hold the part."""
        key = said, stand.position, stand.values
        if key not in self._found:
            sample = self._samples.get(said)
            found = (sample.through(stand.position, value) for value in stand.values) if sample else ()
            self._found[key] = list(islice((each for each in found if each is not None), 1))
        return self._found[key]

    def _under(self, number: int, said: Said) -> Run | StackRun | None:
        """Return a reader as it is under some statements, None where they leave it open."""
        key = number, bearing(self.readers[number], said)
        if key not in self._runs:
            self._runs[key] = self._run(*key)
        return self._runs[key]

    def _run(self, number: int, said: Said) -> Run | StackRun | None:
        reader, setting = self.readers[number], self.setting_of(said)
        if isinstance(reader, JointRun):
            return reader if OPENING not in reader.positions or PREPARATION in setting.opening.traits else None
        if isinstance(reader, RuleRun):
            return RuleRun(setting, reader.rule) if reader.rule in setting.rules else None
        if isinstance(reader, StackRun):
            run = copy(reader)
            run.start = reader.begun(setting.opening)
            if said.door:
                run.positions = (OPENING, *reader.positions)
            return None if all(left is None for left in run.start.sums) else run
        return reader if isinstance(reader, LookRun) else None

    def _columns_under(self, number: int, said: Said) -> dict[str, Sequence[Any]]:
        """Return what the reader sees of the positions, and of the opening where it reads it."""
        key = number, bearing(self.readers[number], said)
        if key not in self._seen:
            reader, opening = self.readers[number], self.setting_of(key[1]).opening
            seen: dict[str, Sequence[Any]] = {
                name: self.columns[number, name] for name in reader.positions if name != OPENING
            }
            if isinstance(reader, JointRun) and OPENING in reader.positions:
                seen[OPENING] = [reader.gather(OPENING, (reader.read(OPENING, opening),))]
            elif isinstance(reader, StackRun) and key[1].door:
                start = reader.begun(opening)
                seen[OPENING] = [_difference(reader.begun(with_door(opening, door)), start) for door in self.doors]
            self._seen[key] = seen
        return self._seen[key]

    def _variables(self, number: int) -> dict[str, str]:
        return self.shapes if self.readers[number].of_shape else {}

    def _replaced(self, stand: Stand, other: Stand, number: int, value: int) -> Any:
        """Return what the reader sees of a filling with the part if one such part is replaced."""
        reader, old, new = self.readers[number], self.reading(number, stand), self.reading(number, other)
        classes = self.choices[stand.position][value].classes
        if len(classes) == 1 and classes[0][1] == 1:
            return reader.gather(stand.position, (new,))
        seen = [reader.read(stand.position, members[0]) for members, count in classes for _ in range(count)]
        seen[seen.index(old)] = new
        return reader.gather(stand.position, tuple(seen))

    def _relate(self, run: Run | StackRun, name: str, columns: Columned, variables: Mapping[str, str]) -> Related:
        if isinstance(run, StackRun):
            return balance(run, name, columns, variables, self.watch)
        # On a copy: the reader itself goes on knowing the faces of every job.
        return relate(copy(run), name, columns, variables, self.watch)

    def _tables(self, said: Said) -> Iterator[Related]:
        for number, reader in enumerate(self.readers):
            key = number, bearing(reader, said)
            if (run := self._under(*key)) is None:
                continue
            if key not in self._related:
                columns = self._columns_under(*key)
                self._related[key] = self._relate(run, str(number), columns, self._variables(number))
            yield self._related[key]

    def _domains_under(self, said: Said) -> Domains | None:
        """Return the values that are left under the statements, None where nothing is."""
        if said not in self._domains:
            domains: dict[Hashable, Sequence[int]] = {name: sorted(own) for name, own in self.domains.items()}
            if said.door:
                domains[OPENING] = range(len(self.doors))
            self._domains[said] = self._pruned(domains, list(self._tables(said)), self.tables)
        return self._domains[said]

    def _domains_with(self, stand: Stand, said: Said) -> Domains | None:
        key = said, stand.position, stand.values
        if key not in self._domains:
            domains = self._domains_under(said)
            if domains is not None:
                kept = Related(kept={stand.position: frozenset(stand.values)})
                domains = self._pruned(domains, [kept], self._tables_under(said))
            self._domains[key] = domains
        return self._domains[key]

    def _tables_under(self, said: Said) -> list[Table]:
        if said not in self._lasting:
            tables = [*self.tables, *(table for related in self._tables(said) for table in related.tables)]
            self._information.update((id(table), table.information()) for table in tables)
            self._lasting[said] = tables
        return self._lasting[said]

    @staticmethod
    def _pruned(
        domains: Mapping[Hashable, Sequence[int]], more: Sequence[Related], tables: Sequence[Table]
    ) -> Domains | None:
        left = _narrowed(domains, more)
        return None if left is None else supported(left, [*tables, *(table for each in more for table in each.tables)])

    def _solve(self, stand: Stand, said: Said, more: Related) -> Solution | None:
        domains = self._domains_with(stand, said)
        left = None if domains is None else _narrowed(domains, [more])
        if left is None:
            return None
        # What the passing tables say is forgotten with them.
        tables = [*self._tables_under(said), *more.tables]
        found = next(iter(graph_of_tables(left, tables, dict(self._information), self.watch, first_only=True)), None)
        if found is not None:
            self._known(stand, said).append(found)
        return found


def _difference(tally: Tally, start: Tally) -> Tally:
    pairs = zip(tally.sums, start.sums, strict=True)
    return Tally(tuple(0 if one is None or other is None else one - other for one, other in pairs))


def _narrowed(
    domains: Mapping[Hashable, Sequence[int]], more: Sequence[Related]
) -> dict[Hashable, Sequence[int]] | None:
    """Return the domains with the new states, less the values that are not kept; None where one is left empty."""
    left = dict(domains)
    for related in more:
        if related.dead:
            return None
        left.update((name, range(size)) for name, size in related.states.items())
        for name, kept in related.kept.items():
            left[name] = [value for value in left[name] if value in kept]
    return left if all(left.values()) else None


def _accepts(run: Run | StackRun, read: Mapping[str, Any]) -> bool:
    """Tell whether the run accepts what it reads of one assembly."""
    if isinstance(run, StackRun):
        return run.accepts(Tally.total((run.start, *read.values())))
    state = run.start()
    for position in run.positions:
        if state is DEAD:
            return False
        state = run.step(state, position, read[position])
    return state is not DEAD and run.accepts(state)
