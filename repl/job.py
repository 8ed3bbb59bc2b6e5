"""A job about to be asked: its facts held against the catalog, and what every question on it needs."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import prod
from typing import TYPE_CHECKING

from ..solver.answers import Answers
from ..solver.application import Application
from ..solver.assembly import Assembly
from ..solver.catalog import Catalog
from ..solver.finding import Finding, Verdict, worst
from ..solver.length import Unit
from ..solver.narrowed import ABOUT_PARTS, Narrowed
from ..solver.part import Part
from ..solver.setting import JobError, Setting
from ..solver.statement import OPENING_TRAITS, Into, Keep, Measure, Selective, Statement
from ..solver.watch import Relay, Watch
from .answer import Answer, Line, Outcome, Row, Shown
from .order import PREFERENCE, Order
from .status import Status
from .vocabulary import Scene

if TYPE_CHECKING:
    from ..solver.interchange import Interchange

PREPARATION = "opening preparation"
"""How the job states what the door was cut for."""

MOST_ROWS = 20
"""How many rows of a list are shown where no limit is given."""


class Disagreement(RuntimeError):
    """An assembly that the graph offers and the judge refuses: a defect of the engine, never shown as an answer."""


@dataclass
class Shared:
    """What was found out about a catalog and holds for every job on it."""

    interchange: Interchange | None = None
    watch: Relay = field(default_factory=Relay)


@dataclass(frozen=True)
class Job:
    """Statements that stand, the catalog, how to show lengths, how many assemblies to show, who watches the time.

    `wider` is the job without its last statement, where that only rules parts out; `order` the one in which the
    assemblies are numbered.
    """

    catalog: Catalog
    statements: tuple[Statement, ...]
    unit: Unit = "in"
    limit: int | None = None
    watch: Watch | None = None
    wider: Job | None = field(default=None, repr=False, compare=False)
    shared: Shared = field(default_factory=Shared, repr=False, compare=False)
    order: Order = PREFERENCE

    @cached_property
    def setting(self) -> Setting:
        """The statements against the catalog."""
        return Setting(self.catalog, self.statements)

    @cached_property
    def answers(self) -> Answers:
        """Every assembly for the job. Raises `JobError` where a statement does not go with the application."""
        self.refuse_strangers()
        if self.wider:
            return Narrowed(self.wider.answers, self.statements[-1])
        return Answers(self.setting, self.watch)

    @property
    def interchange(self) -> Interchange:
        """Which parts may take each other's place in every job on the catalog."""
        self.shared.watch.to = self.watch or Watch()
        if self.shared.interchange is None:
            from ..solver.interchange import Interchange  # few questions need it

            self.shared.interchange = Interchange(self.catalog, watch=self.shared.watch)
        return self.shared.interchange

    @property
    def application(self) -> Application:
        """The application in use. Raises `JobError` where there is none."""
        return self.setting.application

    @property
    def scene(self) -> Scene:
        """What the names in a question mean here."""
        return Scene(self.catalog, self.statements)

    def having(self, statements: Iterable[Statement]) -> Job:
        """Return the same job with other statements."""
        return replace(self, statements=tuple(statements), wider=None)

    def adding(self, said: Statement) -> Job:
        """Return the job with another statement; its answers are found among these where it only rules parts out."""
        longer = self.having((*self.statements, said))
        narrows = isinstance(said, ABOUT_PARTS) and not (isinstance(said, Into) and self.setting.host)
        return replace(longer, wider=self) if narrows else longer

    def in_order(self, order: Order) -> Job:
        """Return the same job with its assemblies in another order; what was computed of it is kept."""
        if order == self.order:
            return self
        found = copy(self)
        vars(found)["order"] = order
        return found

    @cached_property
    def outright(self) -> Job:
        """The job that takes only assemblies that fit without selecting parts."""
        if not self.setting.selective:
            return self
        return self.having(said for said in self.statements if not isinstance(said, Selective))

    def waiting(self, assembly: Assembly) -> Mapping[str, tuple[str, ...]]:
        """Return the positions whose cut length depends on what the job does not say, each with what that is."""
        found: dict[str, tuple[str, ...]] = {}
        for stack in self.application.stacks:
            filled = assembly.parts.get
            if stack in self.setting.stacks or not all(map(filled, stack.when)) or any(map(filled, stack.unless)):
                continue
            unsaid = tuple(said for said, checks in self.unstated.items() if stack.name in checks)
            for ref in stack.gap.refs():
                cuts = [part.design.cut for part in filled(ref.owner) or ()]
                if any(cut and cut.dimension == ref.name for cut in cuts):
                    found[ref.owner] = tuple(dict.fromkeys((*found.get(ref.owner, ()), *unsaid)))
        return found

    def shown(self, assembly: Assembly, findings: Sequence[Finding], given: Collection[str] = ()) -> Shown:
        """Dress an assembly for showing, with what the judge found on it.

        A length that depends on what the job does not say is left out, but for the positions where one was `given`.
        """
        asked = {said.position for said in self.setting.measures}
        left_out = self.waiting(assembly).keys() - asked.union(given)
        lines = []
        for name, part, quantity in assembly.bill(self.application):
            bought = not self.application.positions[name].host and part.code not in self.setting.kept
            cut = assembly.cuts.get(name) if part.design.cut and name not in left_out else None
            lines.append(Line(name, part, quantity, cut, bought))
        margins = [finding.margin for finding in findings if finding.margin is not None]
        return Shown(
            tuple(lines),
            tuple(findings),
            worst([finding.verdict for finding in findings]),
            prod(finding.share for finding in findings),
            max(0, -min(margins, default=0)),
        )

    def passed(self, assembly: Assembly) -> Shown:
        """Dress an answer. Raises `Disagreement` if the judge does not let it pass."""
        shown = self.shown(assembly, self.answers.findings(assembly))
        passing = (Verdict.FITS, Verdict.SELECTED) if self.setting.selective else (Verdict.FITS,)
        if shown.verdict not in passing:
            failed = next(finding for finding in shown.findings if finding.verdict is shown.verdict)
            raise Disagreement(f"the judge refuses an answer of the graph: {failed.where}")
        return shown

    def answer(self, question: str, outcome: Outcome, parts: Iterable[Part] = ()) -> Answer:
        """Return the beginning of an answer about fitting, with what must always be said beside these parts."""
        return replace(
            self.plain(question),
            outcome=outcome,
            unstated=self.unstated,
            cautions=tuple(dict.fromkeys(self.setting.cautions(list(parts)))),
            application=self.application,
            status=Status.NO if outcome == "does not fit" else Status.YES,
        )

    def plain(self, question: str) -> Answer:
        """Return the beginning of an answer that is not about fitting."""
        return Answer(question, None, unit=self.unit, currency=self.catalog.currency)

    def shortened(self, rows: Sequence[Row], most: int | None = None) -> tuple[tuple[Row, ...], str]:
        """Return the rows of a list that are shown, and what to add to their number where they are not all.

        As many are shown as the limit says, where there is one, else at most so many (None: all).
        """
        kept = tuple(rows[: most if self.limit is None else self.limit])
        return kept, f", the first {len(kept):,} shown" if 0 < len(kept) < len(rows) else ""

    def refused(self, question: str, what: str, hint: str) -> Answer:
        """Return the answer to a question that can't be asked of this job."""
        return replace(self.plain(question), outcome="error", message=(f"{what}; {hint}",), status=Status.WRONG)

    @cached_property
    def unstated(self) -> Mapping[str, tuple[str, ...]]:
        """What the job does not say, in the job's own words, with the checks that were left open."""
        found: dict[str, tuple[str, ...]] = {}
        for name, checks in self.setting.unstated.items():
            said = "door" if name == "thickness" else f"opening {name}" if name in OPENING_TRAITS else PREPARATION
            found[said] = (*found.get(said, ()), *checks)
        return {said: tuple(dict.fromkeys(checks)) for said, checks in found.items()}

    def refuse_strangers(self) -> None:
        """Raise `JobError` for a host or a part to keep that the application has no place for."""
        application = self.application
        taken = {kind for position in application.positions.values() for kind in position.kinds}
        for said in self.statements:
            if isinstance(said, Measure) and said.position not in application.positions:
                raise JobError(
                    f"`{said.text}` speaks of a position that the application {application.name} does not have",
                    "drop it, or say `list positions` for those that it has",
                )
            if isinstance(said, Into) and not (
                application.host and self.catalog.parts[said.code].kind in application.host.kinds
            ):
                raise JobError(
                    f"{said.code} is no host of the application {application.name}",
                    "say `list hosts` for those that are",
                )
            for code in said.codes if isinstance(said, Keep) else ():
                if (kind := self.catalog.parts[code].kind) not in taken:
                    raise JobError(
                        f"{code} is to be kept, and the application {application.name} has no place for a "
                        f"{self.catalog.kinds.get(kind, kind)}",
                        "drop it, or use another application",
                    )
