"""One way of saying something in the job language: how it is written, read, explained and completed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..solver.statement import Statement
from .action import Action
from .question import Question
from .slot import Slot
from .vocabulary import Scene
from .words import Words


@dataclass(frozen=True, slots=True)
class Form:
    """One way of saying something.

    `usage` shows it with what is to be filled in as capitals; `example` is a whole job that runs on the bundled
    catalogs; `brief` is the meaning in a few words, where it is longer. `asks`: it is a question; `acts`: it does
    something with the job as a list; else it states a fact. `needs_use`: it makes no sense before an application is in
    use. `also`: other words that it may begin with. `follows`: the ways of going on after its word, slot by slot; where
    none are given any words may follow.
    """

    usage: str
    meaning: str
    example: str
    read: Callable[[Words, Scene], Statement | Question | Action]
    brief: str = ""
    asks: bool = False
    acts: bool = False
    needs_use: bool = False
    also: tuple[str, ...] = ()
    follows: tuple[tuple[Slot, ...], ...] = ()

    @property
    def word(self) -> str:
        """The word that it begins with."""
        return self.usage.partition(" ")[0]

    @property
    def gist(self) -> str:
        """The meaning in a few words."""
        return self.brief or self.meaning

    @property
    def names_file(self) -> bool:
        """Whether what follows its word is the name of a file, which may stand in quotes."""
        return " FILE" in self.usage
