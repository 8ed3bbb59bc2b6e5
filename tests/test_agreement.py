"""Unrelated ways of solving a job find the same answers.

Brute force tries raw items with the judge alone. The library's own solver and OR-Tools CP-SAT know only the network's
tables. Each is compared with the answer graph as a whole, so that a missing answer shows as well as a wrong one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from random import Random
from typing import Any

import pytest
from constraint import BacktrackingSolver, OptimizedBacktrackingSolver
from fitwright.solver.answers import Answers
from fitwright.solver.assembly import Assembly
from fitwright.solver.balance import Balance
from fitwright.solver.finding import Verdict, worst
from fitwright.solver.network import Network
from fitwright.solver.relation import Relation, Table
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.tally import Tally
from hypothesis import given
from ortools.sat.python import cp_model
from worlds import Codes, brute_force, candidates, codes, world, worlds


@given(worlds())
def test_the_graph_lists_exactly_what_brute_force_finds(setting: Setting) -> None:
    answers = Answers(setting)
    expected = brute_force(setting)
    # Sorted lists, not sets: nothing may be listed twice.
    assert sorted(map(codes, answers)) == sorted(expected)
    assert answers.count() == len(expected)
    assert answers.exist == bool(expected)


@pytest.mark.parametrize("solver", [BacktrackingSolver, OptimizedBacktrackingSolver])
@given(setting=worlds())
def test_the_librarys_own_solver_agrees_on_the_same_problem(solver: type, setting: Setting) -> None:
    answers = Answers(setting)
    network = answers.network
    solutions: list[dict[str, int]] = []
    if network.dead_end is None:
        problem = network.problem()
        problem.setSolver(solver())
        solutions = problem.getSolutions()
    assert sorted(_expanded(network, solutions)) == sorted(map(codes, answers))


@given(worlds())
def test_an_unrelated_general_solver_agrees(setting: Setting) -> None:
    answers = Answers(setting)
    solutions = [] if answers.network.dead_end is not None else _by_cp_sat(answers.network)
    assert sorted(_expanded(answers.network, solutions)) == sorted(map(codes, answers))


@given(worlds())
def test_the_order_of_preference_holds_every_answer_and_ascends(setting: Setting) -> None:
    answers = Answers(setting)
    ranked = list(answers.in_order())
    weights = [_weight(setting, assembly) for assembly in ranked]
    assert sorted(codes(assembly.parts.values()) for assembly in ranked) == sorted(brute_force(setting))
    order = [
        (weight, [sorted((part.preference, part.code) for part in own) for own in assembly.parts.values()])
        for weight, assembly in zip(weights, ranked, strict=True)
    ]
    assert order == sorted(order)
    assert answers.least_preference() == (weights[0] if weights else None)
    cheapest = answers.cheapest()
    assert (None if cheapest is None else _weight(setting, cheapest)) == answers.least_preference()


@given(worlds())
def test_choices_are_counted_as_by_hand(setting: Setting) -> None:
    answers = Answers(setting)
    found = brute_force(setting)
    for place, name in enumerate(setting.application.positions):
        expected = Counter(code for assembly in found for code in (set(assembly[place]) or (None,)))
        assert {part and part.code: count for part, count in answers.choices(name).items()} == expected


@given(worlds())
def test_the_reach_of_a_stack_is_that_of_its_extreme_answers(setting: Setting) -> None:
    answers = Answers(setting)
    found = brute_force(setting)
    for stack in setting.application.stacks:
        sums = [
            _sum(setting, assembly, stack.gap.terms)
            for assembly in found.values()
            if all(assembly.parts[name] for name in stack.when)
            and not any(assembly.parts[name] for name in stack.unless)
        ]
        reach = answers.reach(stack)
        assert (reach is None) == (not sums)
        if reach is not None:
            assert (reach.low, reach.high) == (min(each.low for each in sums), max(each.high for each in sums))


@given(worlds())
def test_every_answer_shown_passes_the_judge(setting: Setting) -> None:
    answers = Answers(setting)
    for assembly in answers.in_order():
        verdict = worst([finding.verdict for finding in answers.findings(assembly)])
        assert verdict is Verdict.FITS or (setting.selective and verdict is Verdict.SELECTED)


def test_the_worlds_are_worth_trying() -> None:
    seen: Counter[str] = Counter()
    for seed in range(100):
        setting = world(Random(seed))
        found = brute_force(setting)
        application = setting.application
        seen["solvable"] += bool(found)
        seen["choosy"] += 0 < len(found) < sum(1 for _ in candidates(setting))
        seen["repeated"] += any(len(parts) > 1 for each in found.values() for parts in each.parts.values())
        seen["cut"] += any(each.cuts for each in found.values())
        seen["selective"] += bool(found) and setting.selective
        seen["through"] += bool(found) and any(
            len(features) == 2 for joint in application.joints for _, features in joint.stops()
        )
        seen["stacked"] += bool(found) and bool(setting.stacks)
        seen["ruled"] += bool(found) and bool(setting.rules)
        seen["absent"] += any(not parts for each in found.values() for parts in each.parts.values())
    assert seen["solvable"] > 35
    assert seen["choosy"] > 30
    assert min(seen.values()) > 5, seen


def _expanded(network: Network, solutions: Iterable[Mapping[Any, int]]) -> Iterator[Codes]:
    for solution in solutions:
        chosen = [network.choices[name][solution[name]] for name in network.choices]
        yield from map(codes, product(*(choice.fillings() for choice in chosen)))


def _by_cp_sat(network: Network) -> list[dict[str, int]]:
    """Enumerate the network's tables, each written out over values instead of readings."""
    model = cp_model.CpModel()
    domains = {**network.domains, **{name: range(size) for name, size in network.states.items()}}
    variables = {
        name: model.new_int_var_from_domain(cp_model.Domain.from_values(list(values)), name)
        for name, values in domains.items()
    }
    for table in network.tables:
        every = product(*(domains[name] for name in table.scope))
        model.add_allowed_assignments(
            [variables[name] for name in table.scope], [values for values in every if _allows(table, values)]
        )
    listing = _Listing(variables)
    solver = cp_model.CpSolver()
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.num_workers = 1
    assert solver.solve(model, listing) in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return listing.solutions


def _allows(table: Table, values: Sequence[int]) -> bool:
    row = tuple(column[value] for column, value in zip(table.readings, values, strict=True))
    if isinstance(table, Balance):
        return table.accepts(Tally.total(own[reading] for own, reading in zip(table.tallies, row, strict=True)))
    assert isinstance(table, Relation)
    return row in table.rows


class _Listing(cp_model.CpSolverSolutionCallback):
    def __init__(self, variables: Mapping[str, cp_model.IntVar]) -> None:
        super().__init__()
        self._variables = variables
        self.solutions: list[dict[str, int]] = []

    def on_solution_callback(self) -> None:
        self.solutions.append({name: self.value(variable) for name, variable in self._variables.items()})


def _weight(setting: Setting, assembly: Assembly) -> int:
    return sum(
        setting.preference(setting.application.positions[name], part)
        for name, parts in assembly.parts.items()
        for part in parts
    )


def _sum(setting: Setting, assembly: Assembly, terms: Iterable[Any]) -> Span:
    """Add up the dimensions that are fixed; one that is cut or unstated is left out."""
    return Span.total(
        part.design.dimensions[ref.name] * factor
        for factor, ref in terms
        for part in ((setting.opening,) if ref.owner == "opening" else assembly.parts[ref.owner])
        if ref.name in part.design.dimensions
    )
