"""The assemblies of a job that are nearest to what is there: the keys stay, and as many parts as can."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from heapq import merge
from itertools import takewhile
from operator import itemgetter
from typing import Any, NamedTuple

from .allotment import Allotment, Pieces, allotments
from .answers import Answers
from .assembly import Assembly
from .choice import Parts
from .cutting import cut_to_fit
from .folds import count_least
from .held import Held, with_held
from .part import Part
from .ranked import in_order
from .ranking import Ranking
from .setting import Setting
from .watch import Watch

Columns = dict[Hashable, list[int]]
"""For each position, what each of its choices weighs at the least."""


class Distance(NamedTuple):
    """How far an assembly is from what is there; an earlier number outweighs all later ones. Pieces are counted.

    `rekeyed`: keyed parts to come with another keying value than any part there has. `keyed`: keyed parts to come at
    all. `cautions`: parts that come with a caution of their own. `bought`: parts to come. `touched`: what goes or
    comes, position by position, the host included, and what is cut shorter. `preference`: the stock status, then the
    price, of what comes.
    """

    rekeyed: int
    keyed: int
    cautions: int
    bought: int
    touched: int
    preference: int


@dataclass(frozen=True, slots=True)
class Near:
    """An assembly that is near, how far it is, and the positions in which it uses a part that was cut."""

    assembly: Assembly
    distance: Distance
    reused: Mapping[str, Held]


class Nearest:
    """The assemblies of a setting that are nearest to parts that are there. Raises `JobError` as `Answers` does.

    A piece that is there need not be bought wherever it comes to stand; the setting has no parts to keep beside that.
    """

    def __init__(self, setting: Setting, held: Sequence[Held], watch: Watch | None = None) -> None:
        self._setting, self._held = setting, tuple(held)
        self._full, self._stand_ins = with_held(setting, held)
        self._known = {each.part for each in held}.union(self._stand_ins)
        self._keyed = [name for name, trait in setting.catalog.traits.items() if trait.keyed]
        self._keys = {
            name: {token for each in held if not each.host for token in each.part.traits.get(name, ())}
            for name in self._keyed
        }
        self._stock: Counter[Hashable] = Counter()
        self._here: dict[str, Counter[Hashable]] = {}
        reusable = {stand_in.held for stand_in in self._stand_ins.values()}
        for each in held:
            thing: Hashable = each.part if each.cut is None else each
            self._here.setdefault(each.position, Counter())[thing] += each.pieces
            if not each.host and (each.cut is None or each in reusable):
                self._stock[thing] += each.pieces
        self._answers = Answers(self._full, watch, self._label)
        self._ranking = Ranking(self._full)
        places = setting.application.positions.values()
        pieces = sum(place.quantity * (place.up_to or 1) for place in places) + sum(each.pieces for each in held)
        self._bits = (3 * pieces).bit_length()
        self._preference_bits = (max(part.preference for part in setting.catalog.parts.values()) * pieces).bit_length()
        self._excluded = 1 << (len(Distance._fields) * self._bits + self._preference_bits)

    @property
    def distance(self) -> Distance | None:
        """How far the nearest are, None where there is no assembly at all."""
        return self._distance(self._least[0]) if self._least else None

    @property
    def count(self) -> int:
        """Exactly how many are equally near."""
        return self._least[1] if self._least else 0

    def in_order(self) -> Iterator[Near]:
        """Yield all that are equally near, in the order in which answers are listed."""
        if not self._least:
            return
        least = self._least[0]
        streams = [self._stream(*walk[:2]) for walk in self._walks if walk[2] and walk[2][0] == least]
        nearest = takewhile(lambda each: self._ranking.weight(each[0]) == least, merge(*streams, key=itemgetter(0)))
        for _, parts in nearest:
            yield self._near(parts, self._distance(least))

    def keying(self, part: Part) -> int:
        """Return 0 for a part without keys, 1 for one that can be pinned to the keys that are there, else 2."""
        own = [name for name in self._keyed if name in part.traits]
        return 0 if not own else 2 if any(self._keys[name].isdisjoint(part.traits[name]) for name in own) else 1

    @cached_property
    def _least(self) -> tuple[int, int] | None:
        """The least weight, and how many assemblies have it."""
        found = [each for _, _, each in self._walks if each]
        least = min((weight for weight, _ in found), default=self._excluded)
        if least >= self._excluded:
            return None
        return least, sum(number for weight, number in found if weight == least)

    @cached_property
    def _walks(self) -> list[tuple[Allotment, Columns, tuple[int, int] | None]]:
        """Each allotment with the weights under it, the least of them, and how many assemblies have that."""
        graph, own = self._answers.graph, self._answers.network.choices
        if not graph:
            return []
        hosts = {place.name for place in self._setting.application.positions.values() if place.host}
        # What a host costs does not count, so that all of a class are equally near.
        ways: Columns = {
            name: [choice.ways if name in hosts else choice.least_ways for choice in choices]
            for name, choices in own.items()
        }
        used = {name: [self._used(name, choice.first) for choice in choices] for name, choices in own.items()}
        shared = self._shared(used)
        alone: Columns = {
            name: [choice.least(partial(self._weigh, None, name)) for choice in choices]
            for name, choices in own.items()
        }
        found = []
        for allotment in allotments(self._stock, shared):
            columns = dict(alone)
            for name in allotment.takes:
                columns[name] = self._column(name, allotment, alone[name], used[name])
            weights: Columns = {
                name: [self._ranking.weight(weight) for weight in column] for name, column in columns.items()
            }
            found.append((allotment, columns, count_least(graph, weights, ways)))
        return found

    def _shared(self, used: Mapping[str, Sequence[Pieces]]) -> dict[Hashable, dict[str, set[int]]]:
        """Return what is there and could stand in several positions, with how many pieces each could use."""
        uses: dict[Hashable, dict[str, set[int]]] = {}
        for name, own in used.items():
            if not self._setting.application.positions[name].host:
                for thing in {thing for each in own for thing in each}.intersection(self._stock):
                    uses.setdefault(thing, {})[name] = {each.get(thing, 0) for each in own}
        return {thing: places for thing, places in uses.items() if len(places) > 1}

    def _column(self, name: str, allotment: Allotment, alone: Sequence[int], used: Sequence[Pieces]) -> list[int]:
        """Return the weights in a position under an allotment; those that use nothing shared are known `alone`."""
        takes = allotment.takes[name]
        without = self._ranking.joined(self._excluded, name, ()) if any(takes.values()) else None
        choices = self._answers.network.choices[name]
        return [
            (weight if without is None else without)
            if takes.keys().isdisjoint(each)
            else choices[at].least(partial(self._weigh, allotment, name))
            for at, (weight, each) in enumerate(zip(alone, used, strict=True))
        ]

    def _stream(self, allotment: Allotment, columns: Columns) -> Iterator[tuple[int, dict[str, Parts]]]:
        graph, own = self._answers.graph, self._answers.network.choices
        names = [str(name) for name in graph.variables]

        def options(place: int, value: int) -> Iterable[tuple[int, Any]]:
            name = names[place]
            return own[name][value].in_order(partial(self._weigh, allotment, name)) if name in own else ((0, None),)

        for weight, chosen in in_order(graph, columns, options):
            found = {names[place]: parts for place, parts in chosen.items() if parts is not None}
            yield weight, {name: found[name] for name in own}

    def _weigh(self, allotment: Allotment | None, name: str, parts: Parts) -> int:
        """Return the weight of a filling, with what decides among equals."""
        left: Pieces = self._stock
        if allotment and name in allotment.takes:
            if not allotment.admits(name, self._used(name, parts)):
                return self._ranking.joined(self._excluded, name, parts)
            left = {**self._stock, **allotment.left[name]}
        weight = 0
        *counts, preference = self._of_filling(name, parts, left)
        for number in counts:
            weight = weight << self._bits | number
        return self._ranking.joined(weight << self._preference_bits | preference, name, parts)

    def _of_filling(self, name: str, parts: Parts, left: Pieces) -> Distance:
        place = self._setting.application.positions[name]
        used, here = self._used(name, parts), self._here.get(name, Counter())
        rekeyed = keyed = bought = preference = 0
        touched = sum(abs(used.get(thing, 0) - here.get(thing, 0)) for thing in {*used, *here})
        for part in dict.fromkeys(parts):
            thing, stand_in = self._thing(part), self._stand_ins.get(part)
            reused = min(used[thing], left.get(thing, 0))
            if stand_in and stand_in.shorter:
                touched += reused
            if place.host:
                continue
            come = used[thing] - reused
            keying = self.keying(part)
            rekeyed, keyed = rekeyed + come * (keying > 1), keyed + come * (keying > 0)
            bought, preference = bought + come, preference + come * part.preference
        cautions = sum(1 for part in dict.fromkeys(parts) if part.caution)
        return Distance(rekeyed, keyed, cautions, bought, touched, preference)

    def _distance(self, weight: int) -> Distance:
        gone = sum(
            sum(own.values()) for name, own in self._here.items() if name not in self._setting.application.positions
        )
        preference = weight & (1 << self._preference_bits) - 1
        weight >>= self._preference_bits
        counts = [weight >> self._bits * place & (1 << self._bits) - 1 for place in range(4, -1, -1)]
        rekeyed, keyed, cautions, bought, touched = counts
        return Distance(rekeyed, keyed, cautions, bought, touched + gone, preference)

    def _near(self, parts: Mapping[str, Parts], distance: Distance) -> Near:
        cut = cut_to_fit(self._full, dict(parts)).cuts
        reused = {
            name: self._stand_ins[own[0]].held for name, own in parts.items() if own and own[0] in self._stand_ins
        }
        real = {name: (reused[name].part,) if name in reused else own for name, own in parts.items()}
        assert self.distance is not None
        return Near(Assembly(real, cut), distance, reused)

    def _used(self, name: str, parts: Parts) -> Counter[Hashable]:
        """Return how many pieces of each thing a filling uses: of a held part that was cut, or of a part."""
        quantity = self._setting.application.positions[name].quantity
        found: Counter[Hashable] = Counter()
        for part in parts:
            found[self._thing(part)] += quantity
        return found

    def _thing(self, part: Part) -> Hashable:
        return self._stand_ins[part].held if part in self._stand_ins else part

    def _label(self, part: Part) -> Hashable:
        """Tell apart what is there, and what else the distance reads."""
        return part if part in self._known else (self.keying(part), bool(part.caution))
