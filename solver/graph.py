"""The answer graph: every solution of a constraint problem, shared wherever two continuations are the same."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from itertools import product
from typing import Any

from constraint import Problem, Solver

from .compiler import Node, compile_nodes
from .order import decision_tree
from .prune import supported
from .relation import Table
from .watch import Watch


class Graph:
    """An AND/OR decision graph.

    `variables` stand in the order of decision. Node number n is `nodes[n]` = (place of its variable, arcs); an arc
    is (values, children): any of the values, together with any solution of every child. Children have lower
    numbers than their parents. `roots` are the top nodes, independent of one another; None: there is no solution.
    No walk over the graph ever meets a dead end.
    """

    def __init__(self, variables: Sequence[Hashable], nodes: Sequence[Node], roots: tuple[int, ...] | None) -> None:
        self.variables = tuple(variables)
        self.nodes = nodes
        self.roots = roots

    def __bool__(self) -> bool:
        return self.roots is not None

    def boxes(self) -> Iterator[list[Sequence[Any]]]:
        """Yield boxes: for each variable the values that may be combined freely. Boxes do not overlap.

        One list is reused: read it before asking for the next.
        """
        if self.roots is None:
            return
        box: list[Sequence[Any]] = [()] * len(self.variables)
        nodes = self.nodes

        def fill(pending: tuple[int, ...]) -> Iterator[None]:
            variable, arcs = nodes[pending[0]]
            rest = pending[1:]
            for values, children in arcs:
                box[variable] = values
                if children or rest:
                    yield from fill(children + rest)
                else:
                    yield

        for _ in fill(self.roots) if self.roots else iter((None,)):
            yield box

    def restricted(self, kept: Mapping[Hashable, Collection[Any]]) -> Graph:
        """Return the graph of the solutions in which these variables have one of the values kept."""
        numbers: list[int | None] = []
        nodes: list[Node] = []
        columns = [kept.get(variable) for variable in self.variables]
        for variable, arcs in self.nodes:
            column, left = columns[variable], []
            for values, children in arcs:
                own = values if column is None else tuple([value for value in values if value in column])
                below = [number for child in children if (number := numbers[child]) is not None]
                if own and len(below) == len(children):
                    left.append((own, tuple(below)))
            numbers.append(len(nodes) if left else None)
            if left:
                nodes.append((variable, tuple(left)))
        roots = [number for root in self.roots or () if (number := numbers[root]) is not None]
        alive = self.roots is not None and len(roots) == len(self.roots)
        return Graph(self.variables, nodes, tuple(roots)) if alive else Graph(self.variables, (), None)

    def __iter__(self) -> Iterator[dict[Hashable, Any]]:
        """Yield every solution as python-constraint does: a dictionary from variables to values."""
        for box in self.boxes():
            for values in product(*box):
                yield dict(zip(self.variables, values, strict=True))


class GraphSolver(Solver):  # type: ignore[misc]
    """A python-constraint solver that compiles the problem into an answer graph first.

    It takes any problem over hashable, distinct values: the library's constraints and functions are tested over
    their scopes; a `Table` is read through its indexes. The search goes one call deeper with each variable on a
    path, so that some hundred variables that all hang together are the limit.
    """

    def __init__(self, watch: Watch | None = None) -> None:
        self.watch = watch or Watch()
        self.graph = Graph((), (), None)

    def compile(
        self, domains: Mapping[Hashable, Sequence[Any]], constraints: Sequence[tuple[Any, Sequence[Any]]]
    ) -> Graph:
        """Compile and keep the graph. `domains` and `constraints` are as python-constraint hands them over."""
        self.graph = Graph((), (), None)
        left = supported(domains, [constraint for constraint, _ in constraints])
        if left is None:
            return self.graph
        tree = decision_tree(
            {variable: len(values) for variable, values in left.items()},
            [
                constraint.information() if isinstance(constraint, Table) else {frozenset(variables): 0.0}
                for constraint, variables in constraints
            ],
        )
        nodes, roots = compile_nodes(tree, left, constraints, self.watch)
        self.graph = Graph(tree.order, nodes, roots)
        return self.graph

    def getSolution(self, domains: Any, constraints: Any, vconstraints: Any) -> dict[Hashable, Any] | None:
        """Return one solution, or None."""
        return next(self.getSolutionIter(domains, constraints, vconstraints), None)

    def getSolutions(self, domains: Any, constraints: Any, vconstraints: Any) -> list[dict[Hashable, Any]]:
        """Return all solutions."""
        return list(self.getSolutionIter(domains, constraints, vconstraints))

    def getSolutionIter(self, domains: Any, constraints: Any, vconstraints: Any) -> Iterator[dict[Hashable, Any]]:
        """Iterate over the solutions."""
        return iter(self.compile(domains, constraints))


def graph_of(problem: Problem, watch: Watch | None = None) -> Graph:
    """Compile a python-constraint problem; the problem keeps the graph solver afterwards."""
    solver = GraphSolver(watch)
    problem.setSolver(solver)
    problem.getSolutionIter()
    return solver.graph
