"""Where in a statement a cursor stands: the slots that the text before it may be filling."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from .form import Form
from .language import WORDS
from .slot import Before, Shape, Slot
from .slots import TEXT
from .vocabulary import Names, Scene

_WORD = re.compile(r"[^\s,]+")
_BLANKS = re.compile(r"\s*")


@dataclass(frozen=True, slots=True)
class Place:
    """A slot that the end of a text is in: what was `typed` into it, from which column on, and what stands before.

    `form` is the statement's, None where its first word is still to come. What stands before the column `since` was
    not looked at.
    """

    slot: Slot
    typed: str
    column: int
    before: Before = ()
    form: Form | None = None
    since: int = 0

    def may_take(self, scene: Scene) -> bool:
        """Tell whether what was typed may still become right."""
        return self.slot.may_take(self.typed, scene, self.before)


def places(text: str, scene: Scene, facts_only: bool = False) -> Iterator[Place]:
    """Yield the places in which a statement ends that has been typed so far; none where it has gone wrong before."""
    yield from _of_statement(text, 0, scene, facts_only)


def _of_statement(text: str, at: int, scene: Scene, facts_only: bool) -> Iterator[Place]:
    start = _blanks(text, at)
    first = _WORD.match(text, start)
    if first is None or first.end() == len(text):
        if first or start == len(text):
            yield Place(Slot(lambda scene, before: _words(scene, facts_only)), text[start:], start)
        return
    form = WORDS.get(first[0].casefold())
    if form and first[0].casefold() in _words(scene, facts_only):
        for way in form.follows or (((TEXT,),) if " " in form.usage else ()):
            yield from _along(way, text, first.end(), scene, (), form)


def _words(scene: Scene, facts_only: bool) -> Names:
    """Return the words that a statement may begin with here."""
    ready = scene.application is not None
    return {
        word: form.gist
        for word, form in WORDS.items()
        if (ready or not form.needs_use) and not (facts_only and form.asks)
    }


def _along(way: tuple[Slot, ...], text: str, at: int, scene: Scene, before: Before, form: Form) -> Iterator[Place]:
    """Follow one way of going on from a column to the end of the text."""
    if not way:
        return
    slot, *rest = way
    start = _blanks(text, at)
    if slot.shape is Shape.STATEMENT:
        yield from _of_statement(text, start, scene, True)
    elif slot.shape is Shape.PHRASE:
        yield Place(slot, text[start:], start, before, form)
    elif slot.shape is Shape.WORD:
        found = _WORD.match(text, start)
        if found and found.end() < len(text):
            if slot.takes(found[0], scene, before):
                yield from _along(tuple(rest), text, found.end(), scene, (*before, found[0]), form)
        elif found or start == len(text):
            yield Place(slot, text[start:], start, before, form)
    else:
        yield from _in_list(slot, text, start, scene, before, form)


def _in_list(slot: Slot, text: str, start: int, scene: Scene, before: Before, form: Form) -> Iterator[Place]:
    """Pass what is complete in a list, and stop in its last item."""
    by_comma = slot.shape is Shape.PHRASES
    parted = re.compile(r"\s*,\s*" if by_comma else r"\s*,\s*|\s+")
    taken: list[str] = []
    while mark := parted.search(text, start):
        item = text[start : mark.start()]
        if not item or not (slot.within or slot.takes(item, scene, (*before, *taken))):
            return
        taken.append(item)
        start = mark.end()
    for way in slot.within:
        since = text.rfind(",", 0, start) + 1
        yield from (replace(place, since=since) for place in _along(way, text, start, scene, before, form))
    if not slot.within:
        yield Place(slot, text[start:], start, (*before, *taken), form)


def _blanks(text: str, at: int) -> int:
    found = _BLANKS.match(text, at)
    return found.end() if found else at
