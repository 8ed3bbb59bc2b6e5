"""The runs that compare words: rules, looks, and parts to keep."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import Any

from .application import OPENING, Rule
from .check import Tokens, Within
from .part import Part
from .run import DEAD, Run
from .setting import Setting


class RuleRun(Run):
    """A rule between two positions. State: the words read so far on the left and on the right."""

    doubts = True

    def __init__(self, setting: Setting, rule: Rule) -> None:
        self.rule, self._check = rule, rule.check
        refs = (rule.check.left, rule.check.right)
        super().__init__([name for name in setting.application.positions if name in {ref.owner for ref in refs}])
        nothing: tuple[frozenset[Tokens], frozenset[Tokens]] = (frozenset(), frozenset())
        told = self.gather(OPENING, (self.read(OPENING, setting.opening),))
        self._start = self.step(nothing, OPENING, told)

    def trait_names(self, position: str) -> Iterable[str]:
        """The traits that the rule compares."""
        return [ref.name for ref in (self._check.left, self._check.right) if ref.owner == position]

    def read(self, position: str, part: Part) -> tuple[Tokens | None, Tokens | None]:
        """Return the left and the right words of the part; None where the rule does not read them here."""
        left, right = (
            part.traits.get(ref.name) if ref.owner == position else None
            for ref in (self._check.left, self._check.right)
        )
        return left, right

    def gather(self, position: str, readings: tuple[Any, ...]) -> Hashable:
        """Return the set of left words and the set of right words."""
        return tuple(
            frozenset(words for reading in readings if (words := reading[side]) is not None) for side in (0, 1)
        )

    def covers(self, position: str, reading: Any, other: Any) -> bool:
        """On either side it says nothing or the same; or fewer words that must be within others, or more of those."""
        (left, right), (other_left, other_right) = reading, other
        return self._goes_for(left, other_left, left, other_left) and self._goes_for(
            right, other_right, other_right, right
        )

    def _goes_for(self, words: Tokens | None, others: Tokens | None, fewer: Tokens | None, more: Tokens | None) -> bool:
        if words is None or words == others:
            return True
        return isinstance(self._check, Within) and others is not None and set(fewer or ()) <= set(more or ())

    def start(self) -> Any:
        """What the opening says."""
        return self._start

    def step(self, state: Any, position: str, reading: Any) -> Any:
        """Join the words; dead as soon as a pair does not hold."""
        lefts, rights = state[0] | reading[0], state[1] | reading[1]
        if all(self._check.holds(left, right) for left in lefts for right in rights):
            return lefts, rights
        return DEAD


class LookRun(Run):
    """Visible parts must look alike in a trait. State: the looks so far, one at most."""

    doubts = True

    def __init__(self, setting: Setting, trait: str) -> None:
        self._trait = setting.catalog.traits[trait]
        super().__init__([name for name, position in setting.application.positions.items() if position.visible])

    def trait_names(self, position: str) -> Iterable[str]:
        """The trait itself."""
        return (self._trait.name,)

    def read(self, position: str, part: Part) -> Tokens | None:
        """Return how the part looks, None where it has no such trait."""
        return self._trait.look(part.traits[self._trait.name]) if self._trait.name in part.traits else None

    def gather(self, position: str, readings: tuple[Any, ...]) -> Hashable:
        """Return the set of looks."""
        return frozenset(reading for reading in readings if reading is not None)

    def covers(self, position: str, reading: Any, other: Any) -> bool:
        """It has no look to differ by, or the same."""
        return reading is None or reading == other

    def start(self) -> Any:
        """No look yet."""
        return frozenset()

    def step(self, state: Any, position: str, reading: Any) -> Any:
        """Join the looks; dead where there are two."""
        looks = state | reading
        return looks if len(looks) <= 1 else DEAD


class KeepRun(Run):
    """A part in hand must be used. State: whether it has been."""

    by_code = True

    def __init__(self, setting: Setting, code: str) -> None:
        self._code = code
        super().__init__(list(setting.application.positions))

    def read(self, position: str, part: Part) -> bool:
        """Tell whether it is the part."""
        return part.code == self._code

    def gather(self, position: str, readings: tuple[Any, ...]) -> bool:
        """Tell whether it is among them."""
        return any(readings)

    def start(self) -> bool:
        """Not used yet."""
        return False

    def step(self, state: Any, position: str, reading: Any) -> Any:
        """Used here or before."""
        return state or reading

    def accepts(self, state: Any) -> bool:
        """It must have been used."""
        return bool(state)
