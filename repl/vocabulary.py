"""What can be named in a job: applications, hosts, positions, traits and their values, each with its plain meaning."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from ..solver.application import Application
from ..solver.catalog import Catalog
from ..solver.part import STATUSES, Part
from ..solver.statement import OPENING_TRAITS, Into, Statement, Use
from .near import natural

Names = dict[str, str]

FIRE_LABELS = ("20", "30", "45", "60", "90", "120", "180", "none")
"""Ratings in minutes that fire labels bear (common practice), where no catalog closes the list."""

STATUS = "status"
"""What every part has although no catalog declares it as a trait."""


@dataclass(frozen=True)
class Scene:
    """A catalog and what has been said so far: it decides what a name can mean."""

    catalog: Catalog
    said: tuple[Statement, ...] = ()

    @property
    def application(self) -> Application | None:
        """The application in use, where there is one."""
        used = [said.application for said in self.said if isinstance(said, Use)]
        return self.catalog.applications.get(used[-1]) if used else None

    @property
    def host(self) -> Part | None:
        """The lock that was named, where there is one."""
        codes = [said.code for said in self.said if isinstance(said, Into)]
        return self.catalog.parts.get(codes[-1]) if codes else None


def applications(scene: Scene) -> Names:
    """Return the applications."""
    return {name: application.title for name, application in scene.catalog.applications.items()}


def hosts(scene: Scene) -> Names:
    """Return the locks and housings that receive an assembly: those of the application in use, else all."""
    used = [scene.application] if scene.application else scene.catalog.applications.values()
    kinds = {kind for application in used if application.host for kind in application.host.kinds}
    return {part.code: part.title for part in scene.catalog.parts_of(kinds)}


def preparations(scene: Scene) -> Names:
    """Return the door preparations."""
    return {name: preparation.title for name, preparation in scene.catalog.preparations.items()}


def positions(scene: Scene) -> Names:
    """Return the positions of the application in use."""
    known = scene.application.positions if scene.application else {}
    return {name: position.title or ", ".join(sorted(position.kinds)) for name, position in known.items()}


def dimensions(scene: Scene, position: str) -> Names:
    """Return the dimensions that parts of a position have, or are cut to."""
    kinds = scene.application.positions[position].kinds if scene.application else ()
    found: Names = {}
    for shelf in scene.catalog.shelves(kinds):
        found.update(dict.fromkeys(shelf.design.dimensions, ""))
        found.update({shelf.design.cut.dimension: "cut to measure"} if shelf.design.cut else {})
    return found


def stacks(scene: Scene) -> Names:
    """Return the stacks of the application in use."""
    return {stack.name: stack.title for stack in scene.application.stacks} if scene.application else {}


def kinds(scene: Scene) -> Names:
    """Return the kinds of parts."""
    return dict(scene.catalog.kinds)


def traits(scene: Scene) -> Names:
    """Return the traits that can be wanted, or ruled out."""
    declared = {name: trait.title for name, trait in scene.catalog.traits.items()}
    return {**declared, STATUS: declared.get(STATUS) or "whether a part is to be had"}


def openings(scene: Scene) -> Names:
    """Return what can be said of the opening."""
    return {name: _OPENING_MEANS[name] for name in OPENING_TRAITS}


def values(scene: Scene, trait: str) -> Names:
    """Return the values that a trait takes: the closed list, else those that the parts have."""
    declared = scene.catalog.traits.get(trait)
    if declared and declared.values:
        return {
            name: f"{value.title} ({value.symbol})" if value.symbol else value.title
            for name, value in declared.values.items()
        }
    if trait == STATUS:
        return dict.fromkeys(STATUSES, "")
    had = {value for own in scene.catalog.values_by_kind.values() for value in own.get(trait, ())}
    return dict.fromkeys(sorted(had, key=natural), "")


def opening_values(scene: Scene, trait: str) -> Names:
    """Return the values that a trait of the opening takes: those of the catalog's parts, else the usual ones.

    None are known of a material where no part asks for one, and of the hand, which has a notation of its own.
    """
    if trait == "preparation":
        return preparations(scene)
    usual = {"fire": FIRE_LABELS, "egress": ("inside", "outside")}
    return values(scene, trait) or dict.fromkeys(usual.get(trait, ()), "")


def symbols(scene: Scene, trait: str) -> Iterator[str]:
    """Yield the symbols that stand for values of a trait."""
    declared = scene.catalog.traits.get(trait)
    for value in declared.values.values() if declared else ():
        if value.symbol:
            yield value.symbol


TOPICS: Mapping[str, Callable[[Scene], Names]] = {
    "applications": applications,
    "hosts": hosts,
    "openings": openings,
    "preparations": preparations,
    "traits": traits,
    "kinds": kinds,
    "positions": positions,
    "stacks": stacks,
}
"""What `list` can list, besides the values of each trait."""

_OPENING_MEANS = {
    "hand": "LH, RH, LHR or RHR, seen from the key side; add `from inside` if it was seen from there",
    "material": "what the door is made of",
    "fire": "the rating on its fire label, in minutes",
    "egress": "the side from which people leave: inside or outside",
    "preparation": "what the door was cut for, by the preparation's name",
}
