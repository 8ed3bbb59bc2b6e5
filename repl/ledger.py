"""The facts of a job in the order in which they came into force, with every step there and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..solver.statement import Statement, in_force

Facts = tuple[Statement, ...]


class LedgerError(ValueError):
    """A step that can't be made: `what` is in the way, and a `hint` at what would be right."""

    def __init__(self, what: str, hint: str) -> None:
        super().__init__(f"{what}; {hint}")
        self.what, self.hint = what, hint


@dataclass(frozen=True, slots=True)
class Ledger:
    """The facts in force. Every step returns another ledger; `past` and `future` are where undo and redo lead to.

    A fact that replaces an earlier one takes it off the list and stands last; only undo brings the earlier one back.
    """

    facts: Facts = ()
    past: tuple[Facts, ...] = ()
    future: tuple[Facts, ...] = ()

    def say(self, statement: Statement) -> Ledger:
        """Add a fact; what it replaces, and the same fact said before, goes."""
        return self.replace([*(fact for fact in self.facts if fact != statement), statement])

    def drop(self, *numbers: int) -> Ledger:
        """Take back the facts with these numbers, counted from 1. Raises `LedgerError` where there is no such fact."""
        for number in numbers:
            if not 1 <= number <= len(self.facts):
                raise LedgerError(f"the job has no fact {number}", "say `show` for those that it has")
        return self.replace([fact for number, fact in enumerate(self.facts, 1) if number not in numbers])

    def clear(self) -> Ledger:
        """Take back all facts."""
        return self.replace(())

    def replace(self, facts: Sequence[Statement]) -> Ledger:
        """Let other facts stand instead; no step where they are the same."""
        standing = in_force(facts)
        return self if standing == self.facts else Ledger(standing, (*self.past, self.facts))

    def undo(self) -> Ledger:
        """Go back to before the last step. Raises `LedgerError` where there is none."""
        if not self.past:
            raise LedgerError("there is nothing to undo", "no fact was said or dropped yet")
        return Ledger(self.past[-1], self.past[:-1], (*self.future, self.facts))

    def redo(self) -> Ledger:
        """Take the last undo back. Raises `LedgerError` where there is none."""
        if not self.future:
            raise LedgerError("there is nothing to redo", "nothing was undone since the last change")
        return Ledger(self.future[-1], (*self.past, self.facts), self.future[:-1])
