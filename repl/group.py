"""The question `group by`: what can stand in a position, and the best assembly with each."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..solver.part import Part
from .answer import Answer, Row, Shown
from .job import MOST_ROWS, Disagreement, Job
from .nothing import nothing
from .order import led_by
from .prose import item
from .question import Question, by_preference, outcome
from .wording import counted, price


@dataclass(frozen=True, slots=True)
class Group(Question):
    """For each part that can stand in a position: how many assemblies have it, and which of them is preferred."""

    position: str

    def answer(self, job: Job) -> Answer:
        """Count them all, and find the preferred ones of the parts that are shown."""
        total = job.answers.count()
        if not total:
            return nothing(job, self.text)
        counts = job.answers.choices(self.position)
        choices = sorted(counts, key=by_preference)
        kept = choices[: MOST_ROWS if job.limit is None else job.limit]
        best = [self._best(job, part) for part in kept]
        rows = tuple(self._row(job, part, counts[part], shown) for part, shown in zip(kept, best, strict=True))
        first = f", the first {len(kept):,} shown" if 0 < len(kept) < len(choices) else ""
        message = (
            counted(total, "assembly", "assemblies"),
            f"{counted(len(choices), 'choice', 'choices')} for {self.position}{first}; "
            "each with the best assembly by stock and price",
        )
        begun = job.answer(self.text, outcome(job, best), [line.part for shown in best for line in shown.lines])
        return replace(begun, count=total, rows=rows, message=message)

    def _best(self, job: Job, part: Part | None) -> Shown:
        """Return the preferred assembly with a part, one that fits outright where there is any."""
        for each in (job.outright, job):
            found = next(each.answers.in_order(led_by(self.position, part)), None)
            there = found.parts.get(self.position, ()) if found else ()
            if found and (part in there if part else not there):
                return job.passed(found)
        raise Disagreement(f"{part} is counted for {self.position} and found in no assembly")

    @staticmethod
    def _row(job: Job, part: Part | None, number: int, shown: Shown) -> Row:
        plain = job.plain("")
        return {
            "code": part.code if part else "(left empty)",
            "assemblies": number,
            "verdict": shown.verdict.value,
            "status": shown.status,
            "price": price(shown.cost, job.catalog.currency),
            "best assembly": ", ".join(item(plain, line) for line in shown.lines),
        }
