"""What is done with a job as a list: shown, edited, saved and opened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from .answer import Answer, Row
from .job_file import Desk, unreadable
from .ledger import Facts, Ledger
from .wording import counted

if TYPE_CHECKING:
    from .session import Session


@dataclass(frozen=True, slots=True)
class Action:
    """Something done to a session; `text` is how it was said."""

    text: str

    recorded: ClassVar[bool] = True
    """Whether it stands in a transcript."""

    def step(self, ledger: Ledger, desk: Desk) -> Ledger:
        """Return the facts as they will be. Raises `LedgerError`, `FileError`."""
        return ledger

    def act(self, session: Session) -> Answer:
        """Do it. Raises `LedgerError`, `FileError`, and then nothing is changed."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Show(Action):
    """The job as a numbered list."""

    def act(self, session: Session) -> Answer:
        """List the facts in force."""
        rows: tuple[Row, ...] = tuple(
            {"number": number, "fact": said.text} for number, said in enumerate(session.said, 1)
        )
        return session.told(self.text, *(() if rows else ("the job says nothing yet",)), rows=rows)


@dataclass(frozen=True, slots=True)
class Edit(Action):
    """A change of the list."""

    def act(self, session: Session) -> Answer:
        """Make the step, and tell what is said no longer and what again."""
        before = session.said
        session.turn(self.step(session.ledger, session.desk))
        return session.told(self.text, *changes(before, session.said))


@dataclass(frozen=True, slots=True)
class Drop(Edit):
    """Take back facts by their numbers."""

    numbers: tuple[int, ...]

    def step(self, ledger: Ledger, desk: Desk) -> Ledger:
        """Drop them."""
        return ledger.drop(*self.numbers)


@dataclass(frozen=True, slots=True)
class Undo(Edit):
    """Take the last change of the list back."""

    def step(self, ledger: Ledger, desk: Desk) -> Ledger:
        """Undo."""
        return ledger.undo()


@dataclass(frozen=True, slots=True)
class Redo(Edit):
    """Make the change again that was undone last."""

    def step(self, ledger: Ledger, desk: Desk) -> Ledger:
        """Redo."""
        return ledger.redo()


@dataclass(frozen=True, slots=True)
class Clear(Edit):
    """Take back everything."""

    def step(self, ledger: Ledger, desk: Desk) -> Ledger:
        """Clear."""
        return ledger.clear()


@dataclass(frozen=True, slots=True)
class Save(Action):
    """Write the facts to a file."""

    file: str

    def step(self, ledger: Ledger, desk: Desk) -> Ledger:
        """Write them; they stay as they are."""
        desk.save(self.file, ledger.facts)
        return ledger

    def act(self, session: Session) -> Answer:
        """Write them, and tell what could not be read back."""
        self.step(session.ledger, session.desk)
        faults = unreadable(session.said, session.catalog)
        notes = [f"when it is opened, this will be refused: {fault}" for fault in faults]
        return session.told(self.text, f"{counted(len(session.said), 'fact', 'facts')} saved to {self.file}", *notes)


@dataclass(frozen=True, slots=True)
class Open(Edit):
    """Let the facts of a file take the place of those that were said."""

    file: str

    def step(self, ledger: Ledger, desk: Desk) -> Ledger:
        """Read the file."""
        return ledger.replace(desk.open(self.file).facts)

    def act(self, session: Session) -> Answer:
        """Read it, and tell what was left out."""
        opened = session.desk.open(self.file)
        session.turn(session.ledger.replace(opened.facts))
        told = [f"{counted(len(opened.facts), 'fact', 'facts')} read from {self.file}"]
        if opened.left_out:
            told.append(f"{counted(opened.left_out, 'line that is no fact', 'lines that are no facts')} left out")
        return session.told(self.text, *told)


def changes(before: Facts, now: Facts) -> tuple[str, ...]:
    """Return in words what two lists of facts differ in."""
    gone = ", ".join(f"`{said}`" for said in before if said not in now)
    come = ", ".join(f"`{said}`" for said in now if said not in before)
    told = (f"no longer said: {gone}" if gone else "", f"said again: {come}" if come else "")
    return tuple(filter(None, told)) or (
        ("the same is said in another order",) if before != now else ("nothing to change",)
    )
