"""The assemblies that were shown last, and what is done with that list: going on, another order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .action import Action
from .answer import Answer
from .ledger import Facts
from .order import Order
from .question import DEFAULT_SHOWN, Fit

if TYPE_CHECKING:
    from .session import Session


@dataclass(frozen=True, slots=True)
class Listed:
    """Assemblies that were shown with numbers: of which facts, in which order, how many at a time, up to which."""

    facts: Facts
    order: Order
    number: int
    last: int


@dataclass(frozen=True, slots=True)
class Next(Action):
    """More of the assemblies that were shown last."""

    number: int | None = None

    def act(self, session: Session) -> Answer:
        """Show those that follow; refuse where the job has none or other ones by now."""
        listed = session.listed
        if listed is None:
            return session.job.refused(self.text, "no assemblies were shown yet", "say `fit` first")
        if listed.facts != session.said:
            return session.job.refused(self.text, "the job has changed since they were shown", "say `fit` anew")
        return session.ask(Fit(self.text, self.number or listed.number, listed.last + 1, listed.order))


@dataclass(frozen=True, slots=True)
class Sort(Action):
    """The assemblies in another order, from the first."""

    order: Order

    def act(self, session: Session) -> Answer:
        """Show as many as were shown at a time before."""
        number = session.listed.number if session.listed else DEFAULT_SHOWN
        return session.ask(Fit(self.text, number, 1, self.order))


def renumbered(answer: Answer, listed: Listed | None, facts: Facts) -> Answer:
    """Add to an answer that names an assembly by its number what the number stood for, if the job has changed."""
    if listed is None or listed.facts == facts:
        return answer
    gone = [f"without `{said}`" for said in listed.facts if said not in facts]
    come = [f"with `{said}`" for said in facts if said not in listed.facts]
    what = f": it is now {', '.join((*come, *gone))}" if come or gone else ""
    note = f"the job has changed since the numbers were shown{what}; `fit` shows the present ones"
    return replace(answer, message=(*answer.message, note))
