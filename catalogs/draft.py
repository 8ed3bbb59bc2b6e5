"""What has been read so far, across all files, while catalogs are compiled."""

from __future__ import annotations

from collections.abc import Iterable

from ..solver.application import Application
from ..solver.catalog import Interface, Preparation, Trait
from ..solver.check import Tokens
from .entry import Entry
from .fault import suggestion
from .names import Names
from .node import Node
from .reading import Misread, refuse, text


class Draft:
    """The books of names that references are looked up in, and the entries with the places of their codes."""

    def __init__(self) -> None:
        self.kinds: Names[str] = Names("kind")
        self.traits: Names[Trait] = Names("trait")
        self.interfaces: Names[Interface] = Names("interface")
        self.preparations: Names[Preparation] = Names("preparation")
        self.applications: Names[Application] = Names("application")
        self.entries: list[tuple[Entry, Node]] = []
        self.words: set[str] = set()
        """The tokens that interfaces read."""
        self.priced = False
        """Whether anything has a price."""
        self.unpriced: list[tuple[Node, str]] = []
        """The entries without a price, each with why it should have one."""
        self.doubtful: set[str] = set()
        """Kinds of which some entry is faulty: nothing is said of what their parts lack."""
        self.doubtful_kinds = False
        """Whether some entry does not even say its kind."""

    def of_kinds(self, kinds: Iterable[str]) -> list[tuple[Entry, Node]]:
        """Return the entries of these kinds."""
        wanted = set(kinds)
        return [(entry, place) for entry, place in self.entries if entry.kind in wanted]

    def sure_of(self, kinds: Iterable[str]) -> bool:
        """Tell whether every entry of these kinds has been read."""
        return not self.doubtful_kinds and self.doubtful.isdisjoint(kinds)

    def trait_name(self, node: Node) -> str:
        """Read the name of a trait that a part may have: a declared one, or a word that some interface reads."""
        called = text(node)
        self.know_trait(called, node)
        return called

    def know_trait(self, called: str, node: Node) -> None:
        """Refuse a name that no trait and no word of an interface has."""
        if called in self.words:
            return
        if called not in self.traits and not self.interfaces.sound:
            raise Misread  # the faulty interface may be the one that reads it
        self.traits.meaning(called, node)

    def allow(self, trait: str, values: Tokens, node: Node) -> None:
        """Refuse a value that a closed trait does not have."""
        known = self.traits.found.get(trait)
        if known is None or not known.values:
            return
        for value in values:
            if value not in known.values:
                refuse(node, f"the trait `{trait}` has no value `{value[:60]}`", suggestion(value, known.values))
