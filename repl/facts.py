"""How the facts of a job are read."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from ..solver.hand import parse_hand
from ..solver.length import MM, Unit, format_exactly
from ..solver.notation import NotationError, parse_span
from ..solver.part import STATUSES
from ..solver.statement import (
    OPENING_TRAITS,
    Door,
    Into,
    Keep,
    Measure,
    OfStatus,
    OpeningIs,
    Selective,
    Statement,
    Use,
    Want,
    Without,
    WithoutTrait,
)
from .near import suggestion
from .vocabulary import (
    STATUS,
    Names,
    Scene,
    applications,
    dimensions,
    hosts,
    opening_values,
    positions,
    preparations,
    symbols,
    traits,
    values,
)
from .words import Word, Words

THINNEST, THICKEST = 5 * MM, 200 * MM
"""What a door may measure; beyond that the number or its unit was a slip."""

_UNIT = re.compile(r"\s*(?:(?<![A-Za-zµ_])(?!to\b)[A-Za-zµ_]+|['\"″”’′]+)")  # noqa: RUF001
_FROM_SIDE = re.compile(r"\s+from\s+(?:the\s+)?(inside|outside)$", re.IGNORECASE)
_MINUTES = re.compile(r"\s*(?:min|mins|minutes)$", re.IGNORECASE)
_METRIC = re.compile(r"(?:milli|centi)?met(?:re|er)s?\b|[mc]m\b|\d\s*m\b|micron|[uµ]m\b", re.IGNORECASE)


def use(words: Words, scene: Scene) -> Statement:
    """Read `use APPLICATION`."""
    name, _ = words.named(
        words.take("the application", suggestion("", applications(scene))),
        applications(scene),
        "application",
        "say `list applications` for all",
    )
    words.end()
    return Use(name, text=words.text)


def door(words: Words, scene: Scene) -> Statement:
    """Read `door LENGTH`."""
    phrase = words.rest("the thickness", "give one such as 1-3/4 in or 44 mm ± 0.5")
    try:
        thickness = parse_span(phrase.text)
    except NotationError as error:
        raise words.notation_error(error, phrase.column) from None
    if thickness.low <= 0:
        raise words.error(phrase.column, "a door is thicker than 0", "give its thickness, such as 1-3/4 in")
    said = Door(thickness, text=words.text)
    if thickness.low < THINNEST or thickness.high > THICKEST:
        wrong, how = (thickness.low, "thin") if thickness.low < THINNEST else (thickness.high, "thick")
        raise words.error(
            phrase.column, f"a door of {format_exactly(wrong, unit_of(said))} is too {how}", _other_unit(phrase.text)
        )
    return said


def _other_unit(text: str) -> str:
    """Return the hint for a thickness that can't be: the same numbers in the other unit, where they can."""
    for unit in ("in", "mm"):
        meant = _UNIT.sub(f" {unit}", text)
        try:
            thickness = parse_span(meant)
        except NotationError:
            continue
        if thickness.low >= THINNEST and thickness.high <= THICKEST:
            return f"did you mean {meant}?"
    return "give its thickness, such as 1-3/4 in or 44 mm"


def unit_of(statement: Door) -> Unit:
    """Return the unit that a door was stated in."""
    return "mm" if _METRIC.search(statement.text) else "in"


def opening(words: Words, scene: Scene) -> Statement:
    """Read `opening TRAIT VALUE`."""
    word = words.take("the trait", suggestion("", OPENING_TRAITS))
    trait, _ = words.named(word, dict.fromkeys(OPENING_TRAITS), "trait of an opening")
    if trait == "hand":
        return OpeningIs(trait, (_hand(words),), text=words.text)
    if trait == "preparation":
        phrase = words.rest("the preparation", "say `list preparations` for all")
        name, _ = words.named(phrase, preparations(scene), "preparation", "say `list preparations` for all")
        return OpeningIs(trait, (name,), text=words.text)
    phrase = words.rest("the value")
    if trait == "fire":
        phrase = phrase._replace(text=_MINUTES.sub("", phrase.text))
    known = opening_values(scene, trait)
    if not known:
        return OpeningIs(trait, (phrase.text.lower(),), text=words.text)
    if phrase.text.isdecimal() and phrase.text not in known:  # a rating is not mistyped for another one
        raise words.error(phrase.column, f"no value of {trait} is named {phrase.text}", suggestion("", known))
    name, _ = words.named(phrase, known, f"value of {trait}", suggestion("", known))
    return OpeningIs(trait, (name,), text=words.text)


def _hand(words: Words) -> str:
    phrase = words.rest("the hand", "use LH, RH, LHR or RHR, as seen from the key side")
    side = _FROM_SIDE.search(phrase.text)
    try:
        hand = parse_hand(_FROM_SIDE.sub("", phrase.text))
    except NotationError as error:
        raise words.notation_error(error, phrase.column) from None
    return (hand.from_other_side if side and side[1].lower() == "inside" else hand).value


