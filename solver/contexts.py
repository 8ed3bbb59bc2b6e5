"""Every assembly of an application, whatever the job says: which of them a part stands in, and which it would spoil."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from typing import Any

from .application import Application
from .catalog import Catalog
from .contrary import ContraryRun, ContraryStackRun
from .folds import Weights
from .graph import Graph
from .order import Information
from .prune import Domains, supported
from .relate import Related
from .relation import Table
from .run import DEAD, Run
from .said import Said
from .sample import Sample
from .search import compiled
from .stack_run import StackRun
from .statement import Want, WithoutTrait
from .tally import Tally
from .views import Stand, TraitReader, Views
from .watch import Watch

Solution = Mapping[Hashable, int]
"""A value for each variable of an application."""

UNREAD = 10**30
"""What a value weighs with which a stack is not read: more than all sums of lengths."""


class Contexts(Views):
    """The assemblies of an application under any statements about its opening."""

    def __init__(self, catalog: Catalog, application: Application, traits: Sequence[str], watch: Watch) -> None:
        super().__init__(catalog, application, traits, watch)
        self._related: dict[tuple[int, Said], Related] = {}
        self._tables: dict[Said, list[Table]] = {}
        self._information: dict[int, Information] = {}
        self._domains: dict[Hashable, Domains | None] = {}
        self._graphs: dict[Said, Graph] = {}
        self._plain: dict[Said, Sample] = {}
        self._wanted: dict[Want | WithoutTrait, tuple[Weights, Sample]] = {}
        self._tightest: dict[tuple[int, Said], list[Sample]] = {}

    def standing(self, stand: Stand, said: Said) -> Solution | None:
        """Return an assembly under these statements that holds the part, None where there is none."""
        self.watch.tick()
        if said not in self._plain:
            self._plain[said] = Sample(self._graph(said), {})
        return self._plain[said].through(stand.position, stand.values)

    def wanted(self, stand: Stand, said: Want | WithoutTrait) -> Solution | None:
        """Return an assembly that holds the part and satisfies the statement, None where there is none."""
        if said not in self._wanted:
            weights = self._refused(said)
            self._wanted[said] = weights, Sample(self._graph(Said()), weights)
        weights, sample = self._wanted[said]
        found = sample.through(stand.position, stand.values)
        return None if found is None or any(own[found[name]] for name, own in weights.items()) else found

    def spoiling(self, stand: Stand, other: Stand, number: int, said: Said) -> Solution | None:
        """Return an assembly under these statements that reader `number` refuses with the other part; None: none."""
        if (reader := self.under(number, said)) is None:
            return None
        if isinstance(reader, StackRun) and reader.cut_position is None:
            return self._too_tight(stand, other, number, said, reader)
        columns, variables = self.columns_under(number, said), self.variables(number)
        contrary = ContraryStackRun(reader) if isinstance(reader, StackRun) else ContraryRun(reader)
        found = self.standing(stand, said)
        if found is None:
            return None
        read = {name: column[found.get(variables.get(name, name), 0)] for name, column in columns.items()}
        if _accepts(contrary, {**read, stand.position: self.replaced(stand, other, number, found[stand.position])}):
            return found  # most often the first that comes will do
        replaced = {value: self.replaced(stand, other, number, value) for value in stand.values}
        elsewhere = replaced[stand.values[0]]  # it does not matter
        every = range(len(self.choices[stand.position]))
        columns = {**columns, stand.position: [replaced.get(value, elsewhere) for value in every]}
        variables = {name: own for name, own in variables.items() if name != stand.position}
        return self._solved(stand, said, self.related(contrary, f"not {number}", columns, variables))

    def _too_tight(self, stand: Stand, other: Stand, number: int, said: Said, run: StackRun) -> Solution | None:
        """Return an assembly in which the other part makes a demand of the stack short.

        An exchange adds the same to a demand in every assembly: only the one that leaves least of it need be looked at.
        """
        columns, variables = self.columns_under(number, said), self.variables(number)
        for sample in self._least_left(number, said, run):
            found = sample.through(stand.position, stand.values)
            if found is None:
                return None
            read = {name: column[found[variables.get(name, name)]] for name, column in columns.items()}
            read[stand.position] = self.replaced(stand, other, number, found[stand.position])
            if not _accepts(run, read):
                return found
        return None

    def _least_left(self, number: int, said: Said, run: StackRun) -> list[Sample]:
        """Return, for each demand of a stack, the assemblies that leave least of it."""
        if (number, said) not in self._tightest:
            columns, variables = self.columns_under(number, said), self.variables(number)
            self._tightest[number, said] = [
                Sample(
                    self._graph(said),
                    {
                        variables.get(name, name): [
                            UNREAD if tally.sums[place] is None else tally.sums[place] for tally in column
                        ]
                        for name, column in columns.items()
                    },
                )
                for place in range(len(run.start.sums))
            ]
        return self._tightest[number, said]

    def _refused(self, said: Want | WithoutTrait) -> Weights:
        """Return for each value of a position whether the statement rules it out."""
        number = next(
            number
            for number, reader in enumerate(self.readers)
            if isinstance(reader, TraitReader) and reader.trait == said.trait
        )
        found: dict[Hashable, list[int]] = {}
        for name, position in self.setting.application.positions.items():
            if sieve := said.sieve(self.setting.catalog, position):
                seen: Sequence[Any] = self.columns[number, name]
                found[name] = [int(any(had is not None and sieve.test(had) for had in parts)) for parts in seen]
        return found

    def _graph(self, said: Said) -> Graph:
        """Return the graph of all assemblies under some statements."""
        if said not in self._graphs:
            domains = self._domains_under(said)
            self._graphs[said] = (
                Graph((), (), None)
                if domains is None
                else compiled(domains, self._tables_under(said), self._information, self.watch, first_only=False)
            )
        return self._graphs[said]

    def _all_related(self, said: Said) -> Iterator[Related]:
        for number, reader in enumerate(self.readers):
            key = number, said.bearing_on(reader)
            if (run := self.under(*key)) is None:
                continue
            if key not in self._related:
                columns = self.columns_under(*key)
                self._related[key] = self.related(run, str(number), columns, self.variables(number))
            yield self._related[key]

    def _tables_under(self, said: Said) -> list[Table]:
        if said not in self._tables:
            more = (table for related in self._all_related(said) for table in related.tables)
            self._tables[said] = [*self.tables, *more]
        return self._tables[said]

    def _domains_under(self, said: Said) -> Domains | None:
        """Return the values that are left under the statements, None where nothing is."""
        if said not in self._domains:
            domains: dict[Hashable, Sequence[int]] = {name: sorted(own) for name, own in self.domains.items()}
            left = _narrowed(domains, list(self._all_related(said)))
            self._domains[said] = None if left is None else supported(left, self._tables_under(said))
        return self._domains[said]

    def _domains_with(self, stand: Stand, said: Said) -> Domains | None:
        """Return the values that are left where the part stands."""
        key = said, stand.position, stand.values
        if key not in self._domains:
            domains = self._domains_under(said)
            kept = Related(kept={stand.position: frozenset(stand.values)})
            left = None if domains is None else _narrowed(domains, [kept])
            self._domains[key] = None if left is None else supported(left, self._tables_under(said))
        return self._domains[key]

    def _solved(self, stand: Stand, said: Said, more: Related) -> Solution | None:
        domains = self._domains_with(stand, said)
        left = None if domains is None else _narrowed(domains, [more])
        if left is None:
            return None
        tables = [*self._tables_under(said), *more.tables]
        known = dict(self._information)  # what is said by tables that pass is forgotten with them
        return next(iter(compiled(left, tables, known, self.watch, first_only=True)), None)


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
        state = state if state is DEAD else run.step(state, position, read[position])
    return state is not DEAD and run.accepts(state)
