"""How what is done with a job is read."""

from __future__ import annotations

from .action import Action, Clear, Drop, Open, Redo, Save, Show, Undo
from .listed import Next, Sort
from .order import PRICE, STATUS, Order
from .question import MOST_SHOWN
from .replay import OFF, Record, Replay
from .vocabulary import Scene, positions
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


def further(words: Words, scene: Scene) -> Action:
    """Read `next [N]`."""
    number = words.number("how many", most=MOST_SHOWN) if words.peek() else None
    words.end()
    return Next(words.text, number)


def sort(words: Words, scene: Scene) -> Action:
    """Read `sort by price`, `sort by status` and `sort by POSITION`."""
    words.named(words.take("by", "say `sort by price`"), {"by": None}, "way of sorting", "say `sort by price`")
    word = words.take("what to sort by", "say `sort by price`")
    name, _ = words.named(word, {PRICE: "", STATUS: "", **positions(scene)}, "order or position")
    words.end()
    return Sort(words.text, Order(name))


def record(words: Words, scene: Scene) -> Action:
    """Read `record FILE` and `record off`."""
    file = words.path()
    return Record(words.text, None if file.casefold() == OFF else file)


def replay(words: Words, scene: Scene) -> Action:
    """Read `replay FILE`."""
    return Replay(words.text, words.path())
