"""Reads the joints of an application and holds them against the features that parts really have."""

from __future__ import annotations

from ..solver.application import OPENING, Joint, Position
from ..solver.check import Ref
from .draft import Draft
from .fault import listing, suggestion
from .names import Names
from .node import Node
from .reading import attempt, items, named, refuse
from .value import name, ref


class Axes:
    """What the joints of one application may name, and what they have named so far."""

    def __init__(self, draft: Draft, positions: Names[Position]) -> None:
        self._draft = draft
        self._positions = positions
        self._taken: dict[Ref, str] = {}

    def joints(self, node: Node) -> tuple[Joint, ...]:
        """Read every joint."""
        return tuple(named(name, self._joint)(node).values())

    def _joint(self, called: str, node: Node) -> Joint:
        places = items(node)
        found = attempt(lambda at: self._free(called, ref(self._look)(at), at), places)
        if len(found) < 2:
            refuse(node, "a joint of one feature", "list at least two that meet")
        if len(found) > 2 and any(feature.owner == OPENING for feature in found):
            refuse(node, "a joint with the opening has one other feature", "give the rest a joint of its own")
        for index in range(len(found)):
            self._refuse_apart(found[:index], found[index], places[index])
        return Joint(called, tuple(found), node.source)

    def _free(self, joint: str, feature: Ref, node: Node) -> Ref:
        """Refuse a feature that stands in a joint already."""
        if feature in self._taken:
            where = "this joint" if self._taken[feature] == joint else f"the joint `{self._taken[feature]}`"
            refuse(node, f"`{feature}` stands in {where} already", "list it once: it meets its neighbours there")
        self._taken[feature] = joint
        return feature

    def _refuse_apart(self, before: list[Ref], feature: Ref, node: Node) -> None:
        """Refuse what keeps a feature from being the exit of the position that it belongs to."""
        earlier = [stop for stop in before if stop.owner == feature.owner]
        if not earlier:
            return
        position = self._positions.found.get(feature.owner)
        if position is not None and position.up_to:
            what = f"the repeated position `{feature.owner}` stands here twice"
            refuse(node, what, "its parts all meet the same feature: list one of its own")
        if len(earlier) > 1:
            refuse(node, f"`{feature.owner}` stands here a third time", "a position has an entry and an exit")
        if before[-1] != earlier[0]:
            what = f"`{earlier[0]}` and `{feature}` do not stand side by side"
            refuse(node, what, "list the entry and the exit of a position one after the other")

    def _look(self, meant: Ref, node: Node) -> None:
        draft = self._draft
        if meant.owner == OPENING:
            offered = {key for each in draft.preparations.found.values() for key in each.features}
            if meant.name not in offered and draft.preparations.sound:
                refuse(node, f"no preparation has a feature `{meant.name}`", suggestion(meant.name, sorted(offered)))
            return
        kinds = self._positions.meaning(meant.owner, node).kinds
        entries = draft.of_kinds(kinds)
        if not entries or not draft.sure_of(kinds):
            return
        offered = {key for entry, _ in entries for key in entry.features}
        if meant.name not in offered:
            what = f"no part of the kind {listing(sorted(kinds))} has a feature `{meant.name}`"
            refuse(node, what, suggestion(meant.name, sorted(offered)))
