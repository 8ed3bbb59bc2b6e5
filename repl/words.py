"""A statement's text, read word by word; what cannot be read is an error with its place."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from typing import NamedTuple, TypeVar

from ..solver.notation import NotationError
from .near import suggestion

LONGEST_STATEMENT = 4_000
QUOTES = "\"'"
"""What the name of a file may stand between, so that it may hold what else ends a statement."""
MOST_NUMBER = 10_000

_WORD = re.compile(r"[^\s,]+|,")
_ITEM = re.compile(r"[^,]*")

Value = TypeVar("Value")


class StatementError(ValueError):
    """A statement that can't be taken: its `line` (from 1), `text`, `column` (from 0), `what` is wrong, a `hint`.

    `details` are more lines on what is wrong: the faults of a file that it names.
    """

    def __init__(
        self, line: int, text: str, column: int, what: str, hint: str = "", details: tuple[str, ...] = ()
    ) -> None:
        super().__init__(line, text, column, what, hint)
        self.line, self.text, self.column, self.what, self.hint, self.details = line, text, column, what, hint, details

    @property
    def message(self) -> str:
        """What is wrong, and what would be right."""
        return shown("; ".join(filter(None, (self.what, self.hint, *self.details))))

    def __str__(self) -> str:
        """Three lines: the message, the statement (or the part around the place), a caret under the place; details."""
        start = max(0, self.column - 60)
        lines = (
            f"line {self.line}: {shown('; '.join(filter(None, (self.what, self.hint))))}",
            f"    {shown(self.text[start : start + 100])}",
            f"    {' ' * (self.column - start)}^",
            *map(shown, self.details),
        )
        return "\n".join(lines)


def shown(text: str) -> str:
    """Return a text that can be printed on one line: anything else in it becomes a question mark, blanks blanks."""
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)


class Word(NamedTuple):
    """A word or phrase of a statement and where it starts."""

    text: str
    column: int

    def __str__(self) -> str:
        return self.text if len(self.text) <= 40 else f"{self.text[:40]}..."


class Words:
    """One statement and how far it has been read. Words are separated by blanks; commas stand for themselves."""

    def __init__(self, text: str, line: int = 1, at: int = 0) -> None:
        self.text = text
        self.line = line
        self.at = at

    def error(self, column: int, what: str, hint: str = "") -> StatementError:
        """Return the error of something in that column."""
        return StatementError(self.line, self.text, column, what, hint)

    def notation_error(self, error: NotationError, column: int) -> StatementError:
        """Return the error of a text that starts in that column and was read by another."""
        return self.error(column + error.column, error.what, error.hint)

    @property
    def argument(self) -> int:
        """The column of what follows the first word, or of that word where nothing does."""
        places = [found.start() for found in _WORD.finditer(self.text)]
        return places[min(1, len(places) - 1)]

    def peek(self) -> Word | None:
        """Return the next word without taking it; None at the end."""
        found = _WORD.search(self.text, self.at)
        return Word(found[0], found.start()) if found else None

    def take(self, what: str, hint: str = "") -> Word:
        """Take the next word; the error of its absence says that `what` is missing."""
        word = self.peek()
        if word is None or word.text == ",":
            column = len(self.text.rstrip()) + 1 if word is None else word.column
            raise self.error(column, f"{what} is missing", hint)
        self.at = word.column + len(word.text)
        return word

    def rest(self, what: str, hint: str = "") -> Word:
        """Take everything that is left as one phrase."""
        start = self.take(what, hint).column
        self.at = len(self.text)
        return Word(self.text[start:].rstrip(), start)

    def path(self) -> str:
        """Take everything that is left as the name of a file, in quotes or not; `~` is the user's home."""
        phrase = self.rest("the file", "give its name")
        name, quote = phrase.text, phrase.text[0]
        if quote in QUOTES:
            name, closed, more = phrase.text[1:].partition(quote)
            if not closed:
                raise self.error(phrase.column, "the quote is not closed", f"end the name with {quote}")
            if more.strip():
                raise self.error(phrase.column + len(name) + 2, f"{more.strip()} is too much here", "leave it out")
            if not name:
                raise self.error(phrase.column, "the file is missing", "give its name")
        return os.path.expanduser(name)

    def listed(self, what: str, hint: str = "") -> list[Word]:
        """Take everything that is left as phrases separated by commas."""
        self.peek() or self.take(what, hint)
        found = []
        while True:
            item = _ITEM.match(self.text, self.at)
            phrase = item[0] if item else ""
            column = self.at + len(phrase) - len(phrase.lstrip())
            if not phrase.strip():
                raise self.error(min(column, len(self.text.rstrip()) + 1), f"{what} is missing", hint)
            found.append(Word(phrase.strip(), column))
            self.at += len(phrase) + 1
            if self.at > len(self.text):
                self.at = len(self.text)
                return found

    def separate(self, what: str, hint: str = "") -> list[Word]:
        """Take everything that is left as words separated by commas or blanks."""
        found = [self.take(what, hint)]
        while word := self.peek():
            if word.text == ",":
                self.at = word.column + 1
            found.append(self.take(what, hint))
        return found

    def number(self, what: str, otherwise: int | None = None, most: int = MOST_NUMBER) -> int:
        """Take a whole number from 1 to `most`; `otherwise` stands in for one that is not there."""
        if otherwise is not None and self.peek() is None:
            return otherwise
        word = self.take(what, "give a whole number such as 3")
        if not (word.text.isascii() and word.text.isdecimal()):
            raise self.error(word.column, f"{word} is not a whole number", "give one such as 3")
        if len(word.text) > 9 or not 1 <= int(word.text) <= most:
            raise self.error(word.column, f"{word} is out of range", f"give a number from 1 to {most}")
        return int(word.text)

    def named(self, word: Word, known: Mapping[str, Value], what: str, otherwise: str = "") -> tuple[str, Value]:
        """Return the known name that a word stands for (capitals or not), and its value."""
        if word.text in known:
            return word.text, known[word.text]
        for name in (word.text.upper(), word.text.lower(), word.text.casefold()):
            if name in known:
                return name, known[name]
        raise self.error(word.column, f"no {what} is named {word}", suggestion(word.text, known, otherwise))

    def end(self) -> None:
        """Refuse anything that is left."""
        if word := self.peek():
            raise self.error(word.column, f"{word} is too much here", "leave it out, or start a new statement")
