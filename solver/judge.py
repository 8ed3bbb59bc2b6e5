"""The judge, the authority on what fits: every check again, on the parts themselves, without classes or graphs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, product
from typing import NamedTuple

from .application import OPENING, Joint, Position
from .assembly import Assembly
from .check import Gap, Ref, Tokens, judge_tokens
from .finding import Finding
from .part import Feature, Part
from .setting import Setting
from .span import Span


def judge(setting: Setting, assembly: Assembly) -> list[Finding]:
    """Return every finding: on positions, statements, joints, stacks, rules and looks, in that order."""
    case = _Case(setting, assembly)
    whole = (joint for joint in setting.joints if case.missing.isdisjoint(ref.owner for ref in joint.features))
    joints = (finding for joint in whole for finding in case.walk(joint))
    return [*case.occupancy(), *case.demands(), *joints, *case.stacks(), *case.rules(), *case.looks()]


class _Face(NamedTuple):
    position: Position
    part: Part
    feature: Feature

    def __str__(self) -> str:
        return f"{self.position.name}.{self.feature.name}"

    def tokens(self, name: str) -> Tokens:
        return self.part.tokens(self.feature, name)


class _Case:
    def __init__(self, setting: Setting, assembly: Assembly) -> None:
        self.setting, self.cuts, self.bill = setting, assembly.cuts, assembly.parts
        self.parts = {OPENING: (setting.opening,), **assembly.parts}
        self.positions = {OPENING: Position(OPENING, frozenset({OPENING})), **setting.application.positions}
        self.missing = {name for name, place in self.positions.items() if not (place.optional or self.parts.get(name))}

    def occupancy(self) -> Iterator[Finding]:
        for name in self.bill.keys() - self.setting.application.positions.keys():
            yield Finding.fault(name, "a known position", f"{self.setting.application.name} has none of that name")
        for name, position in self.setting.application.positions.items():
            parts, most = self.bill.get(name, ()), position.up_to or 1
            if not parts and not position.optional:
                yield Finding.fault(name, "filled", f"no {position.title or name} given")
            if len(parts) > most:
                yield Finding.fault(name, f"at most {most}", f"there are {len(parts)}")
            for part in parts:
                if part.kind not in position.kinds:
                    yield Finding.fault(name, " or ".join(sorted(position.kinds)), f"{part.code} is a {part.kind}")
                cut, length = part.design.cut, self.cuts.get(name)
                if cut and (length is None or not cut.low <= length <= cut.high or (length - cut.low) % cut.step):
                    yield Finding.fault(name, "cut to measure", f"{part.code} is not cut to one of its lengths")

    def demands(self) -> Iterator[Finding]:
        for name, parts in self.bill.items():
            for part in parts if name in self.positions else ():
                for said in self.setting.refusals(self.positions[name], part):
                    yield Finding.fault(name, str(said), f"{part.code} is not what the job asks for")
        for measure in self.setting.measures:
            for part in self.bill.get(measure.position, ()):
                cut, length = part.design.cut, self.cuts.get(measure.position)
                if cut and cut.dimension == measure.dimension and length is not None and not measure.admits(length):
                    yield Finding.fault(measure.position, str(measure), f"{part.code} is cut to another length")
        used = {part.code for parts in self.bill.values() for part in parts}
        for code in sorted(set(self.setting.required) - used):
            yield Finding.fault("bill", f"keep {code}", f"{code} is to be kept and is not used")

    def walk(self, joint: Joint) -> Iterator[Finding]:
        where, open_face = f"joint {joint.name}", None
        for name, features in joint.stops():
            position = self.positions[name]
            own = [(part, part.design.features) for part in self.parts.get(name, ())]
            faces = [[_Face(position, part, has[f]) if f in has else None for f in features] for part, has in own]
            arrivals = [pair[0] for pair in faces if pair[0]]
            leaves = faces[0][-1] if faces and len(features) == 2 else None
            opens = len(features) == 1 and position.up_to is None and open_face is None
            for arrival in arrivals:
                if open_face:
                    yield from self._mate(where, open_face, arrival)
                elif not opens:
                    yield from self._unmated(where, arrival)
            if arrivals:
                open_face = arrivals[0] if opens else leaves
            elif leaves:
                yield from self._unmated(where, open_face)
                open_face = leaves
        yield from self._unmated(where, open_face)

    def _unmated(self, where: str, face: _Face | None) -> Iterator[Finding]:
        if face and face.feature.required:
            yield Finding.fault(
                f"{where}: {face}", "mated", f"nothing mates with {face.feature.name} of {face.part.code}"
            )

    def _mate(self, where: str, one: _Face, other: _Face) -> Iterator[Finding]:
        where, a, b = f"{where}: {one} - {other}", one.feature, other.feature
        if a.interface != b.interface or a.side == b.side:
            because = f"a {a.side} of {a.interface} and a {b.side} of {b.interface} are not made for each other"
            yield Finding.fault(where, "one interface, two sides", because, b.source)
            return
        number, against = a.count * one.position.quantity, b.count * other.position.quantity
        if number != against:
            yield Finding.fault(where, "as many on both sides", f"{number} meet {against}")
        sides = {a.side: one, b.side: other}
        for check in self.setting.catalog.interfaces[a.interface].checks:
            if isinstance(check, Gap):
                yield check.judge(lambda ref: sides[ref.owner].feature.dimensions[ref.name], where)
            else:
                left, right = (sides[ref.owner].tokens(ref.name) for ref in (check.left, check.right))
                yield judge_tokens(check, left, right, where)

    def stacks(self) -> Iterator[Finding]:
        for stack in self.setting.stacks:
            spared = any(ref.owner in self.missing for ref in stack.gap.refs())
            if not spared and all(map(self.parts.get, stack.when)) and not any(map(self.parts.get, stack.unless)):
                yield stack.gap.judge(self._sum, f"stack {stack.name}")

    def _sum(self, ref: Ref) -> Span:
        return Span.total(self._dimension(ref, part) for part in self.parts.get(ref.owner, ()))

    def _dimension(self, ref: Ref, part: Part) -> Span:
        cut = part.design.cut
        if not cut or cut.dimension != ref.name:
            return part.design.dimensions.get(ref.name, Span.exact(0))  # only a part of the wrong kind has none
        if ref.owner not in self.cuts:
            return Span(cut.low, cut.low, cut.high)  # not cut yet: any of its lengths
        return Span.plus_minus(self.cuts[ref.owner], cut.tolerance)

    def rules(self) -> Iterator[Finding]:
        for rule in self.setting.rules:
            for left, right in product(self._told(rule.check.left), self._told(rule.check.right)):
                yield judge_tokens(rule.check, left, right, f"rule {rule.name}")

    def _told(self, ref: Ref) -> list[Tokens]:
        return [part.traits[ref.name] for part in self.parts.get(ref.owner, ()) if ref.name in part.traits]

    def looks(self) -> Iterator[Finding]:
        seen = [part for name, place in self.positions.items() if place.visible for part in self.parts.get(name, ())]
        for name in self.setting.application.match:
            look = self.setting.catalog.traits[name].look
            looks = [(part.code, " ".join(look(part.traits[name]))) for part in seen if name in part.traits]
            for (code, one), (other, another) in combinations(looks, 2):
                if one != another:
                    yield Finding.fault(
                        f"match {name}", "visible parts look alike", f"{code} is {one}, {other} is {another}"
                    )
