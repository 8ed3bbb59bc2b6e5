"""A reason is a least set that can't hold together: compared with trying every candidate and every cut length."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice
from random import Random

import pytest
from fitwright.solver.answers import Answers
from fitwright.solver.check import Gap
from fitwright.solver.conflict import minimal_conflict
from fitwright.solver.element import Element, of_finding, of_statement, statements
from fitwright.solver.finding import Verdict
from fitwright.solver.judge import judge
from fitwright.solver.lenient import shortfall
from fitwright.solver.reason import beside, cores, reason_of
from fitwright.solver.setting import Setting
from fitwright.solver.soft import SoftNetwork
from fitwright.solver.statement import Keep, Used
from hypothesis import example, given
from hypothesis import strategies as st
from naive import Naive, by_deletion
from worlds import brute_force, world, worlds


@given(worlds(), st.randoms(use_true_random=False))
def test_any_choice_of_statements_and_checks_holds_together_exactly_if_some_candidate_violates_none(
    setting: Setting, random: Random
) -> None:
    soft, naive = SoftNetwork(setting), Naive(setting)
    assert {each for clauses in naive.faults for clause in clauses for each in clause} <= set(soft.elements)
    assert soft.exists(soft.elements) == naive.exists(soft.elements) == Answers(setting).exist
    for _ in range(8):
        some = [each for each in soft.elements if random.random() < random.choice([0.3, 0.6, 0.9])]
        assert soft.exists(some) == naive.exists(some), some


@given(worlds())
@example(setting=world(Random(511485)))  # nothing is of the kind that a position must be filled with
def test_leaving_a_statement_out_is_asking_the_shorter_job(setting: Setting) -> None:
    soft = SoftNetwork(setting)
    for said in statements(setting):
        if not isinstance(said, Keep):  # without it, what was in hand would have to be bought
            shorter = Setting(setting.catalog, tuple(each for each in setting.statements if each is not said))
            assert soft.exists(set(soft.elements) - {of_statement(said)}) == Answers(shorter).exist


@given(worlds())
def test_a_reason_is_least_and_each_further_one_has_other_checks(setting: Setting) -> None:
    soft, naive = SoftNetwork(setting), Naive(setting)
    found = list(islice(cores(soft), 4))
    assert bool(found) == (not naive.exists(soft.elements))
    for core in found:
        assert not naive.exists(core)
        assert all(naive.exists(set(core) - {element}) for element in core)
    if found:
        other = by_deletion(soft.elements, naive.exists)
        assert not soft.exists(other)
        assert all(soft.exists(set(other) - {element}) for element in other)
    checks = [element for core in found for element in core if not element.statement]
    assert len(set(checks)) == len(checks)
    if len(found) < 4 and all(found):
        left = set(soft.elements).difference(*(_removed(core) for core in found))
        assert naive.exists(left)


@given(worlds())
def test_each_check_of_a_reason_is_shown_by_an_assembly_that_satisfies_all_the_rest(setting: Setting) -> None:
    soft = SoftNetwork(setting)
    welcome = Verdict.SELECTED.rank if setting.selective else Verdict.FITS.rank
    for core in islice(cores(soft), 2):
        reason = reason_of(soft, core)
        assert reason.verified
        assert [member.element for member in reason.members] == list(core)
        for member in reason.members:
            assert (member.evidence is None) == (member.element.statement is not None)
            if member.evidence:
                assert of_finding(member.evidence) == member.element
                assert member.evidence.verdict.rank > welcome


@given(worlds())
def test_the_nearest_dimension_is_that_of_the_best_candidate(setting: Setting) -> None:
    soft, naive = SoftNetwork(setting), Naive(setting)
    core = next(cores(soft), ())
    for member in reason_of(soft, core).members:
        gap, evidence = member.element.check, member.evidence
        if isinstance(gap, Gap) and evidence and member.nearest:
            others = beside(soft, frozenset(core) - {member.element})
            misses = [
                shortfall(gap, dict(worst.read), setting.selective)
                for assembly, clauses in naive.tried
                if not any(clause <= others for clause in clauses)
                for own in [[each for each in judge(setting, assembly) if of_finding(each) == member.element]]
                for worst in [max(own, key=lambda each: shortfall(gap, dict(each.read), setting.selective))]
            ]
            assert shortfall(gap, dict(evidence.read), setting.selective) == min(misses)


@given(worlds())
def test_a_check_stands_for_the_parts_of_every_candidate_that_satisfies_the_rest_and_fails_it_in_each(
    setting: Setting,
) -> None:
    soft, naive = SoftNetwork(setting), Naive(setting)
    core = next(cores(soft), ())
    for member in reason_of(soft, core).members:
        if member.evidence is None:
            assert member.among == ()
            continue
        others = beside(soft, frozenset(core) - {member.element})
        left = [tried for tried in naive.tried if not any(clause <= others for clause in tried[1])]
        assert left
        assert all(any(member.element in clause for clause in clauses) for _, clauses in left)
        expected = {name: len({part for each, _ in left for part in each.parts[name]}) for name, _ in member.among}
        assert dict(member.among) == expected
        assert soft.possible(others) == {
            name: {part for each, _ in left for part in each.parts[name]} for name in setting.application.positions
        }


@given(worlds(), st.randoms(use_true_random=False))
def test_what_is_asked_is_held_and_never_a_member(setting: Setting, random: Random) -> None:
    code = random.choice(list(setting.catalog.parts))
    asked = Used((code,))
    longer = Setting(setting.catalog, (*setting.statements, asked))
    soft = SoftNetwork(longer)
    expected = any(code in own for found in brute_force(setting) for own in found)
    found = next(cores(soft, [asked]), None)
    assert Answers(longer).exist == expected == (found is None)
    if found is not None:
        assert of_statement(asked) not in found
        assert reason_of(soft, found, [asked]).verified


@given(st.integers(1, 12), st.randoms(use_true_random=False))
def test_quickxplain_finds_a_least_conflict_of_any_monotonic_test(size: int, random: Random) -> None:
    items = tuple(range(size))
    conflicts = [frozenset(random.sample(items, random.randint(1, size))) for _ in range(random.randint(1, 4))]

    def consistent(some: tuple[int, ...]) -> bool:
        return not any(conflict <= set(some) for conflict in conflicts)

    found = minimal_conflict(items, consistent)
    assert not consistent(found)
    assert all(consistent(tuple(item for item in found if item != left_out)) for left_out in found)


def test_quickxplain_prefers_what_comes_first() -> None:
    assert minimal_conflict("abcd", lambda some: not {"b", "c"} <= {*some} and not {"c", "d"} <= {*some}) == ("b", "c")


def test_quickxplain_refuses_what_is_consistent_and_blames_nobody_for_what_never_was() -> None:
    with pytest.raises(ValueError, match="consistent"):
        minimal_conflict("ab", lambda some: True)
    assert minimal_conflict("ab", lambda some: False) == ()


def _removed(core: Sequence[Element]) -> Sequence[Element]:
    return [element for element in core if not element.statement] or core
