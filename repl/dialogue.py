"""What is typed and what comes back, a line at a time, whatever it is typed on."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Callable, Iterator, Sequence

from .answer import Answer, Outcome
from .assists import Assists
from .near import listing
from .page import Page
from .remarks import Remark, Skip
from .session import Session
from .status import Status
from .text_file import FileError
from .toolbar import COMPUTING, toolbar
from .tour import Tour
from .vocabulary import Scene
from .wording import counted
from .words import StatementError
from .workbench import Said, Workbench

Heard = Answer | StatementError


class Dialogue:
    """Takes lines for a session and brings what is to be shown. `columns` is how wide the screen is, None: no screen.

    `verdict` is that of the last answer about fitting, `status` the worst that was met. It is `heard` once anything
    came back, and `over` when the user has left.
    """

    def __init__(self, session: Session, assists: Assists, columns: Callable[[], int | None] = lambda: None) -> None:
        self.session = session
        self.assists = assists
        self.bench = Workbench(session)
        self.verdict: Outcome | None = None
        self.status = Status.YES
        self.heard = False
        self.over = False
        self._tour: Tour | None = None
        self._columns = columns

    def take(self, line: str) -> Iterator[Heard]:
        """Take a line of one or several statements; a line with a fault changes nothing.

        Nothing is raised: a defect of the program is an answer too, and the job outlives it.
        """
        try:
            reading = self.session.read(line)
        except Exception as error:
            yield self._noted(_defect(line, error))
            return
        if reading.errors:
            self.heard = True
            self.status = max(self.status, Status.WRONG)
            yield from reading.errors
            return
        spoken: list[Said] = []
        for said in reading.said:
            if isinstance(said, Skip) and self.tour:
                yield from self.take(self.tour.begun_anew())
                continue
            spoken = [] if isinstance(said, Remark) else [*spoken, said]
            facts = self.session.said
            answer = self._done(said)
            if self.session.said != facts:
                self.verdict = None
            if answer:
                yield self._noted(answer)
            if self.over or (answer and answer.status is Status.INTERRUPTED):
                return
        if self.tour and spoken:
            yield from self._guided(line, self.tour, spoken)

    def _done(self, said: Said) -> Answer | None:
        try:
            return said.talk(self) if isinstance(said, Remark) else self.bench.do(said)
        except FileError as error:
            self.session.transcript = None
            return Answer(said.text, "error", (str(error), "nothing more is recorded"), status=Status.WRONG)
        except Exception as error:
            return _defect(said.text, error)

    def _noted(self, answer: Answer) -> Answer:
        self.heard = True
        self.status = max(self.status, answer.status)
        if answer.outcome in ("fits", "fits if selected", "does not fit"):
            self.verdict = answer.outcome
        return answer

    def _guided(self, line: str, tour: Tour, said: Sequence[Said]) -> Iterator[Answer]:
        if lines := list(tour.heard(said)):
            yield self.session.told(line, *lines)

    @property
    def tour(self) -> Tour | None:
        """The tour, as long as it has steps."""
        return self._tour if self._tour and self._tour.step else None

    @tour.setter
    def tour(self, tour: Tour | None) -> None:
        self._tour = tour

    @property
    def scene(self) -> Scene:
        """What names mean in the job as it stands."""
        return Scene(self.session.catalog, self.session.said)

    @property
    def prompt(self) -> str:
        """What stands before the line that is typed: what the job is about."""
        application = self.scene.application
        return f"{application.name if application else 'fitwright'}> "

    @property
    def greeting(self) -> str:
        """What is told before the first line: what is known here, and how to go on."""
        catalog = self.session.catalog
        known = f"{counted(len(catalog.parts), 'part', 'parts')} for {listing(list(catalog.applications), 'and')}"
        lines = (known, "`tour` shows how to ask, `help` what to say; Ctrl-D leaves")
        return "\n".join(piece for line in lines for piece in self.page.wrapped(line))

    @property
    def page(self) -> Page:
        """What answers are laid out on."""
        return Page(self._columns(), self.assists.tables)

    def toolbar(self, width: int) -> str:
        """Write the toolbar."""
        left = COMPUTING if self.bench.looks else self.left()
        return toolbar(self.scene, self.session.unit, left, self.verdict, width)

    def left(self) -> str:
        """Say how many assemblies are left in the job; nothing where that is not known."""
        total = self.bench.outlook.total if self.bench.outlook else None
        if total is None:
            return "" if self.scene.application or not self.session.said else "say `use` for what the job is about"
        return f"{counted(total, 'assembly', 'assemblies')} left" if total else "nothing is left; ask `why not`"


def _defect(text: str, error: Exception) -> Answer:
    if os.environ.get("FITWRIGHT_DEBUG"):
        traceback.print_exception(error, file=sys.stderr)
    what = f"internal error: {type(error).__name__}: {error}; the job is as it was (FITWRIGHT_DEBUG=1 shows where)"
    return Answer(text, "error", (what,), status=Status.INTERNAL)
