"""The answers of a job to which statements about its parts are added: fewer of them, found in the same graph."""

from __future__ import annotations

from functools import cache, cached_property, partial

from .answers import Answers
from .choice import Choice
from .graph import Graph
from .setting import Setting
from .shelf import Members
from .statement import Into, OfStatus, Statement, Want, Without, WithoutTrait

ABOUT_PARTS = (Into, OfStatus, Want, Without, WithoutTrait)
"""Statements that rule parts out and change nothing else. A job has one host: `Into` adds only where none is stated."""


class Narrowed(Answers):
    """Those of the `wider` answers that satisfy a statement about parts too. Raises ValueError for any other one."""

    def __init__(self, wider: Answers, said: Statement) -> None:
        if not isinstance(said, ABOUT_PARTS) or (isinstance(said, Into) and wider.setting.host):
            raise ValueError(f"{said} does more than to rule parts out")
        super().__init__(Setting(wider.setting.catalog, (*wider.setting.statements, said)), wider.watch)
        self._wider = wider

    @cached_property
    def fillings(self) -> dict[str, list[Choice]]:
        """What each value of a position's variable stands for; those that no node has left, for nothing."""
        return {name: [choice or Choice() for choice in own] for name, own in self._left.items()}

    @cached_property
    def graph(self) -> Graph:
        """The wider graph without the values of which no part is left."""
        return self._wider.graph.restricted(
            {name: {value for value, choice in enumerate(own) if choice} for name, own in self._left.items()}
        )

    @cached_property
    def _left(self) -> dict[str, list[Choice | None]]:
        found = {}
        for name, own in self._wider.fillings.items():
            admit = cache(self.setting.admitted(self.setting.application.positions[name]))
            left_of = cache(partial(Members.within, admit=admit))
            found[name] = [choice.within(left_of) for choice in own]
        return found
