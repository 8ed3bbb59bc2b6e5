"""How what is done with a job is read."""

from __future__ import annotations

from .action import Action, Clear, Drop, Open, Redo, Save, Show, Undo
from .vocabulary import Scene
from .words import Words


def show(words: Words, scene: Scene) -> Action:
    """Read `show`."""
    words.end()
    return Show(words.text)


def drop(words: Words, scene: Scene) -> Action:
    """Read `drop N, ...`."""
    most = len(scene.said)
    numbers: list[int] = []
    for phrase in words.separate("the number of a fact", "say `show` for the numbers"):
        if not (phrase.text.isascii() and phrase.text.isdecimal()):
            raise words.error(phrase.column, f"{phrase} is not a whole number", "say `show` for the numbers")
        if len(phrase.text) > 9 or not 1 <= int(phrase.text) <= most:
            has = f"it has {most:,}" if most else "it says nothing yet"
            raise words.error(phrase.column, f"the job has no fact {phrase}", f"{has}; say `show`")
        numbers.append(int(phrase.text))
    return Drop(words.text, tuple(numbers))


def undo(words: Words, scene: Scene) -> Action:
    """Read `undo`."""
    words.end()
    return Undo(words.text)


def redo(words: Words, scene: Scene) -> Action:
    """Read `redo`."""
    words.end()
    return Redo(words.text)


def clear(words: Words, scene: Scene) -> Action:
    """Read `clear`."""
    words.end()
    return Clear(words.text)


def save(words: Words, scene: Scene) -> Action:
    """Read `save FILE`."""
    return Save(words.text, words.path())


def open_file(words: Words, scene: Scene) -> Action:
    """Read `open FILE`."""
    return Open(words.text, words.path())
