"""The run of a joint: the open face is carried from part to part."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from .application import OPENING, Joint
from .face import Face, Mating, meeting
from .part import Part
from .run import DEAD, Run
from .setting import Setting

_Faces = tuple[Face | None, ...]


class JointRun(Run):
    """State: the open face or None. Reading of a part: its faces at this stop, entry first."""

    of_shape = True

    def __init__(self, setting: Setting, joint: Joint, matings: Mapping[str, Mating]) -> None:
        self._stops = dict(joint.stops())
        super().__init__(list(self._stops))
        self._positions = setting.application.positions
        self._matings = matings
        self._meets: dict[Face, set[Face]] = {}

    def trait_names(self, position: str) -> Iterable[str]:
        """The tokens that any interface reads may be the part's traits."""
        return {
            name
            for mating in self._matings.values()
            for side in mating.interface.sides
            for name in mating.token_names(side)
        }

    def read(self, position: str, part: Part) -> _Faces:
        """Return the faces of the part at this stop; None where it has no such feature."""
        times = self._positions[position].quantity if position != OPENING else 1
        features = [part.design.features.get(name) for name in self._stops[position]]
        return tuple(
            self._matings[feature.interface].face(feature, part, times) if feature else None for feature in features
        )

    def gather(self, position: str, readings: tuple[Any, ...]) -> Hashable:
        """Repeated parts that show the same faces are read once."""
        return tuple(dict.fromkeys(readings))

    def start(self) -> Face | None:
        """Nothing is open before the first."""
        return None

    def prepare(self, readings: dict[str, list[Any]]) -> None:
        """Join all faces of the joint once."""
        faces = [face for many in readings.values() for parts in many for part in parts for face in part if face]
        self._meets = meeting(self._matings, faces)

    def step(self, state: Any, position: str, reading: Any) -> Any:
        """Mate the arriving faces with the open one, and leave the exit open."""
        through = len(self._stops[position]) == 2
        gathers = position != OPENING and self._positions[position].up_to is not None
        arrivals = [faces[0] for faces in reading if faces[0]]
        leaves = reading[0][1] if reading and through else None
        for face in arrivals:
            if state is not None:
                if face not in self._meets[state]:
                    return DEAD
            elif (through or gathers) and face.required:
                return DEAD
        if arrivals:
            return leaves if through else None if state is not None or gathers else arrivals[0]
        if leaves:
            return DEAD if state is not None and state.required else leaves
        return state

    def accepts(self, state: Any) -> bool:
        """A required face must not be left open."""
        return state is None or not state.required

    def covers(self, position: str, reading: Any, other: Any) -> bool:
        """It shows the same faces, which meet all that the other's meet and need a mate no more than they do.

        `prepare` must have seen every face of the joint.
        """
        return all(
            new is old or (new and old and new.required <= old.required and self._meets[new] >= self._meets[old])
            for new, old in zip(reading, other, strict=True)
        )

    def steps(
        self, states: Sequence[Any], position: str, readings: Sequence[Any], last: bool
    ) -> Iterator[tuple[int, int, Any]]:
        """Follow the joined pairs instead of trying all, where a single part arrives."""
        arriving: dict[Face, list[int]] = {}
        others = []
        for j, reading in enumerate(readings):
            if len(reading) == 1 and reading[0][0]:
                arriving.setdefault(reading[0][0], []).append(j)
            else:
                others.append(j)
        for i, state in enumerate(states):
            near = arriving if state is None else self._meets[state].intersection(arriving)
            for j in sorted([*others, *(j for face in near for j in arriving[face])]):
                following = self.step(state, position, readings[j])
                if following is not DEAD and (not last or self.accepts(following)):
                    yield i, j, following
