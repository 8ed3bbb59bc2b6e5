"""What a job may state of the opening, and how much of it a check of the application must hear to be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .application import OPENING
from .catalog import Catalog
from .joint_run import JointRun
from .length import INCH, Length, Unit, format_exactly
from .run import Reader
from .setting import Setting
from .span import Span
from .stack_run import StackRun
from .statement import Door, OpeningIs, Statement
from .word_run import RuleRun

THICKNESS = "thickness"
PREPARATION = "preparation"


@dataclass(frozen=True, slots=True)
class Said:
    """What is stated of an opening: one of its traits or its preparation, and how thick the door is."""

    of_opening: OpeningIs | None = None
    door: Length | None = None

    def added_to(self, setting: Setting) -> Setting:
        """Return the job that says this too."""
        more: list[Statement] = [self.of_opening] if self.of_opening else []
        if self.door is not None:
            unit: Unit = "in" if self.door % (INCH // 16) == 0 else "mm"
            more.append(Door(Span.exact(self.door), text=f"door {format_exactly(self.door, unit)}"))
        return Setting(setting.catalog, (*setting.statements, *more))

    def bearing_on(self, reader: Reader) -> Said:
        """Return as much of it as the reader hears."""
        made, door = self.of_opening, None
        of_preparation = made is not None and made.trait == PREPARATION
        if isinstance(reader, JointRun):
            bears = of_preparation and OPENING in reader.positions
        elif isinstance(reader, RuleRun):
            bears = made is not None and made.trait in _asked_by_rule(reader)
        elif isinstance(reader, StackRun):
            read = read_by_stacks(reader)
            bears = of_preparation and bool(read - {THICKNESS})
            door = self.door if THICKNESS in read else None
        else:
            bears = False
        return Said(made if bears else None, door)


def ways_to_read(setting: Setting, reader: Reader, doors: Sequence[Length]) -> Iterator[Said]:
    """Yield the least that must be stated so that the reader is read, in every way there is; `doors` are tried."""
    catalog = setting.catalog
    prepared = [OpeningIs(PREPARATION, (name,), text=f"opening {PREPARATION} {name}") for name in catalog.preparations]
    if isinstance(reader, JointRun) and OPENING in reader.positions:
        yield from map(Said, prepared)
    elif isinstance(reader, RuleRun) and (asked := _asked_by_rule(reader)):
        for value in _values(catalog, asked[0]):
            yield Said(OpeningIs(asked[0], (value,), text=f"opening {asked[0]} {value}"))
    elif isinstance(reader, StackRun):
        read = read_by_stacks(reader)
        for made in [None, *prepared] if read - {THICKNESS} else [None]:
            for door in (None, *doors) if THICKNESS in read else (None,):
                said = Said(made, door)
                if any(left is not None for left in reader.begun(said.added_to(setting).opening).sums):
                    yield said
    else:
        yield Said()


def read_by_stacks(run: StackRun) -> frozenset[str]:
    """Return the dimensions of the opening that the stacks read."""
    return frozenset(ref.name for stack in run.stacks for ref in stack.gap.refs() if ref.owner == OPENING)


def _asked_by_rule(run: RuleRun) -> list[str]:
    return [ref.name for ref in (run.rule.check.left, run.rule.check.right) if ref.owner == OPENING]


def _values(catalog: Catalog, trait: str) -> tuple[str, ...]:
    """Return what a job may say of a trait of the opening: the values declared, or else those that parts name."""
    if trait == PREPARATION:
        return tuple(catalog.preparations)
    if trait in catalog.traits and catalog.traits[trait].values:
        return tuple(catalog.traits[trait].values)
    had = (value for part in catalog.parts.values() for value in part.traits.get(trait, ()))
    return tuple(dict.fromkeys(had))
