"""Catalogs in their compiled form: everything checked, and parts still as the entries that stand for many items."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..solver.application import Application
from ..solver.catalog import Catalog, Interface, Preparation, Trait
from .entry import Entry


@dataclass(frozen=True, slots=True)
class Compiled:
    """What a cache keeps of a set of catalogs."""

    kinds: Mapping[str, str]
    traits: Mapping[str, Trait]
    interfaces: Mapping[str, Interface]
    preparations: Mapping[str, Preparation]
    applications: Mapping[str, Application]
    entries: tuple[Entry, ...]
    currency: str

    def catalog(self) -> Catalog:
        """Expand every entry into its items."""
        parts = {part.code: part for entry in self.entries for part in entry.items()}
        return Catalog(
            self.kinds, self.traits, self.interfaces, self.preparations, self.applications, parts, self.currency
        )
