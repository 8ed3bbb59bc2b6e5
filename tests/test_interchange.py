"""Whether a part may take another's place everywhere: held against every job and every assembly of small worlds."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, combinations, product

from fitwright.solver.assembly import Assembly
from fitwright.solver.finding import Verdict
from fitwright.solver.interchange import Interchange, Witness
from fitwright.solver.judge import judge
from fitwright.solver.part import Part
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import Door, Into, OpeningIs, Statement, Use, Want, WithoutTrait
from hypothesis import given, settings
from worlds import Codes, brute_force, codes, worlds


class _EveryJob:
    """Every job that can be said of a small world, with the assemblies that the judge accepts for it."""

    def __init__(self, setting: Setting, doors: tuple[int, ...]) -> None:
        self.catalog, self.positions = setting.catalog, setting.application.positions
        parts = self.catalog.parts.values()
        self.words = {
            trait: sorted({*known.values, *(value for part in parts for value in part.traits.get(trait, ()))})
            for trait, known in self.catalog.traits.items()
        }
        self.valid = [
            brute_force(Setting(self.catalog, (Use("world"), *filter(None, said)))) for said in self._openings(doors)
        ]
        self.wants = list(self._wants())

    def _openings(self, doors: tuple[int, ...]) -> Iterator[tuple[Statement | None, ...]]:
        hands = [OpeningIs("hand", (value,)) for value in self.words["hand"]]
        thick = [Door(Span.exact(door)) for door in doors]
        return product([None, *thick], [None, *hands], [None, OpeningIs("preparation", ("bored",))])

    def _wants(self) -> Iterator[Setting]:
        for trait, known in self.words.items():
            for some in chain.from_iterable(combinations(known, size) for size in range(1, len(known) + 1)):
                for said in (Want(trait, some), WithoutTrait(trait, some)):
                    yield Setting(self.catalog, (Use("world"), said))

    def used(self, part: Part) -> bool:
        return any(part in assembly.all_parts for assembly in self.valid[0].values())

    def replaces(self, part: Part, other: Part) -> bool:
        """Tell whether no assembly of any job is spoilt by putting the other in the place of one such part."""
        for valid in self.valid:
            for assembly in valid.values():
                for name, own in assembly.parts.items():
                    if part in own and self._spoils(valid, assembly, name, part, other):
                        return False
        return True

    def _spoils(self, valid: dict[Codes, Assembly], assembly: Assembly, name: str, part: Part, other: Part) -> bool:
        own = list(assembly.parts[name])
        own[own.index(part)] = other
        changed = {**assembly.parts, name: tuple(own)}
        if codes(changed.values()) not in valid:
            return True
        return any(
            self._passes(setting, assembly.parts) and not self._passes(setting, changed) for setting in self.wants
        )

    def _passes(self, setting: Setting, parts: dict[str, tuple[Part, ...]]) -> bool:
        return not any(
            list(setting.refusals(self.positions[name], part)) for name, own in parts.items() for part in own
        )


@settings(max_examples=25)
@given(setting=worlds())
def test_it_says_what_trying_every_job_and_assembly_says(setting: Setting) -> None:
    nominal = next((said.thickness.nominal for said in setting.statements if isinstance(said, Door)), 20)
    doors = (nominal, nominal + 10)
    every, interchange = _EveryJob(setting, doors), Interchange(setting.catalog, doors=doors)
    parts = list(setting.catalog.parts.values())
    kinds = [position.kinds for position in setting.application.positions.values()]
    for part, other in product(parts, parts):
        found = interchange.replaces(part, other)
        shared = any({part.kind, other.kind} <= own for own in kinds)
        assert found.shared == shared
        if not shared:
            continue
        assert found.used == every.used(part)
        assert found.everywhere == (found.used and every.replaces(part, other)), (part, other)
        assert (found.witness is None) == (found.everywhere or not found.used)
        if found.witness:
            _is_borne_out(found.witness, setting, doors, part, other)


def _is_borne_out(witness: Witness, world: Setting, doors: tuple[int, ...], part: Part, other: Part) -> None:
    """The job says nothing but what jobs may say here; its assembly is right, and wrong with the one part exchanged."""
    setting = Setting(world.catalog, witness.statements)
    for said in witness.statements:
        assert isinstance(said, Use | Door | OpeningIs | Into | Want | WithoutTrait)
        assert said.text
        assert not isinstance(said, Door) or said.thickness in map(Span.exact, doors)
    assert all(finding.verdict is Verdict.FITS for finding in judge(setting, witness.assembly))
    against = [each for each in judge(setting, witness.changed) if each.verdict is not Verdict.FITS]
    assert against
    assert against[0] == witness.finding
    before, after = (
        sorted(each.code for each in assembly.parts[witness.position])
        for assembly in (witness.assembly, witness.changed)
    )
    assert sorted([*before, other.code]) == sorted([*after, part.code])
    assert {**witness.assembly.parts, witness.position: ()} == {**witness.changed.parts, witness.position: ()}
