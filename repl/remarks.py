"""What is said about the talk itself rather than about the job: what helps at the prompt, the tour, leaving."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, ClassVar

from .action import Action
from .answer import Answer, Row
from .assists import NAMES, QUIET, Assists
from .near import suggestion
from .tour import Tour
from .tours import COURSES
from .vocabulary import Scene
from .words import Words

if TYPE_CHECKING:
    from .dialogue import Dialogue
    from .session import Session

_NO_TOUR = ("no tour is on; `tour` begins one",)
_WAY = "`hint` shows what to type, `skip` does it for you, `leave` ends the tour"
ALL = "quiet"
"""What stands for every help at once, switched the other way."""

ON = {"on": True, "off": False}
"""The ways to set a help."""


@dataclass(frozen=True, slots=True)
class Remark(Action):
    """Something said to the program. It is heard at the prompt; a script passes over it."""

    recorded: ClassVar[bool] = False

    def act(self, session: Session) -> Answer:
        """Say that nobody is at the prompt."""
        return session.told(self.text, "this is for the prompt; nothing was done")

    def talk(self, dialogue: Dialogue) -> Answer | None:
        """Do it; where nothing is to be said about it there is no answer."""
        raise NotImplementedError


@dataclass(frozen=True, slots=True)
class Set(Remark):
    """Switch a help on or off, or list them."""

    name: str | None
    on: bool

    def talk(self, dialogue: Dialogue) -> Answer:
        """Switch it, and list where they all stand."""
        if self.name == ALL:
            dialogue.assists = QUIET if self.on else Assists()
        elif self.name:
            dialogue.assists = replace(dialogue.assists, **{self.name: self.on})
        rows: list[Row] = [
            {"help": name, "is": "on" if getattr(dialogue.assists, name) else "off", "meaning": meaning}
            for name, meaning in NAMES.items()
            if self.name in (None, ALL, name)
        ]
        return dialogue.session.told(self.text, rows=rows)


@dataclass(frozen=True, slots=True)
class TakeTour(Remark):
    """Begin a guided session, or list those that there are."""

    course: str | None

    def act(self, session: Session) -> Answer:
        """Write the steps out: each with the line that does it."""
        if self.course is None:
            return session.told(self.text, rows=[{"tour": name, "shows": own.title} for name, own in COURSES.items()])
        steps = COURSES[self.course].steps
        return session.told(self.text, *(f"{step.do} Type: {step.line}" for step in steps))

    def talk(self, dialogue: Dialogue) -> Answer:
        """Put the job aside and set the first step."""
        if self.course is None:
            return self.act(dialogue.session)
        if dialogue.tour:
            dialogue.tour.end()
        dialogue.tour = Tour(COURSES[self.course], dialogue.session)
        return dialogue.session.told(self.text, *dialogue.tour.task(), _WAY)


@dataclass(frozen=True, slots=True)
class Hint(Remark):
    """What could be typed now."""

    def talk(self, dialogue: Dialogue) -> Answer:
        """Show the line that does the step."""
        return dialogue.session.told(self.text, *(dialogue.tour.hint() if dialogue.tour else _NO_TOUR))


@dataclass(frozen=True, slots=True)
class Skip(Remark):
    """Let the step of the tour be done: the dialogue takes its line in the user's stead."""

    def talk(self, dialogue: Dialogue) -> Answer:
        """Say that there is no step."""
        return dialogue.session.told(self.text, *_NO_TOUR)


@dataclass(frozen=True, slots=True)
class Leave(Remark):
    """The tour is over, or the session is."""

    def talk(self, dialogue: Dialogue) -> Answer | None:
        """End the tour, where there is one, else the session."""
        if dialogue.tour:
            dialogue.tour.end()
            return dialogue.session.told(self.text, "the tour is left; the job is again what it was before")
        dialogue.over = True
        return None


def set_help(words: Words, scene: Scene) -> Action:
    """Read `set [HELP on]`."""
    if words.peek() is None:
        return Set(words.text, None, True)
    known = dict.fromkeys((*NAMES, ALL), "")
    word = words.take("the help", suggestion("", known))
    name, _ = words.named(word, known, "help at the prompt", suggestion("", known))
    _, on = words.named(words.take("`on` or `off`"), ON, "way to set it", "say `on` or `off`")
    words.end()
    return Set(words.text, name, on)


def tour(words: Words, scene: Scene) -> Action:
    """Read `tour [WHO]`."""
    if words.peek() is None:
        return TakeTour(words.text, None)
    name, _ = words.named(words.take("the tour"), COURSES, "tour", suggestion("", COURSES))
    words.end()
    return TakeTour(words.text, name)


def hint(words: Words, scene: Scene) -> Action:
    """Read `hint`."""
    words.end()
    return Hint(words.text)


def skip(words: Words, scene: Scene) -> Action:
    """Read `skip`."""
    words.end()
    return Skip(words.text)


def leave(words: Words, scene: Scene) -> Action:
    """Read `leave`."""
    words.end()
    return Leave(words.text)
