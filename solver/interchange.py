"""Whether a part may take another's place in every job: decided for all jobs at once, and proved where it may not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from .application import Application, Position
from .assembly import Assembly
from .catalog import Catalog, Trait
from .check import Tokens
from .contexts import Contexts, Solution
from .cutting import cut_to_fit
from .finding import Finding, Verdict
from .judge import judge
from .length import INCH, MM, Length
from .part import Part
from .said import Said, ways_to_read
from .setting import Setting
from .statement import Into, Statement, Want, WithoutTrait
from .views import Stand, TraitReader
from .watch import Watch

USUAL_DOOR = 7 * INCH // 4


def _doors() -> tuple[Length, ...]:
    inches = range(INCH, 7 * INCH // 2 + 1, INCH // 8)
    metric = range(25 * MM, 90 * MM + 1, 5 * MM)
    return tuple(sorted({*inches, *metric}, key=lambda door: (door in metric, abs(door - USUAL_DOOR))))


DOORS = _doors()
"""The doors that are tried: each 1/8 in from 1 in to 3-1/2 in, each 5 mm from 25 mm to 90 mm; the usual ones first."""


@dataclass(frozen=True, slots=True)
class Witness:
    """A job in which one part is right and another, in its place, is not.

    `statements` are the job, `assembly` is valid for it, `changed` has the other part in the `position`, and `finding`
    is the first one of the judge that stands against it. What is cut to measure is cut anew.
    """

    application: Application
    position: str
    statements: tuple[Statement, ...]
    assembly: Assembly
    changed: Assembly
    finding: Finding


class Unproved(RuntimeError):
    """A counter-example that the judge does not bear out: a defect of the engine, never shown."""


@dataclass(frozen=True, slots=True)
class _Spoilt:
    """An assembly that a part stands in and another would spoil, before it is dressed."""

    contexts: Contexts
    stand: Stand
    said: Said
    solution: Solution
    wanted: Want | WithoutTrait | None = None


@dataclass(frozen=True)
class Relation:
    """Whether `other` may take the place of `part` in every job.

    `shared`: some position takes both; `used`: some assembly for one of the doors holds the part. Where one of these
    is not so, there is nothing to say.
    """

    part: Part
    other: Part
    shared: bool
    used: bool
    _spoilt: _Spoilt | None = None

    @property
    def everywhere(self) -> bool:
        """Whether every job that the part is right for is one for the other too."""
        return self.shared and self.used and self._spoilt is None

    @cached_property
    def witness(self) -> Witness | None:
        """A job that tells them apart, None where there is none. Raises `Unproved`."""
        return None if self._spoilt is None else _dressed(self._spoilt, self.other)


class Interchange:
    """The relations between the parts of a catalog, over its applications (or those named) and some doors.

    A job may say of the opening and of traits what it likes. Statements that name single parts or their status, and
    selection within tolerances, are left out: they tell parts apart by their names, or accept what does not fit.
    """

    def __init__(
        self,
        catalog: Catalog,
        applications: Sequence[str] | None = None,
        doors: Sequence[Length] = DOORS,
        watch: Watch | None = None,
    ) -> None:
        self.catalog = catalog
        self.applications = [
            application
            for name, application in catalog.applications.items()
            if applications is None or name in applications
        ]
        self.traits = [
            trait for trait in catalog.traits.values() if trait.declared and trait.name in catalog.trait_names
        ]
        self.watch = watch or Watch()
        self._doors = tuple(doors)
        self._contexts: dict[str, Contexts] = {}
        self._used: dict[str, bool] = {}
        self._ways_to_read: dict[tuple[str, int], list[Said]] = {}
        self._decided: dict[tuple[str, str, tuple[int, ...], tuple[int, ...]], _Spoilt | None] = {}
        self._told_apart: dict[tuple[str, str, tuple[int, ...], str, Tokens], _Spoilt | None] = {}

    def replaces(self, part: Part, other: Part) -> Relation:
        """Return what can be said of putting `other` in the place of `part`. Raises `TooManyWays`, `OutOfTime`."""
        stands = list(self._stands(part))
        if not any(other.kind in position.kinds for _, position in stands):
            return Relation(part, other, shared=False, used=False)
        if not self.used(part):
            return Relation(part, other, shared=True, used=False)
        for contexts, position in stands:
            stand = contexts.stand(position.name, part)
            if contexts.standing(stand, Said()) and (spoilt := self._spoilt(contexts, position, stand, other)):
                return Relation(part, other, True, True, spoilt)
        return Relation(part, other, True, True)

    def used(self, part: Part) -> bool:
        """Tell whether some assembly for one of the doors holds the part."""
        if part.code not in self._used:
            self._used[part.code] = any(
                contexts.standing(contexts.stand(position.name, part), Said(door=door)) is not None
                for contexts, position in self._stands(part)
                for door in self._doors
            )
        return self._used[part.code]

    @cached_property
    def values(self) -> dict[str, tuple[str, ...]]:
        """What a job can ask of each trait: the values declared, and those that parts have."""
        found = {}
        for trait in self.traits:
            had = (value for part in self.catalog.parts.values() for value in part.traits.get(trait.name, ()))
            found[trait.name] = tuple(dict.fromkeys((*trait.values, *had)))
        return found

    def _stands(self, part: Part) -> Iterator[tuple[Contexts, Position]]:
        for application in self.applications:
            for position in application.positions.values():
                if part.kind in position.kinds:
                    yield self._contexts_of(application), position

    def _contexts_of(self, application: Application) -> Contexts:
        if application.name not in self._contexts:
            names = [trait.name for trait in self.traits]
            self._contexts[application.name] = Contexts(self.catalog, application, names, self.watch)
        return self._contexts[application.name]

    def _spoilt(self, contexts: Contexts, position: Position, stand: Stand, other: Part) -> _Spoilt | None:
        if other.kind not in position.kinds:
            solution = contexts.standing(stand, Said())
            return None if solution is None else _Spoilt(contexts, stand, Said(), solution)
        values = contexts.stand(position.name, other).values
        if values == stand.values:
            return None
        key = contexts.setting.application.name, position.name, stand.values, values
        if key not in self._decided:
            self.watch.tick()
            self._decided[key] = next(
                self._reasons(contexts, position, stand, contexts.stand(position.name, other)), None
            )
        decided = self._decided[key]
        return decided and replace(decided, stand=stand)

    def _reasons(self, contexts: Contexts, position: Position, stand: Stand, rival: Stand) -> Iterator[_Spoilt]:
        """Yield what is found against the other part: by the checks of the application, then by what can be wanted."""
        for number, reader in enumerate(contexts.readers):
            if stand.position not in reader.positions or isinstance(reader, TraitReader):
                continue
            if reader.covers(stand.position, contexts.reading(number, rival), contexts.reading(number, stand)):
                continue
            for said in self._ways(contexts, number):
                if solution := contexts.spoiling(stand, rival, number, said):
                    yield _Spoilt(contexts, stand, said, solution)
        for trait in self.traits:
            if (had := rival.part.traits.get(trait.name)) and (
                found := self._by_want(contexts, position, trait, stand, had)
            ):
                yield found

    def can_stand_in(self, part: Part, trait: Trait, had: Tokens) -> bool:
        """Tell whether no want tells a part with these values of a trait from the part, wherever it stands."""
        return not any(
            self._by_want(contexts, position, trait, contexts.stand(position.name, part), had)
            for contexts, position in self._stands(part)
        )

    def _ways(self, contexts: Contexts, number: int) -> list[Said]:
        key = contexts.setting.application.name, number
        if key not in self._ways_to_read:
            self._ways_to_read[key] = list(ways_to_read(contexts.setting, contexts.readers[number], self._doors))
        return self._ways_to_read[key]

    def _by_want(
        self, contexts: Contexts, position: Position, trait: Trait, stand: Stand, had: Tokens
    ) -> _Spoilt | None:
        key = contexts.setting.application.name, position.name, stand.values, trait.name, had
        if key not in self._told_apart:
            found = () if position.host else self._by_wants(contexts, position, trait, stand, had)
            self._told_apart[key] = next(iter(found), None)
        return self._told_apart[key]

    def _by_wants(
        self, contexts: Contexts, position: Position, trait: Trait, stand: Stand, refused: Tokens
    ) -> Iterator[_Spoilt]:
        """Yield assemblies that pass the least strict wants that refuse these values of a trait, but not the part's."""
        own = stand.part.traits.get(trait.name)
        wanted = tuple(value for value in self.values[trait.name] if value not in refused)
        spoken_of = position.visible or not trait.visible
        if spoken_of and wanted and (own is None or not set(own).isdisjoint(wanted)):
            said = Want(trait.name, wanted)
            if solution := contexts.wanted(stand, said):
                yield _Spoilt(contexts, stand, Said(), solution, said)
        for value in refused:
            unwanted = WithoutTrait(trait.name, (value,))
            if value not in (own or ()) and (solution := contexts.wanted(stand, unwanted)):
                yield _Spoilt(contexts, stand, Said(), solution, unwanted)


