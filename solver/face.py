"""What a mating feature shows to its interface, and which features can meet."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from .catalog import Interface
from .check import Demand, Gap, Ref, Same, Tokens
from .part import Feature, Part
from .span import Span


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A feature reduced to what its interface's checks read; made by `Mating.face`, once for all that look alike."""

    interface: str
    side: str
    spans: tuple[Span, ...]
    tokens: tuple[Tokens, ...]
    number: int
    required: bool


class Mating:
    """One interface, ready to tell which faces of its two sides meet. `selective`: in some cases is enough."""

    def __init__(self, interface: Interface, selective: bool) -> None:
        self.interface = interface
        self.selective = selective
        gaps = [check for check in interface.checks if isinstance(check, Gap)]
        self._words = [check for check in interface.checks if not isinstance(check, Gap)]
        self._demands = [demand for gap in gaps for demand in gap.demands()]
        self._names = {side: _names((ref for gap in gaps for ref in gap.refs()), side) for side in interface.sides}
        self._token_names = {
            side: _names((ref for word in self._words for ref in (word.left, word.right)), side)
            for side in interface.sides
        }
        self._made: dict[tuple[object, ...], Face] = {}
        second = interface.sides[1]
        self._window = (
            not selective
            and len(self._demands) == 2
            and _negated(_side(self._demands[0], second), _side(self._demands[1], second))
        )

    def token_names(self, side: str) -> list[str]:
        """Return the tokens that the checks read of a side."""
        return self._token_names[side]

    def face(self, feature: Feature, part: Part, times: int) -> Face:
        """Reduce a feature of a part, of which there are `times` side by side; equal ones are one object."""
        side = feature.side
        spans = tuple([feature.dimensions[name] for name in self._names[side]])
        tokens = tuple([part.tokens(feature, name) for name in self._token_names[side]])
        return self._once(side, spans, tokens, feature.count * times, feature.required)

    def narrowed(self, face: Face, to: Mating, number: int, required: bool) -> Face:
        """Return a face as a mating of the same interface with fewer checks reads it."""
        spans = dict(zip(self._names[face.side], face.spans, strict=True))
        tokens = dict(zip(self._token_names[face.side], face.tokens, strict=True))
        fewer_spans = tuple(spans[name] for name in to._names[face.side])
        fewer_tokens = tuple(tokens[name] for name in to._token_names[face.side])
        return to._once(face.side, fewer_spans, fewer_tokens, number, required)

    def _once(
        self, side: str, spans: tuple[Span, ...], tokens: tuple[Tokens, ...], number: int, required: bool
    ) -> Face:
        key = (side, spans, tokens, number, required)
        found = self._made.get(key)
        if found is None:
            found = self._made[key] = Face(self.interface.name, *key)
        return found

    def pairs(self, faces: Iterable[Face]) -> Iterator[tuple[Face, Face]]:
        """Yield each pair (a face of the first side, one of the second) that meets.

        Joins on the words that must be equal, then on one sorted sum of dimensions, then tests what is left.
        """
        first, second = self.interface.sides
        ones = [face for face in faces if face.side == first]
        buckets: dict[tuple[object, ...], list[Face]] = {}
        for face in faces:
            if face.side == second:
                buckets.setdefault(self._key(face), []).append(face)
        sorted_buckets = {key: self._sorted(bucket) for key, bucket in buckets.items()}
        for one in ones:
            sums, bucket = sorted_buckets.get(self._key(one), ([], []))
            if not bucket:
                continue
            needs = self._sums(one)
            low, high = 0, len(bucket)
            if needs:
                low = bisect_left(sums, -needs[0])
                if self._window:
                    high = bisect_right(sums, needs[1], low)
            for has, other in bucket[low:high]:
                if all(need + own >= 0 for need, own in zip(needs, has, strict=True)) and self._words_hold(one, other):
                    yield one, other

    def _key(self, face: Face) -> tuple[object, ...]:
        same = [
            self._token(face, word.left if word.left.owner == face.side else word.right)
            for word in self._words
            if isinstance(word, Same) and word.left.owner != word.right.owner
        ]
        return (face.number, *same)

    def _sorted(self, bucket: list[Face]) -> tuple[list[int], list[tuple[tuple[int, ...], Face]]]:
        entries = sorted(((self._sums(face), face) for face in bucket), key=lambda entry: entry[0])
        return [sums[0] if sums else 0 for sums, _ in entries], entries

    def _sums(self, face: Face) -> tuple[int, ...]:
        """Return what the face adds to each demand; the first side carries the constants."""
        spans = dict(zip(self._names[face.side], face.spans, strict=True))
        first = face.side == self.interface.sides[0]
        return tuple(
            [
                demand.share(face.side, spans, self.selective) + (demand.constant if first else 0)
                for demand in self._demands
            ]
        )

    def _token(self, face: Face, ref: Ref) -> Tokens:
        return face.tokens[self._token_names[face.side].index(ref.name)]

    def _words_hold(self, one: Face, other: Face) -> bool:
        sides = {one.side: one, other.side: other}
        return all(
            word.holds(self._token(sides[word.left.owner], word.left), self._token(sides[word.right.owner], word.right))
            for word in self._words
        )


def _names(refs: Iterable[Ref], side: str) -> list[str]:
    return sorted({ref.name for ref in refs if ref.owner == side})


def _side(demand: Demand, side: str) -> Mapping[Ref, int]:
    return {ref: factor for factor, ref in demand.terms if ref.owner == side}


def _negated(one: Mapping[Ref, int], other: Mapping[Ref, int]) -> bool:
    """Tell whether one sum is the other with its sign turned: the sorted sum then bounds a window on both ends."""
    return bool(one) and {ref: -factor for ref, factor in one.items()} == other


def meeting(matings: Mapping[str, Mating], faces: Sequence[Face]) -> dict[Face, set[Face]]:
    """Return for each face the faces that it meets, either side first."""
    met: dict[Face, set[Face]] = {face: set() for face in faces}
    by_interface: dict[str, list[Face]] = {}
    for face in met:
        by_interface.setdefault(face.interface, []).append(face)
    for name, own in by_interface.items():
        for one, other in matings[name].pairs(own):
            met[one].add(other)
            met[other].add(one)
    return met
