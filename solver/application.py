"""What is put together for which use: positions, joints, stacks, rules and cautions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .check import Gap, Ref, TokenCheck
from .finding import Source

OPENING = "opening"
"""The position that the door itself stands in; every application has it."""


@dataclass(frozen=True, slots=True)
class Position:
    """A place for a part of one of the `kinds`.

    `quantity` equal items stand side by side (screws); with `up_to` the position is repeated: any 0 or 1
    (if not optional) to `up_to` items stacked one on another in no particular order. `host` is what receives
    the assembly and is not bought; `visible` parts carry the finish.
    """

    name: str
    kinds: frozenset[str]
    title: str = ""
    optional: bool = False
    quantity: int = 1
    up_to: int | None = None
    host: bool = False
    visible: bool = False


@dataclass(frozen=True, slots=True)
class Joint:
    """Features that meet one after another along an axis, each written position.feature.

    The walk goes from first to last and keeps one open feature. A feature that arrives meets the open one and both
    are taken; with none open it is itself left open for the next. A position listed twice in a row has an entry and
    an exit: the exit is left open for the next, so that an absent part lets its neighbours meet. Absent parts, and
    parts without the feature, are passed by. A required feature that meets nothing is a fault. Each of a repeated
    position's parts meets the open feature. ValueError for a position that stands in two places.
    """

    name: str
    features: tuple[Ref, ...]
    source: Source | None = None

    def __post_init__(self) -> None:
        positions = [position for position, _ in self.stops()]
        if len(set(positions)) < len(positions) or any(len(features) > 2 for _, features in self.stops()):
            raise ValueError(f"joint {self.name}: a position has an entry and at most an exit, side by side")

    def stops(self) -> list[tuple[str, tuple[str, ...]]]:
        """Return the positions in order, each with its one feature, or its entry and its exit."""
        found: list[tuple[str, tuple[str, ...]]] = []
        for position, feature in self.features:
            if found and found[-1][0] == position:
                found[-1] = (position, (*found[-1][1], feature))
            else:
                found.append((position, (feature,)))
        return found


@dataclass(frozen=True, slots=True)
class Stack:
    """A sum of dimensions along the axis, `position.dimension`; absent parts add nothing.

    It is read where every position in `when` is filled and none in `unless` is.
    """

    name: str
    title: str
    gap: Gap
    when: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rule:
    """A comparison of traits of two positions; read where both give them."""

    name: str
    check: TokenCheck


@dataclass(frozen=True, slots=True)
class Caution:
    """What must be said with the answer; `when` limits it to openings (trait, values; no values: any)."""

    text: str
    when: tuple[str, tuple[str, ...]] | None = None
    source: Source | None = None


@dataclass(frozen=True, slots=True)
class Application:
    """A way of putting parts together. `match` names traits in which all visible parts must look alike.

    `work` are the positions in the order in which they are filled at the bench and the door.
    """

    name: str
    title: str
    positions: Mapping[str, Position]
    joints: tuple[Joint, ...]
    stacks: tuple[Stack, ...] = ()
    rules: tuple[Rule, ...] = ()
    match: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    source: Source | None = None
    work: tuple[str, ...] = ()

    @property
    def host(self) -> Position | None:
        """The position that the job's `into` names, if the application has one."""
        return next((position for position in self.positions.values() if position.host), None)