def _dressed(spoilt: _Spoilt, other: Part) -> Witness:
    """Return the counter-example as a job and two assemblies, and let the judge bear it out."""
    contexts, stand, said = spoilt.contexts, spoilt.stand, spoilt.said
    application, catalog = contexts.setting.application, contexts.setting.catalog
    parts = contexts.parts(stand, spoilt.solution)
    statements = list(said.added_to(contexts.setting).statements)
    host = application.host
    codes = {part.code for part in parts[host.name]} if host and stand.position != host.name else set()
    if len(codes) == 1:  # a job names one host
        (code,) = codes
        statements.append(Into(code, text=f"into {code}"))
    if spoilt.wanted:
        statements.append(_spelled(catalog, application, parts, spoilt.wanted))
    setting = Setting(catalog, tuple(statements))
    own = list(parts[stand.position])
    own[own.index(stand.part)] = other
    assembly = cut_to_fit(setting, parts)
    changed = cut_to_fit(setting, {**parts, stand.position: tuple(own)})
    against = [each for each in judge(setting, changed) if each.verdict is not Verdict.FITS]
    if not against or any(each.verdict is not Verdict.FITS for each in judge(setting, assembly)):
        raise Unproved(f"{other.code} in the place of {stand.part.code}: {'; '.join(map(str, statements))}")
    return Witness(application, stand.position, setting.statements, assembly, changed, against[0])


def _spelled(
    catalog: Catalog, application: Application, parts: dict[str, tuple[Part, ...]], said: Want | WithoutTrait
) -> Statement:
    """Return the statement in words, a want with no more values than the assembly takes."""
    values = said.values
    if isinstance(said, Want):
        needed: dict[str, None] = {}
        for name, own in parts.items():
            for part in own if said.sieve(catalog, application.positions[name]) else ():
                passing = [value for value in part.traits.get(said.trait, ()) if value in said.values]
                if passing and needed.keys().isdisjoint(passing):
                    needed[passing[0]] = None
        values = tuple(needed) or said.values[:1]
    word = "want" if isinstance(said, Want) else "without"
    return replace(said, values=values, text=f"{word} {said.trait} {', '.join(values)}")
