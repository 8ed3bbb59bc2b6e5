"""Reads the stacks of an application and holds them against the dimensions that parts really have."""

from __future__ import annotations

from ..solver.application import OPENING, Position, Stack
from ..solver.check import Gap, Ref
from .checks import gap
from .draft import Draft
from .entry import Entry
from .fault import listing, suggestion
from .names import Names
from .node import Node
from .reading import Record, named, one_or_more, refuse, text
from .value import name, terms

_THICKNESS = "thickness"


class Sums:
    """What the stacks of one application may name."""

    def __init__(self, draft: Draft, application: str, positions: Names[Position]) -> None:
        self._draft = draft
        self._application = application
        self._positions = positions

    def stacks(self, node: Node) -> tuple[Stack, ...]:
        """Read every stack."""
        return tuple(named(name, self._stack)(node).values())

    def _stack(self, called: str, node: Node) -> Stack:
        record = Record(node, ("sum", "because"), ("title", "at least", "at most", "when", "unless"))
        title, because = record.get("title", text, called), record.get("because", text, "")
        when = record.get("when", one_or_more(self._optional), [])
        unless = record.get("unless", one_or_more(self._optional), [])
        both = [position for position in when if position in unless]
        if both:
            record.fault(record.at("unless"), f"`{both[0]}` stands in `when` and in `unless`", "keep one of the two")
        found = gap(record, record.get("sum", terms(self._look), ()), because, self._look)
        self._refuse_two_cuts(found, record)
        self._refuse_lacking(called, found)
        return Stack(called, title, found, tuple(when), tuple(unless))

    def _optional(self, node: Node) -> str:
        found = text(node)
        if not self._positions.meaning(found, node).optional:
            refuse(node, f"the position `{found}` is not optional, so it is always filled", "leave it out here")
        return found

    def _look(self, meant: Ref, node: Node) -> None:
        if meant.owner == OPENING:
            preparations = self._draft.preparations
            known = {_THICKNESS, *(key for each in preparations.found.values() for key in each.dimensions)}
            if meant.name not in known and preparations.sound:
                refuse(node, f"the opening has no dimension `{meant.name}`", suggestion(meant.name, sorted(known)))
            return
        kinds = self._positions.meaning(meant.owner, node).kinds
        entries = self._draft.of_kinds(kinds)
        if not entries or not self._draft.sure_of(kinds):
            return
        known = set().union(*(entry.given() for entry, _ in entries))
        if meant.name not in known:
            what = f"no part of the kind {listing(sorted(kinds))} has a dimension `{meant.name}`"
            refuse(node, what, suggestion(meant.name, sorted(known)), cause=(self, meant))

    def _entries(self, ref: Ref) -> list[tuple[Entry, Node]]:
        """Return the entries that may stand where a dimension is read; none for the opening."""
        position = self._positions.found.get(ref.owner)
        return self._draft.of_kinds(position.kinds) if position else []

    def _refuse_two_cuts(self, found: Gap, record: Record) -> None:
        cut = [
            ref
            for ref in sorted(found.refs())
            if any(entry.cut and entry.cut.dimension == ref.name for entry, _ in self._entries(ref))
        ]
        if len(cut) > 1:
            refuse(record.at("sum"), f"`{cut[0]}` and `{cut[1]}` are both cut to measure", "a stack can settle one")

    def _refuse_lacking(self, called: str, found: Gap) -> None:
        """A part that lacks what the stack reads of its position is at fault, once for all stacks that read it."""
        reader = f"the stack `{called}` of the application `{self._application}`"
        for ref in sorted(found.refs()):
            for entry, place in self._entries(ref):
                if not entry.gives(ref.name) and self._draft.sure_of([entry.kind]):
                    what = f"without the dimension `{ref.name}`, which {reader} reads of every {ref.owner}"
                    what += entry.lacking(ref.name)
                    place.above.fault(what, "give it, 0 in where it has none", cause=("lacking", entry.kind, ref.name))
