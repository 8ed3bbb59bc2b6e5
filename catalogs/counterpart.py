"""Checks that what parts say has a counterpart: words that the other side has too, and features that joints read.

Parts that fit nothing are no fault: to say so is what the solver is for. Slips of the pen are, for they fit nothing
silently. Nothing is said where a definition is faulty, or where nothing at all stands on the other side: that may be
in another catalog.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..solver.check import Gap, Ref, Tokens
from ..solver.part import Feature
from .draft import Draft
from .entry import Entry
from .fault import listing
from .node import Listing, Node, Scalar, Table

ONE_SLIP = 0.75
"""Words as alike as this (the share of letters in common) are taken for one word, written wrong once."""

_Said = list[tuple[Tokens, Node]]
"""What features say under one name, and where."""


def check_counterparts(draft: Draft) -> None:
    """Note each word that nothing can match, and each feature that no joint of any application reads."""
    if draft.doubtful_kinds or draft.doubtful or not draft.interfaces.sound or not draft.preparations.sound:
        return
    _check_words(draft)
    if draft.applications.sound:
        _check_joints(draft)


def _check_words(draft: Draft) -> None:
    said: dict[tuple[str, Ref], _Said] = {}
    for feature, entry, place in _features(draft):
        for check in draft.interfaces.found[feature.interface].checks:
            for ref in () if isinstance(check, Gap) else (check.left, check.right):
                if ref.owner == feature.side:
                    said.setdefault((feature.interface, ref), []).extend(_sayings(feature, entry, place, ref.name))
    for interface in draft.interfaces.found.values():
        for check in interface.checks:
            if isinstance(check, Gap) or check.left.owner == check.right.owner:
                continue
            for own, other in ((check.left, check.right), (check.right, check.left)):
                known = {word for words, _ in said.get((interface.name, other), ()) for word in words}
                for words, place in said.get((interface.name, own), ()):
                    _refuse_slips(words, place, interface.name, other, known)


def _refuse_slips(words: Tokens, place: Node, interface: str, other: Ref, known: set[str]) -> None:
    for word in words:
        near = None if word in known else _slip_of(word, known)
        if near:
            what = f"no {other.owner} of the interface `{interface}` says `{word[:60]}` in its `{other.name}`"
            place.fault(what, f"did you mean `{near}`?", cause=("slip", interface, frozenset((word, near))))


def _slip_of(word: str, known: set[str]) -> str | None:
    """Return the known word that was probably meant; a code, with digits in it, is like its neighbours anyway."""
    if not word.replace("-", "").isalpha():
        return None
    from difflib import get_close_matches  # only words that match nothing pay for it

    likely = [each for each in sorted(known) if each[0] == word[0]]
    return next(iter(get_close_matches(word, likely, 1, ONE_SLIP)), None)


def _features(draft: Draft) -> Iterator[tuple[Feature, Entry | None, Node]]:
    """Yield each feature with its entry (none for a preparation's) and the place of the table that it stands in."""
    for entry, place in draft.entries:
        for feature in entry.features.values():
            yield feature, entry, place.above
    for name, preparation in draft.preparations.found.items():
        for feature in preparation.features.values():
            yield feature, None, draft.preparations.place(name)


def _sayings(feature: Feature, entry: Entry | None, place: Node, name: str) -> Iterator[tuple[Tokens, Node]]:
    """Yield what a feature says under a name: itself, or in its place the entry's trait or each value of an option."""
    if entry is None or name in feature.tokens:
        yield feature.tokens[name], _down(place, "features", feature.name, name)
    elif name in entry.traits:
        yield entry.traits[name], _down(place, "traits", name)
    else:
        for option in entry.options:
            for choice in option.choices:
                if name in choice.traits:
                    yield choice.traits[name], _down(place, "options", option.name, choice.value, "traits", name)


def _down(node: Node, *steps: str) -> Node:
    """Follow keys, or the items of a list, as far down as they lead."""
    for step in steps:
        if isinstance(node, Table) and step in node.fields:
            below = node.fields[step]
            node = node.keys[step] if isinstance(below, Scalar) and not below.text else below
        elif isinstance(node, Listing):
            node = next((item for item in node.items if isinstance(item, Scalar) and item.text == step), node)
    return node


def _check_joints(draft: Draft) -> None:
    """A feature that no joint reads meets nothing: called otherwise than those that are read, it is a slip."""
    read: dict[str, list[set[str]]] = {}
    for application in draft.applications.found.values():
        for position in application.positions.values():
            names = {ref.name for joint in application.joints for ref in joint.features if ref.owner == position.name}
            for kind in position.kinds:
                read.setdefault(kind, []).append(names)
    for entry, place in draft.entries:
        positions = read.get(entry.kind, [])
        known: set[str] = set().union(*positions)
        strays = [name for name in entry.features if positions and name not in known]
        for name in strays:
            near = _slip_of(name, known.difference(entry.features))
            if near:
                what = f"no joint reads a feature `{name[:60]}` of the kind `{entry.kind}`"
                at = _down(place.above, "features", name)
                at.fault(what, f"did you mean `{near}`?", cause=("unread feature", entry.kind, name))
                break
        else:
            if strays and len(strays) == len(entry.features) and all(positions):
                what = f"no joint reads any of its features ({listing(strays, 4)})"
                place.above.fault(what, f"of the kind `{entry.kind}` they read {listing(sorted(known))}")
