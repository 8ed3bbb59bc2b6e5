"""The places that the forms of the job language have in common."""

from __future__ import annotations

import os
from collections.abc import Callable

from ..solver.notation import parse_length
from ..solver.statement import Door
from . import making
from .bill import MOST_ITEMS
from .facts import door, unit_of
from .slot import Before, Shape, Slot, free, word
from .vocabulary import (
    STATUS,
    TOPICS,
    Names,
    Scene,
    applications,
    dimensions,
    hosts,
    kinds,
    opening_values,
    openings,
    positions,
    stacks,
    symbols,
    traits,
    values,
)
from .words import Words

DOORS_IN_INCHES = ("1-3/8 in", "1-3/4 in", "2 in", "2-1/4 in")
"""Usual thicknesses (common practice: inner doors, outer and labelled doors, heavy doors)."""

DOORS_IN_MM = ("35 mm", "40 mm", "44 mm", "54 mm")
"""The same in metric practice."""


def _all_parts(scene: Scene, before: Before = ()) -> Names:
    """Return every part of the catalog."""
    return {code: part.title for code, part in scene.catalog.parts.items()}


def _own_parts(scene: Scene, before: Before = ()) -> Names:
    """Return the parts that the application in use has a place for, all where none is in use."""
    if scene.application is None:
        return _all_parts(scene)
    taken = {kind for position in scene.application.positions.values() for kind in position.kinds}
    return {part.code: part.title for part in scene.catalog.parts_of(taken)}


def _values(scene: Scene, before: Before) -> Names:
    """Return the values of the trait that was named, and last the symbols that stand for several."""
    known = traits(scene)
    trait = next(word.lower() for word in before if word.lower() in known)
    declared, named = scene.catalog.traits.get(trait), values(scene, trait)
    return {**named, **{symbol: ", ".join(declared.named(symbol)) for symbol in symbols(scene, trait) if declared}}


def _traits(scene: Scene, before: Before) -> Names:
    """Return the traits, first those that parts for the application in use have."""
    known = traits(scene)
    if scene.application is None:
        return known
    had = scene.catalog.values_by_kind
    taken = {kind for position in scene.application.positions.values() for kind in position.kinds}
    first = {trait for kind in taken for trait in had.get(kind, ())} | {STATUS}
    return dict(sorted(known.items(), key=lambda item: item[0] not in first))


def _dimensions(scene: Scene, before: Before) -> Names:
    """Return the dimensions that can be asked for in the position that was named."""
    return dimensions(scene, before[-1].lower()) if before[-1].lower() in positions(scene) else {}


def _facts(scene: Scene) -> Names:
    """Return the numbers of the facts in force."""
    return {str(number): said.text for number, said in enumerate(scene.said, 1)}


def _files(scene: Scene, before: Before) -> Names:
    """Return the files that lie in the present folder, in quotes where their name has more than one word."""
    try:
        with os.scandir() as found:
            names = sorted(each.name for each in found if each.is_file() and not each.name.startswith("."))
    except OSError:
        return {}
    return {f'"{name}"' if set(name).intersection(" ;#") else name: "" for name in names if name.isprintable()}


def _doors(scene: Scene, before: Before) -> Names:
    """Return usual thicknesses, first those in the unit of the door that was said."""
    said = [each for each in scene.said if isinstance(each, Door)]
    metric = bool(said) and unit_of(said[-1]) == "mm"
    usual = (*DOORS_IN_MM, *DOORS_IN_INCHES) if metric else (*DOORS_IN_INCHES, *DOORS_IN_MM)
    return dict.fromkeys(usual, "usual thickness")


def _door_begun(text: str, scene: Scene, before: Before) -> bool:
    return making.length(text, lambda whole: door(Words(whole), scene))


def _of_opening(scene: Scene, before: Before) -> Names:
    trait, *named = before
    if named:  # an opening has one value of each trait
        return {}
    return making.hands() if trait.lower() == "hand" else opening_values(scene, trait.lower())


def _opening_begun(text: str, scene: Scene, before: Before) -> bool:
    trait, *named = before
    if named:
        return False
    if trait.lower() == "hand":
        return making.hand(text)
    if trait.lower() == "fire":
        return making.minutes(text)
    return not opening_values(scene, trait.lower()) and making.words(text)


def _cut(scene: Scene, before: Before) -> Names:
    part = scene.catalog.parts.get(before[-1].upper())
    return {"cut": "to which length it was cut"} if part and part.design.cut else {}


def _cut_length(text: str) -> bool:
    if "to measure".startswith(text.casefold()):
        return True
    return making.length(text[3:] if text[:3].casefold() == "to " else text, parse_length)


def _of_scene(names: Callable[[Scene], Names], shape: Shape = Shape.WORD) -> Slot:
    return Slot(lambda scene, before: names(scene), shape)


def number(most: int) -> Slot:
    """Return the slot of a whole number from 1 to `most`."""
    return free(making.number(most))


APPLICATION = _of_scene(applications)
HOST = _of_scene(hosts)
POSITION = _of_scene(positions)
STACK = _of_scene(stacks)
TOPIC = _of_scene(lambda scene: {**dict.fromkeys(TOPICS, "names of"), **traits(scene)})
TRAIT = Slot(_traits)
VALUES = Slot(_values, Shape.PHRASES)
DOOR = Slot(_doors, Shape.PHRASE, begun=_door_begun, slow=making.foreign)
OPENING_TRAIT = _of_scene(openings)
OPENING_VALUE = Slot(_of_opening, Shape.PHRASES, begun=_opening_begun)
PART = Slot(_all_parts)
CODES = Slot(_all_parts, Shape.WORDS, offers=_own_parts)
TIMES = free(making.times)
TEXT = free(lambda text: True, Shape.PHRASE)
"""Any words, of which nothing is known while one types."""

FILE = Slot(_files, Shape.PHRASE, begun=lambda text, scene, before: True)
FACTS = _of_scene(_facts, Shape.PHRASES)
DIMENSION = Slot(_dimensions)
LENGTH = free(making.length, Shape.PHRASE)
PART_TEXT = Slot(lambda scene, before: kinds(scene), Shape.PHRASE, begun=lambda text, scene, before: making.words(text))
CUT_LENGTH = Slot(
    lambda scene, before: {},
    Shape.PHRASE,
    begun=lambda text, scene, before: _cut_length(text),
    slow=lambda text: making.foreign(text) and not "to measure".startswith(text.casefold()),
)
_BILL_PART = (Slot(_all_parts, offers=_own_parts), Slot(_cut), CUT_LENGTH)
BILL = Slot(
    _all_parts,
    Shape.PHRASES,
    within=(_BILL_PART, (TIMES, *_BILL_PART), (number(MOST_ITEMS), word("x", "so many of"), *_BILL_PART)),
)
STATEMENT = Slot(lambda scene, before: {}, Shape.STATEMENT)
