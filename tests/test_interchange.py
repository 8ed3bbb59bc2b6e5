"""Whether a part may take another's place everywhere: held against every job and every assembly of small worlds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import chain, combinations, permutations, product
from random import Random
from typing import Any

from fitwright.catalogs import load
from fitwright.solver.assembly import Assembly
from fitwright.solver.catalog import Catalog
from fitwright.solver.finding import Verdict
from fitwright.solver.interchange import Interchange, Witness
from fitwright.solver.judge import judge
from fitwright.solver.length import INCH
from fitwright.solver.part import Part
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import Door, Into, OpeningIs, Statement, Use, Want, WithoutTrait
from fitwright.solver.substitution import pairs
from hypothesis import example, given, settings
from worlds import Codes, brute_force, codes, world, worlds


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
        self.at_doors = [brute_force(Setting(self.catalog, (Use("world"), Door(Span.exact(door))))) for door in doors]
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
        return any(part in assembly.all_parts for valid in self.at_doors for assembly in valid.values())

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


@settings(max_examples=15)
@given(setting=worlds())
@example(setting=world(Random(100009)))  # a repeated host, the second of which is exchanged
@example(setting=world(Random(200086)))  # a part that can stand nowhere, with a face that no other has
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


@cache
def _bundled() -> Catalog:
    return load()


def _with_clone(code: str, **changes: Any) -> tuple[Catalog, Part, Part]:
    """Return the bundled catalog with one more part, made from another one, and both."""
    catalog = _bundled()
    part = catalog.parts[code]
    clone = replace(part, code="CLONE", **changes)
    return replace(catalog, parts={**catalog.parts, "CLONE": clone}), part, clone


def _judged(witness: Witness, catalog: Catalog, finding: str) -> None:
    """The witness holds by the judge, and what stands against the other part is this check."""
    setting = Setting(catalog, witness.statements)
    assert all(each.verdict is Verdict.FITS for each in judge(setting, witness.assembly))
    assert next(e for e in judge(setting, witness.changed) if e.verdict is not Verdict.FITS) == witness.finding
    assert witness.finding.where.partition(":")[0] == finding


def test_a_part_of_the_same_shape_and_traits_goes_both_ways() -> None:
    catalog, part, clone = _with_clone("ALD-T3", price=1, status="to order")
    interchange = Interchange(catalog, ["rim"])
    assert interchange.replaces(part, clone).everywhere
    assert interchange.replaces(clone, part).everywhere


def test_a_longer_range_to_cut_from_goes_for_a_shorter_one() -> None:
    design = _bundled().parts["ALD-T3"].design
    assert design.cut is not None
    shorter = replace(design.cut, high=INCH)
    catalog, part, clone = _with_clone("ALD-T3", design=replace(design, cut=shorter))
    interchange = Interchange(catalog, ["rim"])
    assert interchange.replaces(clone, part).everywhere
    back = interchange.replaces(part, clone)
    assert not back.everywhere
    assert back.witness
    _judged(back.witness, catalog, "stack tail-reach")


def test_a_host_for_fewer_fire_labels_is_no_substitute_for_one_for_more() -> None:
    traits = {**_bundled().parts["ASH-110"].traits, "fire": ("20", "none")}
    catalog, part, clone = _with_clone("ASH-110", traits=traits)
    interchange = Interchange(catalog)
    assert interchange.replaces(clone, part).everywhere
    back = interchange.replaces(part, clone)
    assert back.witness
    _judged(back.witness, catalog, "rule fire")
    assert any(str(said).startswith("opening fire ") for said in back.witness.statements)


def test_a_key_that_enters_every_keyway_goes_for_one_that_enters_some() -> None:
    interchange = Interchange(_bundled())
    narrow, wide = _bundled().parts["KEY-P12"], _bundled().parts["KEY-P1"]
    relations = interchange.replaces(narrow, wide), interchange.replaces(wide, narrow)
    assert [relation.everywhere for relation in relations].count(True) == 1
    (witness,) = (relation.witness for relation in relations if relation.witness)
    _judged(witness, _bundled(), "joint keyway")


def test_another_finish_is_told_apart_by_what_is_wanted() -> None:
    catalog = _bundled()
    relation = Interchange(catalog).replaces(catalog.parts["ALD-F1-605"], catalog.parts["ALD-F1-626"])
    assert relation.witness
    assert any(isinstance(said, Want | WithoutTrait) for said in relation.witness.statements) or (
        relation.witness.finding.where.startswith("match ")
    )


def test_parts_that_never_stand_in_one_place_are_not_related() -> None:
    catalog = _bundled()
    relation = Interchange(catalog).replaces(catalog.parts["ALD-T3"], catalog.parts["ASH-100"])
    assert not relation.shared
    assert not relation.everywhere
    assert relation.witness is None


def test_the_pairs_found_are_those_of_trying_every_two_parts() -> None:
    catalog = _bundled()
    interchange, parts = Interchange(catalog, ["bored"]), list(catalog.parts.values())
    kinds = frozenset().union(*(position.kinds for position in catalog.applications["bored"].positions.values()))
    own = [part for part in parts if part.kind in kinds - {"key", "insert"}]
    expected = {
        (one.code, other.code)
        for one, other in permutations(own, 2)
        if one.kind == other.kind and interchange.replaces(one, other).everywhere
    }
    found = set()
    for pair in pairs(interchange, {part.code for part in own}):
        one, other = pair.relation.part.code, pair.relation.other.code
        found |= {(one, other), (other, one)} if pair.both_ways else {(one, other)}
    assert found == expected
    assert expected
