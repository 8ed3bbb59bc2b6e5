"""Where a session's questions are worked on, so that the keyboard is always heard: in threads of their own."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, wait
from contextlib import suppress
from functools import partial
from threading import Event
from time import monotonic

from ..solver.catalog import Catalog
from ..solver.setting import JobError
from ..solver.statement import Statement
from .action import Action
from .answer import Answer
from .completion import Suggestion, suggestions
from .ledger import Ledger
from .outlook import Outlook
from .question import Question
from .session import Session
from .standing import Standing, standing
from .status import Status
from .vocabulary import Scene
from .words import StatementError
from .worker import Result, Worker

GLANCE = 0.05
"""Seconds between two looks at whether a question is answered; some systems hear the keyboard only then."""

SETTLING = 0.1
"""Seconds after which numbers that were found meanwhile are shown."""

LONG = 1.0
"""Seconds after which it is told that a question is still worked on."""

PATIENCE = 0.08
"""Seconds that a stopped question is given to end; after that its thread is left to itself."""

Said = Statement | Question | Action


class Workbench:
    """Computes for a session in one thread, and reads in another what is being typed.

    `outlook` is what is still possible in the job as it stands; None before anything was looked for. `tell` says that
    something takes long.
    """

    def __init__(self, session: Session, tell: Callable[[], None] | None = None) -> None:
        self.session = session
        self.tell = tell
        self.outlook: Outlook | None = None
        self._computer, self._reader = Worker(), Worker()
        self._looking: Future[None] | None = None
        self._settling: Future[bool] | None = None
        self._wanted = Event()

    def do(self, said: Said) -> Answer | None:
        """Say a fact, ask a question, or act. An interrupt from the keyboard stops it, and is an answer too."""
        self._wanted.clear()
        if not isinstance(said, Question):
            self.stop_looking()  # it would be out of date
        task = self._computer.submit(partial(self.session.do, said))
        begun = monotonic()
        told = self.tell is None
        try:
            while not task.done():
                wait((task,), GLANCE)
                if self.tell and not told and monotonic() - begun > LONG:
                    told = True
                    self.tell()
            return task.result()
        except KeyboardInterrupt:
            task.cancel()
            self._stop()
            return Answer(said.text, "stopped", ("interrupted",), status=Status.INTERRUPTED)

    def _stop(self) -> None:
        """Stop the computer; where it does not hear that soon, go on with another one."""
        self.session.stop()
        self.outlook = None  # its job is stopped for good
        heard = False
        with suppress(KeyboardInterrupt):  # whoever is in a hurry does not wait
            heard = bool(wait((self._computer.submit(_nothing),), PATIENCE).done)
        if not heard:
            self._computer = Worker()
            self.session.forget()

    def look(self) -> Future[None]:
        """Begin to find out what is still possible in the job as it stands; what was begun before is given up."""
        self.stop_looking()
        try:
            outlook = self.outlook = Outlook(self.session.begin())
        except JobError:  # it can't be asked, as a question will say
            self.outlook = None
            self._looking = self._computer.submit(_nothing)
        else:
            self._looking = self._computer.submit(outlook.solve)
        return self._looking

    @property
    def looks(self) -> bool:
        """Whether it is being found out what is still possible."""
        return self._looking is not None and not self._looking.done()

    def stop_looking(self) -> None:
        """Give up what was begun; then nothing is known of what is possible."""
        begun = [each for each in (self._looking, self._settling) if each and not each.done()]
        if begun:
            self.outlook = None
        if [each for each in begun if not each.cancel()]:
            self.session.stop()

    def suggest(self, text: str, cursor: int) -> Future[list[Suggestion]]:
        """Begin to find what can stand at the cursor: with how many assemblies each leaves, where that is known."""
        catalog, ledger = self.session.catalog, self.session.ledger
        return self._read(partial(_suggested, text, cursor, catalog, ledger, self.outlook))

    def settle(self) -> Future[bool]:
        """Begin to find the numbers that the last suggestions lack, until something is asked; tell whether any were."""
        if self._settling is None or self._settling.done():
            self._wanted.set()
            self._settling = self._computer.submit(partial(self._settle, self.outlook))
        return self._settling

    def _settle(self, outlook: Outlook | None) -> bool:
        end = monotonic() + SETTLING
        found = False
        while outlook and outlook is self.outlook and self._wanted.is_set() and monotonic() < end:
            self.session.begin()  # each has all the time that a question has
            if not outlook.settle():
                break
            found = True
        return found

    def judge(self, text: str) -> Future[tuple[Standing, StatementError | None]]:
        """Begin to find out whether a line is right so far."""
        return self._read(partial(standing, text, self.session.catalog, self.session.ledger))

    def _read(self, task: Callable[[], Result]) -> Future[Result]:
        """Let the reader do a task, and the computer stand still meanwhile: a key waits for nobody."""
        self.session.free.clear()
        reading = self._reader.submit(task)
        reading.add_done_callback(lambda _: self.session.free.set())
        return reading


def _suggested(text: str, cursor: int, catalog: Catalog, ledger: Ledger, outlook: Outlook | None) -> list[Suggestion]:
    """Find suggestions; where the numbers fail, without them, and where all fails, none: a menu ends no session."""
    scene = Scene(catalog, ledger.facts)
    for known in (outlook, None):
        with suppress(Exception):
            return suggestions(text, cursor, scene, known, ledger)
    return []


def _nothing() -> None:
    """Take a turn."""
