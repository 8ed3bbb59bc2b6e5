"""A job that grows statement by statement and is asked in between."""

from __future__ import annotations

from collections.abc import Sequence
from threading import Event, Lock

from ..solver.catalog import Catalog
from ..solver.collector import paused_collector
from ..solver.length import Unit
from ..solver.setting import JobError, Setting, TooManyWays
from ..solver.statement import Door, Statement
from ..solver.watch import Interrupted, OutOfTime, Stopwatch
from .action import Action
from .answer import Answer, Row
from .facts import unit_of
from .job import Job, Shared
from .job_file import Desk
from .ledger import Facts, Ledger, LedgerError
from .listed import Listed, renumbered
from .parse import Reading, read
from .prose import prose
from .question import Fit, Question
from .status import Status
from .text_file import FileError
from .transcript import Transcript
from .wide import told


class Session:
    """Facts said so far, on one catalog. The compiled answers are kept as long as the facts stay the same."""

    def __init__(
        self,
        catalog: Catalog,
        *,
        unit: Unit | None = None,
        limit: int | None = None,
        time_limit: float | None = None,
        desk: Desk | None = None,
    ) -> None:
        self.catalog = catalog
        self.ledger = Ledger()
        self.desk = desk or Desk(catalog)
        self.listed: Listed | None = None
        self.chosen_unit, self.limit = unit, limit
        self.transcript: Transcript | None = None
        self._shared = Shared()
        self._asked: tuple[Facts, Question | None] = (), None
        self.free = Event()
        self.free.set()
        self._stopwatch = Stopwatch(time_limit, self.free)
        self._job: Job | None = None
        self._lock = Lock()

    @property
    def said(self) -> Facts:
        """The facts in force, in the order in which they came into force."""
        return self.ledger.facts

    def read(self, text: str) -> Reading:
        """Read a text as it would be understood after what was said; nothing is said by it yet."""
        return read(text, self.catalog, self.ledger)

    def do(self, said: Statement | Question | Action) -> Answer | None:
        """Say a fact, answer a question, or do what is to be done with the job; a fact has no answer.

        Where a transcript is being written, it stands there. Raises `FileError` if it can't be.
        """
        watch = self._stopwatch
        answer = self._done(said)
        given_up = watch is not self._stopwatch
        if self.transcript and not given_up and not (isinstance(said, Action) and not said.recorded):
            self.transcript.note(str(said.text), prose(answer) if answer else None)
        return answer

    def fresh(self, limit: int | None, unit: Unit | None, desk: Desk) -> Session:
        """Return a session on the same catalog, within the same time, that has said nothing yet."""
        return Session(self.catalog, unit=unit, limit=limit, time_limit=self._stopwatch.seconds, desk=desk)

    def _done(self, said: Statement | Question | Action) -> Answer | None:
        if isinstance(said, Statement):
            self.say(said)
            return None
        if isinstance(said, Question):
            return self.ask(said)
        try:
            return said.act(self)
        except (LedgerError, FileError) as error:
            lines = error.lines if isinstance(error, FileError) else ()
            return Answer(said.text, "error", (str(error), *lines), status=Status.WRONG)

    def say(self, statement: Statement) -> None:
        """Add a fact."""
        self.turn(self.ledger.say(statement))

    def turn(self, ledger: Ledger) -> None:
        """Let the facts of a ledger stand from now on."""
        changed = ledger.facts != self.said
        self.ledger = ledger
        if changed:
            self._job = None

    def told(self, text: str, *message: str, rows: Sequence[Row] = ()) -> Answer:
        """Return an answer that is not about fitting."""
        return Answer(text, None, message, rows=tuple(rows), unit=self.unit, currency=self.catalog.currency)

    def ask(self, question: Question) -> Answer:
        """Answer a question on the facts so far; a job that can't be asked and a time that is over are answers too."""
        try:
            with paused_collector():
                return self._answered(question)
        except JobError as error:
            what = told(self.job, error) if isinstance(error, TooManyWays) else str(error)
            return Answer(question.text, "error", (what,), status=Status.WRONG)
        except OutOfTime as error:
            return Answer(question.text, "stopped", (str(error),), status=Status.OUT_OF_TIME)
        except Interrupted as error:
            return Answer(question.text, "stopped", (str(error),), status=Status.INTERRUPTED)

    def begin(self) -> Job:
        """Return the job for something that is to be computed, whose time begins to run."""
        self._stopwatch.start()
        return self.job

    def stop(self) -> None:
        """Stop what is being computed, from any thread. The facts stay; they are computed anew when asked again."""
        with self._lock:
            self._stopwatch.stop()
            self._stopwatch = Stopwatch(self._stopwatch.seconds, self.free)
            self._job = None

    def forget(self) -> None:
        """Leave what was found out about the catalog to a thread that does not stop, and begin it anew."""
        with self._lock:
            self._shared = Shared()
            self._job = None

    def _answered(self, question: Question) -> Answer:
        """Answer a question in the order that was shown last, and keep in mind what this one shows."""
        listed = self.listed
        current = listed is not None and listed.facts == self.said
        job = self.begin()
        facts, before = self._asked
        question = question.following(before if facts == self.said else None)
        self._asked = self.said, question
        answer = question.answer(job.in_order(listed.order) if listed and current else job)
        if isinstance(question, Fit) and answer.count:
            last = question.first + len(answer.assemblies) - 1
            self.listed = Listed(self.said, question.order, question.number, last)
        return renumbered(answer, listed, self.said) if question.cites else answer

    @property
    def job(self) -> Job:
        """The facts that stand, ready to be asked."""
        with self._lock:
            if self._job is None:
                facts = Setting(self.catalog, self.said).facts
                self._job = Job(self.catalog, facts, self.unit, self.limit, self._stopwatch, shared=self._shared)
            return self._job

    @property
    def unit(self) -> Unit:
        """The unit that lengths are shown in: the chosen one, else that of the door, else inches."""
        doors = [said for said in self.said if isinstance(said, Door)]
        return self.chosen_unit or (unit_of(doors[-1]) if doors else "in")
