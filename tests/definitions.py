"""A second, naive reading of what the model's definitions say of an assembly, to hold the judge against.

Mouths that meet are listed first and checked afterwards, and a sum of dimensions is tried at every corner.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from itertools import product

from fitwright.solver.application import Joint, Position, Stack
from fitwright.solver.assembly import Assembly
from fitwright.solver.check import Bound, Gap, Ref, Same, TokenCheck
from fitwright.solver.finding import Verdict, worst
from fitwright.solver.part import Feature, Part
from fitwright.solver.setting import Setting
from fitwright.solver.span import Span
from fitwright.solver.statement import Into, Measure, OpeningIs, Statement, Want, Without, WithoutTrait


def verdict_by_definition(setting: Setting, assembly: Assembly) -> Verdict:
    """Return the worst verdict on an assembly."""
    application = setting.application
    verdicts = [
        Verdict.FITS if sound else Verdict.FAILS
        for sound in (
            all(_is_filled(position, assembly) for position in application.positions.values()),
            all(
                _is_wanted(setting, application.positions[name], part, said)
                for name, parts in assembly.parts.items()
                for part in parts
                for said in setting.statements
            ),
            all(_is_measured(assembly, said) for said in setting.facts if isinstance(said, Measure)),
            set(setting.kept) <= {part.code for parts in assembly.parts.values() for part in parts},
            all(_looks_alike(setting, assembly, trait) for trait in application.match),
            all(
                _holds(rule.check, left, right)
                for rule in application.rules
                for left in _told(setting, assembly, rule.check.left)
                for right in _told(setting, assembly, rule.check.right)
            ),
        )
    ]
    prepared = any(isinstance(said, OpeningIs) and said.trait == "preparation" for said in setting.statements)
    for joint in application.joints:
        if not prepared and any(ref.owner == "opening" for ref in joint.features):
            continue  # left open: what the opening offers was not stated
        verdicts += _joint_verdicts(setting, assembly, joint)
    for stack in application.stacks:
        if (
            _is_stated(setting, stack)
            and all(assembly.parts[name] for name in stack.when)
            and not any(assembly.parts[name] for name in stack.unless)
        ):
            verdicts.append(
                sum_verdict(
                    stack.gap.terms,
                    stack.gap.at_least,
                    stack.gap.at_most,
                    lambda ref: _dimensions(setting, assembly, ref),
                )
            )
    return worst(verdicts)


def _is_filled(position: Position, assembly: Assembly) -> bool:
    parts = assembly.parts[position.name]
    least, most = 0 if position.optional else 1, position.up_to or 1
    for part in parts:
        cut = part.design.cut
        if cut and assembly.cuts.get(position.name) not in range(cut.low, cut.high + 1, cut.step):
            return False
    return least <= len(parts) <= most and all(part.kind in position.kinds for part in parts)


def _is_wanted(setting: Setting, position: Position, part: Part, said: Statement) -> bool:
    if isinstance(said, Into):
        return not position.host or part.code == said.code
    if isinstance(said, Without):
        return part.code not in said.codes
    if isinstance(said, Want | WithoutTrait) and part.code in setting.kept:
        return True  # it is in hand: what is bought is asked for
    if isinstance(said, Want):
        spoken_of = not position.host and (position.visible or not setting.catalog.traits[said.trait].visible)
        had = part.traits.get(said.trait, ())
        return not spoken_of or not had or any(value in had for value in said.values)
    if isinstance(said, Measure) and said.position == position.name and said.dimension in part.design.dimensions:
        return said.span.low <= part.design.dimensions[said.dimension].nominal <= said.span.high
    if isinstance(said, WithoutTrait):
        return position.host or not any(value in part.traits.get(said.trait, ()) for value in said.values)
    return True


def _is_measured(assembly: Assembly, said: Measure) -> bool:
    cuts = [part.design.cut for part in assembly.parts.get(said.position, ())]
    if not any(cut and cut.dimension == said.dimension for cut in cuts):
        return True
    return said.position in assembly.cuts and said.span.low <= assembly.cuts[said.position] <= said.span.high


def _looks_alike(setting: Setting, assembly: Assembly, trait: str) -> bool:
    values = setting.catalog.traits[trait].values
    looks = {
        tuple((values[token].symbol or token) for token in part.traits[trait])
        for name, position in setting.application.positions.items()
        if position.visible
        for part in assembly.parts[name]
        if trait in part.traits
    }
    return len(looks) <= 1


def _told(setting: Setting, assembly: Assembly, ref: Ref) -> list[tuple[str, ...]]:
    if ref.owner == "opening":
        return [said.values for said in setting.statements if isinstance(said, OpeningIs) and said.trait == ref.name]
    return [part.traits[ref.name] for part in assembly.parts[ref.owner] if ref.name in part.traits]


def _holds(check: TokenCheck, left: Sequence[str], right: Sequence[str]) -> bool:
    if isinstance(check, Same):
        return tuple(left) == tuple(right)
    return all(word in right for word in left)


def _is_stated(setting: Setting, stack: Stack) -> bool:
    bounds = [bound for bound in (stack.gap.at_least, stack.gap.at_most) if isinstance(bound, tuple)]
    return all(
        term.ref.name in setting.opening.design.dimensions
        for terms in (stack.gap.terms, *bounds)
        for term in terms
        if term.ref.owner == "opening"
    )


def _dimensions(setting: Setting, assembly: Assembly, ref: Ref) -> list[Span]:
    if ref.owner == "opening":
        return [setting.opening.design.dimensions[ref.name]]
    found = []
    for part in assembly.parts[ref.owner]:
        cut = part.design.cut
        if cut and cut.dimension == ref.name:
            length = assembly.cuts.get(ref.owner)
            found.append(
                Span(cut.low, cut.low, cut.high)
                if length is None
                else Span(length - cut.tolerance, length, length + cut.tolerance)
            )
        else:
            found.append(part.design.dimensions[ref.name])
    return found


def sum_verdict(
    terms: Sequence[tuple[int, Ref]], least: Bound | None, most: Bound | None, dimensions: Callable[[Ref], list[Span]]
) -> Verdict:
    """Try every dimension at both of its ends: it fits if every corner does, and in some case if some edge does."""
    refs = [ref for part in (terms, least, most) if isinstance(part, Sequence) for _, ref in part]
    own = [(ref, span) for ref in dict.fromkeys(refs) for span in dimensions(ref)]
    corners = {}
    for corner in product(*({span.low, span.high} for _, span in own)):
        total = dict.fromkeys(refs, 0)
        for (ref, _), end in zip(own, corner, strict=True):
            total[ref] += end
        measure = sum(factor * total[ref] for factor, ref in terms)
        corners[corner] = (
            0 if least is None else measure - _bound(least, total),
            0 if most is None else _bound(most, total) - measure,
        )
    if all(min(margins) >= 0 for margins in corners.values()):
        return Verdict.FITS
    edges = (
        (corner, (*corner[:place], end, *corner[place + 1 :]))
        for corner in corners
        for place, (_, span) in enumerate(own)
        for end in {span.low, span.high}
    )
    single = [(corner, corner) for corner in corners]
    some = any(_somewhere(corners[one], corners[other]) for one, other in (*single, *edges))
    return Verdict.SELECTED if some else Verdict.FAILS


def _somewhere(one: tuple[int, int], other: tuple[int, int]) -> bool:
    """Tell whether two quantities that change evenly from one pair to the other are both >= 0 on the way.

    The best place for two linear quantities in a box lies on one of its edges.
    """
    low, high = Fraction(0), Fraction(1)
    for start, end in zip(one, other, strict=True):
        if start < 0 and end < 0:
            return False
        if start < 0:
            low = max(low, Fraction(-start, end - start))
        elif end < 0:
            high = min(high, Fraction(start, start - end))
    return low <= high


def _bound(bound: Bound, total: dict[Ref, int]) -> int:
    return bound if isinstance(bound, int) else sum(factor * total[ref] for factor, ref in bound)


Mouth = tuple[Part, Feature, int]


def _joint_verdicts(setting: Setting, assembly: Assembly, joint: Joint) -> Iterator[Verdict]:
    pairs, left_alone = _pairs(_row(setting, assembly, joint))
    if any(feature.required for _, feature, _ in left_alone):
        yield Verdict.FAILS
    for (one, a, number), (other, b, another) in pairs:
        if a.interface != b.interface or a.side == b.side or number != another:
            yield Verdict.FAILS
            continue
        own = {a.side: (one, a), b.side: (other, b)}
        for check in setting.catalog.interfaces[a.interface].checks:
            if isinstance(check, Gap):
                features = {side: feature for side, (_, feature) in own.items()}
                yield sum_verdict(check.terms, check.at_least, check.at_most, partial(_dimension, features))
            else:
                left, right = (
                    [*(own[ref.owner][1].tokens.get(ref.name) or own[ref.owner][0].traits.get(ref.name) or ())]
                    for ref in (check.left, check.right)
                )
                yield Verdict.FITS if _holds(check, left, right) else Verdict.FAILS


def _dimension(features: Mapping[str, Feature], ref: Ref) -> list[Span]:
    return [features[ref.owner].dimensions[ref.name]]


def _row(setting: Setting, assembly: Assembly, joint: Joint) -> list[tuple[str, list[Mouth]]]:
    """List what stands along the axis: `in` mouths only meet, an `out` is only met, `ends` do either."""
    row: list[tuple[str, list[Mouth]]] = []
    owners = [ref.owner for ref in joint.features]
    for place, ref in enumerate(joint.features):
        position = setting.application.positions.get(ref.owner)
        parts = (setting.opening,) if position is None else assembly.parts[ref.owner]
        times = 1 if position is None else position.quantity
        mouths = [
            (part, part.design.features[ref.name], part.design.features[ref.name].count * times)
            for part in parts
            if ref.name in part.design.features
        ]
        through = owners.count(ref.owner) == 2
        if through and ref.owner in owners[:place]:
            row.append(("out", mouths[:1]))
        elif through or (position and position.up_to):
            row.append(("in", mouths))
        else:
            row.append(("ends", mouths))
    return [(kind, mouths) for kind, mouths in row if mouths]


def _pairs(
    row: list[tuple[str, list[Mouth]]], waiting: Mouth | None = None
) -> tuple[list[tuple[Mouth, Mouth]], list[Mouth]]:
    """Return the mouths that meet, and those that meet nothing."""
    if not row:
        return [], [waiting] if waiting else []
    (kind, mouths), rest = row[0], row[1:]
    if kind == "out" or (kind == "ends" and not waiting):
        pairs, alone = _pairs(rest, mouths[0])
        return pairs, [*alone, *([waiting] if waiting else [])]
    pairs, alone = _pairs(rest)
    if not waiting:
        return pairs, [*alone, *mouths]
    return [*pairs, *((waiting, mouth) for mouth in mouths)], alone
