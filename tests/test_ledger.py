"""The job as a list: any run of steps there and back gives what a plain list of snapshots gives."""

from __future__ import annotations

import pytest
from fitwright.repl.ledger import Ledger, LedgerError
from fitwright.solver.length import INCH
from fitwright.solver.span import Span
from fitwright.solver.statement import Door, Into, OpeningIs, Statement, Use, Want
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

FACTS: list[Statement] = [
    Use("rim", text="use rim"),
    Use("mortise", text="use mortise"),
    Door(Span.exact(INCH), text="door 1 in"),
    Door(Span.exact(2 * INCH), text="door 2 in"),
    Into("A", text="into A"),
    OpeningIs("hand", ("LH",), text="opening hand LH"),
    OpeningIs("fire", ("90",), text="opening fire 90"),
    Want("finish", ("626",), text="want finish 626"),
    Want("finish", ("605",), text="want finish 605"),
]
REPLACES = [(0, 1), (2, 3)]
"""Which of them are about the same."""


def rival(one: Statement, other: Statement) -> bool:
    pair = {FACTS.index(one), FACTS.index(other)}
    return one == other or any(pair == set(own) for own in REPLACES)


class Steps(RuleBasedStateMachine):
    """The model: a list of lists, and where in it one stands."""

    def __init__(self) -> None:
        super().__init__()
        self.ledger = Ledger()
        self.snapshots: list[list[Statement]] = [[]]
        self.at = 0

    def becomes(self, facts: list[Statement]) -> None:
        if facts != self.snapshots[self.at]:
            self.snapshots = [*self.snapshots[: self.at + 1], facts]
            self.at += 1

    @rule(fact=st.sampled_from(FACTS))
    def say(self, fact: Statement) -> None:
        self.ledger = self.ledger.say(fact)
        self.becomes([*(each for each in self.snapshots[self.at] if not rival(each, fact)), fact])

    @rule(data=st.data())
    @precondition(lambda self: self.snapshots[self.at])
    def drop(self, data: st.DataObject) -> None:
        facts = self.snapshots[self.at]
        numbers = data.draw(st.sets(st.integers(1, len(facts)), min_size=1))
        self.ledger = self.ledger.drop(*numbers)
        self.becomes([fact for number, fact in enumerate(facts, 1) if number not in numbers])

    @rule()
    def clear(self) -> None:
        self.ledger = self.ledger.clear()
        self.becomes([])

    @rule()
    def undo(self) -> None:
        if self.at == 0:
            with pytest.raises(LedgerError, match="nothing to undo"):
                self.ledger.undo()
        else:
            self.ledger, self.at = self.ledger.undo(), self.at - 1

    @rule()
    def redo(self) -> None:
        if self.at == len(self.snapshots) - 1:
            with pytest.raises(LedgerError, match="nothing to redo"):
                self.ledger.redo()
        else:
            self.ledger, self.at = self.ledger.redo(), self.at + 1

    @rule(number=st.integers(-3, 20))
    def drop_what_is_not_there(self, number: int) -> None:
        if not 1 <= number <= len(self.snapshots[self.at]):
            with pytest.raises(LedgerError, match=f"no fact {number}"):
                self.ledger.drop(number)

    @invariant()
    def they_agree(self) -> None:
        assert list(self.ledger.facts) == self.snapshots[self.at]


TestSteps = Steps.TestCase
