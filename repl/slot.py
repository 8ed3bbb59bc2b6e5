"""A place in a form that is to be filled in, and what may stand there.

Completion and the judgement of a line while it is typed both come from the slots that a form declares.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, auto

from .vocabulary import Names, Scene

Before = tuple[str, ...]
"""The words of a statement before a slot, without the first one."""


class Shape(Enum):
    """How much of a statement a slot takes."""

    WORD = auto()
    """One word."""
    WORDS = auto()
    """All that is left: words separated by commas or blanks."""
    PHRASE = auto()
    """All that is left, as one."""
    PHRASES = auto()
    """All that is left: phrases separated by commas."""
    STATEMENT = auto()
    """All that is left: a statement in its own right."""


@dataclass(frozen=True, slots=True)
class Slot:
    """What may stand in one place of a form.

    `names` are all that is known there, with meanings; `offers` those of them that are worth offering (None: all).
    `begun` tells whether a text that is none of the names may become right. Each phrase may have slots `within`.
    `slow` tells of what is not read while one types, since that takes too long.
    """

    names: Callable[[Scene, Before], Names]
    shape: Shape = Shape.WORD
    offers: Callable[[Scene, Before], Names] | None = None
    begun: Callable[[str, Scene, Before], bool] | None = None
    within: tuple[tuple[Slot, ...], ...] = ()
    slow: Callable[[str], bool] | None = None

    def takes(self, text: str, scene: Scene, before: Before) -> bool:
        """Tell whether a text is one of the names, or may stand here without a name."""
        known = self.names(scene, before)
        return any(name in known for name in (text, text.upper(), text.lower(), text.casefold())) or bool(
            self.begun and self.begun(text, scene, before)
        )

    def may_take(self, text: str, scene: Scene, before: Before) -> bool:
        """Tell whether a text may become one that the slot takes, by typing on."""
        if not text or (self.begun and self.begun(text, scene, before)):
            return True
        begun = text.casefold()
        return any(name.casefold().startswith(begun) for name in self.names(scene, before))


def word(text: str, meaning: str = "") -> Slot:
    """Return the slot of a word that must stand there as it is."""
    return Slot(lambda scene, before: {text: meaning})


def free(begun: Callable[[str], bool], shape: Shape = Shape.WORD) -> Slot:
    """Return a slot of which only the form is known."""
    return Slot(lambda scene, before: {}, shape, begun=lambda text, scene, before: begun(text))
