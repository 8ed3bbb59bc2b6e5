"""What answers claim, written down so that it can be checked without the engine that found it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from ..catalogs.fingerprint import fingerprint
from ..solver.assembly import Assembly
from ..solver.catalog import Catalog
from ..solver.cutting import cut_to_fit
from ..solver.finding import Verdict
from ..solver.part import Part
from ..solver.statement import Statement, Used
from .answer import Answer, Shown
from .claims import FORMAT, member_form
from .job import Job

Claim = dict[str, Any]


class Certificate:
    """The claims of all answers so far."""

    def __init__(self, catalog: Catalog) -> None:
        self._catalog = fingerprint(catalog)
        self._answers: list[dict[str, Any]] = []

    def add(self, job: Job, answer: Answer) -> None:
        """Note what an answer to a question on a job claims; one that claims nothing is noted as well."""
        asked = [member.element.statement for member in answer.refusal.reason.asked] if answer.refusal else []
        self._answers.append(
            {
                "question": answer.question,
                "asked": [said.text for said in asked if said and not isinstance(said, Used)],
                "used": [code for said in asked if isinstance(said, Used) for code in said.codes],
                "claims": list(_claims(job, answer)),
            }
        )

    def text(self) -> str:
        """Return the certificate as JSON."""
        return json.dumps({"format": FORMAT, "catalog": self._catalog, "answers": self._answers}, indent=2) + "\n"


def _claims(job: Job, answer: Answer) -> Iterator[Claim]:
    if answer.outcome not in ("fits", "fits if selected", "does not fit"):
        return
    if answer.changed:
        job = job.having(answer.changed.job)
    if answer.count:
        yield from (_fits(job, job.statements, shown) for shown in answer.assemblies)
        yield from (
            _least(job, shown) for shown in answer.assemblies[:1] if not answer.changed and _is_least(job, shown)
        )
    if answer.refusal:
        yield from _refused(job, answer)


def _refused(job: Job, answer: Answer) -> Iterator[Claim]:
    assert answer.refusal is not None
    reason, asked = answer.refusal.reason, {member.element.statement for member in answer.refusal.reason.asked}
    said = [each for each in job.statements if each not in asked]
    members = [member_form(member.element) for member in reason.members]
    yield {"claim": "refusal", "statements": _texts(said), "members": members}
    without = [_bill(witness.parts, witness.cuts) for witness in reason.witnesses]
    yield {
        "claim": "minimal",
        "statements": _texts(said),
        "members": [{**form, "without": bill} for form, bill in zip(members, without, strict=True)],
    }
    for way in answer.refusal.ways:
        texts = [text for text in _texts(said) if text not in way.out]
        yield _fits(job, (), way.best) | {"statements": [*texts, *way.into]}


def _fits(job: Job, statements: Iterable[Statement], shown: Shown) -> Claim:
    found = _assembly(job, shown)
    return {"claim": "fits", "statements": _texts(statements), **_bill(found.parts, found.cuts)} | {
        "verdict": shown.verdict.value
    }


def _is_least(job: Job, shown: Shown) -> bool:
    """Tell whether none that comes out as well is preferred; in another order the first need not be."""
    answers = (job.outright if shown.verdict is Verdict.FITS else job).answers
    return answers.least_preference() == _preference(job, shown)


def _least(job: Job, shown: Shown) -> Claim:
    return _fits(job, job.statements, shown) | {"claim": "least", "preference": _preference(job, shown)}


def _preference(job: Job, shown: Shown) -> int:
    places = [(job.application.positions[line.position], line) for line in shown.lines]
    return sum(job.setting.preference(place, line.part) * (line.quantity // place.quantity) for place, line in places)


def _assembly(job: Job, shown: Shown) -> Assembly:
    """Return what is shown, with the lengths that are left out because the job does not say what they depend on."""
    positions = job.application.positions
    parts: dict[str, tuple[Part, ...]] = dict.fromkeys(positions, ())
    for line in shown.lines:
        parts[line.position] += (line.part,) * (line.quantity // positions[line.position].quantity)
    given = {line.position: line.cut for line in shown.lines if line.cut is not None}
    return Assembly(parts, {**cut_to_fit(job.setting, parts).cuts, **given})


def _bill(parts: Mapping[str, Sequence[Part]], cuts: Mapping[str, int]) -> dict[str, Any]:
    return {"parts": {name: [part.code for part in own] for name, own in parts.items() if own}, "cuts": dict(cuts)}


def _texts(statements: Iterable[Statement]) -> list[str]:
    return [said.text for said in statements]
