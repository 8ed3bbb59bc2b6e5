"""The answers to a job: counted, listed, ranked; each question is a walk over one answer graph."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import chain, product
from typing import Any

from .application import Stack
from .assembly import Assembly
from .catalog import Catalog
from .choice import Choice, Parts
from .cutting import cut_to_fit
from .finding import Finding, Verdict, worst
from .folds import choices, count, fold, least
from .graph import Graph, graph_of
from .judge import judge
from .network import Network
from .part import Part
from .ranked import in_order
from .setting import Setting
from .span import Span
from .statement import Statement
from .watch import Watch


class Answers:
    """Every assembly that satisfies a setting. The graph is compiled at the first question and kept."""

    def __init__(self, setting: Setting, watch: Watch | None = None) -> None:
        self.setting = setting
        self.watch = watch or Watch()

    @cached_property
    def network(self) -> Network:
        """The job as tables. Raises `JobError` where the job can't be asked."""
        return Network(self.setting)

    @cached_property
    def graph(self) -> Graph:
        """The answer graph of the network. Raises `OutOfTime` where the watch says so."""
        if self.network.dead_end is not None:
            return Graph((), (), None)
        return graph_of(self.network.problem(), self.watch)

    @cached_property
    def _ways(self) -> dict[Any, list[int]]:
        return {name: [choice.ways for choice in own] for name, own in self.network.choices.items()}

    @property
    def exist(self) -> bool:
        """Whether there is any."""
        return bool(self.graph)

    def count(self) -> int:
        """Return exactly how many there are; assemblies that differ only in the order of repeated parts are one."""
        return count(self.graph, self._ways)

    def choices(self, position: str) -> dict[Part | None, int]:
        """Return each part that stands in the position in some assembly (None: absent), with the number of those."""
        return self._part_choices[position]

    @cached_property
    def _part_choices(self) -> dict[str, dict[Part | None, int]]:
        found: dict[str, dict[Part | None, int]] = {}
        possible = choices(self.graph, self._ways) if self.graph else {}
        for position, own in self.network.choices.items():
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
        return least(
            self.graph,
            {name: [self._options(name, choice)[0][0] for choice in own] for name, own in self.network.choices.items()},
        )

    def cheapest(self) -> Assembly | None:
        """Return the most preferred assembly."""
        return next(self.in_order(), None)

    def in_order(self) -> Iterator[Assembly]:
        """Yield the assemblies, the preferred first: stocked before to order before discontinued, then by price."""
        names = self.graph.variables
        own = self.network.choices
        cache: dict[tuple[int, int], Sequence[tuple[int, Any]]] = {}

        def options(place: int, value: int) -> Sequence[tuple[int, Any]]:
            if names[place] not in own:
                return ((0, None),)
            if (place, value) not in cache:
                cache[place, value] = self._options(str(names[place]), own[str(names[place])][value])
            return cache[place, value]

        for _, chosen in in_order(self.graph, options):
            found = {names[place]: parts for place, parts in chosen.items() if parts is not None}
            yield self.assembly([found[name] for name in own])

    def _options(self, position: str, choice: Choice) -> list[tuple[int, Parts]]:
        place = self.setting.application.positions[position]
        return sorted(
            ((sum(self.setting.preference(place, part) for part in parts), parts) for parts in choice.fillings()),
            key=lambda option: option[0],
        )

    def __iter__(self) -> Iterator[tuple[Parts, ...]]:
        """Yield every assembly as the parts of each position, in the order of the positions; millions a second."""
        names = list(self.network.choices)
        places = [self.graph.variables.index(name) for name in names] if self.graph else []
        expanded: dict[tuple[int, tuple[int, ...]], list[Parts]] = {}
        for box in self.graph.boxes():
            self.watch.tick()
            lists = []
            for name, place in zip(names, places, strict=True):
                values = tuple(box[place])
                found = expanded.get((place, values))
                if found is None:
                    own = self.network.choices[name]
                    found = expanded[place, values] = list(
                        chain.from_iterable(own[value].fillings() for value in values)
                    )
                lists.append(found)
            yield from product(*lists)

    def assembly(self, parts: Sequence[Parts]) -> Assembly:
        """Dress one listed tuple: name its positions and compute what is cut to which length."""
        return cut_to_fit(self.setting, dict(zip(self.network.choices, parts, strict=True)))

    def findings(self, assembly: Assembly) -> list[Finding]:
        """Return what the judge says of an assembly."""
        return judge(self.setting, assembly)

    def verdict(self) -> Verdict:
        """Return the best verdict there is: that of the most preferred assembly; `FAILS` where there is none."""
        best = self.cheapest()
        return worst([finding.verdict for finding in self.findings(best)]) if best else Verdict.FAILS

    def reach(self, stack: Stack) -> Span | None:
        """Return from where to where a stack's sum goes over all assemblies (cut parts left out), None without any.

        The nominal is the middle of the extremes' nominals.
        """
        own = self.network.choices
        terms: dict[str, list[tuple[int, str]]] = {}
        for factor, ref in stack.gap.terms:
            terms.setdefault(ref.owner, []).append((factor, ref.name))

        def weigh(variable: Any, value: int) -> Span:
            if variable not in own or variable not in terms:
                return Span.exact(0)
            spans = [
                Span.total(
                    part.design.dimensions[name] * factor
                    for members, count in own[variable][value].classes
                    for part in [members[0]] * count
                    for factor, name in terms[variable]
                    if name in part.design.dimensions
                )
            ]
            return Span.total(spans)

        found = fold(self.graph, Span.hull, Span.__add__, weigh)
        opening = self.setting.opening.design.dimensions
        fixed = [opening[name] * factor for factor, name in terms.get("opening", ()) if name in opening]
        return None if found is None else found + Span.total(fixed)


def solve(catalog: Catalog, statements: Iterable[Statement], watch: Watch | None = None) -> Answers:
    """Hold statements against a catalog; the answers are computed as they are asked for."""
    return Answers(Setting(catalog, tuple(statements)), watch)
