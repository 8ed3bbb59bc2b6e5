"""From the text of a job to its statements and questions, each faulty one with its place."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from ..solver.catalog import Catalog
from ..solver.statement import Statement
from .action import Action, Edit
from .form import Form
from .job_file import Desk, Rehearsal
from .language import FORMS, WORDS
from .ledger import Ledger, LedgerError
from .near import listing
from .question import Question
from .text_file import FileError
from .vocabulary import Scene, applications
from .words import LONGEST_STATEMENT, QUOTES, StatementError, Words

_LINE_END = re.compile(r"\r\n|\r|\n")
_END = re.compile("[;#]")
_QUOTED_FILE = re.compile(
    rf"\s*(?:{'|'.join(form.word for form in FORMS.values() if form.names_file)})\s+([{QUOTES}]).*?\1", re.IGNORECASE
)


@dataclass
class Reading:
    """What a text says, in order, what is wrong with it, and the facts as they will be after it."""

    ledger: Ledger = field(default_factory=Ledger)
    said: list[Statement | Question | Action] = field(default_factory=list)
    errors: list[StatementError] = field(default_factory=list)

    @property
    def asked(self) -> list[Question | Action]:
        """What in it neither is a fact nor changes the list of facts."""
        return [said for said in self.said if not isinstance(said, Statement | Edit)]

    @property
    def asks(self) -> bool:
        """Whether there is such a thing in it."""
        return bool(self.asked)


def read(text: str, catalog: Catalog, before: Ledger | Sequence[Statement] = (), desk: Desk | None = None) -> Reading:
    """Read a job's text; `before` was said already. Nothing is raised: every faulty statement is reported.

    Nothing is done either: files are read from the `desk`, on which nothing is written if none is given.
    """
    reading = Reading(before if isinstance(before, Ledger) else Ledger(tuple(before)))
    desk = desk or Rehearsal(catalog)
    use_is_faulty = False
    for words in statements(text):
        scene = Scene(catalog, reading.ledger.facts)
        form: Form | None = None
        try:
            form = _form(words)
            if form.needs_use and scene.application is None:
                if use_is_faulty:  # what follows from the faulty line is not another fault
                    continue
                column = len(words.text) - len(words.text.lstrip())
                raise words.error(
                    column,
                    "the job does not say yet what it is about",
                    f"say `use` with {listing(applications(scene), 'or')} first",
                )
            said = form.read(words, scene)
            reading.ledger = _after(said, words, reading.ledger, desk)
        except StatementError as error:
            reading.errors.append(error)
            use_is_faulty = use_is_faulty or form is None or form.word in ("use", "open")
            continue
        reading.said.append(said)
    return reading


def _after(said: Statement | Question | Action, words: Words, ledger: Ledger, desk: Desk) -> Ledger:
    """Return the facts after something is said. Raises `StatementError` where it can't be done."""
    if isinstance(said, Statement):
        return ledger.say(said)
    try:
        return said.step(ledger, desk) if isinstance(said, Action) else ledger
    except (LedgerError, FileError) as error:
        lines = error.lines if isinstance(error, FileError) else ()
        raise StatementError(words.line, words.text, words.argument, error.what, error.hint, lines) from None


def statements(text: str) -> Iterator[Words]:
    """Yield the statements of a text with the numbers of their lines: separated by line ends and semicolons."""
    for piece in pieces(text):
        if piece.text.strip():
            yield Words(piece.text.strip(), piece.number)


class Piece(NamedTuple):
    """What stands between semicolons on a line: the line's number, the line, where it starts, the column, the piece."""

    number: int
    line: str
    start: int
    column: int
    text: str

    @property
    def end(self) -> int:
        """Where in the whole text it ends."""
        return self.start + self.column + len(self.text)


def pieces(text: str) -> Iterator[Piece]:
    """Yield what stands between line ends and semicolons, comments left out.

    A file's name in quotes is left whole; a quote elsewhere is a sign for inches or feet.
    """
    start = 0
    for number, line in enumerate(_LINE_END.split(text), 1):
        column: int | None = 0
        while column is not None:
            quoted = _QUOTED_FILE.match(line, column)
            end = _END.search(line, quoted.end() if quoted else column)
            yield Piece(number, line, start, column, line[column : end.start()] if end else line[column:])
            column = end.end() if end and end[0] == ";" else None
        mark = _LINE_END.search(text, start + len(line))
        start = mark.end() if mark else len(text)


def _form(words: Words) -> Form:
    if len(words.text) > LONGEST_STATEMENT:
        raise words.error(0, f"the statement is longer than {LONGEST_STATEMENT} characters", "start a new one")
    for column, character in enumerate(words.text):
        # Blanks of any sort part words; what else can't be seen would make two names look alike.
        if character != "\t" and not character.isprintable() and unicodedata.category(character)[0] == "C":
            raise words.error(column, f"the character U+{ord(character):04X} may not stand here", "leave it out")
    word = words.take("a word", "say `help` for what can be said")
    return words.named(word, WORDS, "statement or question", "say `help` for all")[1]
