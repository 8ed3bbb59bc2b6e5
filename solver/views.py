"""An application as each of its checks sees it, whatever is stated of the opening."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from .application import OPENING, Application
from .catalog import Catalog
from .check import Tokens
from .columns import Columns
from .face import Mating
from .joint_run import JointRun
from .network import cut_dimensions
from .part import Part
from .relate import Columns as Columned
from .relate import Related, balance, relate
from .run import Reader, Run
from .said import PREPARATION, Said, ways_to_read
from .setting import Setting
from .stack_run import StackRun, stack_runs
from .statement import Use
from .watch import Watch
from .word_run import LookRun, RuleRun


@dataclass(frozen=True, slots=True)
class Stand:
    """A part in one of the positions that it may take: the values of the position's variable that hold it."""

    position: str
    part: Part
    values: tuple[int, ...]


class TraitReader(Reader):
    """What a bought part has in a trait. It forbids nothing, and tells parts apart."""

    def __init__(self, setting: Setting, trait: str) -> None:
        super().__init__([name for name, position in setting.application.positions.items() if not position.host])
        self.trait = trait

    def trait_names(self, position: str) -> Iterable[str]:
        """The trait itself."""
        return (self.trait,)

    def read(self, position: str, part: Part) -> Tokens | None:
        """Return its values, None where it has no such trait."""
        return part.traits.get(self.trait)


class Views(Columns):
    """The parts of an application in classes that agree in every check and in each of the `traits`.

    `readers` are those of every check of the application, read or not, and of the traits. Raises `TooManyWays` where
    the fillings of a position can't be listed.
    """

    def __init__(self, catalog: Catalog, application: Application, traits: Sequence[str], watch: Watch) -> None:
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
        self._runs: dict[tuple[int, Said], Run | StackRun | None] = {}
        self._seen: dict[tuple[int, Said], dict[str, Sequence[Any]]] = {}
        self._readings: dict[tuple[int, str, tuple[int, ...]], Any] = {}
        for number, reader in enumerate(self.readers):
            if isinstance(reader, JointRun):
                self._prepare(number, reader)

    def stand(self, position: str, part: Part) -> Stand:
        """Return the part in a position that takes its kind."""
        return Stand(position, part, self._values[position].get(part.code, ()))

    def parts(self, stand: Stand, solution: Mapping[Any, int]) -> dict[str, tuple[Part, ...]]:
        """Return the parts of a solution, with the very part where it stands."""
        found = {}
        for name, own in self.choices.items():
            parts: list[Part] = []
            for members, count in own[solution[name]].classes:
                there = name == stand.position and stand.part in members
                parts += [stand.part if there else members[0]] * count
            found[name] = tuple(parts)
        return found

    def reading(self, number: int, stand: Stand) -> Any:
        """Return what reader `number` sees of the part where it stands; parts with equal values are seen alike."""
        key = number, stand.position, stand.values
        if key not in self._readings:
            self._readings[key] = self.readers[number].read(stand.position, stand.part)
        return self._readings[key]

    def replaced(self, stand: Stand, other: Stand, number: int, value: int) -> Any:
        """Return what the reader sees of a filling with the part if one such part is replaced."""
        reader, old, new = self.readers[number], self.reading(number, stand), self.reading(number, other)
        classes = self.choices[stand.position][value].classes
        if len(classes) == 1 and classes[0][1] == 1:
            return reader.gather(stand.position, (new,))
        seen = [reader.read(stand.position, members[0]) for members, count in classes for _ in range(count)]
        seen[seen.index(old)] = new
        return reader.gather(stand.position, tuple(seen))

    def under(self, number: int, said: Said) -> Run | StackRun | None:
        """Return a reader as it is under some statements, None where they leave it open."""
        key = number, said.bearing_on(self.readers[number])
        if key not in self._runs:
            self._runs[key] = self._run(*key)
        return self._runs[key]

    def columns_under(self, number: int, said: Said) -> dict[str, Sequence[Any]]:
        """Return what the reader sees of the positions, and of the opening where a joint begins there."""
        key = number, said.bearing_on(self.readers[number])
        if key not in self._seen:
            reader, opening = self.readers[number], key[1].added_to(self.setting).opening
            seen: dict[str, Sequence[Any]] = {
                name: self.columns[number, name] for name in reader.positions if name != OPENING
            }
            if isinstance(reader, JointRun) and OPENING in reader.positions:
                seen[OPENING] = [reader.gather(OPENING, (reader.read(OPENING, opening),))]
            self._seen[key] = seen
        return self._seen[key]

    def variables(self, number: int) -> dict[str, str]:
        """Return the variables of positions that the reader's columns are about, where it is not the position's own."""
        return self.shapes if self.readers[number].of_shape else {}

    def related(self, run: Run | StackRun, name: str, columns: Columned, variables: Mapping[str, str]) -> Related:
        """Return the tables of a reader, as it is under some statements."""
        if isinstance(run, StackRun):
            return balance(run, name, columns, variables, self.watch)
        # On a copy: the reader itself goes on knowing the faces of every job.
        return relate(copy(run), name, columns, variables, self.watch)

    @cached_property
    def _values(self) -> dict[str, dict[str, tuple[int, ...]]]:
        """For each position and code, the values of the position's variable that hold the part."""
        found: dict[str, dict[str, tuple[int, ...]]] = {}
        for name, choices in self.choices.items():
            own = found[name] = {}
            for value, choice in enumerate(choices):
                for members, _ in choice.classes:
                    for each in members:
                        own[each.code] = (*own.get(each.code, ()), value)
        return found

    def _parts(self, name: str) -> Iterator[Part]:
        kinds = self.setting.application.positions[name].kinds
        return (part for shelf in self.setting.catalog.shelves(kinds) for part in shelf.parts)

    def _prepare(self, number: int, reader: JointRun) -> None:
        """Let a joint know the faces of every part, also of those that can stand nowhere, and of every preparation."""
        readings: dict[str, list[Any]] = {}
        for name in reader.positions:
            if name != OPENING:
                nowhere = (part for part in self._parts(name) if part.code not in self._values[name])
                alone = [reader.gather(name, (reader.read(name, part),)) for part in nowhere]
                readings[name] = list(dict.fromkeys([*self.columns[number, name], *alone]))
        if OPENING in reader.positions:
            openings = [said.added_to(self.setting).opening for said in ways_to_read(self.setting, reader, ())]
            readings[OPENING] = [reader.gather(OPENING, (reader.read(OPENING, each),)) for each in openings]
        reader.prepare(readings)

    def _run(self, number: int, said: Said) -> Run | StackRun | None:
        reader, setting = self.readers[number], said.added_to(self.setting)
        if isinstance(reader, JointRun):
            return reader if OPENING not in reader.positions or PREPARATION in setting.opening.traits else None
        if isinstance(reader, RuleRun):
            return RuleRun(setting, reader.rule) if reader.rule in setting.rules else None
        if isinstance(reader, StackRun):
            run = copy(reader)
            run.start = reader.begun(setting.opening)
            return None if all(left is None for left in run.start.sums) else run
        return reader if isinstance(reader, LookRun) else None
