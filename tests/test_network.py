"""The network keeps apart what some check tells apart, merges the rest, and says where nothing is left."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import product
from math import prod

import pytest
from constraint import Domain
from fitwright.solver.answers import Answers
from fitwright.solver.application import Application, Position, Rule, Stack
from fitwright.solver.balance import Balance
from fitwright.solver.catalog import Catalog, Trait, TraitValue
from fitwright.solver.check import Gap, Ref, Same, Term
from fitwright.solver.network import Network
from fitwright.solver.part import Cut, Design, Part
from fitwright.solver.relation import Relation, Table
from fitwright.solver.setting import JobError, Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import Door, Into, Keep, OpeningIs, Statement, Use, Want, Without
from fitwright.solver.tally import Tally
from fitwright.solver.watch import OutOfTime, Watch
from hypothesis import given
from hypothesis import strategies as st

_FINISH = Trait(
    "finish",
    visible=True,
    values={value: TraitValue(value, symbol=symbol) for value, symbol in [("626", "S"), ("652", "S"), ("605", "T")]},
)


def _part(code: str, kind: str, length: int | Span = 0, price: int = 1, **traits: str) -> Part:
    span = length if isinstance(length, Span) else Span.exact(length)
    design = Design(kind, {"length": span}, {})
    return Part(code, code, design, {name: (value,) for name, value in traits.items()}, price)


def _setting(
    parts: Iterable[Part],
    *statements: Statement,
    positions: Sequence[Position],
    stacks: Sequence[Stack] = (),
    rules: Sequence[Rule] = (),
    match: tuple[str, ...] = (),
) -> Setting:
    application = Application(
        "row", "", {position.name: position for position in positions}, (), tuple(stacks), tuple(rules), match
    )
    catalog = Catalog(
        {},
        {"finish": _FINISH, "size": Trait("size")},
        {},
        {},
        {"row": application},
        {part.code: part for part in parts},
    )
    return Setting(catalog, (Use("row", text="use row"), *statements))


_BODY = Position("body", frozenset({"body"}), visible=True)
_RING = Position("ring", frozenset({"ring"}), visible=True)
_HOST = Position("host", frozenset({"host"}), host=True)


def _stack(*terms: Term, least: int | None = None, most: int | None = None) -> Stack:
    return Stack("sum", "", Gap(terms, least, most, "room"))


def _length(name: str) -> Term:
    return Term(1, Ref(name, "length"))


def test_items_that_no_check_tells_apart_are_one_choice() -> None:
    parts = [_part(f"B{number}", "body", number, size=str(number), finish="626") for number in range(1000)]
    network = Network(_setting(parts, positions=[_BODY]))
    (choice,) = network.choices["body"]
    assert choice.ways == 1000


def test_a_class_is_as_fine_as_the_checks_that_read_it() -> None:
    parts = [_part(f"B{length}{size}", "body", length, size=size) for length in (10, 20) for size in "ab"]
    stack = _stack(_length("body"), least=5)
    rule = Rule("size", Same(Ref("body", "size"), Ref("opening", "hand"), "one size"))
    hand = OpeningIs("hand", ("a",), text="opening hand a")
    classes = [
        {
            tuple(sorted(part.code for part in members))
            for choice in network.choices["body"]
            for members, _ in choice.classes
        }
        for network in (
            Network(_setting(parts, positions=[_BODY])),
            Network(_setting(parts, positions=[_BODY], stacks=[stack])),
            Network(_setting(parts, hand, positions=[_BODY], rules=[rule])),
        )
    ]
    assert classes == [{("B10a", "B10b", "B20a", "B20b")}, {("B10a", "B10b"), ("B20a", "B20b")}, {("B10a", "B20a")}]


def test_finishes_that_look_alike_are_one_class() -> None:
    parts = [_part(f"{kind}{finish}", kind, finish=finish) for kind in ("body", "ring") for finish in _FINISH.values]
    answers = Answers(_setting(parts, positions=[_BODY, _RING], match=("finish",)))
    assert sorted(choice.ways for choice in answers.network.choices["body"]) == [1, 2]
    assert answers.count() == 2 * 2 + 1


def test_a_part_to_keep_is_a_class_of_its_own() -> None:
    parts = [_part(code, "body") for code in ("B1", "B2", "B3")]
    answers = Answers(_setting(parts, Keep(("B2",), text="keep B2"), positions=[_BODY]))
    assert [[part.code for part in own] for (own,) in answers] == [["B2"]]


def test_a_part_to_keep_may_stand_in_any_position() -> None:
    parts = [_part(code, "body") for code in ("B1", "B2")]
    other = Position("other", frozenset({"body"}), optional=True)
    answers = Answers(_setting(parts, Keep(("B2",), text="keep B2"), positions=[_BODY, other]))
    assert {tuple(part.code for own in parts for part in own) for parts in answers} == {
        ("B2",), ("B2", "B1"), ("B2", "B2"), ("B1", "B2"),
    }  # fmt: skip


_short = _stack(_length("opening")._replace(ref=Ref("opening", "thickness")), least=50)
_unlike = Rule("unlike", Same(Ref("opening", "hand"), Ref("opening", "fire"), "invented"))
_said = (OpeningIs("hand", ("a",), text="hand"), OpeningIs("fire", ("b",), text="fire"))


@pytest.mark.parametrize(
    ("statements", "stacks", "rules", "dead_end"),
    [
        pytest.param([Want("finish", ("605",), text="want finish 605")], [], [], "body", id="want"),
        pytest.param([Without(("B1",), text="without")], [], [], "body", id="without"),
        pytest.param([], [_stack(_length("body"), least=11)], [], "body", id="stack"),
        pytest.param([], [_stack(_length("body"), _length("ring"), most=19)], [], "body", id="stack of two"),
        pytest.param([Door(Span.exact(40), text="door")], [_short], [], "opening", id="stack of the opening alone"),
        pytest.param(_said, [], [_unlike], "opening", id="rule of the opening alone"),
    ],
)
def test_what_leaves_nothing_is_known_before_any_search(
    statements: Sequence[Statement], stacks: Sequence[Stack], rules: Sequence[Rule], dead_end: str
) -> None:
    parts = [_part("B1", "body", 10, finish="626"), _part("R1", "ring", 10)]
    answers = Answers(_setting(parts, *statements, positions=[_BODY, _RING], stacks=stacks, rules=rules))
    assert answers.network.dead_end == dead_end
    assert answers.count() == 0
    assert not answers.exist
    assert list(answers) == []
    assert list(answers.in_order()) == []
    assert answers.cheapest() is None
    assert answers.least_preference() is None
    assert answers.choices("body") == {}


def test_a_position_without_parts_is_a_dead_end_unless_it_is_optional() -> None:
    assert Answers(_setting([], positions=[_BODY])).network.dead_end == "body"
    optional = Position("body", frozenset({"body"}), optional=True)
    answers = Answers(_setting([], positions=[optional]))
    assert answers.count() == 1
    assert answers.choices("body") == {None: 1}


def test_the_host_stated_last_is_the_one() -> None:
    parts = [_part("H1", "host"), _part("H2", "host")]
    answers = Answers(_setting(parts, Into("H1", text="into H1"), Into("H2", text="into H2"), positions=[_HOST]))
    assert [[part.code for part in own] for (own,) in answers] == [["H2"]]


def test_a_host_is_not_bought_and_screws_are_bought_by_the_set() -> None:
    screws = Position("screw", frozenset({"ring"}), quantity=4)
    parts = [_part("H1", "host", price=100), _part("R1", "ring", price=3), _part("R2", "ring", price=2)]
    answers = Answers(_setting(parts, positions=[_HOST, screws]))
    assert answers.least_preference() == 8
    kept = Answers(_setting(parts, Keep(("R1",), text="keep R1"), positions=[_HOST, screws]))
    assert kept.least_preference() == 0


def test_a_repeated_position_holds_multisets() -> None:
    rings = Position("ring", frozenset({"ring"}), optional=True, up_to=3)
    parts = [_part(f"R{number}", "ring", number) for number in range(4)]
    answers = Answers(_setting(parts, positions=[rings], stacks=[_stack(_length("ring"), most=4)]))
    expected = [
        own
        for count in range(4)
        for own in product(range(4), repeat=count)
        if list(own) == sorted(own) and sum(own) <= 4
    ]
    assert sorted(tuple(part.design.dimensions["length"].low for part in own) for (own,) in answers) == sorted(expected)
    assert answers.count() == len(expected)


def test_a_position_with_too_many_fillings_is_refused_with_a_way_out() -> None:
    rings = Position("ring", frozenset({"ring"}), up_to=4)
    parts = [_part(f"R{number}", "ring", number) for number in range(100)]
    with pytest.raises(JobError, match="ring") as refused:
        Network(_setting(parts, positions=[rings], stacks=[_stack(_length("ring"), least=1)]))
    assert refused.value.hint


def _row_of(places: int, least: int, most: int, watch: Watch | None = None) -> tuple[Answers, int]:
    """Return the answers to a row of places for lengths 0..19 with a limited sum, and their number by convolution."""
    names = [f"p{number}" for number in range(places)]
    parts = [_part(f"{name}-{length}", name, length) for name in names for length in range(20)]
    stack = _stack(*map(_length, names), least=least, most=most)
    positions = [Position(name, frozenset({name})) for name in names]
    sums = [1]
    for _ in names:
        sums = [sum(sums[max(0, total - 19) : total + 1]) for total in range(len(sums) + 19)]
    return Answers(_setting(parts, positions=positions, stacks=[stack]), watch), sum(sums[least : most + 1])


def test_sums_that_coincide_are_carried_once() -> None:
    """Effort is pinned: 20^7 assemblies need no more states than there are sums."""
    answers, count = _row_of(7, 60, 70)
    assert answers.count() == count
    assert max(answers.network.states.values()) <= 19 * 7 + 1


class _Stopping(Watch):
    patient = False

    def tick(self) -> None:
        if not self.patient:
            raise OutOfTime("enough")


def test_a_question_that_was_stopped_can_be_asked_again() -> None:
    watch = _Stopping()
    answers, count = _row_of(20, 150, 200, watch)
    with pytest.raises(OutOfTime):
        answers.count()
    watch.patient = True
    assert answers.count() == count
    watch.patient = False
    with pytest.raises(OutOfTime):
        list(answers)
    assert answers.count() == count


def test_the_reach_of_a_stack_looks_into_classes() -> None:
    # Only the lowest is read of a stack that has a lower limit alone, so that both bodies are of one class.
    stack = _stack(_length("body"), least=5)
    parts = [_part("B1", "body", 10), _part("B2", "body", Span(10, 15, 20))]
    assert Answers(_setting(parts, positions=[_BODY], stacks=[stack])).reach(stack) == Span(10, 15, 20)


def test_the_reach_of_a_stack_that_was_left_open_is_known_too() -> None:
    stack = _stack(_length("body"), Term(1, Ref("opening", "thickness")), least=5)
    parts = [_part("B1", "body", 10), _part("B2", "body", 20)]
    assert Answers(_setting(parts, positions=[_BODY], stacks=[stack])).reach(stack) == Span(10, 15, 20)


# Tables: the library may ask of any part of the scope.

_readings = st.lists(st.integers(0, 2), min_size=1, max_size=4)


@st.composite
def _relations(draw: st.DrawFn) -> tuple[Table, Callable[[tuple[int, ...]], bool]]:
    readings = draw(st.lists(_readings, min_size=1, max_size=3))
    every = list(product(*(sorted(set(column)) for column in readings)))
    rows = set(draw(st.lists(st.sampled_from(every))))
    table = Relation([f"v{place}" for place in range(len(readings))], readings, rows)
    return table, rows.__contains__


@st.composite
def _balances(draw: st.DrawFn) -> tuple[Table, Callable[[tuple[int, ...]], bool]]:
    size = draw(st.integers(1, 2))
    cut = Cut("length", 0, 6, 2, 0)
    cut_place = draw(st.integers(0, 3))
    readings, tallies = [], []
    for place in range(draw(st.integers(2, 3))):
        sums = st.tuples(*[st.one_of(st.integers(-6, 6), st.none())] * size)
        if draw(st.booleans()):  # the two limits of one gap
            sums = st.integers(-6, 6).map(lambda add: (add, -add)[:size])
        cuts = st.sampled_from([None, cut] if place == cut_place else [None])
        tallies.append(draw(st.lists(st.builds(Tally, sums, cuts), min_size=1, max_size=5, unique=True)))
        readings.append(draw(st.permutations(range(len(tallies[-1])))))

    def accepts(total: Tally) -> bool:
        room = 3 if total.cut else 0
        return all(left is None or left + room >= 0 for left in total.sums)

    table = Balance([f"v{place}" for place in range(len(readings))], readings, tallies, accepts)
    return table, lambda row: accepts(Tally.total(own[reading] for own, reading in zip(tallies, row, strict=True)))


_tables = st.one_of(_relations(), _balances())


@given(_tables, st.data())
def test_an_index_leads_to_the_values_that_complete_a_row(
    drawn: tuple[Table, Callable[[tuple[int, ...]], bool]], data: st.DataObject
) -> None:
    table, allowed = drawn
    target = data.draw(st.integers(0, len(table.scope) - 1))
    known = tuple(place for place in range(len(table.scope)) if place != target)
    index = table.index(known, target)
    assert index is not None
    for row in product(*(sorted(set(table.readings[place])) for place in known)):
        full = list(row)
        expected = {
            value
            for value, reading in enumerate(table.readings[target])
            if allowed((*full[:target], reading, *full[target:]))
        }
        assert index[row] == expected


@given(_tables, st.data())
def test_a_partial_assignment_is_refused_only_if_nothing_completes_it(
    drawn: tuple[Table, Callable[[tuple[int, ...]], bool]], data: st.DataObject
) -> None:
    table, allowed = drawn
    domains = {name: Domain(range(len(column))) for name, column in zip(table.scope, table.readings, strict=True)}
    for domain in domains.values():
        domain.pushState()
    values = {name: data.draw(st.sampled_from(list(domain))) for name, domain in domains.items()}
    some = data.draw(st.lists(st.sampled_from(table.scope), unique=True))
    assigned = {name: values[name] for name in some}
    forwardcheck = data.draw(st.booleans())
    complete = [
        full
        for full in product(*map(list, domains.values()))
        if all(full[table.scope.index(name)] == value for name, value in assigned.items())
        and allowed(tuple(column[value] for column, value in zip(table.readings, full, strict=True)))
    ]
    accepted = table(list(table.scope), domains, assigned, forwardcheck)
    assert accepted or not complete
    if len(some) >= len(table.scope) - 1 > 0:
        assert accepted == bool(complete)
    if forwardcheck:
        # What was hidden completes nothing.
        for place, name in enumerate(table.scope):
            assert {full[place] for full in complete} <= {*domains[name], *([values[name]] if name in assigned else [])}


@given(_relations())
def test_the_information_of_a_relation_is_the_share_that_it_rules_out(
    drawn: tuple[Table, Callable[[tuple[int, ...]], bool]],
) -> None:
    table, allowed = drawn
    every = prod(map(len, table.readings))
    count = sum(
        allowed(tuple(column[value] for column, value in zip(table.readings, values, strict=True)))
        for values in product(*(range(len(column)) for column in table.readings))
    )
    if count and len(table.scope) > 1:
        assert every / 2 ** table.information()[frozenset(table.scope)] == pytest.approx(count)
