"""A course that is being followed: what was typed is judged by its effect on the job, whatever its words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ..solver.statement import Statement
from .action import Action, Edit
from .ledger import Facts, Ledger
from .question import Question
from .tours import Course, Step

if TYPE_CHECKING:
    from .session import Session

Said = Statement | Question | Action


class Tour:
    """A course from its first step to its last, on a job of its own; the user's is put back when it is over."""

    def __init__(self, course: Course, session: Session) -> None:
        self._steps = list(course.steps)
        self._number = len(course.steps)
        self._session = session
        self._before, self._transcript = session.ledger, session.transcript
        session.transcript = None  # the tour's job is not the user's
        session.turn(Ledger())
        self._expect()

    @property
    def step(self) -> Step | None:
        """The step that is to be done; None when all are."""
        return self._steps[0] if self._steps else None

    def task(self) -> Iterator[str]:
        """Yield the lines that set the step."""
        if self.step:
            yield f"step {self._number - len(self._steps) + 1} of {self._number}: {self.step.do}"

    def hint(self) -> Iterator[str]:
        """Yield what could be typed."""
        if self.step:
            yield f"type: {self.step.line}"

    def begun_anew(self) -> str:
        """Take back what was said since the step began, and return the line that does it."""
        self._session.turn(self._start)
        return self._steps[0].line

    def heard(self, said: Sequence[Said]) -> Iterator[str]:
        """Judge a line that was taken, and yield what is to be said then; nothing where it is on the way."""
        now, wanted = _meanings(self._session.said), _meanings(self._after.facts)
        if now == wanted and self._asked <= set(map(_meant, said)):
            yield from self._next()
        elif more := [fact.text for fact in self._session.said if _meant(fact) not in wanted | self._begun]:
            yield f"this step asks for no `{'` and no `'.join(more)}`; `undo` takes it back, `hint` shows what to type"

    def end(self) -> None:
        """Put the user's job back."""
        self._steps.clear()
        self._session.turn(self._before)
        self._session.transcript = self._session.transcript or self._transcript

    def _next(self) -> Iterator[str]:
        self._session.turn(self._after)  # the facts in the order in which the next steps expect them
        done = self._steps.pop(0)
        if done.see:
            yield done.see
        if self._steps:
            self._expect()
            yield from self.task()
        else:
            self.end()
            yield "that was the tour; the job is again what it was before"

    def _expect(self) -> None:
        """Find out what the step's own line asks, and what the facts are after it."""
        before = self._start = self._session.ledger
        reading = self._session.read(self._steps[0].line)
        self._begun = _meanings(before.facts)
        self._after = reading.ledger
        self._asked = frozenset(_meant(said) for said in reading.said if not isinstance(said, Statement | Edit))


def _meant(said: Said) -> Said:
    """Return what was said, whatever its words."""
    return replace(said, text="")


def _meanings(facts: Facts) -> frozenset[Said]:
    return frozenset(map(_meant, facts))
