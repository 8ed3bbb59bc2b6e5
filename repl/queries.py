"""How the questions of a job are read."""

from __future__ import annotations

import re
from dataclasses import replace

from ..solver.length import Length
from ..solver.notation import NotationError, parse_length
from ..solver.statement import Statement, Used
from .bill import MOST_ITEMS, Check, Item
from .change import ChangeTo, changed_statements
from .facts import READERS, codes, fact, part_code, want
from .group import Group
from .instead import InsteadOf
from .lookup import List, PartOf, Parts
from .near import suggestion
from .question import DEFAULT_SHOWN, MOST_SHOWN, Choices, Count, Fit, Question, Reach, Why
from .substitutes import Substitutes
from .vocabulary import TOPICS, Names, Scene, positions, stacks, traits
from .why_not import WhyNot
from .words import Word, Words

DETAILS: Names = {"short": "a line for each joint, stack and rule", "full": "every check with its numbers"}
"""The forms of an answer to `why`."""

ASKED = tuple(word for word in READERS if word not in ("use", "selective"))
"""Facts that can be asked about as if they were said; the others are no further demand."""

_COUNT = re.compile(r"(\d{1,9})\s*x\s+", re.ASCII | re.IGNORECASE)
_CUT = re.compile(r"\s+cut\s+(?:to\s+)?", re.IGNORECASE)
_TO_MEASURE = re.compile(r"\s+cut\s+to\s+measure$", re.IGNORECASE)


def fit(words: Words, scene: Scene) -> Question:
    """Read `fit [N]`."""
    number = words.number("how many", DEFAULT_SHOWN, MOST_SHOWN)
    words.end()
    return Fit(words.text, number)


def count(words: Words, scene: Scene) -> Question:
    """Read `count`."""
    words.end()
    return Count(words.text)


def why(words: Words, scene: Scene) -> Question:
    """Read `why N [POSITION] [short or full]` and `why not ...`."""
    first = words.peek()
    if first and first.text.casefold() == "not":
        words.take("not")
        return _why_not(words, scene)
    number = words.number("the number of an answer, or `not`,")
    position: str | None = None
    following = words.peek()
    if following and following.text.casefold() not in DETAILS:
        position = known_name(words, positions(scene), "position")
    full = position is not None
    if words.peek():
        full = known_name(words, DETAILS, "form of the answer") == "full"
    words.end()
    return Why(words.text, number, position, full)


def _why_not(words: Words, scene: Scene) -> Question:
    first = words.peek()
    if first is None:
        return WhyNot(words.text)
    if first.text.isdecimal() and first.text not in scene.catalog.parts:
        number = words.number("the number of a reason")
        words.end()
        return WhyNot(words.text, number=number)
    asked = words.text[first.column :]
    if first.text.casefold() in ASKED:
        return WhyNot(words.text, replace(fact(words, scene), text=asked))
    if first.text.casefold() in {**traits(scene), **positions(scene)}:
        return WhyNot(words.text, replace(want(words, scene), text=f"want {asked}"))
    return WhyNot(words.text, Used(codes(words, scene, [*traits(scene), *ASKED]), text=f"use {asked}"))


def choices(words: Words, scene: Scene) -> Question:
    """Read `choices [POSITION]`."""
    name = known_name(words, positions(scene), "position") if words.peek() else None
    words.end()
    return Choices(words.text, name)


def group(words: Words, scene: Scene) -> Question:
    """Read `group by POSITION`."""
    words.named(words.take("by", "say `group by` and a position"), {"by": None}, "way of grouping")
    name = known_name(words, positions(scene), "position")
    words.end()
    return Group(words.text, name)


def reach(words: Words, scene: Scene) -> Question:
    """Read `reach STACK`."""
    name = known_name(words, stacks(scene), "stack")
    words.end()
    return Reach(words.text, name)


def parts(words: Words, scene: Scene) -> Question:
    """Read `parts [WORD]`."""
    return Parts(words.text, words.rest("a word").text if words.peek() else None)


def part(words: Words, scene: Scene) -> Question:
    """Read `part CODE`."""
    code = part_code(words, words.take("the code of a part", "say `parts` for what there is"), scene)
    words.end()
    return PartOf(words.text, code)


