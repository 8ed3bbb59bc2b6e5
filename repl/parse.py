"""From the text of a job to its statements and questions, each faulty one with its place."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ..solver.catalog import Catalog
from ..solver.statement import Statement
from .language import FORMS, Form
from .near import listing
from .question import Question
from .vocabulary import Scene, applications
from .words import LONGEST_STATEMENT, StatementError, Words

_LINE_END = re.compile(r"\r\n|\r|\n")


@dataclass
class Reading:
    """What a text says, in order, and what is wrong with it."""

    said: list[Statement | Question] = field(default_factory=list)
    errors: list[StatementError] = field(default_factory=list)

    @property
    def asks(self) -> bool:
        """Whether there is a question in it."""
        return any(isinstance(said, Question) for said in self.said)


def read(text: str, catalog: Catalog, before: Sequence[Statement] = ()) -> Reading:
    """Read a job's text; `before` was said already. Nothing is raised: every faulty statement is reported."""
    reading = Reading()
    facts = list(before)
    use_is_faulty = False
    for words in statements(text):
        scene = Scene(catalog, tuple(facts))
        form: Form[Statement | Question] | None = None
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
        except StatementError as error:
            reading.errors.append(error)
            use_is_faulty = use_is_faulty or form is None or form.word == "use"
            continue
        reading.said.append(said)
        if isinstance(said, Statement):
            facts.append(said)
    return reading


def statements(text: str) -> Iterator[Words]:
    """Yield the statements of a text with the numbers of their lines: parted by line ends and semicolons."""
    for number, line in enumerate(_LINE_END.split(text), 1):
        for statement in line.partition("#")[0].split(";"):
            if statement.strip():
                yield Words(statement.strip(), number)


def _form(words: Words) -> Form[Statement | Question]:
    if len(words.text) > LONGEST_STATEMENT:
        raise words.error(0, f"the statement is longer than {LONGEST_STATEMENT} characters", "start a new one")
    for column, character in enumerate(words.text):
        # Blanks of any sort part words; what else can't be seen would make two names look alike.
        if character != "\t" and not character.isprintable() and unicodedata.category(character)[0] == "C":
            raise words.error(column, f"the character U+{ord(character):04X} may not stand here", "leave it out")
    word = words.take("a word", "say `help` for what can be said")
    return words.named(word, FORMS, "statement or question", "say `help` for all")[1]
