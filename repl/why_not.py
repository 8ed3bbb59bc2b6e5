"""The question `why not`: why the job has no answer, or why a part or a value stands in none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice

from ..solver.reason import cores, reason_of
from ..solver.setting import JobError
from ..solver.soft import SoftNetwork
from ..solver.statement import Statement, Used, subject
from .answer import Answer
from .job import Job
from .near import listing
from .question import Question, outcome
from .refusal import Refusal
from .ways import WaysOut
from .wording import counted

ASSEMBLIES = ("assembly", "assemblies")


@dataclass(frozen=True, slots=True)
class WhyNot(Question):
    """Why there is no answer: to the job as it stands, or to the job with what is `asked`; the `number`th reason.

    What is asked takes the place of a fact about the same.
    """

    asked: Statement | None = None
    number: int = 1

    def following(self, before: Question | None) -> Question:
        """Ask for a further reason of what was asked about before."""
        if self.asked is None and self.number > 1 and isinstance(before, WhyNot):
            return replace(self, asked=before.asked)
        return self

    def answer(self, job: Job) -> Answer:
        """Say that there are answers, or what can't hold together and what would help."""
        if self.asked is None:
            return self._told(job, (), "")
        if stranger := _stranger(job, self.asked):
            return replace(job.answer(self.text, "does not fit"), count=0, message=(stranger,))
        total = job.answers.count()
        if not total:
            told = self._told(job, (), "")
            return replace(told, message=(f"the job has no answers, with or without {_words(self.asked)}",))
        told = self._told(job.adding(self.asked), (self.asked,), _words(self.asked))
        if not told.count:
            return told
        if (about := subject(self.asked)) and about in map(subject, job.statements):
            message = f"with {_words(self.asked)} there {_are(told.count)} {counted(told.count, *ASSEMBLIES)}"
            return replace(told, message=(message,))
        return replace(told, message=(f"{_holds(self.asked)} {told.count:,} of {counted(total, *ASSEMBLIES)}",))

    def _told(self, job: Job, asked: tuple[Statement, ...], what: str) -> Answer:
        total = job.answers.count()
        if total:
            message = f"there {_are(total)} {counted(total, *ASSEMBLIES)}: nothing stands in the way"
            return replace(job.answer(self.text, outcome(job, ())), count=total, message=(message,))
        begun = replace(job.answer(self.text, "does not fit"), count=0)
        try:
            soft = SoftNetwork(job.setting, job.watch)
        except JobError as error:  # with its statements left out the job is too open to be asked
            return replace(begun, message=(f"the reason can't be sought: {error.what} where statements are left out",))
        found = list(islice(cores(soft, asked), self.number + 1))
        if self.number > len(found):
            how_many = counted(len(found), "reason", "reasons")
            return job.refused(self.text, f"there is no reason {self.number}", f"there {_are(len(found))} {how_many}")
        core, *others = found[self.number - 1 :]
        reason = reason_of(soft, core, asked)
        if not reason.verified:
            return replace(begun, message=("the reason that was found could not be verified",))
        ways = WaysOut(job, soft, core, asked)
        refusal = Refusal(
            reason,
            what,
            f"why not {self.number + 1}",
            self.number,
            None if not others else "sharing statements" if set(core).intersection(others[0]) else "apart",
            ways.found(),
        )
        return replace(begun, refusal=replace(refusal, tried=tuple(ways.tried)))


def _are(number: int) -> str:
    return "is" if number == 1 else "are"


def _words(asked: Statement) -> str:
    return listing(asked.codes, "and") if isinstance(asked, Used) else f"`{asked.text}`"


def _holds(asked: Statement) -> str:
    if not isinstance(asked, Used):
        return f"{_words(asked)} leaves"
    return f"{_words(asked)} {'is' if len(asked.codes) == 1 else 'are together'} in"


def _stranger(job: Job, asked: Statement) -> str:
    """Say what kind of part the application has no place for; empty where it has one for all."""
    taken = {kind for position in job.application.positions.values() for kind in position.kinds}
    for code in asked.codes if isinstance(asked, Used) else ():
        if (kind := job.catalog.parts[code].kind) not in taken:
            title = job.catalog.kinds.get(kind, kind)
            return f"{code} is a {title}, and the application {job.application.name} has no place for one"
    return ""
