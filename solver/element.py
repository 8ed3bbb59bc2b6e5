"""What a job consists of, piece by piece: each statement and each check of the catalog that can be blamed."""

from __future__ import annotations

from dataclasses import dataclass

from .application import OPENING, Joint, Rule, Stack
from .check import Check
from .finding import Finding
from .setting import Setting
from .statement import Door, OpeningIs, Selective, Statement, Use

SIDES = "one interface, two sides"
"""The demand of every joint that its features are made for each other, and are as many on both sides."""

MATED = "mated"
"""The demand of every joint that no required feature is left without a mate."""

LOOKS = "visible parts look alike"
"""The demand of every trait that an application matches."""


@dataclass(frozen=True, slots=True)
class Element:
    """A statement, or a check of the catalog: `where` as the judge says it, such as `joint drive` or `stack chain`."""

    where: str
    check: Check | Statement | str

    @property
    def statement(self) -> Statement | None:
        """The statement that it is, None for a check of the catalog."""
        return self.check if isinstance(self.check, Statement) else None


def of_statement(said: Statement) -> Element:
    """Return the element of a statement."""
    return Element("job", said)


def of_joint(joint: Joint, check: Check | str) -> Element:
    """Return the element of one check within a joint."""
    return Element(f"joint {joint.name}", check)


def of_stack(stack: Stack) -> Element:
    """Return the element of a stack."""
    return Element(f"stack {stack.name}", stack.gap)


def of_rule(rule: Rule) -> Element:
    """Return the element of a rule."""
    return Element(f"rule {rule.name}", rule.check)


def of_match(trait: str) -> Element:
    """Return the element of the looks of visible parts in a trait."""
    return Element(f"match {trait}", LOOKS)


def of_finding(finding: Finding) -> Element:
    """Return the element that a finding on a joint, stack, rule or look speaks of."""
    joint = finding.where.startswith("joint ")
    check = SIDES if joint and isinstance(finding.check, str) and finding.check != MATED else finding.check
    return Element(finding.where.partition(":")[0] if joint else finding.where, check)


def statements(setting: Setting) -> list[Statement]:
    """Return the facts that only ever take assemblies away, in the user's order."""
    return [said for said in setting.facts if not isinstance(said, Use | Selective)]


def resting_on(setting: Setting, check: Joint | Stack | Rule) -> frozenset[Element]:
    """Return the statements without which a check can't be read: those on the parts of the opening that it reads."""
    if isinstance(check, Joint):
        refs = {ref for ref in check.features if ref.owner == OPENING}
    elif isinstance(check, Stack):
        refs = {ref for ref in check.gap.refs() if ref.owner == OPENING}
    else:
        refs = {ref for ref in (check.check.left, check.check.right) if ref.owner == OPENING}
    found = set()
    for said in setting.facts if refs else ():
        if isinstance(said, Door):
            if isinstance(check, Stack) and any(ref.name == "thickness" for ref in refs):
                found.add(of_statement(said))
        elif isinstance(said, OpeningIs):
            # A preparation gives features and dimensions, everything else is a trait that only rules compare.
            read = {ref.name for ref in refs} if isinstance(check, Rule) else {"preparation"}
            prepared = not isinstance(check, Stack) or any(ref.name != "thickness" for ref in refs)
            if said.trait in read and (isinstance(check, Rule) or prepared):
                found.add(of_statement(said))
    return frozenset(found)
