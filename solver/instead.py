"""What could stand in a part's place, and how much else would have to change for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

from .answers import Answers
from .assembly import Assembly
from .choice import Choice, Parts
from .folds import least_with
from .part import Part
from .ranked import in_order
from .ranking import Ranking
from .setting import Setting
from .watch import Watch


@dataclass(frozen=True, slots=True)
class StandIns:
    """Parts that go with the same further changes, the preferred first: alike in every check of the job."""

    parts: tuple[Part, ...]
    changes: int


class Instead:
    """The parts that can take the place of one in an assembly of the setting, in the position where it stands.

    The fewest further changes are sought: of each other position, how many parts go or come, whichever is more. Among
    assemblies with as many, the preferred one counts.
    """

    def __init__(
        self, setting: Setting, assembly: Assembly, position: str, part: Part, watch: Watch | None = None
    ) -> None:
        self._setting, self._old, self._position, self._part = setting, assembly, position, part
        known = {each.code for each in assembly.all_parts}
        self._answers = Answers(setting, watch, lambda each: each.code if each.code in known else None)
        self._ranking = Ranking(setting)
        places = setting.application.positions.values()
        most = sum(place.up_to or 1 for place in places) + len(assembly.all_parts)
        self._bits = (max(each.preference for each in setting.catalog.parts.values()) * 100 * most).bit_length()
        self._excluded = 1 << (most.bit_length() + self._bits + 1)
        rest = list(assembly.parts[position])
        rest.remove(part)
        self._beside = Counter(rest)

    @cached_property
    def found(self) -> list[StandIns]:
        """Every other part that can stand there, those with the fewest changes first, then by preference."""
        if not self._answers.graph:
            return []
        least = least_with(self._answers.graph, self._columns)[self._position]
        changes: dict[Part, tuple[int, int]] = {}
        for value, choice in enumerate(self._choices):
            if value not in least:
                continue
            without = self._ranking.weight(least[value]) >> self._bits
            for members, _ in choice.classes:
                number = without + self._moved(choice, members[0])
                for part in members:
                    if part is not self._part and (part not in changes or number < changes[part][0]):
                        changes[part] = number, id(members)
        groups: dict[tuple[int, int], list[Part]] = {}
        for part, key in sorted(changes.items(), key=lambda each: (each[1][0], each[0].preference, each[0].code)):
            groups.setdefault(key, []).append(part)
        return [StandIns(tuple(parts), number) for (number, _), parts in groups.items()]

    def assembly(self, part: Part) -> Assembly:
        """Return the preferred assembly among those with the fewest changes that have the part there."""
        graph, own = self._answers.graph, self._answers.network.choices
        names = [str(name) for name in graph.variables]
        columns = {**self._columns, self._position: [self._least_with(choice, part) for choice in self._choices]}

        def options(place: int, value: int) -> Iterable[tuple[int, Any]]:
            name = names[place]
            if name not in own:
                return ((0, None),)
            if name == self._position:
                return sorted((self._weigh_with(part, parts), parts) for parts in own[name][value].fillings())
            return own[name][value].in_order(partial(self._weigh, name))

        _, chosen = next(iter(in_order(graph, columns, options)))
        found: Mapping[str, Parts] = {names[place]: parts for place, parts in chosen.items() if parts is not None}
        return self._answers.assembly([found[name] for name in own])

    def kin(self, part: Part) -> Hashable:
        """Return what is equal for parts that are alike in every check of the job."""
        if part not in self._classes:
            return part.design, tuple(sorted(part.traits.items()))
        return self._classes[part]

    @cached_property
    def _classes(self) -> dict[Part, int]:
        return {part: id(members) for choice in self._choices for members, _ in choice.classes for part in members}

    @property
    def _choices(self) -> list[Choice]:
        return self._answers.network.choices[self._position]

    @cached_property
    def _columns(self) -> dict[Hashable, list[int]]:
        return {
            name: [choice.least(partial(self._weigh, name)) for choice in choices]
            for name, choices in self._answers.network.choices.items()
            if name != self._position
        }

    def _weigh(self, name: str, parts: Parts) -> int:
        place = self._setting.application.positions[name]
        preference = sum(self._setting.preference(place, part) for part in parts)
        moved = _moved(Counter(parts), Counter(self._old.parts.get(name, ())))
        return self._ranking.joined(moved << self._bits | preference, name, parts)

    def _weigh_with(self, part: Part, parts: Parts) -> int:
        """Return the weight of a filling of the position itself, where the part has come into it."""
        if part not in parts:
            return self._ranking.joined(self._excluded, self._position, parts)
        place = self._setting.application.positions[self._position]
        preference = sum(self._setting.preference(place, each) for each in parts)
        moved = _moved(Counter(parts) - Counter([part]), self._beside)
        return self._ranking.joined(moved << self._bits | preference, self._position, parts)

    def _least_with(self, choice: Choice, part: Part) -> int:
        return min(self._weigh_with(part, parts) for parts in choice.fillings())

    def _moved(self, choice: Choice, part: Part) -> int:
        """Return how many parts beside it change in the position for a filling of this choice with the part."""
        return min(
            _moved(Counter(parts) - Counter([part]), self._beside) for parts in choice.fillings() if part in parts
        )


def _moved(new: Counter[Part], old: Counter[Part]) -> int:
    return max((new - old).total(), (old - new).total())
