"""Joints and stacks of which only some checks are made, or one is made with more room."""

from __future__ import annotations

from collections.abc import Container, Hashable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from .application import Joint, Stack
from .check import Check, Demand, Gap
from .element import MATED, SIDES
from .face import Face, Mating, meeting
from .joint_run import JointRun
from .length import Length
from .setting import Setting
from .tally import Tally

Checks = Mapping[Check, Check]
"""The checks that are made, each with the one that stands in for it (itself, or a wider one)."""


@dataclass(frozen=True, slots=True)
class WiderGap(Gap):
    """A gap whose bounds are both `room` farther out; in the gap's own measure, so `divisor` times a length."""

    room: Length = 0

    def demands(self) -> tuple[Demand, ...]:
        """Return the inequalities, each with so much more to spare."""
        own = Gap.demands(self)
        return tuple(demand._replace(constant=demand.constant + demand.weight * self.room) for demand in own)


def wider(gap: Gap, room: Length) -> WiderGap:
    """Return the gap with both bounds farther out."""
    return WiderGap(**{each.name: getattr(gap, each.name) for each in fields(gap)}, room=room)


def shortfall(gap: Gap, read: Mapping[Any, Any], selective: bool) -> Length:
    """Return how much room a gap lacks for these dimensions, in its own measure; negative where it has some left."""
    spans = [(demand.span(read.__getitem__), demand.weight) for demand in gap.demands()]
    return -min((span.high if selective else span.low) // weight for span, weight in spans)


class LenientJointRun(JointRun):
    """A joint of which only these checks of its interfaces are made, and these demands on every joint."""

    def __init__(
        self, setting: Setting, joint: Joint, matings: Mapping[str, Mating], checks: Checks, demands: Container[str]
    ) -> None:
        super().__init__(setting, joint, matings)
        self._sides, self._mated = SIDES in demands, MATED in demands
        self._whole = matings
        self._lenient = {
            name: Mating(
                replace(
                    mating.interface,
                    checks=tuple(checks[check] for check in mating.interface.checks if check in checks),
                ),
                mating.selective,
            )
            for name, mating in matings.items()
        }

    def reduced(self, reading: Any) -> Hashable:
        """Return what is left of a whole joint's reading where fewer checks are made."""
        return self.gather("", tuple(tuple(face and self._face(face) for face in faces) for faces in reading))

    def _face(self, face: Face) -> Face:
        whole, lenient = self._whole[face.interface], self._lenient[face.interface]
        number = face.number if self._sides else 1
        return whole.narrowed(face, lenient, number, face.required and self._mated)

    def prepare(self, readings: dict[str, list[Any]]) -> None:
        """Join all faces of the joint; where sides do not count, those that are not made for each other meet too."""
        faces = [face for many in readings.values() for parts in many for part in parts for face in part if face]
        self._meets = meeting(self._lenient, faces)
        for face, met in self._meets.items() if not self._sides else ():
            met |= {other for other in self._meets if other.interface != face.interface or other.side == face.side}


def of_stacks(whole: Sequence[Stack], some: Sequence[Stack]) -> list[int]:
    """Return the places that the demands of some stacks have among those of all."""
    names = [stack.name for stack in whole for _ in stack.gap.demands()]
    wanted = {stack.name for stack in some}
    return [place for place, name in enumerate(names) if name in wanted]


def of_tally(tally: Tally, places: Sequence[int]) -> Tally:
    """Return what is left of a tally where only the demands in these places are made."""
    return Tally(tuple(tally.sums[place] for place in places), tally.cut)
