"""How many answers one more statement leaves, counted on the graph of the job without it."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from functools import cached_property
from itertools import combinations

from .choice import Choice
from .folds import Ways, choices, count
from .graph import Graph
from .setting import Setting
from .shelf import Mask, Shelf
from .statement import Into, Keep, OfStatus, Statement, Used, Want, Without, WithoutTrait

MOST_CODES = 6
"""Of more parts to keep at once, the job is rather solved anew: each one doubles the work."""


class Narrowing:
    """A job's answers, asked what a further statement would leave of them.

    Such a statement takes ways away from choices, so that the count is one fold more; where it concerns a single
    position, not even that. `standing` are, for each code, the numbers of answers with it in each position.
    """

    def __init__(
        self,
        setting: Setting,
        own: Mapping[str, Sequence[Choice]],
        graph: Graph,
        ways: Ways,
        standing: Mapping[str, Sequence[int]],
    ) -> None:
        self._setting, self._choices, self._graph, self._ways = setting, own, graph, ways
        self._standing = standing
        self._total = count(graph, ways)
        self._without: dict[frozenset[str], int] = {}

    def count(self, said: Statement) -> int | None:
        """Return how many answers are left; None where the statement does not only rule answers out."""
        if not self._only_rules_out(said):
            return None
        if isinstance(said, Keep | Used):
            return self._with(frozenset(said.codes))
        if isinstance(said, Without):
            return self._lacking(frozenset(said.codes))
        return self._left(said)

    def _only_rules_out(self, said: Statement) -> bool:
        setting = self._setting
        if isinstance(said, Keep):
            return len(said.codes) <= MOST_CODES and not any(map(self._comes_back, said.codes))
        if isinstance(said, Used):
            return len(said.codes) <= MOST_CODES
        if isinstance(said, Into):
            return setting.host in (None, said.code)
        return isinstance(said, Want | Without | WithoutTrait | OfStatus)

    def _comes_back(self, code: str) -> bool:
        """Tell whether the part is ruled out now, and would not be if it were in hand."""
        part = self._setting.catalog.parts[code]
        return code not in self._setting.kept and any(
            sieve.of_bought and sieve.refuses(part)
            for position in self._setting.application.positions.values()
            if part.kind in position.kinds
            for sieve in self._setting.sieves(position)
        )

    def _with(self, codes: frozenset[str]) -> int:
        """Count the answers with all of these parts, by inclusion and exclusion of those without some."""
        return sum(
            (-1) ** number * self._lacking(frozenset(some))
            for number in range(len(codes) + 1)
            for some in combinations(codes, number)
        )

    def _lacking(self, codes: frozenset[str]) -> int:
        """Count the answers with none of these parts."""
        present = codes.intersection(self._standing)
        if present not in self._without:
            standing = [number for code in present for number in self._standing[code]]
            self._without[present] = (
                self._total - sum(standing) if len(standing) <= 1 else self._left(Without(tuple(present)))
            )
        return self._without[present]

    def _left(self, said: Statement) -> int:
        changed: dict[Hashable, list[int]] = {}
        for name, position in self._setting.application.positions.items():
            sieve = said.sieve(self._setting.catalog, position)
            if sieve is None:
                continue
            masks = ((shelf, self._setting.refused(sieve, shelf, mask)) for shelf, mask in self._shelves[name].items())
            refused = {shelf: mask for shelf, mask in masks if mask}
            if not refused:
                continue
            own = self._choices[name]
            column = changed[name] = [0] * len(own)
            for value in self._possible[name]:
                column[value] = own[value].ways_left(refused)
        if not changed:
            return self._total
        if len(changed) == 1:
            ((only, column),) = changed.items()
            return sum(column[value] * each for value, each in self._possible[only].items())
        return count(self._graph, {**self._ways, **changed})

    @cached_property
    def _possible(self) -> dict[Hashable, dict[int, int]]:
        """The values that stand in answers, each with the number of answers for each way of it."""
        found = choices(self._graph, self._ways)
        return {name: found.get(name, {}) for name in self._choices}

    @cached_property
    def _shelves(self) -> dict[str, dict[Shelf, Mask]]:
        """The items that stand in answers, by position and shelf."""
        found: dict[str, dict[Shelf, Mask]] = {name: {} for name in self._choices}
        for name, own in self._choices.items():
            for value in self._possible[name]:
                for members, _ in own[value].classes:
                    for shelf, mask in members.taken:
                        found[name][shelf] = found[name].get(shelf, 0) | mask
        return found
