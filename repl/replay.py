"""Recording a session, and running a recorded one again to see which answers differ."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from .action import Action
from .answer import Answer
from .job_file import Rehearsal
from .prose import prose
from .status import Status
from .transcript import MOST_DIFFERENCES, Entry, Transcript, recorded
from .wording import counted

if TYPE_CHECKING:
    from .session import Session

OFF = "off"


@dataclass(frozen=True, slots=True)
class Record(Action):
    """Write down from now on what is said and answered; None: no longer."""

    file: str | None

    recorded: ClassVar[bool] = False

    def act(self, session: Session) -> Answer:
        """Begin a new transcript with the facts that stand, or end the one that is being written."""
        if self.file is None:
            before, session.transcript = session.transcript, None
            told = f"{before.file} is complete" if before else "nothing was being recorded"
            return session.told(self.text, told)
        session.transcript = Transcript(self.file, session.limit, session.chosen_unit)
        for said in session.said:
            session.transcript.note(said.text, None)
        return session.told(self.text, f"recording to {self.file}")


@dataclass(frozen=True, slots=True)
class Replay(Action):
    """Run a transcript again, on a session of its own, and say which answers differ from those recorded."""

    file: str

    recorded: ClassVar[bool] = False

    def act(self, session: Session) -> Answer:
        """Answer every question anew; nothing that a transcript saved is written again."""
        found = recorded(self.file)
        again = session.fresh(found.limit, found.unit, Rehearsal(session.catalog))
        same, differ, told = 0, 0, list[str]()
        for number, entry in enumerate(found.entries, 1):
            now = _answered(again, entry)
            if differences := entry.differences(now):
                differ += 1
                shown = differences[:MOST_DIFFERENCES]
                told += [f"{number}. `{entry.said}`", *(f"    {line}" for line in shown)]
                if len(differences) > len(shown):
                    told.append(f"    and {counted(len(differences) - len(shown), 'more line', 'more lines')}")
            elif entry.answer:
                same += 1
        word = "differs" if differ == 1 else "differ"
        summary = f"{counted(same, 'answer', 'answers')} as recorded, {differ:,} {word}"
        answer = session.told(self.text, summary, *told)
        return replace(answer, status=Status.NO if differ else Status.YES)


def _answered(session: Session, entry: Entry) -> list[str]:
    """Say an entry's statement and return the lines of the answer; a fault is an answer too."""
    reading = session.read(entry.said)
    if reading.errors:
        return [line for error in reading.errors for line in str(error).splitlines()]
    lines: list[str] = []
    for said in reading.said:
        if isinstance(said, Record | Replay):
            return ["a transcript can't record or replay"]
        answer = session.do(said)
        if answer is not None:
            lines += prose(answer).splitlines()
    return lines
