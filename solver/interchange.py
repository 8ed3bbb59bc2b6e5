"""Whether a part may take another's place in every job: decided for all jobs at once, and proved where it may not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from .application import OPENING, Application, Position
from .assembly import Assembly
from .catalog import Catalog, Trait
from .check import Tokens
from .contexts import Contexts, Kept, Solution, Stand
from .cutting import cut_to_fit
from .finding import Finding, Verdict
from .judge import judge
from .length import INCH, MM, Length, Unit, format_exactly
from .part import Part
from .said import Said
from .setting import Setting
from .span import Span
from .statement import Door, Into, Statement, Want, WithoutTrait
from .watch import Watch
from .word_run import TraitReader

USUAL_DOOR = 7 * INCH // 4
THINNEST_TRIED, THICKEST_TRIED = INCH, 7 * INCH // 2


def _doors() -> tuple[Length, ...]:
    inches = range(THINNEST_TRIED, THICKEST_TRIED + 1, INCH // 16)
    whole = range(-(-THINNEST_TRIED // MM) * MM, THICKEST_TRIED + 1, MM)
    near = sorted(inches, key=lambda door: abs(door - USUAL_DOOR))
    return (*near, *sorted(set(whole).difference(inches), key=lambda door: abs(door - USUAL_DOOR)))


DOORS = _doors()
"""The doors that are tried: each 1/16 in and each whole mm from 1 in to 3-1/2 in, the usual ones first."""


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

    `shared`: some position takes both; `used`: some assembly holds the part. Where one of these is not so, there is
    nothing to say.
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
        self._doors, self._watch = doors, watch or Watch()
        self._contexts: dict[str, Contexts] = {}
        self._passing: dict[tuple[str, Statement], dict[str, frozenset[int]]] = {}
        self._decided: dict[tuple[str, str, tuple[int, ...], tuple[int, ...]], _Spoilt | None] = {}

    def replaces(self, part: Part, other: Part) -> Relation:
        """Return what can be said of putting `other` in the place of `part`. Raises `TooManyWays`, `OutOfTime`."""
        stands = list(self._stands(part))
        if not any(other.kind in position.kinds for _, position in stands):
            return Relation(part, other, shared=False, used=False)
        used = False
        for contexts, position in stands:
            stand = contexts.stand(position.name, part)
            if contexts.standing(stand, Said()) is None:
                continue
            used = True
            if spoilt := self._spoilt(contexts, position, stand, other):
                return Relation(part, other, True, True, spoilt)
        return Relation(part, other, True, used)

    def used(self, part: Part) -> bool:
        """Tell whether some assembly holds the part."""
        return any(
            contexts.standing(contexts.stand(position.name, part), Said()) is not None
            for contexts, position in self._stands(part)
        )

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
            self._contexts[application.name] = Contexts(self.catalog, application, names, self._doors, self._watch)
        return self._contexts[application.name]

    def _spoilt(self, contexts: Contexts, position: Position, stand: Stand, other: Part) -> _Spoilt | None:
        if other.kind not in position.kinds:
            solution = contexts.standing(stand, Said())
            return None if solution is None else _Spoilt(contexts, stand, Said(), solution)
        instead = contexts.stand(position.name, other)
        if instead.values == stand.values:
            return None
        key = contexts.setting.application.name, position.name, stand.values, instead.values
        if key not in self._decided:
            self._watch.tick()
            self._decided[key] = next(self._reasons(contexts, position, stand, instead), None)
        decided = self._decided[key]
        return decided and replace(decided, stand=stand)

    def _reasons(self, contexts: Contexts, position: Position, stand: Stand, other: Stand) -> Iterator[_Spoilt]:
        """Yield what is found against the other part: by the checks of the application, then by what can be wanted."""
        for number, reader in enumerate(contexts.readers):
            if stand.position not in reader.positions or isinstance(reader, TraitReader):
                continue
            if reader.covers(stand.position, contexts.reading(number, other), contexts.reading(number, stand)):
                continue
            for said in contexts.ways_to_read(reader):
                if solution := contexts.spoiling(stand, other, number, said):
                    yield _Spoilt(contexts, stand, said, solution)
        if not position.host:
            for trait in self.traits:
                if had := other.part.traits.get(trait.name):
                    yield from self._by_wants(contexts, position, trait, stand, had)

    def _by_wants(
        self, contexts: Contexts, position: Position, trait: Trait, stand: Stand, refused: Tokens
    ) -> Iterator[_Spoilt]:
        """Yield assemblies that pass the least strict wants that refuse these values of a trait, but not the part's."""
        own = stand.part.traits.get(trait.name)
        wanted = tuple(value for value in self.values[trait.name] if value not in refused)
        spoken_of = position.visible or not trait.visible
        if spoken_of and wanted and (own is None or not set(own).isdisjoint(wanted)):
            said = Want(trait.name, wanted)
            if solution := contexts.standing(stand, Said(), self._kept(contexts, said)):
                yield _Spoilt(contexts, stand, Said(), solution, said)
        for value in refused:
            unwanted = WithoutTrait(trait.name, (value,))
            if value not in (own or ()) and (
                solution := contexts.standing(stand, Said(), self._kept(contexts, unwanted))
            ):
                yield _Spoilt(contexts, stand, Said(), solution, unwanted)

    def _kept(self, contexts: Contexts, said: Want | WithoutTrait) -> Kept:
        """Return the values of positions that pass a statement on a trait."""
        if (found := self._passing.get((contexts.setting.application.name, said))) is None:
            found = self._passing[contexts.setting.application.name, said] = {}
            number = next(
                number
                for number, reader in enumerate(contexts.readers)
                if isinstance(reader, TraitReader) and reader.trait == said.trait
            )
            for name, position in contexts.setting.application.positions.items():
                if sieve := said.sieve(self.catalog, position):
                    seen = contexts.columns[number, name]
                    found[name] = frozenset(
                        value
                        for value, parts in enumerate(seen)
                        if not any(had is not None and sieve.test(had) for had in parts)  # type: ignore[attr-defined]
                    )
        return found


def _dressed(spoilt: _Spoilt, other: Part) -> Witness:
    """Return the counter-example as a job and two assemblies, and let the judge bear it out."""
    contexts, stand, said = spoilt.contexts, spoilt.stand, spoilt.said
    application, catalog = contexts.setting.application, contexts.setting.catalog
    parts = contexts.parts(stand, spoilt.solution)
    statements: list[Statement] = list(contexts.setting.statements)
    if said.of_opening:
        statements.append(said.of_opening)
    if said.door:
        door = contexts.doors[spoilt.solution[OPENING]]
        unit: Unit = "in" if door % (INCH // 16) == 0 else "mm"
        statements.append(Door(Span.exact(door), text=f"door {format_exactly(door, unit)}"))
    host = application.host
    if host and parts[host.name] and stand.position != host.name:
        code = parts[host.name][0].code
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
