"""Why nothing fits: a least set of statements and checks that can't hold together, with the numbers compared."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from .application import OPENING
from .assembly import Assembly
from .check import Gap
from .conflict import minimal_conflict
from .element import Element, of_finding, of_statement
from .finding import Finding, Verdict
from .judge import judge
from .length import Length
from .lenient import shortfall
from .part import Part
from .soft import Elements, Relaxed, SoftNetwork
from .statement import Into, Keep, Measure, OfStatus, Statement, Want

MOST_APPROACHES = 24
"""So many times at most a nearer combination is asked for."""


@dataclass(frozen=True, slots=True)
class Member:
    """An element of a reason. `evidence` is the judge's finding on it where all other members are satisfied.

    Where that is possible it has the host and the parts in hand that the job names. Of a dimension it is the
    combination that comes `nearest`, if that was settled. `parts` are those that the finding
    compares, and `among` says, for each position compared, how many parts stand there in some assembly that satisfies
    all the rest. Statements have none of these; a want that no part meets has the positions that it leaves `unmet`.
    """

    element: Element
    evidence: Finding | None = None
    parts: tuple[Part, ...] = ()
    nearest: bool = False
    among: tuple[tuple[str, int], ...] = ()
    unmet: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reason:
    """Members that can't hold together. `verified`: that they can't was tried, and that any of them less can.

    `asked` holds beside them; without members what is asked can't be even by itself. `witnesses` are assemblies, one
    for each member, that satisfy what is asked and all members but that one.
    """

    members: tuple[Member, ...]
    verified: bool
    asked: tuple[Member, ...] = ()
    witnesses: tuple[Assembly, ...] = ()


def cores(
    soft: SoftNetwork, asked: Iterable[Statement] = (), apart: Iterable[Statement] = ()
) -> Iterator[tuple[Element, ...]]:
    """Yield least sets of elements that can't hold together with what is asked, as long as there are any.

    Each has other checks than those before; one without checks, other statements. What is `apart` has no part in it.
    """
    held = frozenset(map(of_statement, asked))
    out_of_it = held.union(map(of_statement, apart))
    left = [element for element in soft.elements if element not in out_of_it]
    while not soft.exists(held.union(left)):
        core = _core(soft, held, left)
        yield core
        if not core:
            return
        out = [element for element in core if not element.statement] or core
        left = [element for element in left if element not in out]


def reason_of(soft: SoftNetwork, core: Sequence[Element], asked: Iterable[Statement] = ()) -> Reason:
    """Verify a least set, and find the numbers for each of its checks."""
    said = tuple(asked)
    held = frozenset(map(of_statement, said))
    whole = held.union(core)
    found = [soft.solution(whole - {element}) for element in core]
    witnesses = [
        soft.assembly(solution, whole - {element})
        for element, solution in zip(core, found, strict=True)
        if solution is not None
    ]
    verified = not soft.exists(whole) and len(witnesses) == len(core)
    return Reason(
        tuple(_member(soft, held, core, element) for element in core),
        verified,
        tuple(Member(of_statement(each), unmet=unmet(soft, each)) for each in said),
        tuple(witnesses),
    )


def _core(soft: SoftNetwork, held: Elements, left: Sequence[Element]) -> tuple[Element, ...]:
    """Statements first, then joints and the like as wholes, then the checks within them."""
    # Earlier elements are preferred as members: the host and what is in hand say more than how thick the door is.
    said = sorted((each for each in left if each.statement), key=lambda each: not isinstance(each.check, Into | Keep))
    groups: dict[str, tuple[Element, ...]] = {}
    for element in left:
        if not element.statement:
            groups[element.where] = (*groups.get(element.where, ()), element)
    checks = held.union(*groups.values())
    blamed = minimal_conflict(said, lambda some: soft.exists(checks.union(some)))
    fixed = held.union(blamed)
    wholes = minimal_conflict(tuple(groups.values()), lambda some: soft.exists(fixed.union(*some)))
    pieces = [element for whole in wholes for element in whole]
    found = minimal_conflict(pieces, lambda some: soft.exists(fixed.union(some)))
    return tuple(element for element in left if element in {*blamed, *found})


def _member(soft: SoftNetwork, held: Elements, core: Sequence[Element], element: Element) -> Member:
    if element.statement:
        return Member(element, unmet=unmet(soft, element.statement))
    others = beside(soft, held.union(core) - {element})
    found = _judged(soft, others, element, None)
    if found is None:
        return Member(element)
    finding, assembly = found
    nearest = False
    if isinstance(element.check, Gap):
        finding, assembly, nearest = _approached(soft, others, element, element.check, finding, assembly)
    names = _compared(soft, finding)
    parts = tuple(dict.fromkeys(part for name in names for part in assembly.parts.get(name, ())))
    possible = soft.possible(others)
    return Member(element, finding, parts, nearest, tuple((name, len(possible[name])) for name in names))


def beside(soft: SoftNetwork, elements: Elements) -> Elements:
    """Return the elements with the host and the parts in hand that the job names, where these can be had with them."""
    for element in soft.elements:
        if isinstance(element.check, Into | Keep) and soft.exists(elements | {element}):
            elements |= {element}
    return elements


def _judged(
    soft: SoftNetwork, others: Elements, element: Element, relaxed: Relaxed | None
) -> tuple[Finding, Assembly] | None:
    """Return the worst finding on an element in an assembly that satisfies all others; None where there is none."""
    solution = soft.solution(others | {element} if relaxed else others, relaxed)
    if solution is None:
        return None
    assembly = soft.assembly(solution, others, element)
    welcome = Verdict.SELECTED.rank if soft.setting.selective else Verdict.FITS.rank
    own = [each for each in judge(soft.setting, assembly) if of_finding(each) == element]
    failed = [each for each in own if each.verdict.rank > welcome]
    if not failed:
        return None
    return min(failed, key=lambda each: each.margin or 0), assembly


def _approached(
    soft: SoftNetwork, others: Elements, element: Element, gap: Gap, finding: Finding, assembly: Assembly
) -> tuple[Finding, Assembly, bool]:
    """Return the finding that misses the least, and whether it was settled that none misses less."""
    best = _missing(gap, finding, soft.setting.selective)
    least = 0
    for attempt in range(MOST_APPROACHES):
        # By turns: is there anything nearer at all, and is there anything in the nearer half?
        room = best - 1 if attempt % 2 == 0 else (least + best) // 2
        if room <= least:
            return finding, assembly, True
        found = _judged(soft, others, element, Relaxed(element, room))
        if found is not None and _missing(gap, found[0], soft.setting.selective) < best:
            finding, assembly = found
            best = _missing(gap, finding, soft.setting.selective)
        elif attempt % 2 == 0:
            return finding, assembly, found is None
        else:
            least = room
    return finding, assembly, False


def _missing(gap: Gap, finding: Finding, selective: bool) -> Length:
    return shortfall(gap, dict(finding.read), selective)


def _compared(soft: SoftNetwork, finding: Finding) -> list[str]:
    """Return the positions that a finding is about."""
    element = of_finding(finding)
    setting = soft.setting
    if element.where.startswith("joint "):
        faces = finding.where.partition(": ")[2].split(" - ")
        names = [face.partition(".")[0] for face in faces]
    elif element.where.startswith("match "):
        names = [name for name, position in setting.application.positions.items() if position.visible]
    elif element.where.startswith("rule "):
        rule = next(rule for rule in setting.rules if f"rule {rule.name}" == element.where)
        names = [rule.check.left.owner, rule.check.right.owner]
    else:
        stack = next(stack for stack in setting.stacks if f"stack {stack.name}" == element.where)
        names = [name for name in setting.application.positions if name in {ref.owner for ref in stack.gap.refs()}]
    return [name for name in dict.fromkeys(names) if name != OPENING]


def unmet(soft: SoftNetwork, said: Statement) -> tuple[str, ...]:
    """Return the positions of which every part that has what is wanted, a trait or a dimension, has it otherwise."""
    if not isinstance(said, Want | OfStatus | Measure):
        return ()
    found = []
    for name, position in soft.setting.application.positions.items():
        sieve = said.sieve(soft.setting.catalog, position)
        parts = [part for shelf in soft.setting.catalog.shelves(position.kinds) for part in shelf.parts]
        asked = [part for part in parts if _has(part, said)] if sieve else []
        if sieve and asked and all(map(sieve.refuses, asked)):
            found.append(name)
    return tuple(found)


def _has(part: Part, said: Want | OfStatus | Measure) -> bool:
    if isinstance(said, Want):
        return said.trait in part.traits
    cut = part.design.cut
    known = {*part.design.dimensions, *((cut.dimension,) if cut else ())}
    return isinstance(said, OfStatus) or said.dimension in known
