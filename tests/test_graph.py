"""Any python-constraint problem has exactly its solutions in the answer graph: published counts and random problems."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterable, Sequence
from itertools import combinations, product
from math import prod
from operator import ne
from typing import Any

import networkx
import pytest
from constraint import (
    AllDifferentConstraint,
    AllEqualConstraint,
    BacktrackingSolver,
    Constraint,
    ExactProdConstraint,
    ExactSumConstraint,
    FunctionConstraint,
    InSetConstraint,
    MaxProdConstraint,
    MaxSumConstraint,
    MinProdConstraint,
    MinSumConstraint,
    NotInSetConstraint,
    OptimizedBacktrackingSolver,
    Problem,
    Solver,
    SomeInSetConstraint,
    SomeNotInSetConstraint,
)
from fitwright.solver.folds import count
from fitwright.solver.graph import GraphSolver, graph_of
from fitwright.solver.watch import Deadline, OutOfTime, Watch
from hypothesis import given, settings
from hypothesis import strategies as st

_Solution = frozenset[tuple[Hashable, Any]]


def _coloured(edges: Iterable[tuple[Hashable, Hashable]], nodes: Iterable[Hashable], colours: int) -> Problem:
    problem = Problem()
    problem.addVariables(list(nodes), range(colours))
    for edge in edges:
        problem.addConstraint(ne, edge)
    return problem


def _colouring(graph: networkx.Graph, colours: int) -> Problem:
    return _coloured(graph.edges, graph.nodes, colours)


def _queens(size: int) -> Problem:
    problem = Problem()
    problem.addVariables(range(size), range(size))
    for one, other in combinations(range(size), 2):
        problem.addConstraint(lambda a, b, rows=other - one: a != b and abs(a - b) != rows, (one, other))
    return problem


def _square(size: int, *regions: Sequence[tuple[int, int]]) -> Problem:
    """A square of `size` symbols, none twice in a row, a column or one of the regions."""
    problem = Problem()
    problem.addVariables(list(product(range(size), repeat=2)), range(size))
    rows = [[(row, column) for column in range(size)] for row in range(size)]
    for region in (*rows, *zip(*rows, strict=True), *regions):
        problem.addConstraint(AllDifferentConstraint(), list(region))
    return problem


def _sudoku_of_four() -> Problem:
    return _square(
        4,
        *(
            [(row, column) for row in (top, top + 1) for column in (left, left + 1)]
            for top, left in product((0, 2), repeat=2)
        ),
    )


def _send_more_money() -> Problem:
    problem = Problem()
    problem.addVariables("sm", range(1, 10))
    problem.addVariables("endory", range(10))
    problem.addConstraint(AllDifferentConstraint(), list("sendmory"))
    problem.addConstraint(ExactSumConstraint(0, [1000, 91, -90, 1, -9000, -900, 10, -1]), list("sendmory"))
    return problem


_AUSTRALIA = [
    ("WA", "NT"),
    ("WA", "SA"),
    ("NT", "SA"),
    ("NT", "Q"),
    ("SA", "Q"),
    ("SA", "NSW"),
    ("SA", "V"),
    ("Q", "NSW"),
    ("NSW", "V"),
]
_STATES = ["WA", "NT", "SA", "Q", "NSW", "V", "T"]

_PUBLISHED: list[tuple[str, Callable[[], Problem], int]] = [
    # OEIS A000170: ways to place n queens that do not attack each other.
    *(
        (f"{size} queens", lambda size=size: _queens(size), found)
        for size, found in enumerate([1, 0, 0, 2, 10, 4, 40, 92, 352], 1)
    ),
    # OEIS A002860: Latin squares.
    *(
        (f"Latin squares of {size}", lambda size=size: _square(size), found)
        for size, found in enumerate([1, 2, 12, 576], 1)
    ),
    # The number of 4 x 4 sudoku grids is common knowledge of the puzzle's literature.
    ("sudoku of 4", _sudoku_of_four, 288),
    # Russell and Norvig, Artificial Intelligence: the map of Australia; the count is 6 x 3 for the free island.
    ("Australia", lambda: _coloured(_AUSTRALIA, _STATES, 3), 18),
    # Chromatic polynomials of these graphs as published (Wolfram MathWorld, Petersen Graph and others).
    ("Petersen in 3", lambda: _colouring(networkx.petersen_graph(), 3), 120),
    ("Petersen in 4", lambda: _colouring(networkx.petersen_graph(), 4), 12960),
    ("K3,3 in 3", lambda: _colouring(networkx.complete_bipartite_graph(3, 3), 3), 42),
    ("cube in 3", lambda: _colouring(networkx.cubical_graph(), 3), 114),
    ("C5 in 3", lambda: _colouring(networkx.cycle_graph(5), 3), 30),
    # Dudeney, Strand Magazine, July 1924: the only solution is 9567 + 1085 = 10652.
    ("SEND + MORE = MONEY", _send_more_money, 1),
]


@pytest.mark.parametrize(
    ("problem", "found"), [pytest.param(problem, found, id=name) for name, problem, found in _PUBLISHED]
)
def test_published_problems_have_their_published_number_of_solutions(
    problem: Callable[[], Problem], found: int
) -> None:
    graph = graph_of(problem())
    assert count(graph, {}) == found
    listed = {frozenset(solution.items()) for solution in graph}
    assert len(listed) == found == sum(1 for _ in graph)


def test_the_letters_of_send_more_money_are_those_of_its_author() -> None:
    (solution,) = graph_of(_send_more_money())
    assert [solution[letter] for letter in "sendmory"] == [9, 5, 6, 7, 1, 0, 8, 2]


@settings(max_examples=30)  # the polynomial takes a tenth of a second
@given(st.integers(1, 6), st.randoms(use_true_random=False), st.integers(1, 4))
def test_colourings_are_counted_as_the_chromatic_polynomial_does(size: int, random: Any, colours: int) -> None:
    drawn = networkx.Graph()
    drawn.add_nodes_from(range(size))
    drawn.add_edges_from(edge for edge in combinations(range(size), 2) if random.random() < 0.5)
    polynomial = networkx.chromatic_polynomial(drawn)
    expected = int(polynomial.subs(dict.fromkeys(polynomial.free_symbols, colours)))
    assert count(graph_of(_colouring(drawn, colours)), {}) == expected


def test_a_long_chain_stays_a_chain() -> None:
    """Effort is pinned: sharing makes 3 x 2^199 colourings no larger than the chain itself."""
    graph = graph_of(_colouring(networkx.path_graph(200), 3))
    assert count(graph, {}) == 3 * 2**199
    assert len(graph.nodes) <= 3 * 200


# Random problems: each constraint of the library beside what it is documented to mean.

_KINDS: list[tuple[Callable[[int], Constraint], Callable[[int, tuple[int, ...]], bool]]] = [
    (lambda n: AllDifferentConstraint(), lambda n, values: len(set(values)) == len(values)),
    (lambda n: AllEqualConstraint(), lambda n, values: len(set(values)) == 1),
    (ExactSumConstraint, lambda n, values: sum(values) == n),
    (MaxSumConstraint, lambda n, values: sum(values) <= n),
    (MinSumConstraint, lambda n, values: sum(values) >= n),
    (ExactProdConstraint, lambda n, values: prod(values) == n),
    (MaxProdConstraint, lambda n, values: prod(values) <= n),
    (MinProdConstraint, lambda n, values: prod(values) >= n),
    (lambda n: InSetConstraint([1, n]), lambda n, values: all(value in (1, n) for value in values)),
    (lambda n: NotInSetConstraint([1, n]), lambda n, values: all(value not in (1, n) for value in values)),
    (lambda n: SomeInSetConstraint([1, n]), lambda n, values: any(value in (1, n) for value in values)),
    (lambda n: SomeInSetConstraint([1, n], 1, True), lambda n, values: sum(value in (1, n) for value in values) == 1),
    (lambda n: SomeNotInSetConstraint([1, n]), lambda n, values: any(value not in (1, n) for value in values)),
    (
        lambda n: FunctionConstraint(lambda *values: values[0] * values[-1] % 3 != n % 3),
        lambda n, values: values[0] * values[-1] % 3 != n % 3,
    ),
]

_Drawn = tuple[Callable[[], Problem], set[_Solution]]


@st.composite
def _problems(draw: st.DrawFn) -> _Drawn:
    """Draw a problem, to be made as often as wanted, and what brute force over its definition finds."""
    names = "abcde"[: draw(st.integers(1, 5))]
    domains = {name: draw(st.lists(st.integers(1, 5), min_size=1, max_size=4, unique=True)) for name in names}
    scopes = st.lists(st.sampled_from(names), min_size=1, max_size=4, unique=True)
    asked = draw(st.lists(st.tuples(st.sampled_from(_KINDS), st.integers(1, 9), scopes), max_size=4))

    def made() -> Problem:
        problem = Problem()
        for name, values in domains.items():
            problem.addVariable(name, values)
        for (constraint, _), number, scope in asked:
            problem.addConstraint(constraint(number), scope)
        return problem

    found: set[_Solution] = set()
    for values in product(*domains.values()):
        solution: dict[Hashable, Any] = dict(zip(names, values, strict=True))
        if all(holds(number, tuple(solution[name] for name in scope)) for (_, holds), number, scope in asked):
            found.add(frozenset(solution.items()))
    return made, found


@given(_problems())
def test_every_constraint_of_the_library_means_what_it_says(drawn: _Drawn) -> None:
    made, expected = drawn
    listed = _asked(made, GraphSolver())
    assert len(listed) == len(set(listed))
    assert set(listed) == expected


@pytest.mark.parametrize("solver", [BacktrackingSolver, OptimizedBacktrackingSolver])
@given(drawn=_problems())
def test_the_librarys_solvers_find_the_same(solver: type[Solver], drawn: _Drawn) -> None:
    made, _ = drawn
    assert sorted(map(sorted, _asked(made, solver()))) == sorted(map(sorted, _asked(made, GraphSolver())))


@given(_problems())
def test_all_ways_of_asking_agree(drawn: _Drawn) -> None:
    made, expected = drawn
    assert set(_asked(made, GraphSolver(), Problem.getSolutionIter)) == expected
    first = _asked(made, GraphSolver(), lambda problem: filter(None, [problem.getSolution()]))
    assert len(first) == bool(expected)
    assert expected.issuperset(first)


@given(_problems())
def test_a_graph_has_no_dead_end_and_no_box_twice(drawn: _Drawn) -> None:
    made, expected = drawn
    solver = GraphSolver()
    _asked(made, solver)
    graph = solver.graph
    for number, (_, arcs) in enumerate(graph.nodes):
        assert arcs
        assert all(values for values, _ in arcs)
        assert all(child < number for _, children in arcs for child in children)
        taken = [value for values, _ in arcs for value in values]
        assert len(taken) == len(set(taken))
    assert sum(prod(map(len, box)) for box in graph.boxes()) == count(graph, {}) == len(expected)


def _asked(
    made: Callable[[], Problem],
    solver: Solver,
    ask: Callable[[Problem], Iterable[dict[Hashable, Any]]] = Problem.getSolutions,
) -> list[_Solution]:
    problem = made()
    problem.setSolver(solver)
    try:
        return [frozenset(solution.items()) for solution in ask(problem)]
    except ValueError as error:
        # The library's own preparation stumbles over a domain that another constraint has emptied.
        if not re.search(r"empty sequence|argument is empty", str(error)):  # as Python words it up to 3.11, and since
            raise
        return []


def test_a_domain_emptied_by_one_constraint_has_no_solution() -> None:
    problem = Problem()
    problem.addVariables("ab", [1, 2])
    problem.addConstraint(lambda a: a > 2, "a")
    assert not graph_of(problem)
    assert count(graph_of(problem), {}) == 0
    assert problem.getSolution() is None
    assert problem.getSolutions() == []


def test_variables_without_constraints_combine_freely() -> None:
    problem = Problem()
    problem.addVariables("abc", range(100))
    graph = graph_of(problem)
    assert count(graph, {}) == 10**6
    assert len(graph.nodes) == 3


class _Stopping(Watch):
    def tick(self) -> None:
        raise OutOfTime("enough")


def test_a_watch_that_stops_leaves_the_problem_as_it_was() -> None:
    problem = _queens(8)
    with pytest.raises(OutOfTime):
        graph_of(problem, _Stopping())
    assert count(graph_of(problem), {}) == 92
    problem.setSolver(BacktrackingSolver())
    assert len(problem.getSolutions()) == 92


def test_a_deadline_stops_the_search() -> None:
    with pytest.raises(OutOfTime, match="0 s"):
        graph_of(_queens(9), Deadline(0))
    assert count(graph_of(_queens(8), Deadline(60)), {}) == 92
