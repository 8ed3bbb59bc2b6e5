"""What a job may say of the opening, and which checks that bears on."""

from __future__ import annotations

from dataclasses import dataclass, replace

from .application import OPENING
from .catalog import Catalog
from .joint_run import JointRun
from .length import Length
from .part import Part
from .run import Reader
from .span import Span
from .stack_run import StackRun
from .statement import OpeningIs
from .word_run import RuleRun

THICKNESS = "thickness"
PREPARATION = "preparation"


@dataclass(frozen=True, slots=True)
class Said:
    """What is stated of an opening: one of its traits or its preparation, and whether a door (any that is tried)."""

    of_opening: OpeningIs | None = None
    door: bool = False


def opening_values(catalog: Catalog, trait: str) -> tuple[str, ...]:
    """Return what a job may say of a trait of the opening: the values declared, or else those that parts name."""
    if trait == PREPARATION:
        return tuple(catalog.preparations)
    if trait in catalog.traits and catalog.traits[trait].values:
        return tuple(catalog.traits[trait].values)
    had = (value for part in catalog.parts.values() for value in part.traits.get(trait, ()))
    return tuple(dict.fromkeys(had))


def read_of_opening(run: StackRun) -> frozenset[str]:
    return frozenset(ref.name for stack in run.stacks for ref in stack.gap.refs() if ref.owner == OPENING)


def bearing(reader: Reader, said: Said) -> Said:
    """Return as much of what is said as bears on the reader."""
    made, door = said.of_opening, False
    of_preparation = made is not None and made.trait == PREPARATION
    if isinstance(reader, JointRun):
        bears = of_preparation and OPENING in reader.positions
    elif isinstance(reader, RuleRun):
        refs = (reader.rule.check.left, reader.rule.check.right)
        bears = made is not None and any(ref.owner == OPENING and ref.name == made.trait for ref in refs)
    elif isinstance(reader, StackRun):
        read = read_of_opening(reader)
        bears, door = of_preparation and bool(read - {THICKNESS}), said.door and THICKNESS in read
    else:
        bears = False
    return Said(made if bears else None, door)


def with_door(opening: Part, door: Length) -> Part:
    return replace(
        opening, design=replace(opening.design, dimensions={**opening.design.dimensions, THICKNESS: Span.exact(door)})
    )