def substitutes(words: Words, scene: Scene) -> Question:
    """Read `substitutes [WORD]`."""
    return Substitutes(words.text, words.rest("a word").text if words.peek() else None)


def check(words: Words, scene: Scene) -> Question:
    """Read `check [N x] CODE [cut LENGTH], ...`."""
    return Check(words.text, tuple(_items(words, scene)))


def _items(words: Words, scene: Scene) -> list[Item]:
    listed = words.listed("the code of a part", "say `parts` for what there is")
    return [_item(words, phrase, scene) for phrase in listed]


def change(words: Words, scene: Scene) -> Question:
    """Read `change N to STATEMENT [and STATEMENT...]`, or a bill as `check` has it in place of N."""
    named = "|".join(READERS)
    to = re.search(rf"\s+to\s+(?=(?:{named})\b)", words.text, re.IGNORECASE)
    if to is None:
        column = len(words.text) + 1
        if other := re.search(r"\s+to\s+", words.text[words.at :]):
            column = words.at + other.end()
        raise words.error(column, "what it is to be is missing", "say it as a fact, such as `to want finish 626`")
    of = _of(Words(words.text[: to.start()], words.line, words.at), scene)
    starts = [to.end()]
    starts += [each.end() for each in re.finditer(rf"\s+and\s+(?=(?:{named})\b)", words.text, re.IGNORECASE)]
    said: list[Statement] = []
    for start, end in zip(starts, [*starts[1:], len(words.text) + 1], strict=True):
        text = re.sub(r"\s+and\s+$", "", words.text[:end], flags=re.IGNORECASE)
        part = Words(text, words.line, start)
        now = replace(scene, said=changed_statements(scene.catalog, scene.said, said)[0])
        said.append(replace(fact(part, now), text=text[start:]))
    return ChangeTo(words.text, of, tuple(said))


def _of(words: Words, scene: Scene) -> int | tuple[Item, ...]:
    first = words.peek()
    alone = first is not None and first.column + len(first.text) == len(words.text)
    if first is None or (alone and first.text.isdecimal() and first.text not in scene.catalog.parts):
        return words.number("the number of an assembly, or the codes of its parts,")
    return tuple(_items(words, scene))


def instead(words: Words, scene: Scene) -> Question:
    """Read `instead of CODE`."""
    words.named(words.take("of", "say `instead of` and a code"), {"of": None}, "word here", "say `instead of`")
    code = part_code(words, words.take("the code of a part", "say `parts` for what there is"), scene)
    words.end()
    return InsteadOf(words.text, code)


def listing(words: Words, scene: Scene) -> Question:
    """Read `list [WHAT]`."""
    known = dict.fromkeys([*TOPICS, *traits(scene)], "")
    name = known_name(words, known, "list") if words.peek() else None
    words.end()
    return List(words.text, name)


def known_name(words: Words, known: Names, what: str) -> str:
    """Take a word and return the known name that it stands for."""
    return words.named(words.take(f"the {what}", suggestion("", known)), known, what)[0]


def _item(words: Words, phrase: Word, scene: Scene) -> Item:
    """Read `[N x] CODE [cut LENGTH]`; `cut to measure`, as a bill may have it, leaves the length open."""
    phrase = phrase._replace(text=_TO_MEASURE.sub("", phrase.text))
    quantity: int | None = None
    if times := _COUNT.match(phrase.text):
        quantity = int(times[1])
        if not 1 <= quantity <= MOST_ITEMS:
            raise words.error(phrase.column, f"{quantity} is out of range", f"give a number from 1 to {MOST_ITEMS}")
        phrase = Word(phrase.text[times.end() :], phrase.column + times.end())
    cut: Length | None = None
    name = phrase
    if found := _CUT.search(phrase.text):
        name = Word(phrase.text[: found.start()], phrase.column)
        column = phrase.column + found.end()
        try:
            cut = parse_length(phrase.text[found.end() :])
        except NotationError as error:
            raise words.notation_error(error, column) from None
    if space := re.search(r"\s", name.text):
        raise words.error(
            name.column + space.end(), "one code was expected", "part codes by commas: CODE, CODE cut LENGTH"
        )
    code = part_code(words, name, scene)
    if cut is not None and scene.catalog.parts[code].design.cut is None:
        raise words.error(phrase.column, f"{code} is not cut to measure", "leave the length out")
    return Item(code, quantity, cut)
