"""A job held against a catalog: what the statements amount to, before any part is chosen."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from .application import OPENING, Application, Caution, Joint, Position, Rule, Stack
from .catalog import Catalog
from .part import Cut, Design, Feature, Part
from .shelf import Mask, Shelf
from .span import Span
from .statement import (
    OPENING_TRAITS,
    Door,
    Into,
    Keep,
    Measure,
    OpeningIs,
    Selective,
    Sieve,
    Statement,
    Use,
    Used,
    Want,
    Without,
    WithoutTrait,
    in_force,
)


class JobError(ValueError):
    """A job that can't be asked: something is missing or names what no catalog has. `hint`: what would be right."""

    def __init__(self, what: str, hint: str = "") -> None:
        super().__init__(f"{what}; {hint}" if hint else what)
        self.what, self.hint = what, hint


class TooManyWays(JobError):
    """A repeated position can be filled in more ways than are listed."""

    def __init__(self, position: str) -> None:
        super().__init__(f"the position {position} can be filled in too many ways", "say more of what is wanted there")
        self.position = position


@dataclass(frozen=True)
class Setting:
    """The catalog and the job's statements, in the user's order."""

    catalog: Catalog
    statements: tuple[Statement, ...]

    @cached_property
    def facts(self) -> tuple[Statement, ...]:
        """The statements in force. Raises `JobError` where any statement names what no catalog has."""
        for said in self.statements:
            self._refuse_unknown(said)
        return in_force(self.statements)

    def _refuse_unknown(self, said: Statement) -> None:
        trait = said.trait if isinstance(said, Want | WithoutTrait) else None
        if trait is not None and trait not in self.catalog.traits:
            raise JobError(f"no trait is named {trait}", f"one of {', '.join(self.catalog.traits)}")
        codes = (
            said.codes if isinstance(said, Keep | Used | Without) else (said.code,) if isinstance(said, Into) else ()
        )
        unknown = next((code for code in codes if code not in self.catalog.parts), None)
        if unknown is not None:
            raise JobError(f"no part has the code {unknown}")
        if isinstance(said, OpeningIs):
            if said.trait not in OPENING_TRAITS:
                raise JobError(f"an opening has no trait {said.trait}", f"one of {', '.join(OPENING_TRAITS)}")
            if said.trait == "preparation":
                if len(said.values) != 1:
                    raise JobError("a door has one preparation", "state one")
                if said.values[0] not in self.catalog.preparations:
                    known = ", ".join(self.catalog.preparations)
                    raise JobError(f"no preparation is named {said.values[0]}", f"one of {known}")

    @cached_property
    def application(self) -> Application:
        """The application in use. Raises `JobError` where none is stated or known."""
        names = [said.application for said in self.facts if isinstance(said, Use)]
        if not names:
            raise JobError(
                "the job does not say what it is about", f"use one of {', '.join(self.catalog.applications)}"
            )
        if names[-1] not in self.catalog.applications:
            raise JobError(f"no application is named {names[-1]}", f"use one of {', '.join(self.catalog.applications)}")
        return self.catalog.applications[names[-1]]

    @cached_property
    def opening(self) -> Part:
        """The door as a part: its thickness and preparation as dimensions and features, the rest as traits."""
        traits = {said.trait: tuple(sorted(said.values)) for said in self.facts if isinstance(said, OpeningIs)}
        dimensions: dict[str, Span] = {}
        features: dict[str, Feature] = {}
        for name in traits.get("preparation", ()):
            dimensions.update(self.catalog.preparations[name].dimensions)
            features.update(self.catalog.preparations[name].features)
        for said in self.facts:
            if isinstance(said, Door):
                dimensions["thickness"] = said.thickness
        return Part(OPENING.upper(), "the opening", Design(OPENING, dimensions, features), traits)

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """The joints that can be read: those with the opening only where its preparation was stated."""
        return tuple(joint for joint in self.application.joints if not self._unstated_by(joint))

    @cached_property
    def stacks(self) -> tuple[Stack, ...]:
        """The stacks that can be read from what was stated."""
        return tuple(stack for stack in self.application.stacks if not self._unstated_by(stack))

    @cached_property
    def rules(self) -> tuple[Rule, ...]:
        """The rules that can be read from what was stated."""
        return tuple(rule for rule in self.application.rules if not self._unstated_by(rule))

    @cached_property
    def unstated(self) -> dict[str, list[str]]:
        """What the job has not said about the opening, and the checks that were therefore left open."""
        found: dict[str, list[str]] = {}
        checks: list[Stack | Rule | Joint] = [
            *self.application.stacks,
            *self.application.rules,
            *self.application.joints,
        ]
        for check in checks:
            for name in self._unstated_by(check):
                found.setdefault(name, []).append(check.name)
        return found

    def _unstated_by(self, check: Joint | Stack | Rule) -> list[str]:
        if isinstance(check, Joint):
            meets = any(ref.owner == OPENING for ref in check.features)
            return ["preparation"] if meets and "preparation" not in self.opening.traits else []
        if isinstance(check, Stack):
            known, refs = set(self.opening.design.dimensions), check.gap.refs()
        else:
            known, refs = set(self.opening.traits), {check.check.left, check.check.right}
        return sorted(ref.name for ref in refs if ref.owner == OPENING and ref.name not in known)

    @cached_property
    def kept(self) -> tuple[str, ...]:
        """Codes of the parts in hand that must be used."""
        return tuple(dict.fromkeys(code for said in self.facts if isinstance(said, Keep) for code in said.codes))

    @cached_property
    def required(self) -> tuple[str, ...]:
        """Codes of the parts that must be used, in hand or not."""
        used = (code for said in self.facts if isinstance(said, Used) for code in said.codes)
        return tuple(dict.fromkeys((*self.kept, *used)))

    @cached_property
    def measures(self) -> tuple[Measure, ...]:
        """What the job asks of single dimensions."""
        return tuple(said for said in self.facts if isinstance(said, Measure))

    def cut(self, position: str, part: Part) -> Cut | None:
        """Return to what lengths the part may be cut in the position; None where it is not cut to measure."""
        return limited(part.design.cut, position, self.measures)

    @cached_property
    def selective(self) -> bool:
        """Whether assemblies that fit only if selected are welcome."""
        return any(isinstance(said, Selective) for said in self.facts)

    @cached_property
    def host(self) -> str | None:
        """The code of the lock that receives the assembly, where one is stated."""
        return next((said.code for said in reversed(self.statements) if isinstance(said, Into)), None)

    def sieves(self, position: Position) -> list[Sieve]:
        """Return what the statements rule out in the position."""
        sieves = [said.sieve(self.catalog, position) for said in self.facts]
        return [sieve for sieve in sieves if sieve is not None]

    def admitted(self, position: Position) -> Callable[[Shelf], Mask]:
        """Return a function from a shelf to those of its items that no statement rules out of the position."""
        sieves = self.sieves(position)

        def of(shelf: Shelf) -> Mask:
            left = shelf.everything
            for sieve in sieves:
                left &= ~self.refused(sieve, shelf, left)
            return left

        return of

    def refused(self, sieve: Sieve, shelf: Shelf, among: Mask) -> Mask:
        """Return those among these items of a shelf that a sieve rules out of this job."""
        if sieve.codes is not None:
            refused = shelf.holding(sieve.codes) & among
        elif sieve.trait is None:
            refused = shelf.matching(among, sieve.test)
        else:
            refused = 0
            for had, mask in shelf.by_trait(sieve.trait).items():
                if had is not None and mask & among and sieve.test(had):
                    refused |= mask & among
        return refused & ~shelf.holding(self.kept) if sieve.of_bought else refused

    def refusals(self, position: Position, part: Part) -> Iterator[Statement]:
        """Yield the statements that rule the part out of the position."""
        for said in self.facts:
            sieve = said.sieve(self.catalog, position)
            if sieve and sieve.refuses(part) and not (sieve.of_bought and part.code in self.kept):
                yield said

    def preference(self, position: Position, part: Part) -> int:
        """Return what the part counts against an assembly: nothing where it need not be bought."""
        return 0 if position.host or part.code in self.kept else part.preference * position.quantity

    def cautions(self, parts: Sequence[Part]) -> Iterator[str]:
        """Yield what must be said with an answer that uses these parts."""
        for caution in self.application.cautions:
            if self._concerns(caution):
                yield caution.text
        yield from dict.fromkeys(f"{part.code}: {part.caution}" for part in parts if part.caution)

    def _concerns(self, caution: Caution) -> bool:
        if caution.when is None:
            return True
        trait, values = caution.when
        stated = self.opening.traits.get(trait, ())
        return bool(stated) and (not values or bool(set(stated).intersection(values)))


def limited(cut: Cut | None, position: str, measures: Iterable[Measure]) -> Cut | None:
    """Return the cut limited to the lengths that the measures ask for, as far as there are any."""
    for said in measures:
        if cut and (said.position, said.dimension) == (position, cut.dimension):
            cut = cut.between(said.span.low, said.span.high) or cut
    return cut
