"""A job that grows statement by statement and is asked in between."""

from __future__ import annotations

from ..solver.catalog import Catalog
from ..solver.length import Unit
from ..solver.setting import JobError, Setting, TooManyWays
from ..solver.statement import Door, Statement
from ..solver.watch import Deadline, OutOfTime, Watch
from .answer import Answer
from .facts import unit_of
from .job import Job
from .parse import Reading, read
from .question import Question
from .status import Status
from .wide import told


class TimeLimit(Watch):
    """A limit on the time of each question; None: as long as it takes."""

    def __init__(self, seconds: float | None = None) -> None:
        self.seconds = seconds
        self._watch = Watch()

    def start(self) -> None:
        """Begin to count for a new question."""
        self._watch = Watch() if self.seconds is None else Deadline(self.seconds)

    def tick(self) -> None:
        """Raise `OutOfTime` once the time is over."""
        self._watch.tick()


class Session:
    """Facts said so far, on one catalog. The compiled answers are kept as long as the facts stay the same."""

    def __init__(
        self, catalog: Catalog, *, unit: Unit | None = None, limit: int | None = None, time_limit: float | None = None
    ) -> None:
        self.catalog = catalog
        self.said: tuple[Statement, ...] = ()
        self._unit, self._limit = unit, limit
        self._time = TimeLimit(time_limit)
        self._job: Job | None = None

    def read(self, text: str) -> Reading:
        """Read a text as it would be understood after what was said; nothing is said by it yet."""
        return read(text, self.catalog, self.said)

    def say(self, statement: Statement) -> None:
        """Add a fact."""
        self.said = (*self.said, statement)
        self._job = None

    def ask(self, question: Question) -> Answer:
        """Answer a question on the facts so far; a job that can't be asked and a time that is over are answers too."""
        self._time.start()
        try:
            return question.answer(self.job)
        except JobError as error:
            what = told(self.job, error) if isinstance(error, TooManyWays) else str(error)
            return Answer(question.text, "error", (what,), status=Status.WRONG)
        except OutOfTime as error:
            return Answer(question.text, "stopped", (str(error),), status=Status.OUT_OF_TIME)

    @property
    def job(self) -> Job:
        """The facts that stand, ready to be asked."""
        if self._job is None:
            self._job = Job(self.catalog, Setting(self.catalog, self.said).facts, self.unit, self._limit, self._time)
        return self._job

    @property
    def unit(self) -> Unit:
        """The unit that lengths are shown in: the chosen one, else that of the door, else inches."""
        doors = [said for said in self.said if isinstance(said, Door)]
        return self._unit or (unit_of(doors[-1]) if doors else "in")
