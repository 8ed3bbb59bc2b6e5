"""Whether any assembly satisfies some statements and checks: tried with the judge, without graph or conflicts."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Collection, Hashable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from itertools import combinations, combinations_with_replacement, product
from math import prod
from typing import Any

from .application import OPENING, Application, Position
from .assembly import Assembly
from .check import Gap, Ref
from .element import Element, of_finding, of_statement, statements
from .finding import Verdict
from .judge import judge
from .part import Part
from .setting import Setting
from .statement import Door, Keep, Measure, OpeningIs, Selective, Use, Used

Parts = Mapping[str, tuple[Part, ...]]
Filling = tuple[int, tuple[Part, ...]]  # what a position can hold, led by what it counts against an assembly


class TooLarge(Exception):
    """More would have to be tried than is allowed."""


class Trial:
    """The statements and checks among `elements` (None: all of the job), for assemblies that come out no worse.

    What is in hand is what the whole job says. A stack reads one length that is cut at most, as in any catalog.
    """

    def __init__(self, job: Setting, worst: Verdict, elements: Collection[Element] | None = None) -> None:
        self.job, self.worst, self.elements = job, worst, elements
        self.places = None if elements is None else {element.where for element in elements}
        self.said = [said for said in statements(job) if elements is None or of_statement(said) in elements]
        self.named = {code for said in self.said if isinstance(said, Keep | Used) for code in said.codes}
        facts = [said for said in job.facts if isinstance(said, Use | Selective)]
        self.stated = (*facts, *(said for said in self.said if isinstance(said, Door | Measure | OpeningIs)))
        self.bare = Setting(job.catalog, self.stated)
        self.positions = self.bare.application.positions

    def against(self, assembly: Assembly) -> str:
        """Return what stands against an assembly; empty: nothing."""
        for name, parts in assembly.parts.items():
            for part in parts if name in self.positions else ():
                if said := next(self._refusals(self.positions[name], part), None):
                    return f"{part.code} is not what `{said}` asks for"
        for code in sorted(self.named.difference(part.code for part in assembly.all_parts)):
            return f"{code} is to be used and is not"
        return next(self._faults(self.bare, assembly), "")

    def search(self, bound: int, below: int | None = None) -> Parts | None:
        """Return parts that satisfy everything, of less preference than `below` if that is given; None: there are none.

        Raises `TooLarge` where positions had to be filled more than `bound` times.
        """
        tests = list(self._tests())
        read = {ref for refs, _ in tests for ref in refs}
        values = {name: self._values(place, read) for name, place in self.positions.items()}
        order: list[str] = []
        owners = [{ref.owner for ref in refs}.intersection(values) for refs, _ in tests]
        while left := [own for owned in owners if (own := owned.difference(order))]:
            order += sorted(min(left, key=lambda own: (prod(len(values[name]) for name in own), sorted(own))))
        order += [name for name in values if name not in order]
        decided: list[list[Callable[[Parts], bool]]] = [[] for _ in order]
        for refs, passes in tests:
            decided[max((order.index(ref.owner) for ref in refs if ref.owner != OPENING), default=0)].append(passes)
        least = [min((weight for weight, _ in values[name]), default=0) for name in order]
        tried, parts = 0, dict[str, tuple[Part, ...]]()

        def walk(place: int, spent: int) -> bool:
            nonlocal tried
            for weight, filling in values[order[place]] if place < len(order) else ():
                if below is not None and spent + weight + sum(least[place + 1 :]) >= below:
                    return False
                if (tried := tried + 1) > bound:
                    raise TooLarge
                parts[order[place]] = filling
                if all(passes(parts) for passes in decided[place]) and walk(place + 1, spent + weight):
                    return True
            return place == len(order)

        return parts if all(values.values()) and walk(0, 0) else None

    def _refusals(self, position: Position, part: Part) -> Iterator[object]:
        for said in self.said:
            sieve = said.sieve(self.job.catalog, position)
            if sieve and sieve.refuses(part) and not (sieve.of_bought and part.code in self.job.kept):
                yield said

    def _faults(self, setting: Setting, assembly: Assembly) -> Iterator[str]:
        for finding in judge(setting, assembly):
            of_check = finding.where.startswith(("joint ", "stack ", "rule ", "match "))
            counts = self.elements is None or not of_check or of_finding(finding) in self.elements
            if counts and finding.verdict.rank > self.worst.rank:
                yield f"{finding.where}: {finding.because}"

    def _values(self, position: Position, read: Collection[Ref]) -> list[Filling]:
        """Return what can stand in a position, the preferred first; of parts that checks see alike the best."""
        own = {ref.name for ref in read if ref.owner == position.name}
        checks = [check for interface in self.job.catalog.interfaces.values() for check in interface.checks]
        words = own.union(ref.name for each in checks if not isinstance(each, Gap) for ref in (each.left, each.right))
        best: dict[Hashable, tuple[int, Part]] = {}
        for part in self.job.catalog.parts.values():
            if part.kind in position.kinds and not any(self._refusals(position, part)):
                has, sizes = part.design.features.items(), part.design.dimensions.items()
                seen = (
                    frozenset((name, repr(replace(feature, source=None))) for name, feature in has if name in own),
                    frozenset((name, span) for name, span in sizes if name in own),
                    frozenset((name, value) for name, value in part.traits.items() if name in words),
                    part.design.cut,
                    part.code if part.code in self.named else None,
                )
                weight = self.job.preference(position, part)
                if seen not in best or weight < best[seen][0]:
                    best[seen] = weight, part
        numbers = range(0 if position.optional else 1, (position.up_to or 1) + 1)
        found = [each for number in numbers for each in combinations_with_replacement(best.values(), number)]
        weighed = [(sum(weight for weight, _ in each), tuple(part for _, part in each)) for each in found]
        return sorted(weighed, key=lambda value: value[0])

    def _tests(self) -> Iterator[tuple[set[Ref], Callable[[Parts], bool]]]:
        """Yield what each check reads and a test of parts; checks that read one length that is cut are one test."""
        parts = self.job.catalog.parts.values()
        kinds = {(part.kind, cut.dimension) for part in parts if (cut := part.design.cut)}
        cuts = {Ref(name, size) for name, own in self.positions.items() for kind, size in kinds if kind in own.kinds}
        together: dict[object, tuple[set[Ref], dict[str, tuple[Any, ...]]]] = {}
        for where, refs, field, check in self._checks():
            if self.places is None or where in self.places:
                key = min(refs & cuts, default=(where, *sorted(refs)))
                all_refs, fields = together.get(key, (set(), {}))
                together[key] = all_refs | refs, {field: (*fields.get(field, ()), check)}
        for refs, fields in together.values():
            yield refs, self._test(refs, fields)
        for code in self.named:
            at = [name for name, own in self.positions.items() if self.job.catalog.parts[code].kind in own.kinds]
            yield {Ref(name, "") for name in at}, partial(_uses, code, at)

    def _checks(self) -> Iterator[tuple[str, set[Ref], str, object]]:
        for joint in self.bare.joints:
            yield f"joint {joint.name}", set(joint.features), "joints", joint
        for stack in self.bare.stacks:
            where = {Ref(name, "") for name in (*stack.when, *stack.unless)}
            yield f"stack {stack.name}", where | stack.gap.refs(), "stacks", stack
        for rule in self.bare.rules:
            yield f"rule {rule.name}", {rule.check.left, rule.check.right}, "rules", rule
        seen = [name for name, position in self.positions.items() if position.visible]
        for trait, pair in product(self.bare.application.match, combinations(seen, min(2, len(seen)))):
            yield f"match {trait}", {Ref(name, trait) for name in pair}, "match", trait

    def _test(self, refs: set[Ref], fields: Mapping[str, Any]) -> Callable[[Parts], bool]:
        names = [name for name in self.positions if name in {ref.owner for ref in refs}]
        used = self.bare.application.name
        empty = Application(used, "", {name: self.positions[name] for name in names}, ())

        def setting(**fields: Any) -> Setting:
            return Setting(replace(self.job.catalog, applications={used: replace(empty, **fields)}), self.stated)

        whole, known = setting(**fields), dict[tuple[tuple[Part, ...], ...], bool]()
        # The least length that will do is the least of all, or the least that meets one of the demands for more.
        more = [
            (ref, setting(stacks=(replace(stack, gap=Gap(demand.terms, -demand.constant, None, "")),)))
            for stack in fields.get("stacks", ())
            for demand in stack.gap.demands()
            for factor, ref in demand.terms
            if factor > 0
        ]

        def long_enough(alone: Setting, own: Parts, name: str, length: int) -> bool:
            found = judge(alone, Assembly(own, {name: length}))
            return all(each.verdict.rank <= self.worst.rank or not each.where.startswith("stack ") for each in found)

        def lengths(own: Parts, name: str) -> list[tuple[str, int]]:
            cut = own[name][0].design.cut if own[name] else None
            if not cut:
                return []
            steps = range(cut.low, cut.high + 1, cut.step)
            asked = [said for said in whole.measures if (said.position, said.dimension) == (name, cut.dimension)]
            found = {cut.low, *(length for said in asked for length in steps[bisect_left(steps, said.span.low) :][:1])}
            for alone in (alone for ref, alone in more if ref == (name, cut.dimension)):
                found.update(steps[bisect_left(steps, True, key=partial(long_enough, alone, own, name)) :][:1])
            return [(name, length) for length in sorted(found)]

        def passes(parts: Parts) -> bool:
            own = {name: parts[name] for name in names}
            if (key := tuple(own.values())) not in known:
                tried = [found for name in names if (found := lengths(own, name))]
                known[key] = any(not any(self._faults(whole, Assembly(own, dict(cuts)))) for cuts in product(*tried))
            return known[key]

        return passes


def _uses(code: str, at: Collection[str], parts: Parts) -> bool:
    return any(part.code == code for name in at for part in parts[name])
