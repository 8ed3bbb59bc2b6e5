"""The answers to a job: counted, listed, ranked; each question is a walk over one answer graph."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from functools import cached_property, partial, reduce
from itertools import chain, product
from typing import Any

from .application import OPENING, Stack
from .assembly import Assembly
from .catalog import Catalog
from .choice import Choice, Parts
from .collector import paused_collector
from .cutting import cut_to_fit
from .finding import Finding, Verdict, worst
from .folds import choices, count, fold, least
from .graph import Graph, graph_of
from .judge import judge
from .narrowing import Narrowing
from .network import Network
from .part import Part
from .ranked import in_order
from .ranking import Leads, Ranking
from .setting import Setting
from .span import Span
from .statement import Statement
from .watch import Watch, watched


class Answers:
    """Every assembly that satisfies a setting. The graph is compiled at the first question and kept.

    Parts to which `apart` gives different labels are told apart in it.
    """

    def __init__(
        self, setting: Setting, watch: Watch | None = None, apart: Callable[[Part], Hashable] | None = None
    ) -> None:
        self.setting = setting
        self.watch = watch or Watch()
        self._apart = apart

    @cached_property
    def network(self) -> Network:
        """The job as tables. Raises `JobError` where the job can't be asked."""
        with paused_collector():
            return Network(self.setting, self.watch, self._apart)

    @cached_property
    def graph(self) -> Graph:
        """The answer graph of the network. Raises `OutOfTime` where the watch says so."""
        if self.network.dead_end is not None:
            return Graph((), (), None)
        with paused_collector():
            return graph_of(self.network.problem(), self.watch)

    @cached_property
    def fillings(self) -> dict[str, list[Choice]]:
        """What each value of a position's variable stands for."""
        return self.network.choices

    @cached_property
    def _ways(self) -> dict[Any, list[int]]:
        return {name: [choice.ways for choice in own] for name, own in self.fillings.items()}

    @property
    def exist(self) -> bool:
        """Whether there is any."""
        return bool(self.graph)

    def count(self) -> int:
        """Return exactly how many there are; assemblies that differ only in the order of repeated parts are one."""
        return count(self.graph, self._ways)

    def count_with(self, said: Statement) -> int | None:
        """Return exactly how many are left with one more statement, from the same graph.

        None where that takes a graph of its own: the statement replaces another, changes what is checked of the
        opening, or brings parts in hand that are ruled out now.
        """
        return self._narrowing.count(said)

    @cached_property
    def _narrowing(self) -> Narrowing:
        places: dict[str, list[int]] = {}
        for own in self._part_choices.values():
            for part, number in own.items():
                if part is not None:
                    places.setdefault(part.code, []).append(number)
        return Narrowing(self.setting, self.network.choices, self.graph, self._ways, places)

    def choices(self, position: str) -> dict[Part | None, int]:
        """Return each part that stands in the position in some assembly (None: absent), with the number of those."""
        return self._part_choices[position]

    @cached_property
    def _part_choices(self) -> dict[str, dict[Part | None, int]]:
        found: dict[str, dict[Part | None, int]] = {}
        possible = choices(self.graph, self._ways) if self.graph else {}
        for position, own in self.fillings.items():
            counted: dict[Part | None, int] = found.setdefault(position, {})
            for value, each in sorted(possible.get(position, {}).items()):
                if not own[value].classes:
                    counted[None] = counted.get(None, 0) + each
                for members, _ in own[value].classes:
                    with_one = own[value].ways_with(members[0]) * each
                    for part in members:
                        counted[part] = counted.get(part, 0) + with_one
        return found

    def least_preference(self) -> int | None:
        """Return the least sum of preferences (status first, then price), None where there is no answer."""
        found = least(self.graph, self._least_weights)
        return None if found is None else self._ranking.weight(found)

    @cached_property
    def _ranking(self) -> Ranking:
        return Ranking(self.setting)

    @cached_property
    def _least_weights(self) -> dict[Hashable, list[int]]:
        weigh = self._ranking.weigh
        return {name: [choice.least(partial(weigh, name)) for choice in own] for name, own in self.fillings.items()}

    def cheapest(self) -> Assembly | None:
        """Return the most preferred assembly."""
        return next(self.in_order(), None)

    def in_order(self, leads: Leads | None = None) -> Iterator[Assembly]:
        """Yield the assemblies, the preferred first: stocked before to order before discontinued, price, codes.

        The `leads` count before all of that.
        """
        own = self.fillings
        names = [str(name) for name in self.graph.variables]
        weighs = {name: partial(self._ranking.weigh, name) for name in own}
        led = self._led(leads) if leads else {}
        least = self._least_weights | {name: [ranked[0][0] for ranked in ranks] for name, ranks in led.items()}

        def options(place: int, value: int) -> Iterable[tuple[int, Any]]:
            name = names[place]
            if name in led:
                return led[name][value]
            return own[name][value].in_order(weighs[name]) if name in own else ((0, None),)

        for _, chosen in in_order(self.graph, least, options):
            found = {names[place]: parts for place, parts in chosen.items() if parts is not None}
            yield self.assembly([found[name] for name in own])

    def _led(self, leads: Leads) -> dict[Hashable, list[list[tuple[int, Parts]]]]:
        """Put the fillings of each choice in order where a lead may part what is interchangeable."""
        weigh = Ranking(self.setting, leads).weigh
        return {
            name: [choice.ranked(partial(weigh, name)) for choice in watched(self.fillings[name], self.watch)]
            for name in leads
        }

    def __iter__(self) -> Iterator[tuple[Parts, ...]]:
        """Yield every assembly as the parts of each position, in the order of the positions; millions a second."""
        names = list(self.fillings)
        places = [self.graph.variables.index(name) for name in names] if self.graph else []
        expanded: dict[tuple[int, tuple[int, ...]], list[Parts]] = {}
        for box in self.graph.boxes():
            self.watch.tick()
            lists = []
            for name, place in zip(names, places, strict=True):
                values = tuple(box[place])
                found = expanded.get((place, values))
                if found is None:
                    own = self.fillings[name]
                    found = expanded[place, values] = list(
                        chain.from_iterable(own[value].fillings() for value in values)
                    )
                lists.append(found)
            yield from product(*lists)

    def assembly(self, parts: Sequence[Parts]) -> Assembly:
        """Dress one listed tuple: name its positions and compute what is cut to which length."""
        return cut_to_fit(self.setting, dict(zip(self.fillings, parts, strict=True)))

    def findings(self, assembly: Assembly) -> list[Finding]:
        """Return what the judge says of an assembly."""
        return judge(self.setting, assembly)

    def verdict(self) -> Verdict:
        """Return the best verdict there is: that of the most preferred assembly; `FAILS` where there is none."""
        best = self.cheapest()
        return worst([finding.verdict for finding in self.findings(best)]) if best else Verdict.FAILS

    def reach(self, stack: Stack) -> Span | None:
        """Return from where to where a stack's sum goes over the assemblies that it is read in, None without any.

        Cut parts are left out. The nominal is the middle.
        """
        own = self.fillings
        terms: dict[str, list[tuple[int, str]]] = {}
        for factor, ref in stack.gap.terms:
            terms.setdefault(ref.owner, []).append((factor, ref.name))

        def measure(part: Part, owner: str) -> Span:
            known = part.design.dimensions
            return Span.total(known[name] * factor for factor, name in terms.get(owner, ()) if name in known)

        def weigh(variable: Any, value: int) -> Span | None:
            if variable not in own:
                return Span.exact(0)
            filled = own[variable][value].classes
            if variable in (stack.unless if filled else stack.when):
                return None
            return Span.total(
                reduce(Span.hull, {measure(part, variable) for part in members}) * number
                for members, number in (filled if variable in terms else ())
            )

        found = fold(self.graph, Span.hull, Span.__add__, weigh)
        if found is None:
            return None
        found += measure(self.setting.opening, OPENING)
        found = stack.gap.divided(found)
        return Span(found.low, (found.low + found.high) // 2, found.high)


def solve(catalog: Catalog, statements: Iterable[Statement], watch: Watch | None = None) -> Answers:
    """Hold statements against a catalog; the answers are computed as they are asked for."""
    return Answers(Setting(catalog, tuple(statements)), watch)
