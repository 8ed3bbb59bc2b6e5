"""Reads applications: what is put together for which use."""

from __future__ import annotations

from functools import partial

from ..solver.application import OPENING, Application, Caution, Position, Rule
from ..solver.check import Gap, Ref
from ..solver.statement import OPENING_TRAITS
from .checks import check
from .draft import Draft
from .fault import suggestion
from .joint import Axes
from .names import Names
from .node import Node, Scalar
from .position import positions
from .reading import Misread, Record, items, list_of, named, one_or_more, refuse, table, text
from .stack import Sums
from .value import Look, name, words


def application(draft: Draft, called: str, node: Node) -> Application:
    """Read an application and hold it against the parts there are."""
    record = Record(node, ("title", "positions"), ("joints", "stacks", "rules", "match", "cautions", "work"))
    title = record.get("title", text, "")
    places = record.get("positions", partial(positions, draft), None)
    if places is None:
        raise Misread
    joints = record.get("joints", Axes(draft, places).joints, ())
    stacks = record.get("stacks", Sums(draft, called, places).stacks, ())
    rules = record.get("rules", named(name, lambda key, at: _rule(draft, places, key, at)), {})
    match = record.get("match", one_or_more(draft.traits.known), [])
    cautions = record.get("cautions", list_of(_caution), [])
    work = record.get("work", partial(_work, places), ())
    record.close()
    return Application(
        called,
        title,
        places.found,
        joints,
        stacks,
        tuple(rules.values()),
        tuple(match),
        tuple(cautions),
        node.source,
        work or tuple(places.found),
    )


def _work(places: Names[Position], node: Node) -> tuple[str, ...]:
    """Read the order in which the positions are filled at the bench and the door."""
    named: dict[str, Node] = {}
    for place in items(node):
        called = places.known(place)
        if called in named:
            refuse(place, f"the position `{called}` stands here twice", "name each position once")
        named[called] = place
    if missing := [called for called in places.found if called not in named]:
        refuse(node, f"without the position `{missing[0]}`", "name each position once, in the order of work")
    return tuple(named)


def _rule(draft: Draft, places: Names[Position], called: str, node: Node) -> Rule:
    found = check(node, _look(draft, places), forms=("same", "within"))
    if isinstance(found, Gap):
        raise Misread
    sides = (found.left, found.right)
    if any(ref.owner == OPENING for ref in sides):
        for ref in sides:
            if ref.owner != OPENING:
                _refuse_silent(draft, places, called, ref)
    return Rule(called, found)


def _refuse_silent(draft: Draft, places: Names[Position], called: str, ref: Ref) -> None:
    """A part that does not say what the door is held against would pass unseen."""
    kinds = places.found[ref.owner].kinds
    for entry, place in draft.of_kinds(kinds) if draft.sure_of(kinds) else ():
        if not entry.tells(ref.name):
            what = f"without the trait `{ref.name}`, which the rule `{called}` holds against the door"
            place.above.fault(what, "give every value that it is good for", cause=("silent", entry.kind, ref.name))


def _look(draft: Draft, places: Names[Position]) -> Look:
    def look(ref: Ref, node: Node) -> None:
        if ref.owner == OPENING:
            if ref.name not in OPENING_TRAITS:
                refuse(node, f"the opening has no trait `{ref.name}`", suggestion(ref.name, OPENING_TRAITS))
            return
        places.meaning(ref.owner, node)
        draft.know_trait(ref.name, node)

    return look


def _caution(node: Node) -> Caution:
    if isinstance(node, Scalar):
        return Caution(text(node), None, node.source)
    record = Record(node, ("text",), ("when",))
    found = Caution(record.get("text", text, ""), record.get("when", _when, None), node.source)
    record.close()
    return found


def _when(node: Node) -> tuple[str, tuple[str, ...]]:
    found = named(_opening_trait, lambda _, at: words(at))(table(node))
    if len(found) != 1:
        refuse(node, "a caution hangs on one trait of the opening", "write one, as when: {fire: any}")
    trait, values = next(iter(found.items()))
    return trait, () if values == ("any",) else values


def _opening_trait(node: Node) -> str:
    found = text(node)
    if found not in OPENING_TRAITS:
        refuse(node, f"the opening has no trait `{found[:60]}`", suggestion(found, OPENING_TRAITS))
    return found
