"""Checks what a certificate claims on the catalogs themselves: by the judge and by trying, and by nothing else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

from ..catalogs.fingerprint import fingerprint
from ..solver.assembly import Assembly
from ..solver.catalog import Catalog
from ..solver.element import MATED, SIDES, Element, of_joint, of_match, of_rule, of_stack, of_statement, statements
from ..solver.finding import Verdict, worst
from ..solver.judge import judge
from ..solver.part import Part
from ..solver.setting import JobError, Setting
from ..solver.statement import Statement, Used
from ..solver.trial import Parts, TooLarge, Trial
from .claims import member_form
from .facts import fact
from .shape import At
from .status import Status
from .vocabulary import Scene
from .words import StatementError, Words


class Refused(Exception):
    """A claim that does not hold, with the place of what is wrong."""

    def __init__(self, at: At, why: str) -> None:
        super().__init__(f"{at.place}: {why}")


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a claim. `told` says what it is, or where and why it was refused; `cautions` go with a yes."""

    word: Literal["verified", "refused", "too large to verify so"]
    told: str
    cautions: tuple[str, ...] = ()


def verify(certificate: At, catalog: Catalog, bound: int) -> Iterator[Outcome]:
    """Yield what becomes of each claim of a certificate that is of its shape."""
    if certificate.value["catalog"] != fingerprint(catalog):
        yield Outcome("refused", "catalog: it is about other catalogs than these")
        return
    for answer in certificate.at("answers").each():
        for claim in answer.at("claims").each():
            try:
                case = _Case(catalog, claim, answer)
                told = case.refusal(bound) if "members" in claim.value else case.assembly(bound)
                yield Outcome("verified", f"{answer.value['question']}: {told}", tuple(case.job.cautions(case.parts)))
            except Refused as error:
                yield Outcome("refused", str(error))
            except TooLarge:
                yield Outcome("too large to verify so", f"{claim.place}: more than {bound:,} combinations")


def verdict(outcomes: Sequence[Outcome]) -> tuple[str, Status]:
    """Return the first line on a certificate, and the exit status."""
    words = Counter(each.word for each in outcomes)
    told = ", ".join(f"{number:,} {word}" for word, number in sorted(words.items())) or "nothing is claimed"
    if words["refused"]:
        return f"refused: {told}", Status.NO
    if words["too large to verify so"]:
        return f"not settled: {told}", Status.UNSETTLED
    return f"verified: {told}", Status.YES


class _Case:
    """One claim, on the job that it is about: its own statements, and what the question asks beside them."""

    def __init__(self, catalog: Catalog, claim: At, answer: At) -> None:
        self.catalog, self.claim, self.parts = catalog, claim, list[Part]()
        said: list[Statement] = []
        for at in (*claim.at("statements").each(), *answer.at("asked").each()):
            try:
                said.append(fact(Words(at.value), Scene(catalog, tuple(said))))
            except StatementError as error:
                raise Refused(at, error.message) from None
        used = [Used((self._part(at).code,)) for at in answer.at("used").each()]
        self.job = Setting(catalog, (*said, *used))
        self.asked = frozenset(map(of_statement, (*said[len(claim.value["statements"]) :], *used)))
        try:
            self.welcome = Verdict.SELECTED if self.job.selective else Verdict.FITS
            self.checks = self.job.joints, self.job.stacks, self.job.rules, self.job.application.match
        except JobError as error:
            raise Refused(claim.at("statements"), str(error)) from None

    def assembly(self, bound: int) -> str:
        """Hold that an assembly comes out as claimed, and that none as good is preferred where that is claimed."""
        found, claimed = self._assembly(self.claim), self.claim.at("verdict")
        findings = judge(self.job, found)
        came = worst([finding.verdict for finding in findings])
        if came.value != claimed.value or came.rank > self.welcome.rank:
            finding = next((finding for finding in findings if finding.verdict is came), None)
            why = f": {finding.where}: {finding.because}" if finding and came.rank else ""
            raise Refused(claimed, f"the judge says `{came.value}`{why}")
        codes = ", ".join(dict.fromkeys(part.code for part in self.parts))
        if self.claim.value["claim"] == "fits":
            return f"{came.value}: {codes}"
        known, bill = self.job.application.positions, found.parts.items()
        preference = sum(self.job.preference(known[name], part) for name, parts in bill for part in parts)
        if preference != self.claim.value["preference"]:
            raise Refused(self.claim.at("preference"), f"it is {preference}")
        if better := Trial(self.job, came).search(bound, preference):
            raise Refused(self.claim, f"{_codes(better)} are preferred")
        return f"none is preferred to {codes}"

    def refusal(self, bound: int) -> str:
        """Hold that members can't hold together, or that for each of them an assembly satisfies all the others."""
        members = {self._element(at): at for at in self.claim.at("members").each()}
        names = "; ".join(at.value.get("statement") or at.value["where"] for at in members.values()) or "what is asked"
        if self.claim.value["claim"] == "minimal":
            for element, at in members.items():
                others = self.asked.union(members) - {element}
                if against := Trial(self.job, self.welcome, others).against(self._assembly(at.at("without"))):
                    raise Refused(at, against)
            return f"none can be spared of {names}"
        if found := Trial(self.job, self.welcome, self.asked.union(members)).search(bound):
            raise Refused(self.claim.at("members"), f"{_codes(found)} satisfy them all")
        return f"these can't hold together: {names}"

    def _element(self, member: At) -> Element:
        joints, stacks, rules, match = self.checks
        checks = [check for interface in self.catalog.interfaces.values() for check in interface.checks]
        known = [
            *map(of_statement, statements(self.job)),
            *(of_joint(joint, check) for joint, check in product(joints, (SIDES, MATED, *checks))),
            *(*map(of_stack, stacks), *map(of_rule, rules), *map(of_match, match)),
        ]
        form = {key: value for key, value in member.value.items() if key != "without"}
        if found := next((element for element in known if member_form(element) == form), None):
            return found
        raise Refused(member, "the job and its catalogs have no such statement or check")

    def _assembly(self, at: At) -> Assembly:
        known = self.job.application.positions
        if stranger := next((name for name in at.value["parts"] if name not in known), None):
            raise Refused(at.at("parts"), f"the application has no position {stranger[:40]}")
        named = {name: tuple(map(self._part, at.at("parts").at(name).each())) for name in at.value["parts"]}
        parts = {name: named.get(name, ()) for name in known}
        self.parts = [part for own in parts.values() for part in own]
        return Assembly(parts, at.value["cuts"])

    def _part(self, at: At) -> Part:
        if at.value not in self.catalog.parts:
            raise Refused(at, f"no part has the code {at.value}")
        return self.catalog.parts[at.value]


def _codes(parts: Parts) -> str:
    return ", ".join(dict.fromkeys(part.code for own in parts.values() for part in own))