def into(words: Words, scene: Scene) -> Statement:
    """Read `into HOST`."""
    known = hosts(scene)
    word = words.take("the code of the host", "say `list hosts` for all")
    words.end()
    code = part_code(words, word, scene)
    if code not in known:
        kind = scene.catalog.parts[code].kind
        used = f"the application {scene.application.name}" if scene.application else "any application"
        raise words.error(
            word.column,
            f"{code} is a {scene.catalog.kinds.get(kind, kind)}, no host of {used}",
            "say `list hosts` for all",
        )
    return Into(code, text=words.text)


def want(words: Words, scene: Scene) -> Statement:
    """Read `want TRAIT VALUE, ...` and `want POSITION DIMENSION LENGTH`."""
    first, places = words.peek(), positions(scene)
    if first and first.text.casefold() not in traits(scene) and first.text.casefold() in places:
        return _measure(words, scene)
    trait = _trait(words, scene, places)
    if trait == STATUS:
        return OfStatus(_values(words, scene, trait), text=words.text)
    return Want(trait, _values(words, scene, trait), text=words.text)


def _measure(words: Words, scene: Scene) -> Statement:
    position = words.named(words.take("the position"), positions(scene), "position")[0]
    known = dimensions(scene, position)
    what = f"dimension of the {position}"
    dimension = words.named(words.take(f"the {what}", suggestion("", known)), known, what, suggestion("", known))[0]
    phrase = words.rest("the length", "give one such as 1-1/4 in, or a range")
    try:
        return Measure(position, dimension, parse_span(phrase.text), text=words.text)
    except NotationError as error:
        raise words.notation_error(error, phrase.column) from None


def keep(words: Words, scene: Scene) -> Statement:
    """Read `keep CODE ...`."""
    return Keep(codes(words, scene), text=words.text)


def without(words: Words, scene: Scene) -> Statement:
    """Read `without CODE ...` or `without TRAIT VALUE, ...`."""
    first = words.peek()
    if first and first.text.casefold() in traits(scene):
        trait = _trait(words, scene)
        if trait == STATUS:
            unwanted = _values(words, scene, trait)
            return OfStatus(tuple(status for status in STATUSES if status not in unwanted), text=words.text)
        return WithoutTrait(trait, _values(words, scene, trait), text=words.text)
    return Without(codes(words, scene, [*traits(scene)]), text=words.text)


def selective(words: Words, scene: Scene) -> Statement:
    """Read `selective`."""
    words.end()
    return Selective(text=words.text)


def part_code(words: Words, word: Word, scene: Scene, others: list[str] | None = None) -> str:
    """Return the code of a part that a word names."""
    parts = scene.catalog.parts
    code = word.text if word.text in parts else word.text.upper()
    if code in parts:
        return code
    hint = suggestion(word.text, [*parts, *(others or [])], "say `parts` for what there is")
    what = "part or trait" if others else "part"
    raise words.error(word.column, f"no {what} is named {word}", hint)


def codes(words: Words, scene: Scene, others: list[str] | None = None) -> tuple[str, ...]:
    """Take everything that is left as codes of parts; `others` are what else could have been meant."""
    named = words.separate("the code of a part", "say `parts` for what there is")
    return tuple(dict.fromkeys(part_code(words, word, scene, others) for word in named))


def _trait(words: Words, scene: Scene, others: Names | None = None) -> str:
    """Take the name of a trait; `others` are what else could have been meant."""
    word = words.take("the trait", "say `list traits` for all")
    known = traits(scene)
    if others and word.text.casefold() not in known:
        hint = suggestion(word.text, [*known, *others], "say `list traits` or `list positions` for all")
        raise words.error(word.column, f"no trait or position is named {word}", hint)
    return words.named(word, known, "trait", "say `list traits` for all")[0]


def _values(words: Words, scene: Scene, trait: str) -> tuple[str, ...]:
    known = values(scene, trait)
    found: list[str] = []
    for phrase in words.listed("the value", f"say `list {trait}` for all"):
        declared = scene.catalog.traits.get(trait)
        if declared and (named := declared.named(phrase.text)):
            found += named
            continue
        meant = {**known, **dict.fromkeys(symbols(scene, trait))}
        name, _ = words.named(phrase, meant, trait, f"say `list {trait}` for all")
        found += (declared.named(name) if declared else ()) or (name,)
    return tuple(dict.fromkeys(found))


READERS: Mapping[str, Callable[[Words, Scene], Statement]] = {
    each.__name__: each for each in (use, door, opening, into, want, keep, without, selective)
}
"""What reads a fact, by the word that it begins with."""


def fact(words: Words, scene: Scene) -> Statement:
    """Read any fact, led by its word."""
    word = words.take("a fact", suggestion("", READERS))
    return words.named(word, READERS, "fact")[1](words, scene)
